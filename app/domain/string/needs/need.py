"""One need of a move: the law that it serves, how it is tested, what is missing, and the mend."""

from collections.abc import Callable
from dataclasses import dataclass

from app.domain.sheet import Step
from app.domain.string.state import StringState


@dataclass(frozen=True, slots=True)
class Need:
    """What must be so before a move; `demand` says it in words, `missing` says that it is not so."""

    law: int
    demand: str
    is_met: Callable[[StringState, Step], bool]
    missing: str
    mend: str
