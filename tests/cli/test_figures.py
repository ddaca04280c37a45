"""`twinleg check --figures` on real files, as a real process."""

import json
from pathlib import Path

from tests.cli.program import twinleg

SUBJECTS = (
    "TALLY AND DEPTH",
    "LEG CLOSURE",
    "JOINT CHOICE",
    "CLAMP STATIONS",
    "FIT IN THE HOLE",
    "LOADS",
    "TORQUE",
    "ELECTRICAL",
    "PRESSURE TESTS",
    "COUNTS",
    "FORECAST",
)


def test_every_subject_is_printed_with_its_figures_opened(plan: Path) -> None:
    ended = twinleg("check", plan, "--figures")

    heads = [line for line in ended.out.splitlines() if line.startswith(SUBJECTS)]
    assert (ended.code, ended.err) == (0, "")
    assert [line.partition(":")[0] for line in heads] == list(SUBJECTS)
    assert (
        "    extension of the swivel of YB-1: 6.000 in; 1.5 in to 10.500 in, margin 4.500 in; in window"
        in (ended.out.splitlines())
    )
    assert "        BP-02: 31.20 ft (plan)" in ended.out.splitlines()
    assert "OUTSIDE" not in ended.out
    assert ended.out.splitlines()[-1].startswith("Nothing stops the release.")


def test_what_is_outside_is_printed_first_of_a_stopped_plan(plan: Path) -> None:
    text = plan.read_text(encoding="utf-8")
    plan.write_text(text.replace('length = "31.20 ft"', 'length = "33.20 ft"'), encoding="utf-8")

    ended = twinleg("check", plan, "--figures")

    after = ended.out.partition("OUTSIDE THEIR LIMITS\n")[2].splitlines()
    assert ended.code == 1
    assert after[0].startswith("  leg closure: extension of the swivel of YB-1: -18.000 in;")
    assert "COUNTS: no figures" in ended.out


def test_figures_as_json_stand_beside_the_findings(plan: Path) -> None:
    ended = twinleg("check", plan, "--figures", "--json")

    told = json.loads(ended.out)
    assert ended.code == 0
    assert told["findings"] is not None
    (extension,) = [
        figure for figure in told["figures"] if figure["name"] == "extension of the swivel of YB-1"
    ]
    assert (extension["subject"], extension["value"], extension["margin"]) == (
        "leg closure",
        "6.000 in",
        "4.500 in",
    )


def test_a_plan_that_is_not_whole_has_findings_and_no_figures(stopped_plan: Path) -> None:
    as_text, as_json = (
        twinleg("check", stopped_plan, "--figures"),
        twinleg("check", stopped_plan, "--figures", "--json"),
    )

    assert (as_text.code, as_json.code) == (1, 1)
    assert "FORECAST" not in as_text.out
    assert json.loads(as_json.out)["figures"] == []
