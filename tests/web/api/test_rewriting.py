"""Another program goes back to an earlier step, and goes on with a changed plan."""

from typing import Any

from app.services.plans import keep_plan
from tests import runner
from tests.services.test_rewriting import ONE_MORE
from tests.web.api.conftest import Program
from tests.web.conftest import Rig

STOPPED = 64
BACK_OUT = "/api/runs/{run_id}/back-out"
REPLAN = "/api/runs/{run_id}/replan/{plan_id}"


def stopped(program: Program) -> dict[str, object]:
    program.rig.do_deck_work()
    program.rig.do_floor_until(STOPPED)
    return {"run_id": program.rig.run_id}


def signed(rig: Rig, shown: str, **more: object) -> dict[str, object]:
    person = rig.crew["supervisor"]
    return {"person": person.person_id, "pin": runner.PINS[person.name], "shown": shown, **more}


def test_a_way_back_is_read_signed_for_and_called_off(rig: Rig, program: Program) -> None:
    at = stopped(program)
    first = rig.run.floor_next - 2
    told: Any = program.get(f"{BACK_OUT}/{{first}}", {**at, "first": first}).json()

    begun = program.post(
        f"{BACK_OUT}/{{first}}",
        signed(rig, told["shown"], cause="a test failed", reason="low"),
        {**at, "first": first},
    )

    assert told["may_be_signed"]
    assert told["undone"] == [first, first + 1]
    assert [step["number"] for step in told["back"]] == list(
        range(told["kept"] + 1, told["kept"] + 1 + len(told["back"]))
    )
    assert begun.json()["events"] == ["back-out-begun"]
    assert len(rig.run.way_back_left()) == len(told["back"])
    off = program.post(BACK_OUT, {"reason": "it was the meter"}, at)
    assert off.json()["events"] == ["back-out-called-off"]
    assert rig.run.way_back_left() == ()


def test_a_way_back_is_turned(rig: Rig, program: Program) -> None:
    at = stopped(program)
    first = rig.run.floor_next - 5
    for to, steps in ((first, 1), (first - 3, 0)):
        told: Any = program.get(f"{BACK_OUT}/{{first}}", {**at, "first": to}).json()
        sent = program.post(
            f"{BACK_OUT}/{{first}}",
            signed(rig, told["shown"], cause="something was damaged", reason="bent"),
            {**at, "first": to},
        )
        rig.do_floor_until(rig.run.floor_next + steps)

    assert told["turns"] == 1
    assert told["undone"] == list(range(first - 3, told["kept"]))
    assert sent.json()["events"] == ["back-out-turned"]
    assert rig.run.way_back()[-1].goes_to == first - 3
    again = program.get(f"{BACK_OUT}/{{first}}", {**at, "first": first - 3})
    assert again.status_code == 409
    assert "none to turn to" in again.json()["detail"]


def test_a_changed_plan_is_read_and_signed_for(rig: Rig, program: Program) -> None:
    at = stopped(program)
    kept = keep_plan(rig.site, "one joint more", ONE_MORE, rig.crew["supervisor"])
    at = {**at, "plan_id": kept.id}
    told: Any = program.get(REPLAN, at).json()
    accepted = [item["accept"] for item in told["findings"] if item["accept"]]

    done = program.post(REPLAN, signed(rig, told["shown"], reason="longer", accepted=accepted), at)

    assert {"P-009"} <= {tag for step in told["new"] for tag in step["parts"]}
    assert done.json()["events"] == ["replanned"]
    sheet: Any = program.get("/api/runs/{run_id}/sheet", at).json()
    assert len(sheet["steps"]) > told["kept"] + len(told["new"])
