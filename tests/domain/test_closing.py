from dataclasses import replace

import pytest

from app.domain.at_step.counts import items_of
from app.domain.commands import (
    BeginHold,
    CloseRun,
    CountItems,
    EndHold,
    RaiseDeviation,
    SettleItems,
    SignRun,
    UndoStep,
)
from app.domain.crew import Person
from app.domain.deciding.closing import (
    closing_roles,
    gear_counts,
    missing,
    open_ends,
    uncounted,
    unsettled_serials,
)
from app.domain.events.closing import RunClosed, RunSigned
from app.domain.events.deviations import Disposition
from app.domain.events.holds import Cause
from app.domain.events.load_out import ItemsCounted, Settlement
from app.domain.problems import Severity
from app.domain.refusals import CloseOutError, LoadOutError, ReasonMissingError, RightsError
from app.domain.run import Run
from app.domain.sheet import GearMove, Sheet
from tests.domain import job
from tests.domain.job import (
    DRILLER,
    FIRST_LIFT,
    LAST,
    REPRESENTATIVE,
    SUPERVISOR,
    TECHNICIAN,
    after,
    all_done,
    asked,
    before,
    begun,
    do,
    refused,
    with_deviation,
)
from tests.runner import send_back

SIGN = SignRun("as the record says", "b" * 64)
PROTECTOR = "cross-coupling protector, 2-7/8 in"
LEFT = ["serials-left", "items-left"]


def settled() -> Run:
    """Return the run in which everything is done and accounted for."""
    run = all_done()
    run = do(run, SettleItems(unsettled_serials(run), Settlement.RETURNED, "not needed"))
    for count in uncounted(run):
        run = do(run, send_back(count))
    return run


def signed() -> Run:
    """Return the run that supervisor and company representative have signed."""
    return do(do(settled(), SIGN, SUPERVISOR), SIGN, REPRESENTATIVE)


def rules(run: Run) -> list[str]:
    return [problem.rule for problem in missing(run)]


def test_nothing_is_missing_once_all_is_done_signed_and_accounted_for() -> None:
    assert missing(settled()) == ()


def test_everything_is_missing_at_the_beginning() -> None:
    problems = missing(begun())

    assert [problem.rule for problem in problems] == ["steps-open", *["hold-point-open"] * 5, *LEFT]
    assert {problem.severity for problem in problems} == {Severity.STOP}
    assert problems[0].text == f"{LAST} steps are not done, the first is step 1. Do them."
    assert problems[1].text == "'Talk before the first lift' is not signed. Sign it."


def test_an_open_deviation_is_missing_its_disposition() -> None:
    run = do(settled(), RaiseDeviation(60, "low torque", "worn", Disposition.REWORK))

    (problem,) = missing(run)

    assert problem.rule == "deviation-open"
    assert problem.text == "Deviation 1 is open. Settle it with a reason."


def test_serials_that_are_neither_in_the_well_nor_accounted_for_are_missing() -> None:
    problem = missing(all_done())[0]

    assert unsettled_serials(all_done()) == ("TL-BC-0405", "TL-BC-0406", "TL-SEAL-0019")
    assert problem.text == (
        "3 serials are neither in the well nor accounted for: TL-BC-0405, TL-BC-0406, TL-SEAL-0019. "
        "Say that they went back."
    )


def test_a_long_list_of_serials_is_shortened() -> None:
    (problem,) = [item for item in missing(begun()) if item.rule == "serials-left"]

    assert ", TL-PEN-0011" not in problem.text
    assert " ... " not in problem.text
    assert "TL-BC-0406 ...." in problem.text


def with_gear_left_on(sheet: Sheet) -> Sheet:
    """Return the sheet with one more nubbin that never comes off."""
    steps = tuple(
        replace(step, gear=(*step.gear, GearMove("LG-NB-287", 1))) if step.number == FIRST_LIFT else step
        for step in sheet.steps
    )
    return replace(sheet, steps=steps)


def test_gear_that_went_on_and_never_came_off_is_missing() -> None:
    run = replace(settled(), sheet=with_gear_left_on(settled().sheet))

    (problem,) = missing(run)

    assert problem.rule == "gear-left"
    assert problem.text == "LG-NB-287 went on 3 and came off 2 times. Find the rest."


def test_gear_is_counted_in_the_steps_that_are_done() -> None:
    assert gear_counts(begun()) == {}
    assert gear_counts(after(FIRST_LIFT)) == {"LG-NB-287": (1, 0)}
    assert all(on == off > 0 for on, off in gear_counts(all_done()).values())
    assert list(gear_counts(all_done())) == sorted(gear_counts(all_done()))


def test_a_finished_run_is_signed_by_each_closing_role() -> None:
    run = settled()

    assert closing_roles(run) == ("supervisor", "company representative")
    assert asked(run, SIGN, REPRESENTATIVE) == (RunSigned("as the record says", "b" * 64),)


def test_only_roles_that_the_crew_has_are_asked_to_sign() -> None:
    run = settled()
    crew = (Person("Sam Sample", "supervisor"), Person("Dora Dummy", "driller"))

    assert closing_roles(replace(run, plan=replace(run.plan, crew=crew))) == ("supervisor",)


def test_an_unfinished_run_is_not_signed_and_says_what_is_missing() -> None:
    error = refused(begun(), SIGN)

    assert isinstance(error, CloseOutError)
    assert str(error).startswith(f"The run cannot be signed yet. step 1: {LAST} steps are not done")
    assert str(error).endswith(" And 5 more.")


