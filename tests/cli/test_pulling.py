"""`twinleg pull` on real files, as a real process: the way back, its JSON, its exit codes."""

import json
from pathlib import Path

import pytest

from app.demo import demo_plan_text
from tests.cli.program import is_one_line, twinleg


@pytest.fixture
def single(tmp_path: Path) -> Path:
    """Return the file of a plan of one system."""
    path = tmp_path / "single.toml"
    path.write_text(demo_plan_text("single"), encoding="utf-8")
    return path


def test_the_whole_string_is_taken_out_from_the_hanger_to_the_count(single: Path) -> None:
    ended = twinleg("pull", single)

    assert (ended.code, ended.err) == (0, "")
    assert "BACK: LANDING" in ended.out
    assert "    1 [ ] Make the landing joint up into TH-1" in ended.out
    assert ended.out.splitlines()[-1].endswith("has come out. (supervisor)")


def test_a_way_back_between_two_steps_is_json_like_a_sheet(single: Path) -> None:
    sheet = json.loads(twinleg("sheet", single, "--json").out)
    stab = next(step["number"] for step in sheet["steps"] if step["operation"] == "stab and make up by hand")

    ended = twinleg("pull", single, "--after", str(stab + 1), "--to", str(stab), "--json")

    assert (ended.code, ended.err) == (0, "")
    assert [step["operation"] for step in json.loads(ended.out)["steps"]] == [
        "break out",
        "turn out and lift off",
        "clean, inspect and dope box",
        "clean, inspect and dope pin",
    ]


def test_before_anything_hangs_there_is_nothing_to_undo(single: Path) -> None:
    ended = twinleg("pull", single, "--after", "3")

    assert (ended.code, ended.out) == (
        0,
        "Nothing hangs and nothing was put on there: there is nothing to undo.\n",
    )


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--after", "9999"), "There is no step 9999: the sheet has steps 1 to 2"),
        (("--after", "0"), "There is no step 0"),
        (("--after", "100", "--to", "101"), "cannot end before step 101: name a floor step from"),
        (("--to", "1"), "cannot end before step 1: name a floor step from"),
    ],
)
def test_steps_that_are_not_there_are_named(single: Path, arguments: tuple[str, ...], said: str) -> None:
    ended = twinleg("pull", single, *arguments)

    assert (ended.code, ended.out) == (2, "")
    assert said in ended.err
    assert is_one_line(ended.err)


def test_a_plan_that_is_stopped_has_no_way_back(single: Path, tmp_path: Path) -> None:
    stopped = tmp_path / "stopped.toml"
    text = single.read_text(encoding="utf-8")
    stopped.write_text(text.replace('stroke = "', 'stroke = "-', 1), encoding="utf-8")

    ended = twinleg("pull", stopped)

    assert ended.code in (1, 2)
    assert is_one_line(ended.err)
