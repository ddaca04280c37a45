"""Stations of clamps: in one place, on a body, beside the pump leg, and apart."""

from dataclasses import replace

import pytest

from app.domain.checks.references import check_clamps, check_mid_joint_clamps, check_protectors
from app.domain.checks.stations import check_clamp_places, check_clamps_apart, check_clamps_beside
from app.domain.checks.structure import check_joining, check_systems
from app.domain.gear import Clamp
from app.domain.parts import LegEnd, PartKind
from app.domain.plan import Plan
from app.domain.problems import Severity
from app.domain.quantities import in_unit, length
from app.domain.stations import joint_spans, spans, station_height
from tests.domain.checks.changes import change_clamp_type, change_clamps, change_part, change_system
from tests.plan_builder import PlanChoice, SystemChoice, build_plan
from tests.plan_stock import TODAY

PLAN = build_plan()
# 36.3 ft of motor and first seal over the mark: S1-B2 stands beside them from 23.6 ft on.
TYPE = "bypass clamp"


def below_top(tag: str, feet: float) -> Clamp:
    return Clamp(tag, TYPE, below_top=length(feet, "ft"))


def with_upper(**changes: object) -> Plan:
    return change_system(PLAN, 1, **changes)


@pytest.mark.parametrize(
    ("clamp", "stops"),
    [
        (Clamp("S1-B2", TYPE), 1),
        (Clamp("S1-B2", TYPE, LegEnd.BASE, length(3, "ft")), 1),
        (Clamp("S1-B2", TYPE, LegEnd.BASE), 0),
        (below_top("S1-B2", 3), 0),
    ],
)
def test_a_clamp_says_in_one_way_where_it_sits(clamp: Clamp, stops: int) -> None:
    assert len(list(check_clamp_places(change_clamps(PLAN, 0, clamp), TODAY))) == stops


@pytest.mark.parametrize(
    ("feet", "stops"), [(0.33, 1), (0.34, 0), (31.04, 0), (31.05, 1), (40.0, 1), (-1.0, 1)]
)
def test_a_clamp_sits_whole_on_the_body_of_its_joint(feet: float, stops: int) -> None:
    # It grips 8 in of a joint of 31.38 ft: four inches either way.
    assert PLAN.systems[0].bypass.joints[1].length == length(31.38, "ft")

    assert len(list(check_clamps_beside(change_clamps(PLAN, 0, below_top("S1-B2", feet)), TODAY))) == stops


def test_a_clamp_on_a_part_needs_no_joint_beside_it() -> None:
    assert not list(check_clamps_beside(change_clamps(PLAN, 0, below_top("S1-PUMP-1", 9)), TODAY))


@pytest.mark.parametrize(("end", "stops"), [(LegEnd.BASE, 1), (LegEnd.HEAD, 0)])
def test_under_the_mark_and_over_the_pump_leg_there_is_nothing_to_tie(end: LegEnd, stops: int) -> None:
    found = list(check_clamps_beside(change_clamps(PLAN, 0, Clamp("S1-B1", TYPE, end)), TODAY))

    assert len(found) == stops
    assert all("it stands there from S1-GAUGE-1 to S1-DISCHARGE-SUB-1" in problem.text for problem in found)


@pytest.mark.parametrize(("feet", "stops"), [(7.13, 0), (7.14, 1), (7.8, 1)])
def test_two_clamps_are_a_clamp_apart(feet: float, stops: int) -> None:
    # The seal is 7.8 ft long with a clamp at its base; two of 8 in need 0.667 ft between their middles.
    assert len(list(check_clamps_apart(change_clamps(PLAN, 0, below_top("S1-SEAL-1", feet)), TODAY))) == stops


@pytest.mark.parametrize(
    ("feet", "severities"), [(6.79, []), (6.81, [Severity.CAUTION]), (7.8, [Severity.STOP])]
)
def test_clamps_whose_height_nobody_wrote_down_are_taken_as_high_as_is_usual(
    feet: float, severities: list[Severity]
) -> None:
    # Two of 12 in need a foot between their middles; in one place they overlap however high they are.
    plan = change_clamp_type(change_clamps(PLAN, 0, below_top("S1-SEAL-1", feet)), TYPE, height=None)

    found = list(check_clamps_apart(plan, TODAY))

    assert [problem.severity for problem in found] == severities
    assert all("ft apart and need 1.00 ft" in problem.text for problem in found)


def test_no_clamp_sits_where_the_support_clamp_does() -> None:
    (problem,) = check_clamps_apart(change_clamps(PLAN, 1, Clamp("S2-MOTOR-1", TYPE, LegEnd.BASE)), TODAY)

    assert "S2-MOTOR-1 base" in problem.text
    assert "S2-B1 mark" in problem.text


def test_a_station_is_as_high_by_its_joint_as_by_its_part() -> None:
    system = PLAN.systems[0]
    stretches = spans(system)
    height = station_height(Clamp("S1-SEAL-2", TYPE, LegEnd.BASE), stretches)

    tag, span = next((tag, span) for tag, span in joint_spans(system).items() if span.holds(height))
    by_joint = below_top(tag, round(in_unit(span.top - height, "ft"), 4))

    assert in_unit(station_height(by_joint, stretches), "ft") == pytest.approx(30.5 + 7.8, abs=0.001)


def test_a_clamp_beside_a_y_block_sits_at_its_base_only() -> None:
    found = check_clamps(change_clamps(PLAN, 0, below_top("S1-Y", 1)), TODAY)

    assert [problem.rule for problem in found] == ["unknown-station"]


def test_a_mid_joint_clamp_is_of_a_type_that_is_there() -> None:
    run = PLAN.production.tubing
    plan = replace(PLAN, production=replace(PLAN.production, tubing=replace(run, mid_joint_clamp="no such")))

    (problem,) = check_mid_joint_clamps(plan, TODAY)

    assert "There is no clamp type 'no such'" in problem.text


def test_the_runs_that_cables_climb_along_name_a_protector() -> None:
    run = PLAN.systems[1].tubing_below
    assert run is not None

    (problem,) = check_protectors(with_upper(tubing_below=replace(run, protector="")), TODAY)

    assert problem.where == 'systems[1] "system 2" . tubing_below'


def test_a_crossover_is_wanted_only_where_size_or_connection_changes() -> None:
    alike = SystemChoice(coupled=True, below_in=2.875)
    plan = build_plan(PlanChoice((SystemChoice(), alike)))

    found = list(check_systems(with_upper(crossover=None), TODAY))

    assert plan.systems[1].crossover is None
    assert not list(check_systems(plan, TODAY))
    assert ["no crossover" in problem.text for problem in found] == [True]


def test_a_pump_leg_must_have_something_to_land_it_by() -> None:
    (problem,) = (
        problem
        for problem in check_joining(change_part(PLAN, 0, PartKind.MOTOR, lifting_clamp=""), TODAY)
        if problem.rule == "first-lift-by-hand"
    )

    assert problem.where == 'systems[0] "system 1" . parts[1] "S1-MOTOR-1"'
