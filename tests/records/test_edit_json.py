"""Changes to a plan's sheet, as they are kept: every kind comes back as it went."""

import json
from dataclasses import replace
from datetime import datetime, timedelta, timezone
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.domain.edits.kinds import (
    Act,
    AddStep,
    DropStep,
    Edit,
    MoveStep,
    Place,
    RepeatStep,
    RewordStep,
    TakeBack,
    TakeOver,
    Written,
)
from app.domain.events.who import Who
from app.records.edit_json import KINDS, EditEntry, UnreadableEditError, entry_of, kind_of_act, read_entry

AT = datetime(2031, 5, 4, 6, 7, 8, 123456, timezone(timedelta(hours=-5, minutes=-30)))
WHO = Who("0a1b", "Änne Example ⚙", "supervisor")
WAS = Written("pump-leg-pump", "Pick MTR-1 up on its slings.")
SAMPLES: tuple[tuple[Act, str], ...] = (
    (DropStep("fit-hole-cover", WAS), '{"act":{"key":"fit-hole-cover","was":'),
    (
        MoveStep("a/b", Place("c/d", was=WAS), WAS),
        '{"act":{"key":"a/b","place":{"after":"c/d","start_of":"",',
    ),
    (RewordStep("a/b", "Say „so“.", WAS), '{"act":{"key":"a/b","text":"Say „so“.","was":'),
    (AddStep("own-step/4", Place(start_of="landing"), "Wait.", "driller"), '{"act":{"key":"own-step/4",'),
    (RepeatStep("repeat/5", "a/b", Place("c/d"), WAS), '{"act":{"key":"repeat/5","of":"a/b",'),
    (TakeBack(3), '{"act":{"edit":3},'),
    (TakeOver("plan-1", "the older plan"), '{"act":{"plan_id":"plan-1","plan_name":"the older plan"},'),
)
TEXTS = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)


def kept(act: Act, why: str = "because") -> EditEntry:
    return entry_of("plan-7", Edit(6, act, WHO, AT, why))


def test_every_kind_of_change_has_a_name_of_its_own() -> None:
    assert set(KINDS.values()) == set(get_args(Act))
    assert {kind_of_act(act) for act, _ in SAMPLES} == set(KINDS)


@pytest.mark.parametrize(("act", "start"), SAMPLES)
def test_a_change_comes_back_from_its_entry_as_it_was(act: Act, start: str) -> None:
    entry = kept(act)

    assert entry.body.startswith(start)
    assert (entry.plan_id, entry.number, entry.version, entry.by) == ("plan-7", 6, 1, "0a1b")
    assert read_entry(entry) == Edit(6, act, WHO, AT, "because")


@given(TEXTS, TEXTS)
def test_any_words_come_back_unchanged(text: str, why: str) -> None:
    act = RewordStep(text, why, Written(why, text))

    assert read_entry(kept(act, why)) == Edit(6, act, WHO, AT, why)


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"kind": "step-danced"}, "(step-danced, version 1) cannot be read: its kind or version is newer"),
        ({"version": 2}, "version 2) cannot be read: its kind or version is newer than this program"),
        ({"body": "{"}, "This is not a JSON text"),
        ({"body": '{"act":{}}'}, "its body must hold act, name, role, why"),
        ({"body": "[]"}, "its body must hold act, name, role, why"),
    ],
)
def test_an_entry_that_cannot_be_read_is_refused_in_words(changed: dict[str, str], words: str) -> None:
    with pytest.raises(UnreadableEditError) as refusal:
        read_entry(replace(kept(TakeBack(1)), **changed))  # type: ignore[arg-type]

    assert words in str(refusal.value)
    assert str(refusal.value).endswith("nothing was changed.")


def test_every_mistake_in_a_change_is_told_with_its_place() -> None:
    entry = kept(MoveStep("a", Place("b")))
    body = json.loads(entry.body)
    body["act"] |= {"key": 7, "colour": "red"}

    with pytest.raises(UnreadableEditError, match=r"step-moved\.colour: .*; step-moved\.key: Here stands 7"):
        read_entry(replace(entry, body=json.dumps(body)))
