import json
from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.demo import DEMO_NAMES, demo_plan_text
from app.domain.cautions import GENERAL
from app.domain.compiler.compile import compile_plan
from app.domain.events.who import Who
from app.domain.plan import Plan
from app.domain.sheet import ChangeKind, Sheet, SheetChange
from app.records.canonical import canonical_bytes
from app.records.sheet_json import read_sheet, sheet_bytes, sheet_to_json
from app.services.proof import prove
from tests.strategies import plans

# Members that a sheet knows, in any shape that JSON can give them.
NAMES = st.sampled_from(
    ["stages", "steps", "readings", "target", "kind", "si", "typed", "lane", "number", "needs"]
)
JSON_VALUES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(NAMES, inner, max_size=10),
)
SHEET_KEYS = {"format", "caution", "stages", "steps"}
STAGE_KEYS = {"id", "kind", "system", "title", "hold_point", "first", "last"}
STEP_KEYS = {
    "number",
    "key",
    "stage",
    "lane",
    "operation",
    "system",
    "parts",
    "text",
    "cautions",
    "readings",
    "role",
    "source",
    "needs",
}
READING_KEYS = {"name", "kind", "item", "unit", "target", "low", "high", "tool"}


@pytest.fixture(scope="module", params=DEMO_NAMES)
def sheet(request: pytest.FixtureRequest) -> Sheet:
    proven = prove(demo_plan_text(request.param), date(2031, 5, 4)).sheet
    assert proven is not None
    return proven


def test_a_frozen_sheet_comes_back_with_its_changes(sheet: Sheet) -> None:
    who = Who("p-1", "Änne Example", "supervisor")
    at = "2031-05-04T06:00:00+02:00"
    changes = (
        SheetChange(3, ChangeKind.LEFT_OUT, "a/b", 0, "Left out: 'Do it.'", who, at, "not needed"),
        SheetChange(5, ChangeKind.ADDED, "own-step/5", 7, "Added behind 'Do it.'", who, at, "site rule"),
    )
    changed = replace(sheet, changes=changes)

    again, problems = read_sheet(sheet_bytes(changed))

    assert (again, problems) == (changed, [])


def test_a_sheet_that_was_frozen_before_there_were_changes_still_reads(sheet: Sheet) -> None:
    plain = json.loads(sheet_bytes(sheet))
    del plain["changes"]

    again, problems = read_sheet(canonical_bytes(plain))

    assert (again, problems) == (sheet, [])


def test_a_frozen_sheet_comes_back_exactly(sheet: Sheet) -> None:
    again, problems = read_sheet(sheet_bytes(sheet))

    assert problems == []
    assert again == sheet
    assert again is not None
    # Equality of quantities leaves out how they were typed; the bytes do not.
    assert sheet_bytes(again) == sheet_bytes(sheet)


@settings(max_examples=max(10, settings().max_examples // 6))  # a plan and its sheet take long to make
@given(plans())
def test_the_sheet_of_any_legal_plan_comes_back_exactly(plan: Plan) -> None:
    sheet, _ = compile_plan(plan)
    assert sheet is not None

    again, _ = read_sheet(sheet_bytes(sheet))

    assert again == sheet


def test_a_sheet_read_back_knows_its_stages(sheet: Sheet) -> None:
    again, _ = read_sheet(sheet_bytes(sheet))

    assert again is not None
    assert again.by_stage == sheet.by_stage
    assert [again.steps_of(stage.id) for stage in again.stages] == [
        sheet.steps[stage.first - 1 : stage.last] for stage in sheet.stages
    ]
    assert again.stage(sheet.stages[0].id) == sheet.stages[0]


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        (b'"lane":"deck"', b'"lane":"sky"', 'it must be one of "deck", "floor"'),
        (b'"number":1,', b'"number":"1",', "steps[0].number: it must be a whole number"),
        (b'"kind":"Torque"', b'"kind":"Taste"', "it must be a quantity"),
        (b'"si":"', b'"si":"x', "it must be a number as text"),
    ],
)
def test_a_sheet_that_was_altered_is_refused_with_the_place(
    sheet: Sheet, old: bytes, new: bytes, words: str
) -> None:
    data = sheet_bytes(sheet).replace(old, new, 1)

    again, problems = read_sheet(data)

    assert again is None
    told = [f"{problem.where.removeprefix('sheet.')}: {problem.text}" for problem in problems]
    place, _, text = words.rpartition(": ")
    assert any(place in line and text in line for line in told), told


@given(JSON_VALUES)
def test_any_json_is_a_sheet_or_is_refused_with_reasons(value: object) -> None:
    again, problems = read_sheet(json.dumps(value).encode())

    assert (again is None) == bool(problems)


@pytest.mark.parametrize("data", [b"", b"{", b"\xff", b"[" * 100_000, b'{"stages":NaN}'])
def test_bytes_that_are_no_json_are_refused(data: bytes) -> None:
    again, problems = read_sheet(data)

    assert again is None
    assert "This is not a JSON text" in problems[0].text


def test_the_sheet_for_other_programs_has_its_documented_keys(sheet: Sheet) -> None:
    shown = sheet_to_json(sheet)

    assert set(shown) == SHEET_KEYS
    assert (shown["format"], shown["caution"]) == ("twinleg-sheet-1", GENERAL)
    stages, steps = shown["stages"], shown["steps"]
    assert isinstance(stages, list)
    assert isinstance(steps, list)
    assert {frozenset(stage) for stage in stages} == {frozenset(STAGE_KEYS)}
    assert {frozenset(step) for step in steps} == {frozenset(STEP_KEYS)}
    readings = [reading for step in steps for reading in step["readings"]]
    assert {frozenset(reading) for reading in readings} == {frozenset(READING_KEYS)}


def test_the_sheet_for_other_programs_holds_every_step_in_plain_values(sheet: Sheet) -> None:
    shown = sheet_to_json(sheet)

    assert canonical_bytes(shown)
    steps = shown["steps"]
    assert isinstance(steps, list)
    assert [step["text"] for step in steps] == [step.text for step in sheet.steps]
    assert [step["needs"] for step in steps] == [list(step.needs) for step in sheet.steps]


def test_a_reading_for_other_programs_shows_its_limits_as_typed_or_in_its_unit() -> None:
    sheet = prove(demo_plan_text("single"), date(2031, 5, 4)).sheet
    assert sheet is not None
    steps = sheet_to_json(sheet)["steps"]
    assert isinstance(steps, list)

    by_key = {step["key"]: step["readings"] for step in steps}
    torque, length = by_key["BP-02/BP-01/torque"][0], by_key["BP-01/drift-and-measure"][0]

    assert torque == {
        "name": "torque",
        "kind": "torque",
        "item": "BP-02",
        "unit": "ft*lbf",
        "target": "500 ft*lbf",
        "low": "450 ft*lbf",
        "high": "550 ft*lbf",
        "tool": "pipe wrench",
    }
    assert (length["target"], length["low"], length["high"]) == ("20.40 ft", "19.42 ft", "21.38 ft")
    assert by_key["GA-1/inspect-and-measure-part"][0]["target"] == ""
