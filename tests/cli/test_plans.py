"""`twinleg check` and `twinleg sheet` on real files, as real processes."""

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

from app.demo import demo_plan_text
from tests.cli.program import ROOT, is_one_line, twinleg

READING_KEYS = {"name", "kind", "item", "unit", "target", "low", "high", "tool"}
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


def test_a_good_plan_is_checked_with_exit_code_0(plan: Path) -> None:
    ended = twinleg("check", plan)

    assert (ended.code, ended.err) == (0, "")
    words = r"Nothing stops the release. The sheet has \d{3} steps in \d stages."
    assert re.fullmatch(words, ended.out.splitlines()[-1])


def test_a_stopped_plan_is_checked_with_exit_code_1_and_each_finding_on_a_line(stopped_plan: Path) -> None:
    ended = twinleg("check", stopped_plan)

    assert ended.code == 1
    assert is_one_line(ended.err)
    assert "finding" in ended.err
    assert ended.out.startswith("STOP    systems[0]")
    assert "MTR-9" in ended.out


def test_findings_as_json_have_stable_keys(stopped_plan: Path) -> None:
    ended = twinleg("check", stopped_plan, "--json")

    told = json.loads(ended.out)
    assert ended.code == 1
    assert set(told) == {"format", "title", "releasable", "stops", "cautions", "notes", "findings"}
    assert (told["format"], told["releasable"]) == ("twinleg-findings-1", False)
    assert told["stops"] == len([found for found in told["findings"] if found["severity"] == "stop"]) > 0
    assert all(set(found) == {"rule", "severity", "where", "text"} for found in told["findings"])


def test_a_good_plan_gives_its_findings_as_json_with_exit_code_0(plan: Path) -> None:
    ended = twinleg("check", plan, "--json")

    told = json.loads(ended.out)
    assert ended.code == 0
    assert (told["releasable"], told["stops"]) == (True, 0)
    assert told["title"].startswith("Demonstration")


def test_a_sheet_as_json_has_stable_keys(plan: Path) -> None:
    ended = twinleg("sheet", plan, "--json")

    told = json.loads(ended.out)
    readings = [reading for step in told["steps"] for reading in step["readings"]]
    assert (ended.code, ended.err) == (0, "")
    assert set(told) == {"format", "caution", "stages", "steps"}
    assert [step["number"] for step in told["steps"]] == list(range(1, len(told["steps"]) + 1))
    assert all(set(step) == STEP_KEYS for step in told["steps"])
    assert readings
    assert all(set(reading) == READING_KEYS for reading in readings)
    assert {"torque", "serial", "length"} <= {reading["kind"] for reading in readings}


def test_a_sheet_is_printed_with_hold_points_cautions_and_windows(plan: Path) -> None:
    ended = twinleg("sheet", plan)

    assert (ended.code, ended.err) == (0, "")
    assert "HOLD POINT: Talk before the first lift; signed by supervisor, driller" in ended.out
    assert "      ! Suspended load:" in ended.out
    assert "lowest 450 ft·lbf, highest 550 ft·lbf" in ended.out
    assert "with an insulation tester" in ended.out
    assert "with a insulation" not in ended.out
    assert re.search(r"^ +150 \[ \] \w+", ended.out, re.MULTILINE)


def test_a_stopped_plan_gives_no_sheet(stopped_plan: Path) -> None:
    ended = twinleg("sheet", stopped_plan)

    assert (ended.code, ended.out) == (1, "")
    assert is_one_line(ended.err)


@pytest.mark.parametrize("command", ["check", "sheet"])
def test_a_file_that_is_not_there_is_said_so(command: str, tmp_path: Path) -> None:
    ended = twinleg(command, tmp_path / "none.toml")

    assert (ended.code, ended.out) == (2, "")
    assert is_one_line(ended.err)
    assert "none.toml cannot be opened (No such file or directory). Check its name" in ended.err


@pytest.mark.parametrize("command", ["check", "sheet"])
def test_a_folder_is_no_plan(command: str, tmp_path: Path) -> None:
    ended = twinleg(command, tmp_path)

    assert (ended.code, ended.out) == (2, "")
    assert is_one_line(ended.err)
    assert "is a folder. Name the file of the plan in it." in ended.err


