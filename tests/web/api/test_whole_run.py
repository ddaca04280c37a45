"""A program alone can do everything from the plan to the record, and every operation is used for it."""

import json
from datetime import datetime
from typing import Any

from httpx import Response

from app.demo import demo_plan_text
from app.domain.events.who import Who
from app.services.runs import run_of
from app.services.tries import MOST_FAILURES, Present
from app.web.application import create_application
from tests import runner
from tests.photo_files import png
from tests.services.test_rewriting import ONE_MORE
from tests.web.api.conftest import Program
from tests.web.conftest import Rig, settings_of

PNG = png()
RELIEF, RELIEF_PIN = "Rita Relief", "518264"
PINS = runner.PINS | {RELIEF: RELIEF_PIN}
RUN = "/api/runs/{run_id}"


GO_BACK_AT = 64


def test_a_program_runs_a_plan_from_its_text_to_its_record(rig: Rig, program: Program) -> None:
    people_come_and_go(program)
    run_id = release(program)
    work_on_deck(program, run_id)
    run_to_the_end(program, run_id)
    read_what_is_worked_out(program, run_id)
    close(program, run_id)
    verified = [verify(program, run_id, kind) for kind in ("json", "pdf")]
    program.get("/api/runs")
    program.post("/api/sign-out", key="")

    assert [answer["sound"] for answer in verified] == [True, True]
    assert {answer["facts"]["run_id"] for answer in verified} == {run_id}
    assert run_of(rig.site, run_id).is_closed
    assert program.used == described(rig)


def people_come_and_go(program: Program) -> None:
    """Add somebody, let him choose a PIN and another, lock himself out, be unlocked, and leave twice."""
    told = {"reason": "so it is", "pin": PINS["Test Supervisor"]}
    new = {"name": "Test Newcomer", "role": "driller", "pin": told["pin"]}
    at = {"person_id": good(program.post("/api/people", new))["person"]}
    good(program.post("/api/people/{person_id}/pin-choice", told, at))
    assert good(program.get("/api/pin-choice"))["who"]["name"] == "Test Newcomer"
    program.token = good(program.post("/api/pin-choice", {"pin": "731946"}))["token"]
    good(program.post("/api/own-pin", {"pin": "731946", "new": "640287"}))
    for _ in range(MOST_FAILURES):
        program.post("/api/sign-in", {"person": at["person_id"], "pin": "731946"}, key="")
        program.rig.clock.pass_by(600)
    program.sign_in("supervisor")
    good(program.post("/api/people/{person_id}/unlock", told, at))
    good(program.post("/api/people/{person_id}/role", told | {"role": "welder"}, at))
    good(program.post("/api/people/{person_id}/leave", told, at))
    good(program.post("/api/people/{person_id}/back", told, at))
    good(program.post("/api/people/{person_id}/leave", told, at))
    states = {person["name"]: person for person in good(program.get("/api/people/everybody"))}
    newcomer = states["Test Newcomer"]
    assert (newcomer["role"], newcomer["active"], newcomer["locked"]) == ("welder", False, False)
    kinds = [entry["kind"] for entry in good(program.get("/api/people/changes"))]
    assert kinds[-9:] == [
        "pin-choice-opened",
        "pin-chosen",
        "pin-chosen",
        "person-locked",
        "person-unlocked",
        "role-changed",
        "person-left",
        "person-came-back",
        "person-left",
    ]


def read_what_is_worked_out(program: Program, run_id: str) -> None:
    """Read every figure of the plan and of the run, and who is there."""
    plan_id = good(program.get("/api/plans"))[0]["id"]
    for what in ("figures", "legs", "joints", "room"):
        assert good(program.get("/api/plans/{plan_id}/" + what, {"plan_id": plan_id}))
        assert good(program.get(f"{RUN}/{what}", {"run_id": run_id}))
    assert good(program.get(f"{RUN}/presence", {"run_id": run_id})) == []


def described(rig: Rig) -> set[tuple[str, str]]:
    """Return every operation under /api that the application describes."""
    paths = create_application(rig.site, settings_of(rig.site.data)).openapi()["paths"]
    return {(method, path) for path, ways in paths.items() if path.startswith("/api/") for method in ways}


