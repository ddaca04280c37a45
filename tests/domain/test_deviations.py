from dataclasses import replace

import pytest

from app.domain.commands import (
    AcceptDeviation,
    CorrectReading,
    ProposeDisposition,
    RaiseDeviation,
)
from app.domain.crew import Limits
from app.domain.events.deviations import (
    DeviationAccepted,
    DeviationRaised,
    Disposition,
    DispositionProposed,
)
from app.domain.quantities import Ratio
from app.domain.refusals import (
    DeviationError,
    ReadingError,
    ReasonMissingError,
    RightsError,
    UnknownStepError,
)
from app.domain.run import Run
from tests.domain import job
from tests.domain.job import (
    HAND,
    REPRESENTATIVE,
    SUPERVISOR,
    TECHNICIAN,
    TORQUE,
    asked,
    do,
    happened,
    refused,
)

USE_AS_IS = Disposition.USE_AS_IS


RAISE = RaiseDeviation(1, "what", "why", USE_AS_IS)


def test_anybody_may_raise_a_deviation_and_it_gets_the_next_number(begun: Run) -> None:
    run = do(begun, RaiseDeviation(3, " one ", " because ", Disposition.REPLACE), HAND)

    (event,) = asked(run, RaiseDeviation(30, "two", "because", USE_AS_IS), REPRESENTATIVE)

    assert run.deviations[0].raised == DeviationRaised(1, 3, "one", "because", Disposition.REPLACE, "")
    assert run.deviations[0].raised_by == HAND
    assert event == DeviationRaised(2, 30, "two", "because", USE_AS_IS, "")


def test_a_deviation_says_what_and_why_and_where(begun: Run) -> None:
    assert isinstance(refused(begun, RaiseDeviation(1, " ", "why", USE_AS_IS)), DeviationError)
    assert isinstance(refused(begun, RaiseDeviation(1, "what", " ", USE_AS_IS)), ReasonMissingError)
    assert isinstance(refused(begun, RaiseDeviation(0, "what", "why", USE_AS_IS)), UnknownStepError)


def test_a_deviation_is_disposed_of_once_by_those_whom_the_plan_names(begun: Run) -> None:
    run = do(begun, RAISE, HAND)

    not_his = refused(run, AcceptDeviation(1, USE_AS_IS, "fine"), HAND)
    (event,) = asked(run, AcceptDeviation(1, USE_AS_IS, " fine "))
    again = refused(happened(run, event), AcceptDeviation(1, Disposition.REPLACE, "no"))

    assert isinstance(not_his, RightsError)
    assert event == DeviationAccepted(1, USE_AS_IS, "fine")
    assert str(again) == (
        "Deviation 1 is settled already (use as is); raise another where more is to be said."
    )


def test_the_plan_may_name_others_to_dispose_of_deviations(begun: Run) -> None:
    limits = Limits(Ratio(0.03), deviations_accepted_by=("company representative",))
    run = do(replace(begun, plan=replace(begun.plan, limits=limits)), RAISE, HAND)

    assert asked(run, AcceptDeviation(1, USE_AS_IS, "fine"), REPRESENTATIVE)
    assert isinstance(refused(run, AcceptDeviation(1, USE_AS_IS, "fine"), SUPERVISOR), RightsError)


def test_supervisors_dispose_of_deviations_where_the_plan_names_nobody(begun: Run) -> None:
    limits = Limits(Ratio(0.03), deviations_accepted_by=())
    run = do(replace(begun, plan=replace(begun.plan, limits=limits)), RAISE, HAND)

    assert asked(run, AcceptDeviation(1, USE_AS_IS, "fine"), SUPERVISOR)


def test_a_deviation_that_is_not_there_or_has_no_reason_is_not_disposed_of(begun: Run) -> None:
    run = do(begun, RAISE, HAND)

    missing = refused(run, AcceptDeviation(2, USE_AS_IS, "fine"))

    assert str(missing) == "There is no deviation 2 in this run; choose one of the list."
    assert isinstance(refused(run, AcceptDeviation(1, USE_AS_IS, "")), ReasonMissingError)


