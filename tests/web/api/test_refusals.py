"""Each refused request gets its sentence as a problem, and what was recorded stays as it was."""

import json

import pytest
from httpx import Response

from app.domain.sheet import Lane, ReadingKind, Step
from app.services.runs import run_of
from tests import runner
from tests.web.api.conftest import PROBLEM, Program, Starting, assert_problem
from tests.web.conftest import Rig

FINISH = "/api/runs/{run_id}/steps/{number}/finish"


def test_nobody_ticks_anything(rig: Rig, nobody: Program) -> None:
    before = nobody.log()

    answer = nobody.finish(1)

    assert_problem(answer, 401, "nobody", "Nobody is signed in: sign in with your name and PIN")
    assert answer.headers["www-authenticate"] == "Bearer"
    assert nobody.log() == before


def test_a_token_that_was_signed_out_is_nobodys(program: Program) -> None:
    program.post("/api/sign-out", key="")

    answer = program.get("/api/runs")

    assert_problem(answer, 401, "nobody", "Nobody is signed in")


def test_an_invented_token_is_nobodys(nobody: Program) -> None:
    nobody.token = "x" * 43

    answer = nobody.get("/api/runs")

    assert_problem(answer, 401, "nobody", "Nobody is signed in")


def test_a_wrong_pin_gives_no_token(rig: Rig, nobody: Program) -> None:
    body = {"person": rig.crew["driller"].person_id, "pin": "000000"}

    answer = nobody.post("/api/sign-in", body, key="")

    assert_problem(answer, 401, "sign-in", "That is not the PIN of Test Driller.")


def test_the_cookie_of_the_pages_is_taken_as_well(rig: Rig, nobody: Program) -> None:
    rig.tablet.sign_in("driller")
    nobody.client.cookies = rig.tablet.client.cookies

    answer = nobody.get("/api/runs")

    assert answer.status_code == 200
    assert [line["run_id"] for line in answer.json()] == [rig.run_id]


def test_a_tick_without_a_key_is_refused(program: Program) -> None:
    before = program.log()

    answer = program.finish(1, key="")

    assert_problem(answer, 422, "key-missing", "a program sends its own Idempotency-Key of 16 to 200 letters")
    assert program.log() == before


def test_a_key_that_is_too_short_is_refused(program: Program) -> None:
    before = program.log()

    answer = program.finish(1, key="1")

    assert_problem(answer, 422, "key-missing", "Idempotency-Key of 16 to 200 letters")
    assert program.log() == before


def test_the_same_key_with_the_same_body_gets_the_same_answer_and_records_once(program: Program) -> None:
    first = program.finish(1, key="one-intent-of-mine")
    before = program.log()

    again = program.finish(1, key="one-intent-of-mine")

    assert first.status_code == again.status_code == 200
    assert first.content == again.content
    assert "idempotency-repeated" not in first.headers
    assert again.headers["idempotency-repeated"] == "true"
    assert program.log() == before


def test_the_same_key_with_another_body_is_refused(rig: Rig, program: Program) -> None:
    at = {"run_id": rig.run_id}
    program.post("/api/runs/{run_id}/notes", {"text": "windy"}, at, key="one-intent-of-mine")
    before = program.log()

    answer = program.post("/api/runs/{run_id}/notes", {"text": "calm"}, at, key="one-intent-of-mine")

    assert_problem(answer, 422, "key-reused", "this one differs in body")
    assert program.log() == before


def test_the_same_key_for_another_step_is_refused(program: Program) -> None:
    program.finish(1, key="one-intent-of-mine")
    before = program.log()

    answer = program.finish(2, key="one-intent-of-mine")

    assert_problem(answer, 422, "key-reused", "differs in")
    assert program.log() == before


def test_somebody_elses_key_is_refused(program: Program, start: Starting) -> None:
    program.finish(1, key="one-intent-of-mine")
    other = start("driller")
    before = program.log()

    answer = other.finish(1, key="one-intent-of-mine")

    assert_problem(answer, 422, "key-reused", "differs in person")
    assert program.log() == before


