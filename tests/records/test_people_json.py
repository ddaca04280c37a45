"""What happened to people, as it is kept: every kind comes back as it went, and none is misread."""

from datetime import datetime, timedelta, timezone
from typing import get_args

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
)
from app.records.chain import GENESIS, Entry, link
from app.records.people_json import (
    KINDS,
    LOG,
    VERSION,
    UnreadablePeopleError,
    body_of_change,
    kind_of_change,
    read_people_entry,
)

AT = datetime(2031, 5, 4, 6, 7, 8, 123456, timezone(timedelta(hours=-5, minutes=-30)))
WHO = Who("0a1b", "Änne Example ⚙", "supervisor")
ANA = Who("p-1", "Ana", "driller")
PERSON = '{"change":{"person":{"name":"Ana","person_id":"p-1","role":"driller"}'
SAMPLES: tuple[tuple[Change, str], ...] = (
    (PersonAdded(ANA), PERSON + "}"),
    (RoleChanged(ANA, "cable splicer"), PERSON + ',"role":"cable splicer"}'),
    (PersonLeft(ANA), PERSON + "}"),
    (PersonCameBack(ANA), PERSON + "}"),
    (PinChoiceOpened(ANA, AT.isoformat()), PERSON + ',"until":"2031-05-04T06:07:08.123456-05:30"}'),
    (PinChosen(ANA), PERSON + "}"),
    (PersonLocked(ANA, 10), PERSON + ',"tries":10}'),
    (PersonUnlocked(ANA), PERSON + "}"),
)
ENDING = ',"name":"Änne Example ⚙","role":"supervisor","why":"because"}'


def kept(kind: str, body: str, version: int = VERSION) -> Entry:
    return link(
        GENESIS,
        run_id=LOG,
        sequence=7,
        kind=kind,
        version=version,
        at=AT.isoformat(),
        by=WHO.person_id,
        body=body,
    )


def test_every_kind_of_change_has_a_name_of_its_own() -> None:
    assert set(KINDS.values()) == set(get_args(Change))
    assert [kind_of_change(change) for change, _ in SAMPLES] == list(KINDS)


@pytest.mark.parametrize(("change", "start"), SAMPLES)
def test_a_change_is_kept_in_these_letters_and_comes_back_as_it_was(change: Change, start: str) -> None:
    body = body_of_change(change, WHO, "because")

    assert body == start + ENDING
    assert read_people_entry(kept(kind_of_change(change), body)) == PeopleEntry(7, change, WHO, AT, "because")


@pytest.mark.parametrize(
    ("entry", "reason"),
    [
        (kept("person-praised", "{}"), "newer than this program"),
        (kept("person-left", "{}", version=2), "newer than this program"),
        (kept("person-left", "{}"), "its body must hold change, name, role, why"),
        (kept("person-left", "[1"), "person-left"),
        (kept("person-left", '{"change":{},"name":"a","role":"b","why":"c"}'), "person-left.person"),
    ],
)
def test_an_entry_that_is_not_known_is_told_and_not_guessed_at(entry: Entry, reason: str) -> None:
    with pytest.raises(UnreadablePeopleError) as unreadable:
        read_people_entry(entry)

    assert reason in str(unreadable.value)
    assert "Entry 7 of the log of the people" in str(unreadable.value)
