"""What a program is told about a step and a run between its acts."""

from app.domain.sheet import Step
from tests.web.api.conftest import Program
from tests.web.api.test_refusals import come_to, joint_made_up
from tests.web.conftest import Rig

RUN = "/api/runs/{run_id}"
STEP = "/api/runs/{run_id}/steps/{number}"


def test_a_reading_outside_its_window_is_kept_and_leaves_the_step_open(rig: Rig, program: Program) -> None:
    step = torque_step(rig)

    answer = program.finish(step.number, value="900", confirmed=True)

    shown = program.get(STEP, {"run_id": rig.run_id, "number": step.number}).json()
    assert (answer.status_code, answer.json()["events"]) == (200, ["attempt-failed"])
    assert shown["done"] is None
    assert shown["is_current"]
    assert [reading["value"] for reading in shown["attempts"][0]["readings"]] == ["900"]
    assert shown["attempts"][0]["readings"][0]["verdict"] == "above the window"
    assert shown["attempts"][0]["who"]["name"] == "Test Supervisor"


def test_a_step_behind_a_hold_point_names_it(rig: Rig, program: Program) -> None:
    number = rig.run.floor_next

    shown = program.get(STEP, {"run_id": rig.run_id, "number": number}).json()

    held = next(stage for stage in rig.run.sheet.stages if stage.hold_point)
    assert held.hold_point is not None
    assert shown["held_by"] == held.hold_point.title
    assert shown["step"]["number"] == number


def test_a_new_run_says_what_is_due_what_holds_it_and_what_is_open(rig: Rig, program: Program) -> None:
    state = program.get(RUN, {"run_id": rig.run_id}).json()

    deck = [step.number for step in rig.run.open_deck_steps()]
    assert (state["sequence"], state["done"], state["total"]) == (1, 0, len(rig.run.sheet.steps))
    assert state["current"]["number"] == rig.run.floor_next
    assert state["stage"] == state["hold"]["stage"] == state["current"]["stage"]
    assert (state["hold"]["attendance"], state["hold"]["signatures"]) == ([], [])
    assert state["open_deck_steps"] == deck
    assert (state["is_practice"], state["closed_at"]) == (False, None)


def test_the_log_after_a_sequence_holds_what_came_since_with_the_text_that_was_hashed(
    rig: Rig, program: Program
) -> None:
    program.finish(1)
    program.finish(2)

    entries = program.get(f"{RUN}/log?after=2", {"run_id": rig.run_id}).json()

    kept = program.log()[2]
    assert [entry["sequence"] for entry in entries] == [3]
    assert entries[0]["body"] == kept.body
    assert (entries[0]["previous"], entries[0]["hash"]) == (kept.previous, kept.hash)


def torque_step(rig: Rig) -> Step:
    """Return a step of the floor that wants a torque, due now and not held."""
    step = joint_made_up(rig)
    come_to(rig, step)
    return step