def test_a_tick_behind_an_unsigned_hold_point_is_refused(rig: Rig, program: Program) -> None:
    rig.do_deck_work()
    before = program.log()

    answer = program.finish(rig.run.floor_next)

    assert_problem(answer, 409, "hold-point-unsigned", "hold the talk and sign it first")
    assert program.log() == before


def test_a_tick_out_of_order_is_refused(rig: Rig, program: Program) -> None:
    rig.do_deck_work()
    first = rig.run.floor_next
    rig.do_floor_until(first)
    before = program.log()

    answer = program.finish(first + 2)

    words = f"Step {first + 2} is out of order: step {first} comes first."
    assert_problem(answer, 409, "out-of-order", words)
    assert program.log() == before


def test_a_tick_of_somebody_elses_work_is_refused(rig: Rig, start: Starting) -> None:
    hand = start("floor crew")
    before = hand.log()

    answer = hand.finish(1)

    assert_problem(answer, 403, "role", "Test Hand (floor crew) may not tick step 1")
    assert hand.log() == before


@pytest.mark.parametrize("number", [0, -1, 10_000, 10**30])
def test_a_step_that_the_sheet_does_not_have_is_refused(program: Program, number: int) -> None:
    before = program.log()

    answer = program.post(FINISH, {}, {"run_id": program.rig.run_id, "number": number})

    last = len(program.rig.run.sheet.steps)
    words = f"The sheet has no step {number}; its steps are 1 to {last}."
    assert_problem(answer, 404, "unknown-step", words)
    assert program.log() == before


def test_a_run_that_is_not_there_is_refused(program: Program) -> None:
    answer = program.post(FINISH, {}, {"run_id": "20000101-abcdef", "number": 1})

    assert_problem(answer, 404, "unknown-run", "There is no run '20000101-abcdef' here.")


def test_a_torque_of_5000_where_500_is_meant_is_asked_about(rig: Rig, program: Program) -> None:
    step = joint_made_up(rig)
    come_to(rig, step)
    before = program.log()

    answer = program.finish(step.number, value="5000")

    told = assert_problem(answer, 422, "looks-like-a-slip", "say that you have read it twice")
    assert (told["field"], told["question"]) == (step.readings[0].name, True)
    assert program.log() == before


def test_a_mass_for_a_torque_is_refused(rig: Rig, program: Program) -> None:
    step = joint_made_up(rig)
    come_to(rig, step)
    before = program.log()

    answer = program.finish(step.number, unit="lb")

    told = assert_problem(answer, 422, "reading", "is a mass; a torque is wanted here")
    assert told["field"] == step.readings[0].name
    assert program.log() == before


def test_a_negative_length_is_refused(rig: Rig, program: Program) -> None:
    step = step_with(rig, ReadingKind.LENGTH)
    before = program.log()

    answer = program.finish(step.number, value="-30.5")

    assert_problem(answer, 422, "reading", "-30.5 is below zero; type it without a sign.")
    assert program.log() == before


def test_a_missing_reading_is_refused(rig: Rig, program: Program) -> None:
    step = step_with(rig, ReadingKind.LENGTH)
    before = program.log()

    answer = program.post(FINISH, {"readings": []}, {"run_id": rig.run_id, "number": step.number})

    told = assert_problem(answer, 422, "reading", "is missing: enter it to close the step.")
    assert told["field"] == step.readings[0].name
    assert program.log() == before


def test_a_serial_used_twice_is_refused(rig: Rig, program: Program) -> None:
    first, second = steps_dressing(rig)[:2]
    rig.do_deck_work()
    rig.do_floor_until(second.number)
    used = run_of(rig.site, rig.run_id).done[first.number].readings[0].value
    before = program.log()

    answer = program.finish(second.number, value=used)

    assert_problem(
        answer, 422, "serial-used-twice", f"Serial {used} was used already, at step {first.number}."
    )
    assert program.log() == before


@pytest.mark.parametrize(
    ("serial", "rule", "words"),
    [
        ("TL-MTR-0011", "serial-wrong-kind", "Serial TL-MTR-0011 is a MTR-1; here a bypass clamp is wanted."),
        ("X-1", "serial-unknown", "Serial X-1 is not on the load-out list."),
    ],
)
def test_a_serial_of_another_kind_of_thing_is_refused(
    rig: Rig, program: Program, serial: str, rule: str, words: str
) -> None:
    clamp = steps_dressing(rig)[0]
    rig.do_deck_work()
    rig.do_floor_until(clamp.number)
    before = program.log()

    answer = program.finish(clamp.number, value=serial)

    told = assert_problem(answer, 422, rule, words)
    assert told["field"] == "serial"
    assert program.log() == before


