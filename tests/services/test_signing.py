import pytest

from app.domain.commands import FinishStep, HoldTalk
from app.domain.events.closing import RunSigned
from app.domain.events.hold_points import HoldPointSigned
from app.domain.refusals import CloseOutError, HoldPointError
from app.records.event_json import read_entry
from app.services.people import everybody
from app.services.runs import Acted, KeyMissingError, UnknownRunError, log_of, new_key
from app.services.signing import (
    HOLD_MEANING,
    RUN_MEANING,
    ShownChangedError,
    shown_at_close,
    shown_at_hold_point,
    sign_hold_point,
    sign_run,
)
from app.services.tries import SignInError
from tests.runner import PINS
from tests.services.camp import Job, now

STAGE = "first-lift-pump"


def hold_talk(job: Job, *roles: str) -> None:
    """Hold the talk before the first lift with the crew, or with those of some roles."""
    point = job.run.sheet.stage(STAGE).hold_point
    assert point is not None
    present = tuple(person for role, person in job.crew.items() if not roles or role in roles)
    job.do(HoldTalk(STAGE, point.topics, present))


def sign(job: Job, role: str = "driller", *, pin: str = "", shown: str = "", key: str | None = None) -> Acted:
    person = job.crew[role]
    return now(
        sign_hold_point(
            job.site,
            job.run_id,
            STAGE,
            person_id=person.person_id,
            pin=pin or PINS[person.name],
            shown=shown or shown_at_hold_point(job.run, STAGE),
            key=new_key() if key is None else key,
        )
    )


def sign_the_run(job: Job, shown: str, role: str = "supervisor", *, key: str | None = None) -> Acted:
    person = job.crew[role]
    signing = sign_run(
        job.site,
        job.run_id,
        person_id=person.person_id,
        pin=PINS[person.name],
        shown=shown,
        key=new_key() if key is None else key,
    )
    return now(signing)


def failures(job: Job, role: str) -> int:
    return next(kept.failures for kept in everybody(job.site) if kept.role == role)


NEEDED = ("supervisor", "driller", "pump technician", "company representative")


def test_a_signature_is_kept_with_its_meaning_and_the_fingerprint_of_what_was_shown(job: Job) -> None:
    hold_talk(job)
    shown = shown_at_hold_point(job.run, STAGE)

    acted = sign(job)

    happened = read_entry(log_of(job.site, job.run_id)[-1])
    assert acted.kinds == ("hold-point-signed",)
    assert happened.who == job.crew["driller"]
    assert happened.event == HoldPointSigned(STAGE, HOLD_MEANING, shown, hasty=False)


def test_the_last_signature_opens_the_stage(job: Job) -> None:
    hold_talk(job, *NEEDED)

    kinds = [sign(job, role).kinds for role in NEEDED]

    assert kinds[-1] == ("hold-point-signed", "hold-point-released")
    assert job.run.hold(STAGE).released_at is not None


def test_what_is_signed_must_be_what_was_shown(job: Job) -> None:
    hold_talk(job, *NEEDED)
    shown = shown_at_hold_point(job.run, STAGE)
    hold_talk(job)

    with pytest.raises(ShownChangedError, match="What stands here has changed since you saw it"):
        sign(job, shown=shown)

    assert job.run.hold(STAGE).signatures == ()


def test_what_is_shown_changes_with_the_topics_and_those_present(job: Job) -> None:
    before = shown_at_hold_point(job.run, STAGE)
    hold_talk(job, *NEEDED)
    some = shown_at_hold_point(job.run, STAGE)
    hold_talk(job)
    everybody_there = shown_at_hold_point(job.run, STAGE)

    assert len({before, some, everybody_there}) == 3


def test_what_is_shown_does_not_change_with_the_signatures_of_others(job: Job) -> None:
    hold_talk(job)
    shown = shown_at_hold_point(job.run, STAGE)

    sign(job, "driller", shown=shown)
    sign(job, "supervisor", shown=shown)

    assert len(job.run.hold(STAGE).signatures) == 2


