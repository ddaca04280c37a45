"""`twinleg sheet --trace` on real files, as real processes."""

import json
import re
from pathlib import Path

import pytest

from tests.cli.program import is_one_line, twinleg

LOAD_KEYS = {
    "leg",
    "part",
    "support",
    "on",
    "rests_on",
    "gear",
    "primary",
    "change",
    "load_t",
    "rated_gear",
    "wll_t",
    "margin_t",
    "margin_percent",
}


@pytest.fixture
def weak_plan(plan: Path) -> Path:
    """Return the file of a plan with a lifting clamp that its whole pump leg is too heavy for."""
    text = plan.read_text(encoding="utf-8")
    clamp = 'tag = "LC-538", kind = "lifting clamp", wll = "6500 lb"'
    assert clamp in text
    plan.write_text(text.replace(clamp, clamp.replace("6500", "2500")), encoding="utf-8")
    return plan


def test_a_trace_prints_under_each_step_what_holds_each_leg_and_the_greatest_load(plan: Path) -> None:
    ended = twinleg("sheet", plan, "--trace")

    lines = ended.out.splitlines()
    at = next(number for number, line in enumerate(lines) if "Pick MTR-1 with GA-1 up" in line)
    under = "\n".join(lines[at : at + 6])
    assert (ended.code, ended.err) == (0, "")
    assert re.search(r"pump bypass leg +elevators LG-EL-287, LG-NB-287 on .*\n +SS-1, derrick", under)
    assert re.search(r"pump leg +slings LG-SG, LC-540 on MTR-1, +\d\.\d\d t +2\.95 t", under)
    assert "derrick, comes on" in under
    assert re.search(r"Greatest: \d\.\d\d t, WLL 2\.95 t, margin \d\.\d\d t or \d\d %, on slings", under)


def test_a_trace_says_where_a_rating_is_missing_and_ends_with_the_greatest_of_the_sheet(plan: Path) -> None:
    ended = twinleg("sheet", plan, "--trace")

    assert "no rating" in ended.out
    assert "second barrier" in ended.out
    assert re.search(r"^GREATEST LOAD of the sheet: step \d+, \d+\.\d\d t, WLL", ended.out, re.MULTILINE)
    assert re.search(r"^NEAREST TO ITS WLL: step \d+, ", ended.out, re.MULTILINE)


def test_no_line_of_a_trace_is_longer_than_100_letters(weak_plan: Path) -> None:
    ended = twinleg("sheet", weak_plan, "--trace")

    assert max(map(len, ended.out.splitlines())) <= 100


def test_a_breach_stands_under_its_step_and_stops_the_plan(weak_plan: Path) -> None:
    ended = twinleg("sheet", weak_plan, "--trace")

    lines = ended.out.splitlines()
    at = next(number for number, line in enumerate(lines) if line.startswith("      ! step"))
    number = re.match(r" +! step (\d+): ", lines[at])
    before = next(line for line in reversed(lines[:at]) if re.match(r" *\d+ ", line))
    assert ended.code == 1
    assert is_one_line(ended.err)
    assert number is not None
    assert before.strip().startswith(f"{number[1]} ")
    assert "LC-538 (lifting clamp) can see" in " ".join(line.strip() for line in lines[at : at + 3])


def test_a_trace_as_json_has_stable_keys(weak_plan: Path) -> None:
    ended = twinleg("sheet", weak_plan, "--trace", "--json")

    told = json.loads(ended.out)
    loads = [load for step in told["steps"] for load in step["loads"]]
    broken = [step for step in told["steps"] if step["breaches"]]
    assert ended.code == 1
    assert set(told) == {"format", "steps", "greatest", "nearest_to_wll", "breaches"}
    assert told["format"] == "twinleg-trace-1"
    assert {frozenset(step) for step in told["steps"]} == {
        frozenset({"number", "key", "text", "loads", "greatest", "breaches"})
    }
    assert {frozenset(load) for load in loads} == {frozenset(LOAD_KEYS)}
    assert set(told["greatest"]) == LOAD_KEYS | {"step"}
    assert told["nearest_to_wll"]["margin_percent"] < 0
    assert [step["breaches"][0]["rule"] for step in broken] == ["law-rating"]
    assert told["breaches"] == []


def test_a_plan_without_a_sheet_has_no_trace(stopped_plan: Path) -> None:
    ended = twinleg("sheet", stopped_plan, "--trace")

    assert (ended.code, ended.out) == (1, "")
    assert is_one_line(ended.err)
