"""Another program changes the sheet of a plan before its release, by the same rules as the pages."""

from typing import Any

import pytest

from app.services.plans import all_plans, edits_of
from tests.web.api.conftest import Program, Starting, assert_problem
from tests.web.conftest import Rig

CHANGES = "/api/plans/{plan_id}/changes"
SLIPS, TEST, SAFETY = "BP-02/set-slips", "ML-1/electrical-test", "SS-1/fit-safety-clamp"
PLACE, TORQUE = {"after": SLIPS}, "BP-02/BP-01/torque"
DROP = {"step": SAFETY, "why": "not on site"}


@pytest.fixture
def at(rig: Rig) -> dict[str, object]:
    """Return what addresses of the kept plan are filled with."""
    return {"plan_id": all_plans(rig.site)[0].id}


def sheet(program: Program, at: dict[str, object]) -> Any:
    answer = program.get("/api/plans/{plan_id}/sheet", at)
    assert answer.status_code == 200, answer.text
    return answer.json()


def test_a_sheet_without_changes_is_the_one_of_the_run(program: Program, at: dict[str, object]) -> None:
    released = program.get("/api/runs/{run_id}/sheet", {"run_id": program.rig.run_id}).json()

    told = sheet(program, at)

    assert (told["seen"], told["findings"], told["changes"]) == (0, [], [])
    assert {name: told[name] for name in released} == released


def test_a_change_is_made_once_for_a_key_and_shows_in_the_sheet(
    rig: Rig, program: Program, at: dict[str, object]
) -> None:
    body = {"step": SLIPS, "text": "Set the small slips.", "why": "two sizes", "seen": 0}
    first = program.post(f"{CHANGES}/reword", body, at, key="one-change-of-mine")

    again = program.post(f"{CHANGES}/reword", body, at, key="one-change-of-mine")

    assert first.json() == {"plan": at["plan_id"], "number": 1, "kind": "step-reworded"}
    assert (again.content, again.headers["idempotency-repeated"]) == (first.content, "true")
    told = sheet(program, at)
    (change,) = told["changes"]
    assert told["seen"] == 1
    assert next(step["text"] for step in told["steps"] if step["key"] == SLIPS) == "Set the small slips."
    assert (change["kind"], change["by"], change["role"]) == ("reworded", "Test Supervisor", "supervisor")
    assert len(edits_of(rig.site, str(at["plan_id"]))) == 1


def test_a_breach_names_its_step_and_a_taken_back_change_mends_it(
    program: Program, at: dict[str, object]
) -> None:
    program.post(f"{CHANGES}/drop", DROP, at)
    broken = sheet(program, at)
    back = program.post(f"{CHANGES}/{{number}}/take-back", {"why": "it came"}, at | {"number": 1})

    stops = [finding for finding in broken["findings"] if finding["severity"] == "stop"]
    assert stops
    assert all(finding["where"].startswith("step ") for finding in stops)
    assert all("To mend it" in finding["text"] for finding in stops if finding["rule"] == "law-held")
    assert back.json()["kind"] == "change-taken-back"
    assert sheet(program, at)["findings"] == []
    listed = program.get(CHANGES, at).json()
    assert [(entry["kind"], entry["standing"]) for entry in listed] == [
        ("step-dropped", "taken back"),
        ("change-taken-back", "told"),
    ]


@pytest.mark.parametrize(
    ("path", "body", "told"),
    [
        ("drop", {"step": "nothing", "why": "why"}, (422, "change", "The sheet has no step 'nothing'")),
        ("drop", {"step": SLIPS, "why": " "}, (422, "reason-missing", "Say why")),
        ("drop", {"step": SLIPS, "why": "why", "seen": 7}, (409, "sheet-changed", "changed since you saw")),
        ("drop", {"step": SLIPS}, (422, "request", "body . why")),
        ("drop", {"step": SLIPS, "why": "why", "colour": "red"}, (422, "request", "body . colour")),
        ("move", {"step": SLIPS, "why": "why", "place": {}}, (422, "change", "Name the one or the other")),
        ("add", {"place": PLACE, "text": "x", "role": "cook", "why": "why"}, (422, "change", "cook")),
        ("repeat", {"step": TORQUE, "place": PLACE, "why": "why"}, (422, "change", "happens once")),
        ("9/take-back", {"why": "why"}, (422, "change", "There is no change 9")),
        ("take-over", {"plan": "none", "why": "why"}, (404, "unknown-plan", "There is no plan 'none'")),
    ],
)
def test_a_refused_change_is_told_as_a_problem_and_not_kept(
    program: Program, at: dict[str, object], path: str, body: object, told: tuple[int, str, str]
) -> None:
    answer = program.post(f"{CHANGES}/{path}", body, at)

    assert_problem(answer, *told)
    assert program.get(CHANGES, at).json() == []


def test_only_a_supervisor_changes_a_sheet_and_everybody_reads_it(
    start: Starting, nobody: Program, at: dict[str, object]
) -> None:
    driller = start("driller")

    assert_problem(driller.post(f"{CHANGES}/drop", DROP, at), 403, "role", "may not change a sheet")
    assert_problem(nobody.post(f"{CHANGES}/drop", DROP, at), 401, "nobody", "Nobody is signed in")
    assert_problem(nobody.get(CHANGES, at), 401, "nobody", "Nobody is signed in")
    assert sheet(driller, at)["seen"] == 0


def test_a_change_without_a_key_is_refused(program: Program, at: dict[str, object]) -> None:
    answer = program.post(f"{CHANGES}/drop", DROP, at, key="")

    assert_problem(answer, 422, "key-missing", "Idempotency-Key")