def test_nobody_signs_with_the_pin_of_another(job: Job) -> None:
    hold_talk(job)

    with pytest.raises(SignInError, match="That is not the PIN of Test Driller"):
        sign(job, pin=PINS["Test Supervisor"])

    assert job.run.hold(STAGE).signatures == ()
    assert failures(job, "driller") == 1


def test_nobody_signs_who_was_not_there(job: Job) -> None:
    hold_talk(job, *NEEDED)

    with pytest.raises(HoldPointError, match="Test Hand is not on the attendance"):
        sign(job, "floor crew")


def test_nobody_signs_where_there_is_no_hold_point(job: Job) -> None:
    person = job.crew["driller"]

    with pytest.raises(HoldPointError, match="There is no hold point before 'nowhere'"):
        now(
            sign_hold_point(
                job.site,
                job.run_id,
                "nowhere",
                person_id=person.person_id,
                pin=PINS[person.name],
                shown="",
                key=new_key(),
            )
        )


def test_a_stage_without_a_hold_point_shows_its_steps_all_the_same(job: Job) -> None:
    assert shown_at_hold_point(job.run, "deck-work") != shown_at_hold_point(job.run, STAGE)
    with pytest.raises(KeyError):
        shown_at_hold_point(job.run, "nowhere")


def test_a_signature_without_a_key_is_refused_before_the_pin_is_looked_at(job: Job) -> None:
    hold_talk(job)

    with pytest.raises(KeyMissingError):
        sign(job, pin="000000", key="")
    with pytest.raises(KeyMissingError):
        sign_the_run(job, "", key="short")

    assert failures(job, "driller") == 0


def test_a_signature_sent_twice_is_one_signature(job: Job) -> None:
    hold_talk(job)
    key, shown = new_key(), shown_at_hold_point(job.run, STAGE)

    first = sign(job, shown=shown, key=key)
    second = sign(job, shown=shown, key=key)

    assert (first.repeated, second.repeated) == (False, True)
    assert second.sequence == first.sequence
    assert len(job.run.hold(STAGE).signatures) == 1


def test_a_signature_sent_twice_gets_its_first_answer_although_the_talk_was_held_again(job: Job) -> None:
    hold_talk(job, *NEEDED)
    key, shown = new_key(), shown_at_hold_point(job.run, STAGE)
    first = sign(job, shown=shown, key=key)
    hold_talk(job)

    second = sign(job, shown=shown, key=key)

    assert (second.sequence, second.repeated) == (first.sequence, True)
    assert job.run.hold(STAGE).signatures == ()


def test_a_signature_on_a_run_that_is_not_there_is_refused(job: Job) -> None:
    person = job.crew["driller"]
    pin = PINS[person.name]

    with pytest.raises(UnknownRunError, match="There is no run 'nothing' here"):
        now(sign_run(job.site, "nothing", person_id=person.person_id, pin=pin, shown="", key=new_key()))


def test_the_finished_run_is_signed_as_it_was_shown(finished: Job) -> None:
    happened = [read_entry(entry) for entry in log_of(finished.site, finished.run_id)]

    signed = [item for item in happened if isinstance(item.event, RunSigned)]

    assert [item.who.role for item in signed] == ["supervisor", "company representative"]
    assert {item.event for item in signed} == {RunSigned(RUN_MEANING, shown_at_close(finished.run))}


def test_a_run_that_changed_since_it_was_shown_is_not_signed(job: Job) -> None:
    shown = shown_at_close(job.run)
    job.do(FinishStep(1))

    with pytest.raises(ShownChangedError):
        sign_the_run(job, shown)


def test_an_unfinished_run_is_not_signed(job: Job) -> None:
    with pytest.raises(CloseOutError, match="The run cannot be signed yet"):
        sign_the_run(job, shown_at_close(job.run))
