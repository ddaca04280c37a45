"""What takes the place of something that was rejected."""

from dataclasses import dataclass

from app.domain.events.steps import Taken


@dataclass(frozen=True, slots=True)
class ItemSwapped:
    """A part or clamp was rejected and replaced before it was in the string.

    `place` is the tag of a part or the station of a clamp, `item` what the load-out list calls it.
    `values` are what is known of the new one: length, max OD, weight, and of a Y-block its drop and the
    closed length of its swivel. `reopened` are the deck steps that are asked again; `deviation` is 0 where
    none was raised.
    """

    place: str
    item: str
    old_serial: str
    new_serial: str
    values: tuple[Taken, ...]
    reopened: tuple[int, ...]
    reason: str
    deviation: int
