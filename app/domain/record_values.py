"""Values of the install record that its parts share."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Amount:
    """A value as typed and the unit it was typed in."""

    value: str = ""
    unit: str = ""
