"""`twinleg joints` on real files, as a real process: what it says, its JSON, its exit codes."""

import json
import re
from pathlib import Path

import pytest

from app.demo import demo_plan_text
from tests.cli.program import is_one_line, twinleg

CLOSURE_KEYS = {
    "verdict",
    "extension",
    "low",
    "high",
    "mid",
    "margin",
    "worst_case",
    "likely",
    "by_warming",
    "by_load",
    "downhole",
    "advice",
}
SYSTEM_KEYS = {"system", "closure", "leg", "runners_up", "short", "proven", "gap", "explanation"}


@pytest.fixture
def dual(tmp_path: Path) -> Path:
    """Return the file of a plan of two systems with joints on the rack."""
    path = tmp_path / "dual.toml"
    path.write_text(demo_plan_text("dual"), encoding="utf-8")
    return path


def test_each_system_is_told_how_it_closes_and_which_joints_to_run(dual: Path) -> None:
    ended = twinleg("joints", dual)

    assert ended.code == 0
    assert tells_only_progress(ended.err)
    assert re.findall(r"^(\w+): as planned the legs close\.", ended.out, re.MULTILINE) == ["lower", "upper"]
    assert "From the mark up: BL-01, BL-02, BL-03. That is the plan as it stands." in ended.out
    assert "12 lengths, 0 of them measured, each within 0.01 ft (common practice)" in ended.out
    assert "mark now, for the support clamp: 6.21 ft below the top of BU-01" in ended.out
    assert ended.out.count("Runners-up:") == 2


def test_one_system_is_told_as_json_with_stable_keys(dual: Path) -> None:
    ended = twinleg("joints", dual, "--system", "upper", "--json")

    told = json.loads(ended.out)
    (system,) = told["systems"]
    assert ended.code == 0
    assert tells_only_progress(ended.err)
    assert set(told) == {"format", "title", "systems"}
    assert told["format"] == "twinleg-joints-1"
    assert set(system) == SYSTEM_KEYS
    assert set(system["closure"]) == CLOSURE_KEYS
    assert set(system["leg"]) == {"joints", "back_on_rack", "extension", "off_mid_stroke"}
    assert set(system["leg"]["joints"][0]) == {"tag", "length", "from_rack", "pup"}
    assert (system["system"], system["proven"]) == ("upper", True)
    assert all(set(leg) == set(system["leg"]) for leg in system["runners_up"])


def test_a_leg_that_does_not_close_is_mended_from_the_rack(plan: Path) -> None:
    joints = 'joints = [{ tag = "R-1", length = "31.20 ft" }, { tag = "R-2", length = "28.00 ft" }]'
    text = plan.read_text(encoding="utf-8").replace('length = "31.20 ft"', 'length = "29.50 ft"', 1)
    plan.write_text(f'{text}\n[[rack]]\ntubing = "{_bypass_name(text)}"\n{joints}\n', encoding="utf-8")

    checked = twinleg("check", plan)
    ended = twinleg("joints", plan)

    assert checked.code == 1
    assert "swap BP-02 for" in checked.out
    assert ended.code == 0
    assert "the legs do not close" in ended.out
    assert "From the rack: R-" in ended.out


def test_a_rack_without_an_answer_says_what_is_short_with_exit_code_1(plan: Path) -> None:
    text = plan.read_text(encoding="utf-8").replace('length = "31.20 ft"', 'length = "12.00 ft"', 1)
    plan.write_text(text, encoding="utf-8")

    ended = twinleg("joints", plan)

    assert ended.code == 1
    assert is_one_line(ended.err)
    assert re.search(r"The leg stays [\d.]+ ft too short\. Bring a joint or pup joint", ended.out)


def test_no_answer_is_told_as_json_too(plan: Path) -> None:
    text = plan.read_text(encoding="utf-8").replace('length = "31.20 ft"', 'length = "12.00 ft"', 1)
    plan.write_text(text, encoding="utf-8")

    ended = twinleg("joints", plan, "--json")

    (system,) = json.loads(ended.out)["systems"]
    assert ended.code == 1
    assert system["leg"] is None
    assert [short["kind"] for short in system["short"]] == ["too short"]


def test_a_plan_whose_shape_is_not_whole_gives_no_joints(stopped_plan: Path) -> None:
    ended = twinleg("joints", stopped_plan)

    assert (ended.code, ended.out) == (1, "")
    assert is_one_line(ended.err)
    assert "The legs cannot be worked out yet." in ended.err
    assert "MTR-9" in ended.err


def test_a_system_that_the_plan_has_not_is_named_with_those_it_has(dual: Path) -> None:
    ended = twinleg("joints", dual, "--system", "middle")

    assert (ended.code, ended.out) == (2, "")
    assert is_one_line(ended.err)
    assert "no system 'middle'. Choose one of: lower, upper." in ended.err


def test_a_text_that_is_no_plan_cannot_be_read(plan: Path) -> None:
    plan.write_text("= = =", encoding="utf-8")

    ended = twinleg("joints", plan)

    assert (ended.code, ended.out) == (2, "")
    assert is_one_line(ended.err)


@pytest.mark.parametrize("seconds", ["0", "-1", "1e9", "soon"])
def test_a_search_has_a_time_that_makes_sense(plan: Path, seconds: str) -> None:
    ended = twinleg("joints", plan, "--seconds", seconds)

    assert ended.code == 2
    assert "--seconds" in ended.err


def test_a_search_that_runs_out_of_time_says_so(plan: Path) -> None:
    text = plan.read_text(encoding="utf-8").replace('length = "31.20 ft"', 'length = "29.50 ft"', 1)
    joints = ", ".join(f'{{ tag = "R-{n}", length = "{20 + n * 0.37:.2f} ft" }}' for n in range(1, 61))
    plan.write_text(
        f'{text}\n[[rack]]\ntubing = "{_bypass_name(text)}"\njoints = [{joints}]\n', encoding="utf-8"
    )

    ended = twinleg("joints", plan, "--seconds", "0.001")

    assert ended.code == 1
    assert "none is ruled out. Give the search more time." in ended.out


def tells_only_progress(err: str) -> bool:
    """Return whether nothing else was said beside the output than how far a search is."""
    return all(
        re.search(
            r"^\w+: \d+ s, .*(no leg found yet|best so far .* mid stroke; (another may be|none is) nearer)",
            line,
        )
        for line in err.splitlines()
    )


def _bypass_name(text: str) -> str:
    found = re.search(r'\[systems\.bypass\]\nname = "([^"]+)"', text)
    assert found is not None
    return found[1]
