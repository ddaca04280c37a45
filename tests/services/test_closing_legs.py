"""How legs close and which joints close them: whole plans, each system in turn, a joint given once."""

from dataclasses import replace
from datetime import date

import pytest

from app.demo import demo_plan_text
from app.domain.checks.space_out import ClosureVerdict
from app.domain.closing_legs import Rack
from app.domain.joint_choice.choice import Progress, choose_joints
from app.domain.measured import of_lengths
from app.domain.plan import Plan
from app.domain.quantities import in_unit, length
from app.domain.refusals import NoLegsError, UnknownSystemError
from app.records.joints_text import progress_line
from app.services.closing_legs import chosen_joints, closures_of, plan_with_legs
from tests.domain.checks.changes import change_bypass, change_y_block
from tests.domain.joint_choice.racks import with_rack
from tests.plan_builder import build_plan

DAY = date(2026, 1, 1)
TEXT = demo_plan_text("dual")


def _alike(plan: Plan) -> Plan:
    """Return the plan with both bypass legs of one tubing, so that a rack fits either."""
    return change_bypass(change_bypass(plan, 0, name="bypass"), 1, name="bypass")


def test_the_demonstration_closes_by_its_plan_and_by_what_was_measured() -> None:
    plan = plan_with_legs(TEXT, DAY)

    planned = closures_of(plan)
    measured = closures_of(plan, of_lengths({"BL-02": length(31.48, "ft")}))

    assert [closure.verdict for closure in planned] == [ClosureVerdict.CLOSES] * 2
    assert in_unit(planned[0].extension - measured[0].extension, "ft") == pytest.approx(0.1)
    assert [closure.measured for closure in measured] == [1, 0]


def test_a_joint_of_the_rack_is_given_to_one_system_only() -> None:
    built = _alike(build_plan())
    shorter = tuple(
        replace(joint, length=length(29.9, "ft")) for joint in built.systems[0].bypass.joints[-1:]
    )
    plan = built
    for position in (0, 1):
        kept = plan.systems[position].bypass.joints[:-1]
        last = replace(shorter[0], tag=plan.systems[position].bypass.joints[-1].tag, serial="")
        plan = change_bypass(plan, position, joints=(*kept, last))
    joints = tuple(plan.systems[0].bypass.joints[-1:])
    racked = tuple(replace(joints[0], tag=f"R-{n}", length=length(31.4, "ft")) for n in (1, 2))

    legs = [one.choice.leg for one in chosen_joints(replace(plan, rack=(Rack("bypass", racked),)))]

    taken = [tag for leg in legs if leg is not None for tag in leg.racked]
    assert len(taken) == len(set(taken))
    assert set(taken) == {"R-1", "R-2"}


def test_one_system_may_be_asked_for_and_only_one_that_is_there() -> None:
    plan = plan_with_legs(TEXT, DAY)

    (upper,) = chosen_joints(plan, "upper")

    assert upper.system.name == "upper"
    with pytest.raises(UnknownSystemError, match="Choose one of: lower, upper"):
        list(chosen_joints(plan, "middle"))


def test_a_plan_that_is_not_whole_has_no_legs() -> None:
    with pytest.raises(NoLegsError) as refused:
        plan_with_legs(TEXT.replace('at = "MTR-L1"', 'at = "MTR-L9"', 1), DAY)

    assert refused.value.found == "unknown-station"


def test_a_swivel_without_stroke_has_no_legs_but_other_stops_do_not_matter() -> None:
    without = TEXT.replace('margin = "1.5 in"', 'margin = "6.5 in"', 1)
    unproven = TEXT.replace('target = "500 ft*lbf"', 'target = "5000 ft*lbf"', 1)

    with pytest.raises(NoLegsError, match="does not go into a stroke"):
        plan_with_legs(without, DAY)
    assert plan_with_legs(unproven, DAY).job.title.startswith("Demonstration")


def test_progress_is_told_with_the_system_it_is_about() -> None:
    told: list[tuple[str, Progress]] = []
    plan = with_rack(build_plan(), 1, [round(28 + (7 * step % 41) / 10.3, 3) for step in range(40)])

    list(chosen_joints(plan, "system 2", on_progress=lambda name, progress: told.append((name, progress))))

    assert {name for name, _ in told} == {"system 2"}


def test_progress_is_a_line_that_says_the_best_leg_so_far_and_its_gap() -> None:
    system = change_y_block(build_plan(), 0, stroke=length(12, "in")).systems[0]

    leg = choose_joints(build_plan(), 0).leg

    none_yet = progress_line(system, Progress(1.2, None, length(0, "in")))
    some = progress_line(system, Progress(2.6, leg, length(0.12, "in")))
    best = progress_line(system, Progress(2.6, leg, length(0, "in")))

    assert none_yet == "system 1: 1 s, no leg found yet"
    assert some == (
        "system 1: 3 s, best so far S1-B1, S1-B2, S1-B3, 0.000 in from mid stroke; another may be nearer by "
        "up to 0.120 in"
    )
    assert best.endswith("from mid stroke; none is nearer")
