"""A run that goes back or is planned anew on a real site: signed for, kept, read again after a restart."""

from pathlib import Path

import pytest

from app.domain.commands import AddNote
from app.domain.events.rewriting import BackOutCause
from app.domain.refusals import BackOutError, ReasonMissingError, ReplanError, RightsError
from app.domain.rewriting.backing_out import steps_to_go_back_to
from app.services import plans, rewriting
from app.services.rewriting import Signer
from app.services.runs import Acted, new_key
from app.services.signing import ShownChangedError
from app.services.tries import SignInError
from app.store.answers import KeyReusedError
from tests.domain.job import LINE_TEST
from tests.runner import PINS, finish
from tests.services.camp import SINGLE, Job, crew_of, now
from tests.services.conftest import Open

ONE_MORE = SINGLE.replace(
    '    { tag = "P-008", length = "29.64 ft" },',
    '    { tag = "P-008", length = "29.64 ft" },\n    { tag = "P-009", length = "30.20 ft" },',
)


def walk(job: Job, steps: int) -> None:
    """Do so many steps more, deck work first."""
    for _ in range(steps):
        deck = job.run.open_deck_steps()
        step = deck[0] if deck else job.run.current()
        assert step is not None
        now(finish(job.site, job.run_id, step, job.crew))


def signer(job: Job, shown: str, *, by: str = "supervisor", key: str = "") -> Signer:
    person = job.crew[by]
    return Signer(person.person_id, PINS[person.name], shown, key or new_key())


def go_back(job: Job, first: int, *, reason: str = "bent", shown: str = "", key: str = "") -> Acted:
    shown = shown or rewriting.way_back(job.run, first).shown
    return now(
        rewriting.begin_back_out(
            job.site,
            job.run_id,
            first,
            cause=BackOutCause.DAMAGE,
            reason=reason,
            deviation=0,
            signer=signer(job, shown, key=key),
        )
    )


def replan(job: Job, plan_id: str, shown: str = "", accepted: tuple[str, ...] = ()) -> Acted:
    shown = shown or rewriting.changed_plan(job.site, job.run, plan_id).proposal.shown
    return now(
        rewriting.replan(
            job.site, job.run_id, plan_id, reason="longer", accepted=accepted, signer=signer(job, shown)
        )
    )


def last_done(job: Job) -> int:
    return job.run.floor_next - 1


def test_a_run_goes_back_and_a_restart_brings_it_back_where_it_was(job: Job, open_here: Open) -> None:
    walk(job, 60)

    acted = go_back(job, last_done(job) - 2)
    walk(job, 1)

    assert acted.kinds == ("back-out-begun",)
    job.site.close()
    again = Job(open_here(Path(job.site.data)), job.run_id, job.crew)
    assert again.run == job.run
    assert again.run.way_back_left() != ()
    assert crew_of(again.site)


def test_a_way_back_sent_twice_under_one_key_is_begun_once(job: Job) -> None:
    walk(job, 60)
    first, key = last_done(job), new_key()
    shown = rewriting.way_back(job.run, first).shown

    once = go_back(job, first, shown=shown, key=key)
    twice = go_back(job, first, shown=shown, key=key)

    assert twice.repeated
    assert twice.sequence == once.sequence
    with pytest.raises(KeyReusedError):
        go_back(job, first, reason="another", shown=shown, key=key)


def test_what_is_signed_for_is_what_was_shown(job: Job) -> None:
    walk(job, 60)
    first = last_done(job)
    shown = rewriting.way_back(job.run, first).shown
    walk(job, 1)

    with pytest.raises(ShownChangedError):
        go_back(job, first, shown=shown)

    assert job.run.rewrites == ()


def test_a_note_in_between_does_not_change_what_was_shown(job: Job) -> None:
    walk(job, 60)
    first = last_done(job)
    shown = rewriting.way_back(job.run, first).shown
    job.do(AddNote(0, "wind"))

    go_back(job, first, shown=shown)

    assert len(job.run.rewrites) == 1


def test_the_supervisor_alone_goes_back_by_his_own_pin_and_with_a_reason(job: Job) -> None:
    walk(job, 60)
    first = last_done(job)
    shown = rewriting.way_back(job.run, first).shown
    driller, wrong = (
        signer(job, shown, by="driller"),
        Signer(job.supervisor.person_id, "111222", shown, new_key()),
    )
    cause = BackOutCause.OTHER

    for signs, error in ((driller, RightsError), (wrong, SignInError)):
        with pytest.raises(error):
            now(
                rewriting.begin_back_out(
                    job.site, job.run_id, first, cause=cause, reason="bent", deviation=0, signer=signs
                )
            )
    with pytest.raises(ReasonMissingError):
        go_back(job, first, reason=" ")

    assert job.run.rewrites == ()


def test_a_way_back_is_called_off_and_a_restart_knows_the_old_sheet(job: Job, open_here: Open) -> None:
    walk(job, 60)
    before = job.run
    go_back(job, last_done(job) - 2)

    now(rewriting.call_off(job.site, job.run_id, job.supervisor, "it was the meter", new_key()))

    assert job.run.sheet == before.sheet
    job.site.close()
    again = Job(open_here(Path(job.site.data)), job.run_id, job.crew)
    assert again.run == job.run


