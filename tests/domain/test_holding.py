from dataclasses import replace
from datetime import timedelta

import pytest

from app.domain.commands import HoldTalk, SignHoldPoint
from app.domain.decide import decide
from app.domain.deciding.hold_points import HASTY, missing_roles
from app.domain.events.hold_points import HoldPointReleased, HoldPointSigned, TalkHeld
from app.domain.events.who import Who
from app.domain.refusals import HoldPointError, RightsError
from app.domain.run import Run
from app.domain.sheet import Sheet
from tests.domain.job import (
    CREW,
    DRILLER,
    HAND,
    REPRESENTATIVE,
    START,
    SUPERVISOR,
    TECHNICIAN,
    asked,
    begun,
    do,
    happened,
    pass_hold,
    refused,
)

STAGE = "first-lift-pump"
SIGN = SignHoldPoint(STAGE, "I was there.", "a" * 64)
NEEDED = (SUPERVISOR, DRILLER, TECHNICIAN, REPRESENTATIVE)


def topics(sheet: Sheet) -> tuple[str, ...]:
    point = sheet.stage(STAGE).hold_point
    assert point is not None
    return point.topics


def talked(attendance: tuple[Who, ...] = NEEDED) -> Run:
    """Return the run after the talk before the first lift."""
    return do(begun(), HoldTalk(STAGE, topics(begun().sheet), attendance))


def test_a_talk_is_held_with_its_topics_and_those_present(begun: Run, sheet: Sheet) -> None:
    spoken = (*topics(sheet), "The wind today")

    assert asked(begun, HoldTalk(STAGE, spoken, CREW)) == (TalkHeld(STAGE, spoken, CREW),)


def test_only_a_supervisor_leads_the_talk(begun: Run, sheet: Sheet) -> None:
    error = refused(begun, HoldTalk(STAGE, topics(sheet), CREW), DRILLER)

    assert isinstance(error, RightsError)
    assert "may not lead the talk" in str(error)


def test_every_topic_is_talked_through(begun: Run, sheet: Sheet) -> None:
    error = refused(begun, HoldTalk(STAGE, topics(sheet)[1:3], CREW))

    assert isinstance(error, HoldPointError)
    assert str(error) == (
        "Talk through every topic first; still open: Who does what, who may stop the job: everyone; "
        "What holds the string at each moment."
    )


def test_a_talk_is_not_held_without_those_who_must_sign(begun: Run, sheet: Sheet) -> None:
    error = refused(begun, HoldTalk(STAGE, topics(sheet), (SUPERVISOR, HAND, REPRESENTATIVE)))

    assert str(error) == (
        "Nobody on the attendance is driller or pump technician, who must sign 'Talk before the first lift'."
    )


def test_missing_roles_are_those_that_must_sign_and_are_not_there(sheet: Sheet) -> None:
    point = sheet.stage(STAGE).hold_point
    assert point is not None

    assert missing_roles(point, NEEDED) == ()
    assert missing_roles(point, ()) == point.signed_by


@pytest.mark.parametrize("stage", ["deck-work", "nowhere", ""])
def test_a_talk_where_there_is_no_hold_point_is_refused(begun: Run, stage: str) -> None:
    for command in (HoldTalk(stage, (), CREW), replace(SIGN, stage=stage)):
        error = refused(begun, command)

        assert isinstance(error, HoldPointError)
        assert str(error) == f"There is no hold point before '{stage}'; choose one of the sheet."


def test_everybody_who_was_there_signs_and_the_last_one_opens_the_stage() -> None:
    run = talked()
    for person in NEEDED[:-1]:
        (event,) = asked(run, SIGN, person)
        assert event == HoldPointSigned(STAGE, "I was there.", "a" * 64, hasty=False)
        run = happened(run, event, person)

    last = asked(run, SIGN, NEEDED[-1])

    assert run.hold(STAGE).released_at is None
    assert last[-1] == HoldPointReleased(STAGE)


def test_somebody_who_must_not_sign_but_was_there_signs_too() -> None:
    run = talked((*NEEDED, HAND))
    for person in NEEDED:
        run = do(run, SIGN, person)

    assert run.hold(STAGE).released_at is None
    assert do(run, SIGN, HAND).hold(STAGE).released_at is not None


def test_nobody_signs_before_the_talk(begun: Run) -> None:
    error = refused(begun, SIGN)

    assert str(error) == "Hold the talk before 'Talk before the first lift' first: topics and who is there."


def test_nobody_signs_who_was_not_there() -> None:
    error = refused(talked(), SIGN, HAND)

    assert str(error) == (
        "Flo Fictive is not on the attendance of 'Talk before the first lift': add him to the talk first."
    )


def test_nobody_signs_twice() -> None:
    run = do(talked(), SIGN, DRILLER)

    assert "Dora Dummy has signed" in str(refused(run, SIGN, DRILLER))


def test_a_talk_held_again_with_one_more_is_signed_again_by_all() -> None:
    run = do(talked(), SIGN, DRILLER)

    again = do(run, HoldTalk(STAGE, topics(run.sheet), (*NEEDED, HAND)))

    assert again.hold(STAGE).signatures == ()
    assert asked(again, SIGN, DRILLER)


def test_a_talk_that_everybody_has_signed_is_not_held_again() -> None:
    signed = pass_hold(begun(), STAGE)

    error = refused(signed, HoldTalk(STAGE, topics(signed.sheet), CREW))

    assert str(error) == "The hold point 'Talk before the first lift' is signed already."


@pytest.mark.parametrize(("seconds", "hasty"), [(0.0, True), (4.9, True), (5.0, False), (60.0, False)])
def test_a_signature_within_seconds_of_the_one_before_is_marked(seconds: float, hasty: bool) -> None:
    run = talked()
    first = decide(run, SIGN, now=START, who=DRILLER)[0]
    run = happened(run, first, DRILLER, at=START)

    event = decide(run, SIGN, now=START + timedelta(seconds=seconds), who=SUPERVISOR)[0]

    assert isinstance(event, HoldPointSigned)
    assert event.hasty is hasty
    assert timedelta(seconds=5) == HASTY