def release(program: Program) -> str:
    text = demo_plan_text("single").encode()
    found = good(program.post("/api/plans/check", content=text, key=""))
    kept = good(program.post("/api/plans?name=Mine", content=text))
    shown = good(program.get("/api/plans/{plan_id}", {"plan_id": kept["id"]}))
    lines = good(program.get("/api/plans"))
    pin = runner.PINS["Test Supervisor"]
    at = {"plan_id": change_the_sheet(program, kept["id"])}
    changed = good(program.get("/api/plans/{plan_id}", at))
    accepted = [finding["accept"] for finding in changed["check"]["findings"] if finding["accept"]]
    seen = good(program.get("/api/plans/{plan_id}/sheet", at))["seen"]
    release = {"pin": pin, "accepted": accepted, "seen": seen}
    done = good(program.post("/api/plans/{plan_id}/release", release, at))
    assert found == shown["check"]
    assert shown["text"].encode() == text
    assert kept in lines
    assert done["events"] == ["plan-released"]
    run_id: str = done["run"]
    return run_id


def change_the_sheet(program: Program, plan_id: str) -> str:
    """Change the sheet in every way there is, and return a newer plan that the changes were taken over to."""
    test, line = "ML-1/electrical-test", "DL-1/pressure-test-discharge-line"

    def change(way: str, of: str = plan_id, **body: object) -> None:
        path = "/api/plans/{plan_id}/changes/" + way
        good(program.post(path, {"why": "the site asks for it", **body}, {"plan_id": of, "number": 1}))

    change("drop", step=line)
    change("{number}/take-back")
    change("repeat", step=test, place={"after": test})
    change("move", step="check-gear", place={"after": "check-gear/2"})
    change("reword", step="check-gear", text="Check the elevators twice.")
    change("add", place={"start_of": "landing"}, text="Call the town.", role="supervisor")
    newer = good(program.post("/api/plans?name=Newer", content=demo_plan_text("single").encode()))["id"]
    change("take-over", newer, plan=plan_id)
    entries = good(program.get("/api/plans/{plan_id}/changes", {"plan_id": newer}))
    assert [entry["standing"] for entry in entries] == ["taken back", "told", *["counts"] * 4, "told"]
    return str(newer)


def work_on_deck(program: Program, run_id: str) -> None:
    """Do a step twice, put a reading right, depart from the plan, remark on it, and add to the list."""
    enter_from_paper(program, run_id, 1)
    act(program, run_id, "/steps/{number}/undo", {"reason": "wrong sling"}, number=1)
    correct_a_length(program, run_id)
    deviation = {"step": 1, "what": "other sling", "why": "worn", "proposed": "rework"}
    act(program, run_id, "/deviations", deviation)
    proposal = {"disposition": "replace", "reason": "another is on its way"}
    act(program, run_id, "/deviations/{number}/propose", proposal, number=1)
    accepted = {"disposition": "replace", "reason": "a new one is there"}
    act(program, run_id, "/deviations/{number}/accept", accepted, number=1)
    act(program, run_id, "/notes", {"step": 1, "text": "windy"})
    hold_for_weather(program, run_id)
    hand_over_and_back(program, run_id)
    item = {"serial": "TL-BC-9999", "item": "bypass clamp", "reason": "came with the second truck"}
    act(program, run_id, "/load-out", item)
    show_photo(program, run_id)
    swap_the_seal(program, run_id)


def hold_for_weather(program: Program, run_id: str) -> None:
    act(program, run_id, "/hold", {"cause": "weather or sea", "words": "squall"})
    program.rig.clock.pass_by(3600)
    shown = good(program.get(f"{RUN}/hold", {"run_id": run_id}))
    body = {"look": "confirmed", "step": shown["look_at"]} if shown["look_at"] else {}
    assert shown["state"] == good(program.get(RUN, {"run_id": run_id}))["state"] == "on hold"
    assert shown["lost"] == [{"cause": "weather or sea", "minutes": 60.0, "times": 1}]
    assert "deck work" in {item["kind"] for item in shown["open_items"]}
    assert act(program, run_id, "/resume", body)["events"] == ["hold-ended"]
    ended = good(program.get(f"{RUN}/hold", {"run_id": run_id}))["holds"][0]
    assert (ended["words"], ended["ended_by"]["role"]) == ("squall", "supervisor")