def test_another_proposal_takes_the_place_of_the_first_and_both_are_kept(begun: Run) -> None:
    run = do(begun, RAISE, HAND)

    changed = do(run, ProposeDisposition(1, Disposition.REPLACE, " there is a spare "), TECHNICIAN)

    (item,) = changed.deviations
    assert item.proposed is Disposition.REPLACE
    assert [(one.disposition, one.reason, one.who) for one in item.proposals] == [
        (USE_AS_IS, "why", HAND),
        (Disposition.REPLACE, "there is a spare", TECHNICIAN),
    ]
    assert item.is_open


def test_only_what_is_proposed_now_can_be_accepted(begun: Run) -> None:
    run = do(begun, RAISE, HAND)
    changed = do(run, ProposeDisposition(1, Disposition.REPLACE, "there is a spare"), TECHNICIAN)

    other = refused(run, AcceptDeviation(1, Disposition.REPLACE, "fine"))

    assert str(other) == (
        "Deviation 1 is proposed as use as is, not replace. Propose replace first, so that both stand in "
        "the record."
    )
    assert asked(changed, AcceptDeviation(1, Disposition.REPLACE, "fine"))


def test_what_nobody_has_proposed_anything_about_is_not_accepted(begun: Run) -> None:
    run = happened(begun, DeviationRaised(1, 1, "apart", "too far", None, ""))

    nothing = refused(run, AcceptDeviation(1, USE_AS_IS, "fine"))

    assert str(nothing) == (
        "Nobody has proposed what to do about deviation 1. Propose it first; to accept it is an "
        "act of its own."
    )
    assert asked(run, ProposeDisposition(1, USE_AS_IS, "fine"), HAND) == (
        DispositionProposed(1, USE_AS_IS, "fine"),
    )


def test_a_proposal_is_about_an_open_deviation_and_says_something_new(begun: Run) -> None:
    run = do(begun, RAISE, HAND)
    settled = do(run, AcceptDeviation(1, USE_AS_IS, "fine"))

    same = refused(run, ProposeDisposition(1, USE_AS_IS, "still"))
    late = refused(settled, ProposeDisposition(1, Disposition.REWORK, "no"))

    assert str(same) == "Deviation 1 is proposed as use as is already."
    assert "is settled already" in str(late)
    assert isinstance(refused(run, ProposeDisposition(1, Disposition.REWORK, " ")), ReasonMissingError)
    assert isinstance(refused(run, ProposeDisposition(2, Disposition.REWORK, "no")), DeviationError)


def test_a_deviation_names_no_finding_that_no_check_has(begun: Run) -> None:
    made_up = refused(begun, RaiseDeviation(1, "what", "why", USE_AS_IS, "systems[0]: whatever"))

    assert "No check of step 1 finds this now" in str(made_up)


@pytest.mark.parametrize(("torque", "stands"), [("440", True), ("449", True), ("439", False), ("560", False)])
def test_what_was_accepted_as_it_is_lets_nothing_further_outside_stand(torque: str, stands: bool) -> None:
    run = job.with_deviation(do(job.before(TORQUE), job.torqued("440"), HAND))

    again = do(run, job.torqued(torque), HAND)

    assert again.is_done(TORQUE) is stands
    assert len(again.attempts[TORQUE]) == (1 if stands else 2)


def test_what_was_accepted_before_anything_was_tried_is_about_no_reading() -> None:
    run = do(job.with_deviation(job.before(TORQUE)), job.torqued("440"), HAND)

    assert not run.is_done(TORQUE)
    assert do(job.with_deviation(run), job.torqued("440"), HAND).done[TORQUE].deviation == 2


def test_a_correction_goes_no_further_outside_than_was_accepted() -> None:
    run = job.with_deviation(do(job.before(TORQUE), job.torqued("440"), HAND))
    run = do(run, job.torqued("440"), HAND)

    worse = refused(run, CorrectReading(TORQUE, job.torqued("430").readings[0], "misread"), HAND)

    assert isinstance(worse, ReadingError)
    assert do(run, CorrectReading(TORQUE, job.torqued("445").readings[0], "misread"), HAND)