def test_a_way_back_is_turned_twice_and_a_restart_brings_it_back_where_it_was(
    job: Job, open_here: Open
) -> None:
    walk(job, 60)
    last = last_done(job)
    go_back(job, last - 5)
    walk(job, 1)

    further = go_back(job, last - 8, reason="bent below too")
    walk(job, 1)
    sooner = go_back(job, steps_to_go_back_to(job.run)[0].number, reason="found")

    assert further.kinds == sooner.kinds == ("back-out-turned",)
    assert [rewrite.turned is not None for rewrite in job.run.rewrites] == [True, True, False]
    job.site.close()
    again = Job(open_here(Path(job.site.data)), job.run_id, job.crew)
    assert again.run == job.run
    walk(again, 10)
    assert again.run.way_back() == ()


def test_a_turn_is_called_off_and_a_restart_knows_the_way_back_before_it(job: Job, open_here: Open) -> None:
    walk(job, 60)
    go_back(job, last_done(job) - 5)
    walk(job, 1)
    before = job.run
    go_back(job, last_done(job) - 10)

    now(rewriting.call_off(job.site, job.run_id, job.supervisor, "it is good below", new_key()))

    assert job.run.sheet == before.sheet
    assert job.run.way_back_left() == before.way_back_left()
    job.site.close()
    again = Job(open_here(Path(job.site.data)), job.run_id, job.crew)
    assert again.run == job.run


def test_a_turn_is_signed_for_as_it_was_shown(job: Job) -> None:
    walk(job, 60)
    go_back(job, last_done(job) - 5)
    walk(job, 1)
    first = job.run.rewrites[0].goes_to - 3
    shown = rewriting.way_back(job.run, first).shown
    walk(job, 1)

    with pytest.raises(ShownChangedError):
        go_back(job, first, shown=shown)

    assert len(job.run.rewrites) == 1


def test_there_is_nothing_to_call_off_on_the_way_forward(job: Job) -> None:
    with pytest.raises(BackOutError):
        now(rewriting.call_off(job.site, job.run_id, job.supervisor, "no need", new_key()))


def test_a_changed_plan_goes_on_from_what_is_done_and_after_a_restart(job: Job, open_here: Open) -> None:
    walk(job, 60)
    kept = plans.keep_plan(job.site, "one joint more", ONE_MORE, job.supervisor)
    shown = rewriting.changed_plan(job.site, job.run, kept.id)
    accepted = tuple(
        f"{item.rule} at {item.where}: {item.text}" for item in shown.proposal.rewritten.problems
    )

    acted = replan(job, kept.id, accepted=accepted)

    assert acted.kinds == ("replanned",)
    assert "P-009" in {tag for step in job.run.sheet.steps for tag in step.parts}
    assert rewriting.plan_text(job.site, job.run) == ONE_MORE
    job.site.close()
    again = Job(open_here(Path(job.site.data)), job.run_id, job.crew)
    assert again.run == job.run


def test_a_plan_that_cannot_be_compiled_is_not_gone_on_with(job: Job) -> None:
    walk(job, 60)
    kept = plans.keep_plan(
        job.site, "", SINGLE.replace('stroke = "', 'stroke = "1', 1).replace("P-007", "P-006"), job.supervisor
    )

    with pytest.raises(ReplanError) as refusal:
        rewriting.changed_plan(job.site, job.run, kept.id)

    assert "cannot be compiled" in str(refusal.value)


def put_off(job: Job, number: int, until: int) -> Acted:
    signed = signer(job, rewriting.later(job.run, number, until).shown)
    return now(rewriting.defer(job.site, job.run_id, number, until, reason="no pump", signer=signed))


def bring_forward(job: Job, number: int, *, shown: str = "", key: str = "", by: str = "supervisor") -> Acted:
    signed = signer(job, shown or rewriting.sooner(job.run, number).shown, by=by, key=key)
    return now(rewriting.bring_forward(job.site, job.run_id, number, reason="it came", signer=signed))


def test_a_step_that_is_brought_forward_is_there_after_a_restart(job: Job, open_here: Open) -> None:
    walk(job, 60)
    sheet = job.run.sheet
    put_off(job, LINE_TEST, LINE_TEST + 3)

    acted = bring_forward(job, LINE_TEST + 2)

    assert acted.kinds == ("step-brought-forward",)
    assert (job.run.sheet, job.run.deferred) == (sheet, {})
    job.site.close()
    again = Job(open_here(Path(job.site.data)), job.run_id, job.crew)
    assert again.run == job.run


def test_a_step_is_brought_forward_once_under_one_key_and_as_it_was_shown(job: Job) -> None:
    walk(job, 60)
    put_off(job, LINE_TEST, LINE_TEST + 3)
    shown, key = rewriting.sooner(job.run, LINE_TEST + 2).shown, new_key()

    with pytest.raises(RightsError):
        bring_forward(job, LINE_TEST + 2, by="driller")
    with pytest.raises(ShownChangedError):
        bring_forward(job, LINE_TEST + 2, shown="0" * 64)
    first, again = (bring_forward(job, LINE_TEST + 2, shown=shown, key=key) for _ in range(2))

    assert (first.repeated, again.repeated) == (False, True)
    assert again.sequence == first.sequence == job.run.sequence
