import json
from datetime import datetime
from typing import get_args

import pytest
from hypothesis import given

from app.domain.events.event import Event, Happened
from app.domain.events.who import Who
from app.records.canonical import canonical_bytes
from app.records.chain import GENESIS, Entry, link
from app.records.event_json import (
    BY_CLASS,
    KINDS,
    UPCASTS,
    UnreadableEventError,
    body_of,
    kind_of,
    read_entry,
)
from tests.event_strategies import TIMES, events, people
from tests.records.event_samples import FOLDER, SAMPLES, WHO, sample_text

AT = "2031-05-04T06:07:08.123456+02:00"
EVERY_VERSION = [(kind.name, version) for kind in KINDS for version in range(1, kind.version + 1)]


def entry_of(kind: str, body: str, *, version: int = 1, at: str = AT, by: str = WHO.person_id) -> Entry:
    return link(GENESIS, run_id="run-1", sequence=7, kind=kind, version=version, at=at, by=by, body=body)


def refusal_of(entry: Entry) -> str:
    with pytest.raises(UnreadableEventError) as refusal:
        read_entry(entry)
    return str(refusal.value)


def altered(kind: str, **members: object) -> str:
    """Return the body of a sample with members of its event replaced."""
    body = json.loads(sample_text(kind, 1))
    body["event"] |= members
    return json.dumps(body)


def test_every_kind_of_event_has_a_name_of_its_own() -> None:
    assert set(BY_CLASS) == set(get_args(Event))
    assert len({kind.name for kind in KINDS}) == len(KINDS)


@pytest.mark.parametrize(("kind", "version"), EVERY_VERSION)
def test_every_version_ever_written_has_a_kept_sample(kind: str, version: int) -> None:
    assert (kind, version) in SAMPLES
    assert (FOLDER / f"{kind}-{version}.json").is_file()


def test_no_sample_is_left_of_a_kind_that_is_gone() -> None:
    assert set(SAMPLES) == set(EVERY_VERSION)
    assert {path.stem for path in FOLDER.iterdir()} == {f"{kind}-{version}" for kind, version in SAMPLES}


def test_every_old_version_has_a_way_up() -> None:
    assert set(UPCASTS) == {(kind.name, version) for kind in KINDS for version in range(1, kind.version)}


@pytest.mark.parametrize(("kind", "version"), SAMPLES)
def test_a_kept_sample_reads_as_what_it_said(kind: str, version: int) -> None:
    happened = read_entry(entry_of(kind, sample_text(kind, version), version=version))

    assert happened == Happened(7, datetime.fromisoformat(AT), WHO, SAMPLES[kind, version])


@pytest.mark.parametrize("kind", [kind.name for kind in KINDS])
def test_the_version_of_today_writes_its_sample_byte_for_byte(kind: str) -> None:
    version = next(item.version for item in KINDS if item.name == kind)

    assert body_of(SAMPLES[kind, version], WHO) == sample_text(kind, version)


@given(events(), people(), TIMES)
def test_any_event_comes_back_from_its_body_as_it_was(event: Event, who: Who, at: datetime) -> None:
    kind = kind_of(event)

    entry = entry_of(
        kind.name, body_of(event, who), version=kind.version, at=at.isoformat(), by=who.person_id
    )

    assert read_entry(entry) == Happened(7, at, who, event)


@given(events(), people())
def test_the_body_of_any_event_is_canonical(event: Event, who: Who) -> None:
    body = body_of(event, who)

    assert canonical_bytes(json.loads(body)) == body.encode()


def test_an_unknown_kind_is_refused_in_words() -> None:
    text = refusal_of(entry_of("tea-brewed", sample_text("run-closed", 1)))

    assert text == (
        "Event 7 of run run-1 (tea-brewed, version 1) cannot be read: its kind or version is newer than this "
        "program. Open the run with the version that wrote it; the log is untouched."
    )


@pytest.mark.parametrize("kind", [kind.name for kind in KINDS])
def test_a_newer_version_is_refused_in_words(kind: str) -> None:
    newer = BY_CLASS[type(SAMPLES[kind, 1])].version + 1

    text = refusal_of(entry_of(kind, sample_text(kind, 1), version=newer))

    assert f"({kind}, version {newer}) cannot be read: its kind or version is newer" in text


@pytest.mark.parametrize(
    ("kind", "members", "words"),
    [
        (
            "step-undone",
            {"step": "sixty"},
            "step-undone.step: Here stands 'sixty'; it must be a whole number.",
        ),
        ("step-undone", {"step": True}, "step-undone.step: Here stands True"),
        ("step-undone", {"step": 2**53}, "must be a whole number"),
        ("step-undone", {"reason": 7}, "step-undone.reason: Here stands 7; it must be a text in quotes."),
        ("step-undone", {"colour": "red"}, "step-undone.colour: No such member is known here; take it out."),
        ("hold-point-signed", {"hasty": "no"}, "must be true or false"),
        ("talk-held", {"topics": "all"}, "talk-held.topics: Here stands 'all'; it must be a list."),
        ("talk-held", {"attendance": ["Sam"]}, "attendance[0]: Here stands 'Sam'; it must be an object"),
        ("deviation-raised", {"proposed": "hope"}, 'it must be one of "rework", "use as is"'),
        ("step-done", {"readings": [{}]}, "step-done.readings[0].name: This member is missing; put it back."),
    ],
)
def test_a_body_that_is_not_of_its_kind_is_refused_with_every_place(
    kind: str, members: dict[str, object], words: str
) -> None:
    assert words in refusal_of(entry_of(kind, altered(kind, **members)))


@pytest.mark.parametrize(
    ("body", "words"),
    [
        ("", "This is not a JSON text (line 1, character 1"),
        ("[]", "its body must hold event, name, role"),
        ('{"event":{},"name":"Sam"}', "its body must hold event, name, role"),
        ('{"event":[],"name":"Sam","role":"driller"}', "run-closed: Here stands []; it must be an object"),
    ],
)
def test_a_body_that_is_no_body_of_an_event_is_refused(body: str, words: str) -> None:
    assert words in refusal_of(entry_of("run-closed", body))


def test_every_mistake_of_a_body_is_told_at_once() -> None:
    text = refusal_of(entry_of("step-undone", altered("step-undone", step="sixty", reason=7)))

    assert "step-undone.step: " in text
    assert "step-undone.reason: " in text
    assert ".." not in text


def test_the_name_and_role_of_the_time_stand_in_the_log_itself() -> None:
    body = body_of(SAMPLES["run-closed", 1], Who("id", "Name then", "role then"))

    happened = read_entry(entry_of("run-closed", body, by="id"))

    assert happened.who == Who("id", "Name then", "role then")
