"""Clamps against couplings: where each sits on its joint, and which are refused."""

from app.domain.checks.clamp_heights import check_clamp_heights, clamp_places
from app.domain.checks.tally import TallyLine
from app.domain.parts import PartKind
from app.domain.plan import Mark, Plan
from app.domain.problems import Severity
from app.domain.quantities import NO_LENGTH, Length, length
from app.domain.room.clamp_places import Upset, bypass_joints, clamp_place, upsets_of
from tests.domain.checks.changes import change_bypass, change_clamp_type, change_system
from tests.plan_builder import PlanChoice, SystemChoice, build_plan
from tests.plan_stock import TODAY

SINGLE = build_plan(PlanChoice((SystemChoice(),)))
DOUBLE = build_plan()
COUPLED = change_bypass(SINGLE, 0, coupling_od=length(3.668, "in"))


def _metres(number: float) -> Length:
    return length(number, "m")


JOINTS = tuple(
    TallyLine(tag, "leg", _metres(10), _metres(height), _metres(110 - height))
    for tag, height in (("B1", 10), ("B2", 20))
)
COUPLINGS = (
    Upset("the coupling on B1", _metres(89.8), _metres(90.2)),
    Upset("the coupling on B2", _metres(79.8), _metres(80.2)),
)


def test_a_depth_is_found_on_its_joint_with_the_nearest_coupling() -> None:
    found = clamp_place(JOINTS, COUPLINGS, _metres(93))

    assert found.joint == "B1"
    assert (found.below_top.si, found.above_base.si) == (3, 7)
    assert found.upset == COUPLINGS[0]
    assert abs(found.distance.si - 2.8) < 1e-9


def test_within_a_coupling_the_distance_is_nothing() -> None:
    assert clamp_place(JOINTS, COUPLINGS, _metres(90.1)).distance == NO_LENGTH


def test_off_the_joints_there_is_no_joint_but_still_a_nearest_coupling() -> None:
    found = clamp_place(JOINTS, COUPLINGS, _metres(70))

    assert (found.joint, found.upset) == ("", COUPLINGS[1])


def test_a_leg_without_couplings_has_nothing_near() -> None:
    assert clamp_place(JOINTS, (), _metres(93)).upset is None


def test_every_clamp_of_a_plan_has_its_place() -> None:
    system = SINGLE.systems[0]

    places = clamp_places(SINGLE)

    joints = {joint.tag for joint in system.bypass.joints}
    assert len(places) == len(system.clamps)
    assert {place.joint for _, place in places} <= joints | {""}
    motor = system.part(PartKind.MOTOR)
    assert motor is not None
    at_mark = next(place for station, place in places if station.at == motor.tag)
    assert abs((at_mark.below_top - system.datum.below_top).si) < 1e-6


def test_flush_joints_have_no_upsets_but_thicker_subs() -> None:
    assert [upset.name for upset in upsets_of(SINGLE, SINGLE.systems[0])] == ["S1-GUIDE"]
    assert [upset.name for upset in upsets_of(DOUBLE, DOUBLE.systems[1])] == ["S2-CROSSOVER"]


def _on_the_coupling(plan: Plan) -> Plan:
    """Return the plan with its mark, and so the clamp at the motor's base, on a coupling."""
    first = plan.systems[0].bypass.joints[0]
    return change_system(plan, 0, datum=Mark(first.tag, length(0.3, "ft")))


def test_a_clamp_of_known_height_on_a_coupling_is_refused() -> None:
    plan = change_clamp_type(_on_the_coupling(COUPLED), "bypass clamp", height=length(8, "in"))

    found = [one for one in check_clamp_heights(plan, TODAY) if "S1-MOTOR-1" in one.where]

    assert [problem.severity for problem in found] == [Severity.STOP]
    assert "0.30 ft below the top of S1-B1, would grip the coupling on S1-B1" in found[0].text


def test_a_clamp_of_unknown_height_on_a_coupling_is_a_caution() -> None:
    plan = change_clamp_type(_on_the_coupling(COUPLED), "bypass clamp", height=None)

    found = [one for one in check_clamp_heights(plan, TODAY) if "MOTOR" in one.where]

    assert [problem.severity for problem in found] == [Severity.CAUTION]
    assert "write its height down" in found[0].text


def test_a_clamp_clear_of_every_coupling_is_not_found() -> None:
    assert not list(check_clamp_heights(SINGLE, TODAY))


def test_a_support_clamp_is_judged_at_its_mark() -> None:
    plan = change_bypass(DOUBLE, 1, coupling_od=length(3.668, "in"))
    first = plan.systems[1].bypass.joints[0]
    plan = change_system(plan, 1, datum=Mark(first.tag, length(0.3, "ft")))

    places = {problem.where for problem in check_clamp_heights(plan, TODAY)}

    assert 'systems[1] "system 2" . support_clamp' in places


def test_the_place_of_joints_comes_from_the_tally() -> None:
    lines = bypass_joints(SINGLE, SINGLE.systems[0])

    assert [line.tag for line in lines] == [joint.tag for joint in SINGLE.systems[0].bypass.joints]