def test_a_plan_that_is_not_utf8_is_refused_with_the_line(plan: Path) -> None:
    plan.write_bytes(b"# one\n# two\n" + "title = 'Bohrl\u00f6cher'".encode("latin-1"))

    ended = twinleg("check", plan)

    assert (ended.code, ended.out) == (2, "")
    assert is_one_line(ended.err)
    assert "line 3: This is not UTF-8 text" in ended.err


def test_a_plan_that_is_no_toml_is_refused_with_the_place(plan: Path) -> None:
    plan.write_text('format = "twinleg-plan-1"\ncrew = [\n', encoding="utf-8")

    ended = twinleg("check", plan)

    assert (ended.code, ended.out) == (2, "")
    assert is_one_line(ended.err)
    assert "end of the text" in ended.err


def test_a_huge_file_is_refused_without_being_read_whole(plan: Path) -> None:
    with plan.open("wb") as file:
        file.truncate(50_000_000_000)

    ended = twinleg("check", plan)

    assert (ended.code, ended.out) == (2, "")
    assert is_one_line(ended.err)
    assert "is larger than 2000000 bytes" in ended.err


def test_an_unreadable_plan_still_answers_json_for_a_program(plan: Path) -> None:
    plan.write_text("= = =", encoding="utf-8")

    ended = twinleg("check", plan, "--json")

    told = json.loads(ended.out)
    assert ended.code == 2
    assert is_one_line(ended.err)
    assert [found["rule"] for found in told["findings"]] == ["plan-unreadable"]


BAD_VALUES = (
    ("a negative length", 'length = "16.20 ft"', 'length = "-16.20 ft"', "negative"),
    ("a mass where a length is wanted", 'length = "16.20 ft"', 'length = "16.20 lb"', "bad-quantity"),
    ("a clamp on a station that does not exist", 'at = "MTR-1"', 'at = "MTR-9"', "MTR-9"),
    ("a torque of 5,000 where 500 is meant", 'target = "500 ft*lbf"', 'target = "5000 ft*lbf"', "5000"),
)


@pytest.mark.parametrize(
    ("typed", "instead", "words"), [bad[1:] for bad in BAD_VALUES], ids=[bad[0] for bad in BAD_VALUES]
)
def test_a_bad_value_is_found_with_its_place_and_a_sentence(
    plan: Path, typed: str, instead: str, words: str
) -> None:
    text = plan.read_text(encoding="utf-8")
    assert typed in text
    plan.write_text(text.replace(typed, instead, 1), encoding="utf-8")

    ended = twinleg("check", plan)

    assert ended.code == 1
    assert is_one_line(ended.err)
    assert words in ended.out


def test_a_second_system_without_a_support_clamp_is_found(tmp_path: Path) -> None:
    path = tmp_path / "dual.toml"
    lines = [line for line in demo_plan_text("dual").splitlines() if not line.startswith("support_clamp")]
    path.write_text("\n".join(lines), encoding="utf-8")

    ended = twinleg("check", path)

    assert ended.code == 1
    assert is_one_line(ended.err)
    assert "support clamp" in ended.out


def test_a_plan_may_be_checked_on_a_terminal_that_knows_ascii_only(stopped_plan: Path) -> None:
    text = stopped_plan.read_text(encoding="utf-8").replace("MTR-9", "MTR-\u00d7")
    stopped_plan.write_text(text, encoding="utf-8")

    ended = twinleg("check", stopped_plan, PYTHONIOENCODING="ascii")

    assert ended.code == 1
    assert "MTR-?" in ended.out


def test_a_reader_that_has_seen_enough_ends_the_output_quietly(plan: Path) -> None:
    command = f"'{sys.executable}' -m app sheet '{plan}' | head -n 1; exit ${{PIPESTATUS[0]}}"

    done = subprocess.run(["bash", "-c", command], cwd=ROOT, capture_output=True, text=True, check=False)

    assert done.stdout.count("\n") == 1
    assert (done.returncode, done.stderr) == (0, "")