def test_a_serial_for_a_torque_is_refused(rig: Rig, program: Program) -> None:
    step = joint_made_up(rig)
    come_to(rig, step)
    before = program.log()

    answer = program.finish(step.number, value="TL-BC-0401")

    told = assert_problem(answer, 422, "reading", "'TL-BC-0401 ft*lbf' does not start with a number")
    assert told["field"] == "torque"
    assert program.log() == before


def test_an_open_run_gives_no_record(rig: Rig, program: Program) -> None:
    answer = program.get("/api/runs/{run_id}/record.pdf", {"run_id": rig.run_id})

    assert_problem(answer, 409, "record", "The run is not closed yet")


def test_a_run_with_open_steps_is_not_closed(rig: Rig, program: Program) -> None:
    before = program.log()

    answer = program.post("/api/runs/{run_id}/close", {}, {"run_id": rig.run_id})

    assert_problem(answer, 409, "close-out", "steps are not done, the first is step 1.")
    assert program.log() == before


def test_a_hold_point_is_not_signed_for_what_was_not_shown(rig: Rig, program: Program) -> None:
    held = next(stage.id for stage in rig.run.sheet.stages if stage.hold_point)
    signer = rig.crew["driller"]
    body = {"person": signer.person_id, "pin": runner.PINS[signer.name], "shown": "0" * 64}
    before = program.log()

    answer = program.post(
        "/api/runs/{run_id}/holds/{stage_id}/sign", body, {"run_id": rig.run_id, "stage_id": held}
    )

    assert_problem(answer, 409, "shown-changed", "Read it again, then sign.")
    assert program.log() == before


def test_a_person_whom_nobody_knows_is_not_put_on_the_attendance(rig: Rig, program: Program) -> None:
    held = next(stage for stage in rig.run.sheet.stages if stage.hold_point)
    before = program.log()

    answer = program.post(
        "/api/runs/{run_id}/holds/{stage_id}/talk",
        {"topics": [], "attendance": ["nobody-at-all"]},
        {"run_id": rig.run_id, "stage_id": held.id},
    )

    assert_problem(answer, 404, "unknown-person", "No person has the id nobody-at-all")
    assert program.log() == before


BODIES = (
    ('{"readings": [{"name": "x"}]}', "body . readings . 0 . value: Field required"),
    (
        '{"readings": [{"name": "x", "value": 5}]}',
        "body . readings . 0 . value: Input should be a valid string",
    ),
    ('{"redings": []}', "body . redings: Extra inputs are not permitted"),
    ("[]", "body: Input should be an object"),
    ('{"readings": ', "Invalid JSON: EOF while parsing"),
    ('{"readings": [{"name": "x", "value": "\\ud800"}]}', "Invalid JSON: unexpected end of hex escape"),
)


@pytest.mark.parametrize(("body", "words"), BODIES)
def test_a_body_of_another_shape_is_refused_with_the_place(program: Program, body: str, words: str) -> None:
    at = {"run_id": program.rig.run_id, "number": 1}
    before = program.log()

    answer = send_text(program, FINISH.format(**at), body.encode())

    assert_problem(answer, 422, "request", words)
    assert program.log() == before


def test_a_body_that_is_no_utf8_is_refused(program: Program) -> None:
    before = program.log()

    answer = send_text(program, FINISH.format(run_id=program.rig.run_id, number=1), b'{"readings": "\xff"}')

    assert_problem(answer, 422, "request", "Invalid JSON: invalid unicode code point")
    assert program.log() == before


@pytest.mark.parametrize("number", ["one", "1.0", "9" * 5000, "%20"])
def test_a_step_that_is_no_whole_number_is_refused(program: Program, number: str) -> None:
    answer = program.post(f"/api/runs/{program.rig.run_id}/steps/{number}/finish", {})

    told = assert_problem(answer, 422, "request", "Input should be a whole number")
    assert told["field"] == "number"