def hand_over_and_back(program: Program, run_id: str) -> None:
    """Take a draft back, hand over to another supervisor with a slip of his, and have it handed back."""
    rig, supervisor = program.rig, program.rig.crew["supervisor"]
    adding = runner.add_one(rig.site, Present(supervisor), RELIEF, "supervisor", pin=RELIEF_PIN)
    relief = rig.tablet.do(adding)
    act(program, run_id, "/handover/draft", {"words": "wait"})
    act(program, run_id, "/handover/take-back", {"reason": "not yet"})
    hand_over(program, run_id, relief, RELIEF_PIN, slip="9")
    hand_over(program, run_id, supervisor, runner.PINS[supervisor.name])
    state = good(program.get(f"{RUN}/handover", {"run_id": run_id}))
    assert state["in_charge"]["person_id"] == supervisor.person_id
    assert [line["settled"] for line in state["handovers"]] == ["", "settled", "settled"]
    assert program.get(f"{RUN}/handover.pdf", {"run_id": run_id}).content.startswith(b"%PDF-")
    take_charge(program, run_id, relief, RELIEF_PIN)
    take_charge(program, run_id, supervisor, runner.PINS[supervisor.name])
    charges = good(program.get(f"{RUN}/handover", {"run_id": run_id}))["charges"]
    assert [line["by"]["name"] for line in charges] == [relief.name, supervisor.name]
    assert [line["before"]["name"] for line in charges] == [supervisor.name, relief.name]


def take_charge(program: Program, run_id: str, who: Who, pin: str) -> None:
    """Take charge, while the other has left a handover, stay signed in, and go on after a look back."""
    act(program, run_id, "/handover/draft", {"words": "back soon"})
    shown = good(program.get(f"{RUN}/handover", {"run_id": run_id}))["shown_for_charge"]
    sign_in = program.post("/api/sign-in", {"person": who.person_id, "pin": pin}, key="")
    program.token = good(sign_in)["token"]
    body = {"person": who.person_id, "pin": pin, "reason": "flown out", "gone": True, "shown": shown}
    taken = act(program, run_id, "/handover/take-charge", body)
    assert taken["events"] == ["hold-begun", "charge-taken"]
    state = good(program.get(f"{RUN}/handover", {"run_id": run_id}))
    assert state["in_charge"]["person_id"] == who.person_id
    assert state["handovers"][-1]["charge_taken_by"]["person_id"] == who.person_id
    back = good(program.get(f"{RUN}/hold", {"run_id": run_id}))["look_at"]
    act(program, run_id, "/resume", {"look": "confirmed", "step": back} if back else {})


def talk_through(program: Program, run_id: str) -> Any:
    """Talk through what is still to be talked through in a handover, and return how it stands then."""
    state = good(program.get(f"{RUN}/handover", {"run_id": run_id}))
    assert state["to_talk_through"]
    act(program, run_id, "/handover/talk", {"items": state["to_talk_through"]})
    state = good(program.get(f"{RUN}/handover", {"run_id": run_id}))
    assert state["to_talk_through"] == []
    return state


def hand_over(program: Program, run_id: str, to: Who, pin: str, slip: str = "") -> None:
    """Hand over to somebody, who stays signed in; the values are typed with a slip where one is given."""
    act(program, run_id, "/handover/draft", {"words": "all quiet"})
    talk_through(program, run_id)
    act(program, run_id, "/deviations", {"step": 1, "what": "bent", "why": "dropped", "proposed": "rework"})
    state = talk_through(program, run_id)
    sign_in = program.post("/api/sign-in", {"person": to.person_id, "pin": pin}, key="")
    program.token = good(sign_in)["token"]
    run = run_of(program.rig.site, run_id)
    recorded = {
        f"{number} {taken.name}": taken.value for number, done in run.done.items() for taken in done.readings
    }
    readings = [
        {"name": line["field"], "value": slip + recorded[line["field"]], "unit": line["unit"]}
        for line in state["asked"]
    ]
    act(program, run_id, "/handover/check", {"readings": readings, "current": str(run.floor_next)})
    shown = good(program.get(f"{RUN}/handover", {"run_id": run_id}))
    told = shown["handovers"][-1]["read_again"]
    assert [line["agrees"] for line in told] == [*[not slip] * len(readings), True]
    body = {"person": to.person_id, "pin": pin, "words": "settled", "shown": shown["shown"]}
    assert act(program, run_id, "/handover/accept", body)["events"] == ["handover-accepted"]
    settled = {"disposition": "rework", "reason": "straightened"}
    number = run.deviations[-1].raised.number
    act(program, run_id, "/deviations/{number}/accept", settled, number=number)


