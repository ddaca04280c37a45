"""What the log of a site's people comes to, for each of them."""

from datetime import UTC, datetime

import pytest

from app.domain.events.who import Who
from app.domain.people import (
    Change,
    PeopleEntry,
    PersonAdded,
    PersonCameBack,
    PersonLeft,
    PersonLocked,
    PersonUnlocked,
    PinChoiceOpened,
    PinChosen,
    RoleChanged,
    Standing,
    standings,
)

AT = datetime(2031, 5, 4, 6, 0, tzinfo=UTC)
HAND = Who("p-han", "Flo Fictive", "floor crew")
BY = Who("p-sup", "Sam Sample", "supervisor")


def after(*changes: Change) -> Standing:
    """Return what one person comes to after changes."""
    entries = (PeopleEntry(number, change, BY, AT, "") for number, change in enumerate(changes, start=1))
    return standings(entries)[HAND.person_id]


ADDED, CHOSEN = PersonAdded(HAND), PinChosen(HAND)


@pytest.mark.parametrize(
    ("changes", "comes_to"),
    [
        ((ADDED,), Standing(HAND)),
        ((ADDED, CHOSEN), Standing(HAND, has_pin=True)),
        ((ADDED, CHOSEN, PinChoiceOpened(HAND, "06:30")), Standing(HAND)),
        ((ADDED, CHOSEN, PersonLocked(HAND, 10)), Standing(HAND, has_pin=True, locked=True)),
        ((ADDED, CHOSEN, PersonLocked(HAND, 10), PersonUnlocked(HAND)), Standing(HAND, has_pin=True)),
        # A PIN that he chose himself ends the count of wrong ones.
        ((ADDED, CHOSEN, PersonLocked(HAND, 10), CHOSEN), Standing(HAND, has_pin=True)),
        # Whoever is reset while he is locked stays locked until he has chosen.
        ((ADDED, PersonLocked(HAND, 10), PinChoiceOpened(HAND, "06:30")), Standing(HAND, locked=True)),
        ((ADDED, CHOSEN, PersonLeft(HAND)), Standing(HAND, active=False, has_pin=True)),
        ((ADDED, CHOSEN, PersonLeft(HAND), PersonCameBack(HAND)), Standing(HAND, has_pin=True)),
        (
            (ADDED, CHOSEN, RoleChanged(HAND, "driller")),
            Standing(Who("p-han", "Flo Fictive", "driller"), has_pin=True),
        ),
    ],
)
def test_a_person_is_what_happened_to_him(changes: tuple[Change, ...], comes_to: Standing) -> None:
    assert after(*changes) == comes_to


def test_what_happens_to_one_touches_no_other() -> None:
    other = Who("p-dri", "Dora Dummy", "driller")
    log: tuple[Change, ...] = (ADDED, PersonAdded(other), PersonLocked(HAND, 10))

    found = standings(PeopleEntry(number, change, BY, AT, "") for number, change in enumerate(log, start=1))

    assert (found[HAND.person_id].locked, found[other.person_id].locked) == (True, False)