@pytest.mark.parametrize("path", ["/api/nothing", "/api/runs/x/y/z", "/api/"])
def test_an_address_that_does_not_exist_is_a_problem_too(program: Program, path: str) -> None:
    answer = program.get(path)

    assert_problem(answer, 404, "not-found", "There is no such address, or it takes no such request.")


def test_a_method_that_an_address_does_not_take_is_a_problem_too(program: Program) -> None:
    answer = program.post("/api/people/changes", {})

    assert_problem(answer, 404, "not-found", "There is no such address, or it takes no such request.")


def test_a_request_under_another_name_is_a_problem_too(program: Program) -> None:
    program.client.base_url = "http://rebound.example"

    answer = program.get("/api/runs")

    assert_problem(answer, 421, "misdirected-request", "does not answer to the name 'rebound.example'")


def test_a_request_that_another_site_sends_is_a_problem_too(program: Program) -> None:
    program.client.headers["Sec-Fetch-Site"] = "cross-site"
    before = program.log()

    answer = program.finish(1)

    assert_problem(answer, 403, "forbidden", "sent by another site")
    assert program.log() == before


def test_every_described_refusal_is_a_problem(program: Program) -> None:
    paths = json.loads(program.get("/openapi.json").text)["paths"]
    refusals = [
        way["responses"][status]["content"]
        for path, ways in paths.items()
        for way in ways.values()
        for status in ("4XX", "5XX")
    ]

    assert len(refusals) >= 60
    assert all(set(content) == {PROBLEM} for content in refusals)


def step_with(rig: Rig, kind: ReadingKind) -> Step:
    """Return the first step that asks for a reading of a kind, and for it first."""
    return next(step for step in rig.run.sheet.steps if step.readings and step.readings[0].kind is kind)


def joint_made_up(rig: Rig) -> Step:
    """Return the first step of the floor that makes up a connection to 500 ft*lbf."""
    return next(
        step
        for step in rig.run.sheet.lane(Lane.FLOOR)
        for reading in step.readings
        if reading.target is not None and reading.target.typed == "500 ft*lbf"
    )


def steps_dressing(rig: Rig) -> list[Step]:
    """Return the steps that dress a station, each of which asks for the serial of a clamp."""
    return [step for step in rig.run.sheet.steps if step.dressed is not None]


def come_to(rig: Rig, step: Step) -> None:
    rig.do_deck_work()
    rig.do_floor_until(step.number)


def send_text(program: Program, path: str, text: bytes) -> Response:
    program.client.headers["Content-Type"] = "application/json"
    return program.post(path, content=text)


def test_what_overtook_an_act_is_told_in_the_words_of_the_log(rig: Rig, program: Program) -> None:
    seen = rig.run.sequence
    program.post("/api/runs/{run_id}/notes", {"step": 1, "text": "the left one is bent"}, at(rig))

    answer = program.post(FINISH, {}, at(rig), seen=str(seen))

    assert_problem(answer, 409, "stale", "changed this after you last saw it")
    assert answer.json()["changes"] == [
        {
            "sequence": seen + 1,
            "kind": "note-added",
            "at": rig.clock.now.isoformat(),
            "by": "Test Supervisor (supervisor)",
            "text": "Note on step 1: the left one is bent",
        }
    ]


def test_who_has_seen_the_newest_is_not_held_up(rig: Rig, program: Program) -> None:
    program.post("/api/runs/{run_id}/notes", {"step": 1, "text": "the left one is bent"}, at(rig))

    answer = program.post(FINISH, {}, at(rig), seen=str(rig.run.sequence))

    assert answer.status_code == 200


@pytest.mark.parametrize("text", ["three", "-1", "", "9" * 20])
def test_a_sequence_that_is_no_number_is_refused(rig: Rig, program: Program, text: str) -> None:
    answer = program.post(FINISH, {}, at(rig), seen=text)

    assert_problem(answer, 422, "request", "header . Sequence-Seen: Input should be a whole number")
    assert not rig.run.done


def at(rig: Rig) -> dict[str, object]:
    """Return what fills the address of the first step."""
    return {"run_id": rig.run_id, "number": 1}
