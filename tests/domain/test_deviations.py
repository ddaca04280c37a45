from dataclasses import replace

from app.domain.commands import (
    AcceptDeviation,
    RaiseDeviation,
)
from app.domain.crew import Limits
from app.domain.events.deviations import DeviationAccepted, DeviationRaised, Disposition
from app.domain.quantities import Ratio
from app.domain.refusals import (
    DeviationError,
    ReasonMissingError,
    RightsError,
    UnknownStepError,
)
from app.domain.run import Run
from tests.domain.job import (
    HAND,
    REPRESENTATIVE,
    SUPERVISOR,
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

    assert run.deviations[0].raised == DeviationRaised(1, 3, "one", "because", Disposition.REPLACE)
    assert run.deviations[0].raised_by == HAND
    assert event == DeviationRaised(2, 30, "two", "because", USE_AS_IS)


def test_a_deviation_says_what_and_why_and_where(begun: Run) -> None:
    assert isinstance(refused(begun, RaiseDeviation(1, " ", "why", USE_AS_IS)), DeviationError)
    assert isinstance(refused(begun, RaiseDeviation(1, "what", " ", USE_AS_IS)), ReasonMissingError)
    assert isinstance(refused(begun, RaiseDeviation(0, "what", "why", USE_AS_IS)), UnknownStepError)


def test_a_deviation_is_disposed_of_once_by_those_whom_the_plan_names(begun: Run) -> None:
    run = do(begun, RaiseDeviation(1, "what", "why", Disposition.REWORK), HAND)

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
