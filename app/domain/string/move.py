"""One legal move: an operation, what it needs, and what it makes true."""

from dataclasses import dataclass

from app.domain.operations import Operation
from app.domain.string.effects.effect import Effect
from app.domain.string.needs.need import Need


@dataclass(frozen=True, slots=True)
class Move:
    """One operation: its needs, in the order they are looked at, and its effects."""

    operation: Operation
    needs: tuple[Need, ...] = ()
    makes: tuple[Effect, ...] = ()