def correct_a_length(program: Program, run_id: str) -> None:
    steps = good(program.get(f"{RUN}/sheet", {"run_id": run_id}))["steps"]
    step = next(step for step in steps if [reading["kind"] for reading in step["readings"]] == ["length"])
    finish(program, run_id, step["number"])
    wanted = step["readings"][0]
    number = float(wanted["target"].split()[0])
    reading = {"name": wanted["name"], "value": f"{number + 0.01:.2f}", "unit": wanted["unit"]}
    body = {"reading": reading | {"tool": tool_of(program, wanted["tool"])}, "reason": "misread"}
    act(program, run_id, "/steps/{number}/correct", body, number=step["number"])
    shown = good(program.get(f"{RUN}/steps/{{number}}", {"run_id": run_id, "number": step["number"]}))
    assert shown["done"]["readings"][0]["value"] == reading["value"]


def swap_the_seal(program: Program, run_id: str) -> None:
    lines = good(program.get(f"{RUN}/swaps", {"run_id": run_id}))
    seal = next(line for line in lines if line["place"] == "SEAL-1")
    length = {"name": "length", "value": "6.10", "unit": "ft"}
    swap = {
        "place": "SEAL-1",
        "old_serial": seal["serial"],
        "new_serial": "SEAL-NEW",
        "reason": "leaks",
        "values": [length],
        "deviation": 1,
    }
    done = act(program, run_id, "/swaps", swap)
    assert seal["on_floor_since"] == 0
    assert done["events"] == ["load-out-added", "item-swapped"]


def show_photo(program: Program, run_id: str) -> None:
    sent = program.post(f"{RUN}/photos?name=hook.png&step=1", at={"run_id": run_id}, content=PNG)
    assert good(sent)["events"] == ["photo-added"]
    log = good(program.get(f"{RUN}/log?after=1", {"run_id": run_id}))
    content = next(json.loads(entry["body"]) for entry in log if entry["kind"] == "photo-added")["event"][
        "content"
    ]
    photo = program.get(f"{RUN}/photos/{{content}}", {"run_id": run_id, "content": content})
    assert (photo.headers["content-type"], photo.content) == ("image/png", PNG)


def run_to_the_end(program: Program, run_id: str) -> None:
    """Do every step that is open, in order, and hold each talk when the state says that it is due."""
    state = good(program.get(RUN, {"run_id": run_id}))
    for number in state["open_deck_steps"]:
        finish(program, run_id, number)
    while state["current"] is not None:
        if state["current"]["number"] == GO_BACK_AT:
            set_steps_aside(program, run_id)
            go_back_and_plan_anew(program, run_id)
            state = good(program.get(RUN, {"run_id": run_id}))
        if state["hold"] is not None:
            hold_and_sign(program, run_id, state["hold"]["stage"])
        finish(program, run_id, state["current"]["number"])
        state = good(program.get(RUN, {"run_id": run_id}))
    assert state["done"] == state["total"]


def set_steps_aside(program: Program, run_id: str) -> None:
    """Say of the site's own step that it does not apply, does, and does not; put a test off and back."""
    sheet = good(program.get(f"{RUN}/sheet", {"run_id": run_id}))
    call = next(step["number"] for step in sheet["steps"] if step["text"] == "Call the town.")
    test = next(step["number"] for step in sheet["steps"] if step["text"].startswith("Pressure-test"))
    act(program, run_id, "/steps/{number}/not-applicable", {"reason": "no town near"}, number=call)
    act(program, run_id, "/steps/{number}/applicable", {"reason": "there is one"}, number=call)
    act(program, run_id, "/steps/{number}/not-applicable", {"reason": "they know"}, number=call)
    at = {"run_id": run_id, "number": test, "until": test + 2}
    supervisor = next(person for person in good(program.get("/api/people")) if person["role"] == "supervisor")
    shown = good(program.get(f"{RUN}/steps/{{number}}/defer/{{until}}", at))
    assert shown["may_be_signed"]
    why = signature(supervisor, shown["shown"]) | {"reason": "the pump is on its way"}
    done = act(program, run_id, "/steps/{number}/defer/{until}", why, number=test, until=test + 2)
    assert done["events"] == ["step-deferred"]
    state = good(program.get(RUN, {"run_id": run_id}))
    assert (state["not_applicable"], state["deferred"]) == ([call], [test + 1])
    step = good(program.get(f"{RUN}/steps/{{number}}", {"run_id": run_id, "number": test + 1}))
    assert (step["state"], step["set_aside"]["until"]) == ("deferred", test + 2)
    at = {"run_id": run_id, "number": test + 1}
    shown = good(program.get(f"{RUN}/steps/{{number}}/bring-forward", at))
    assert (shown["before"], shown["may_be_signed"]) == (test, True)
    why = signature(supervisor, shown["shown"]) | {"reason": "the pump came"}
    done = act(program, run_id, "/steps/{number}/bring-forward", why, number=test + 1)
    assert done["events"] == ["step-brought-forward"]
    assert good(program.get(RUN, {"run_id": run_id}))["deferred"] == []


