"""Cables: whether each motor lead reaches its splice and each main cable the hanger."""

from collections.abc import Iterator
from datetime import date

from app.domain.checks.places import place, system_place, tubing_runs
from app.domain.checks.shown import given, like
from app.domain.checks.tally import TallyLine, tally
from app.domain.parts import PartKind
from app.domain.plan import Plan, System
from app.domain.problems import Problem, stop

RULES = {
    "motor-lead-too-short": "A motor lead ends below its splice.",
    "main-cable-too-short": "A main cable ends below the tubing hanger.",
}


def check_cable_lengths(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each cable that is shorter than the way it must climb, slack not counted."""
    lines = {line.tag: line for line in tally(plan)}
    hanger = lines[plan.production.hanger.tag]
    for position, system in enumerate(plan.systems):
        lead, cable = system.motor_lead, system.motor_lead.main_cable
        where = place(system_place(position, system), "motor_lead")
        splice = splice_of(plan, system, lines)
        climb = pothead_of(system, lines).top_depth - splice.top_depth
        if lead.length < climb:
            yield stop(
                "motor-lead-too-short",
                where,
                f"{lead.tag} is {given(lead.length)} long, but from its pothead to the splice on "
                f"{splice.tag} are "
                f"{like(climb, lead.length)}; splice lower or bring a longer one.",
            )
        rise = splice.top_depth - hanger.top_depth
        if cable.length < rise:
            yield stop(
                "main-cable-too-short",
                place(where, "main_cable"),
                f"{cable.tag} is {given(cable.length)} long, but from its splice on {splice.tag} to the "
                "hanger are "
                f"{like(rise, cable.length)}; bring a longer one or plan a second splice.",
            )


def splice_of(plan: Plan, system: System, lines: dict[str, TallyLine]) -> TallyLine:
    """Return the joint on whose top a system's motor lead and main cable are spliced."""
    cable = system.motor_lead.main_cable
    run = next(tubing for _, name, tubing in tubing_runs(plan) if name == cable.splice_in)
    return lines[run.joints[cable.splice_after - 1].tag]


def pothead_of(system: System, lines: dict[str, TallyLine]) -> TallyLine:
    """Return the motor on whose head a system's motor lead begins."""
    # Of a tandem it is the upper motor that has the pothead.
    motors = [part for part in system.parts if part.kind is PartKind.MOTOR]
    return lines[motors[-1].tag]