def test_a_run_with_few_things_missing_names_them_all() -> None:
    error = refused(all_done(), SIGN)

    assert "load-out list: 3 serials" in str(error)
    assert "more." not in str(error)


def test_another_role_does_not_sign_the_finished_run() -> None:
    error = refused(settled(), SIGN, TECHNICIAN)

    assert isinstance(error, RightsError)
    assert "that is for the supervisor or company representative" in str(error)


def test_a_role_signs_the_finished_run_once() -> None:
    error = refused(do(settled(), SIGN), SIGN)

    assert str(error) == "The supervisor has signed the finished run already."


def test_a_signed_run_is_closed_by_a_supervisor() -> None:
    assert asked(signed(), CloseRun(" good job ")) == (RunClosed("good job"),)
    assert isinstance(refused(signed(), CloseRun(), REPRESENTATIVE), RightsError)
    assert isinstance(refused(signed(), CloseRun(), DRILLER), RightsError)


@pytest.mark.parametrize(
    ("by", "words"),
    [
        ((), "supervisor and the company representative"),
        ((SUPERVISOR,), "company representative"),
        ((REPRESENTATIVE,), "supervisor"),
    ],
)
def test_a_run_is_not_closed_before_all_have_signed(by: tuple[object, ...], words: str) -> None:
    run = settled()
    for person in (SUPERVISOR, REPRESENTATIVE):
        run = do(run, SIGN, person) if person in by else run

    error = refused(run, CloseRun())

    assert isinstance(error, CloseOutError)
    assert str(error) == f"Not signed yet by the {words}: take their signatures first."


def test_an_unfinished_run_is_not_closed() -> None:
    assert isinstance(refused(begun(), CloseRun()), CloseOutError)


def test_work_that_changes_after_a_signature_is_signed_for_again() -> None:
    run = do(
        do(signed(), UndoStep(LAST, "not counted")), SettleItems(("TL-BC-0405",), Settlement.REJECTED, "bent")
    )

    assert rules(run) == ["steps-open"]
    assert run.signatures == ()


def test_what_came_without_serials_is_missing_until_it_adds_up() -> None:
    run = do(all_done(), SettleItems(unsettled_serials(all_done()), Settlement.RETURNED, "not needed"))
    fitted = all_fitted(run)

    (problem,) = missing(run)

    assert (problem.rule, problem.where) == ("items-left", PROTECTOR)
    assert problem.text.startswith(f"12 were issued, {fitted} are fitted, 0 went back, 0 were rejected.")
    counted = CountItems(PROTECTOR, 12, 12 - fitted - 1, 1, "one cracked")
    assert asked(run, counted, DRILLER) == (ItemsCounted(PROTECTOR, 12, 12 - fitted - 1, 1, "one cracked"),)
    assert missing(do(run, counted)) == ()


def all_fitted(run: Run) -> int:
    """Return how many protectors are fitted."""
    return next(count.fitted for count in items_of(run) if count.item == PROTECTOR)


def test_more_fitted_than_came_is_missing_too_and_is_counted_again() -> None:
    fitted = all_fitted(all_done())
    early = do(begun(), CountItems(PROTECTOR, fitted - 1, 0, 0, "counted on deck"))
    run = replace(settled(), counted=early.counted)

    assert rules(run) == ["items-left"]
    assert missing(do(run, CountItems(PROTECTOR, fitted, 0, 0, "one more came"))) == ()


@pytest.mark.parametrize(
    ("issued", "returned", "rejected", "words"),
    [(12, 12, 0, "but only 12 came"), (-1, 0, 0, "whole numbers"), (10**6, 0, 0, "whole numbers")],
)
def test_a_count_that_cannot_be_is_refused(issued: int, returned: int, rejected: int, words: str) -> None:
    error = refused(all_done(), CountItems(PROTECTOR, issued, returned, rejected, "so"))

    assert isinstance(error, LoadOutError)
    assert words in str(error)


def test_what_has_serials_is_not_counted_by_number() -> None:
    error = refused(begun(), CountItems("bypass clamp", 6, 0, 0, "so"))

    assert isinstance(error, LoadOutError)
    assert f"choose one of: {PROTECTOR}" in str(error)
    assert isinstance(refused(begun(), CountItems(PROTECTOR, 12, 0, 0, " ")), ReasonMissingError)


def test_each_thing_missing_names_where_it_is_put_right() -> None:
    run = do(with_deviation(before(job.TORQUE)), RaiseDeviation(60, "low", "worn", Disposition.REWORK))
    run = do(run, BeginHold(Cause.WEATHER))

    ends = {end.problem.rule: end for end in open_ends(replace(run, sheet=with_gear_left_on(run.sheet)))}

    assert ends["steps-open"].step == job.TORQUE
    assert ends["hold-point-open"].stage == "landing"
    assert ends["deviation-open"].deviation == 2
    assert ends["gear-left"].step in run.done
    assert set(ends) >= {"on-hold", "serials-left", "items-left"}


def test_temporary_gear_and_items_are_counted_alike_before_and_after_a_hold() -> None:
    run = before(job.SECOND_CLAMP)

    after_hold = do(do(run, BeginHold(Cause.REST)), EndHold())

    assert gear_counts(after_hold) == gear_counts(run)
    assert items_of(after_hold) == items_of(run)