def go_back_and_plan_anew(program: Program, run_id: str) -> None:
    """Begin a way back, turn it and walk it to its end, call another off, and go on with a longer plan."""
    supervisor = next(person for person in good(program.get("/api/people")) if person["role"] == "supervisor")
    go_back(program, run_id, GO_BACK_AT - 2, supervisor)
    walk(program, run_id, 1)
    turned = go_back(program, run_id, GO_BACK_AT - 3, supervisor)
    walk(program, run_id, len(turned["back"]))
    assert turned["turns"] == 3  # the first two put a step off and brought it forward
    go_back(program, run_id, GO_BACK_AT - 5, supervisor)
    act(program, run_id, "/back-out", {"reason": "it is good after all"})
    kept = good(program.post("/api/plans?name=Longer", content=ONE_MORE.encode()))["id"]
    changed = good(program.get(f"{RUN}/replan/{{plan_id}}", {"run_id": run_id, "plan_id": kept}))
    accepted = [item["accept"] for item in changed["findings"] if item["accept"]]
    body = {**signature(supervisor, changed["shown"]), "reason": "longer", "accepted": accepted}
    act(program, run_id, "/replan/{plan_id}", body, plan_id=kept)
    for number in good(program.get(RUN, {"run_id": run_id}))["open_deck_steps"]:
        finish(program, run_id, number)


def go_back(program: Program, run_id: str, first: int, supervisor: Any) -> Any:
    """Sign for the way back to before a step, or turn the one that is walked, and return what was signed."""
    way = good(program.get(f"{RUN}/back-out/{{first}}", {"run_id": run_id, "first": first}))
    why = {"cause": "something was damaged", "reason": "a bent pin"}
    act(program, run_id, "/back-out/{first}", signature(supervisor, way["shown"]) | why, first=first)
    return way


def walk(program: Program, run_id: str, steps: int) -> None:
    """Do so many steps of the floor, each talk held when it is due."""
    for _ in range(steps):
        state = good(program.get(RUN, {"run_id": run_id}))
        if state["hold"] is not None:
            hold_and_sign(program, run_id, state["hold"]["stage"])
        finish(program, run_id, state["current"]["number"])


def hold_and_sign(program: Program, run_id: str, stage_id: str) -> None:
    hold = good(program.get(f"{RUN}/holds/{{stage_id}}", {"run_id": run_id, "stage_id": stage_id}))
    everybody = [person["person_id"] for person in good(program.get("/api/people"))]
    talk = {"topics": hold["topics"], "attendance": everybody}
    act(program, run_id, "/holds/{stage_id}/talk", talk, stage_id=stage_id)
    hold = good(program.get(f"{RUN}/holds/{{stage_id}}", {"run_id": run_id, "stage_id": stage_id}))
    for person in hold["to_sign"]:
        act(program, run_id, "/holds/{stage_id}/sign", signature(person, hold["shown"]), stage_id=stage_id)
        program.rig.clock.pass_by(60)
    hold = good(program.get(f"{RUN}/holds/{{stage_id}}", {"run_id": run_id, "stage_id": stage_id}))
    assert hold["released_at"] is not None
    assert hold["to_sign"] == []


