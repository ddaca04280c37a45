"""One effect of a move, in words and as the change that it makes."""

from collections.abc import Callable
from dataclasses import dataclass

from app.domain.sheet import Step
from app.domain.string.state import StringState


@dataclass(frozen=True, slots=True)
class Effect:
    """What a move makes true."""

    words: str
    change: Callable[[StringState, Step], None]
