"""One value as somebody read it or the plan has it."""

from dataclasses import dataclass

from app.domain.checks.shown import given
from app.domain.quantities import Quantity
from app.domain.results import Input


@dataclass(frozen=True, slots=True)
class Read:
    """A value with the name of what it is and where it was read."""

    name: str
    value: Quantity
    origin: str

    def as_input(self) -> Input:
        """Return it as what a figure was worked out from."""
        return Input(self.name, given(self.value), self.origin)