def close(program: Program, run_id: str) -> None:
    lines = good(program.get(f"{RUN}/load-out", {"run_id": run_id}))
    left = [line["serial"] for line in lines if line["used_at_step"] is None]
    settling = {"serials": left, "settlement": "returned", "reason": "not needed"}
    act(program, run_id, "/load-out/settle", settling)
    for line in good(program.get(f"{RUN}/counts", {"run_id": run_id})):
        if line["on_deck"]:
            count = {"issued": line["issued"], "returned": line["returned"] + line["on_deck"], "rejected": 0}
            act(program, run_id, "/counts", {"item": line["item"], "reason": "not needed", **count})
    close_out = good(program.get(f"{RUN}/close", {"run_id": run_id}))
    people = good(program.get("/api/people"))
    assert close_out["missing"] == []
    for role in close_out["signed_by"]:
        person = next(person for person in people if person["role"] == role)
        act(program, run_id, "/sign", signature(person, close_out["shown"]))
    act(program, run_id, "/close", {"note": "all well"})


def verify(program: Program, run_id: str, kind: str) -> Any:
    record = program.get(f"{RUN}/record.{kind}", {"run_id": run_id})
    assert record.headers["content-disposition"] == f'attachment; filename="{run_id}.{kind}"'
    return good(program.post(f"/api/verify?name=record.{kind}", content=record.content, key=""))


def enter_from_paper(program: Program, run_id: str, number: int) -> None:
    """Print what is left, and enter a step that was done by it a while ago."""
    printed = program.get(f"{RUN}/remaining.pdf", {"run_id": run_id})
    assert printed.content.startswith(b"%PDF")
    doer = next(who for who in good(program.get("/api/people")) if who["role"] == "supervisor")
    done_at = program.rig.clock.now
    program.rig.clock.pass_by(1800)
    late = {"at": done_at.isoformat(), "by": doer["person_id"]}
    readings = [
        {"name": entered.name, "value": entered.value, "unit": entered.unit, "tool": entered.tool}
        for entered in runner.good_readings(program.rig.run, program.rig.run.sheet.steps[number - 1])
    ]
    act(program, run_id, "/steps/{number}/finish", {"readings": readings, "late": late}, number=number)
    shown = good(program.get(f"{RUN}/steps/{{number}}", {"run_id": run_id, "number": number}))
    assert datetime.fromisoformat(shown["done"]["late"]["at"]) == done_at
    assert (shown["time"]["late"], shown["time"]["too_fast"]) == (True, False)
    assert datetime.fromisoformat(shown["time"]["ended_at"]) == done_at


def finish(program: Program, run_id: str, number: int) -> None:
    run = run_of(program.rig.site, run_id)
    readings = [
        {"name": entered.name, "value": entered.value, "unit": entered.unit, "tool": entered.tool}
        for entered in runner.good_readings(run, run.sheet.steps[number - 1])
    ]
    done = act(program, run_id, "/steps/{number}/finish", {"readings": readings}, number=number)
    if done["events"] == ["first-reading-taken"]:
        done = read_again(program, run_id, number, readings)
    assert done["events"] in (["step-done"], ["second-reading-taken"])


def read_again(program: Program, run_id: str, number: int, readings: list[dict[str, str]]) -> Any:
    """Let somebody else read again what two people read, while nothing tells what was read first."""
    at = {"run_id": run_id, "number": number}
    shown = good(program.get(f"{RUN}/steps/{{number}}", at))
    log = good(program.get(f"{RUN}/log?after=1", {"run_id": run_id}))
    twice = [item for item in readings if item["name"] in shown["second_wanted"]]
    assert shown["first_by"]["name"] == "Test Supervisor"
    assert (log[-1]["kind"], log[-1]["body"], log[-1]["kept_back"]) == ("first-reading-taken", "", True)
    program.sign_in("pump technician")
    done = act(program, run_id, "/steps/{number}/second", {"readings": twice}, number=number)
    program.sign_in("supervisor")
    told = good(program.get(f"{RUN}/log?after=1", {"run_id": run_id}))
    assert [entry["kept_back"] for entry in told[-2:]] == [False, False]
    return done


def act(program: Program, run_id: str, path: str, body: object, **at: object) -> Any:
    return good(program.post(RUN + path, body, {"run_id": run_id, **at}))


def signature(person: dict[str, str], shown: str) -> dict[str, str]:
    return {"person": person["person_id"], "pin": PINS[person["name"]], "shown": shown}


def tool_of(program: Program, kind: str) -> str:
    return next((tool.tag for tool in program.rig.run.plan.tools if tool.kind.value == kind), "")


def good(answer: Response) -> Any:
    assert answer.status_code == 200, answer.text
    return answer.json()
