"""Figures of the joints of a leg, and of those that a search chose."""

from dataclasses import replace

import pytest

from app.domain.closing_legs import Rack
from app.domain.figures.subjects.basis import Subject
from app.domain.figures.subjects.chosen_joints import choice_figures
from app.domain.install_record import ReadingVerdict
from app.domain.joint_choice.choice import choose_joints
from app.domain.parts import Joint
from app.domain.plan import Plan
from app.domain.quantities import length
from tests.domain.figures.subjects.figured import margin, named, of_subject, planned, worth

AS_THEY_ARE = "off mid stroke of YB-1, by the joints as they are"


def with_joint(plan: Plan, feet: float, rack: tuple[Joint, ...] = ()) -> Plan:
    """Return the demonstration with BP-02 of another length, and joints on the rack."""
    (system,) = plan.systems
    first, second = system.bypass.joints
    joints = (first, replace(second, length=length(feet, "ft")))
    system = replace(system, bypass=replace(system.bypass, joints=joints))
    racks = (Rack(system.bypass.name, rack),) if rack else ()
    return replace(plan, systems=(system,), rack=racks)


def test_joints_as_planned_stand_at_mid_stroke(plan: Plan) -> None:
    result = of_subject(planned(plan), Subject.JOINTS)[AS_THEY_ARE]

    # Half of 12 in, less the margin of 1.5 in, may be missed.
    assert worth(result, "in") == pytest.approx(0.0, abs=1e-9)
    assert margin(result, "in") == pytest.approx(4.5)


def test_a_joint_of_another_length_is_as_far_off_mid_stroke(plan: Plan) -> None:
    result = of_subject(planned(with_joint(plan, 31.7)), Subject.JOINTS)[AS_THEY_ARE]

    # 0.50 ft too long is 6 in off, of which 4.5 in are allowed.
    assert worth(result, "in") == pytest.approx(6.0)
    assert result.verdict is ReadingVerdict.ABOVE_WINDOW


def test_the_leg_is_so_high_over_the_table_beside_each_lift(plan: Plan) -> None:
    figures = of_subject(planned(plan), Subject.JOINTS)

    # The table lies 1.20 m under the mark: 7.97 + 31.03 + 1.00 ft of safety sub, and 3.937 ft.
    beside = figures["height of the leg over the table beside MTR-1"]
    assert worth(beside, "ft") == pytest.approx(43.937, abs=0.001)
    assert not beside.is_outside


def test_a_search_says_which_joints_are_best_and_how_near_they_come(plan: Plan) -> None:
    racked = with_joint(plan, 31.7, (Joint("R-1", length(31.25, "ft")),))

    figures = named(choice_figures(racked.systems[0], choose_joints(racked, 0)))

    result = figures["off mid stroke of YB-1, by the joints that are best"]
    # R-1 is 0.05 ft longer than the planned joint.
    assert worth(result, "in") == pytest.approx(0.6)
    assert "BP-01, R-1" in {item.text for item in result.inputs}


def test_a_search_without_a_leg_says_what_is_short(plan: Plan) -> None:
    short = with_joint(plan, 29.0)

    figures = tuple(choice_figures(short.systems[0], choose_joints(short, 0)))

    assert figures
    assert all(figure.result.is_outside for figure in figures)
    assert "bring others to the rack" in figures[0].result.advice
