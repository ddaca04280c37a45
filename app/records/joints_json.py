"""How legs close and which joints were chosen, as they are shown to other programs."""

from collections.abc import Iterable, Sequence

from app.domain.checks.shown import given, like
from app.domain.checks.space_out import Closure
from app.domain.joint_choice.choice import JointChoice
from app.domain.joint_choice.leg import Leg
from app.domain.plan import Plan, System
from app.domain.quantities import Length

JOINTS_FORMAT = "twinleg-joints-1"


def joints_to_json(plan: Plan, systems: Iterable[dict[str, object]]) -> dict[str, object]:
    """Return what came of a search for joints, system by system, with stable keys."""
    return {"format": JOINTS_FORMAT, "title": plan.job.title, "systems": list(systems)}


def system_to_json(
    system: System, closure: Closure, choice: JointChoice, sentences: Sequence[str]
) -> dict[str, object]:
    """Return the closure of a system as planned and its chosen joints; figures are text with a unit."""
    return {
        "system": system.name,
        "closure": closure_to_json(system, closure),
        "leg": _leg(system, choice.leg) if choice.leg is not None else None,
        "runners_up": [_leg(system, leg) for leg in choice.runners_up],
        "short": [
            {"kind": short.kind.value, "at": short.at, "by": _joint(system, short.by)}
            for short in choice.short
        ],
        "proven": choice.proven,
        "gap": _stroke(system, choice.gap),
        "explanation": list(sentences),
    }


def closure_to_json(system: System, closure: Closure) -> dict[str, object]:
    """Return how a system closes; figures are text with a unit."""
    figures = {
        "extension": closure.extension,
        "low": closure.low,
        "high": closure.high,
        "mid": closure.mid,
        "margin": closure.margin,
        "worst_case": closure.worst_case,
        "likely": closure.likely,
        "by_warming": closure.downhole.by_warming,
        "by_load": closure.downhole.by_load,
        "downhole": closure.downhole.extension,
    }
    return {
        "verdict": closure.verdict.value,
        **{name: _stroke(system, figure) for name, figure in figures.items()},
        "advice": closure.advice,
    }


def _leg(system: System, leg: Leg) -> dict[str, object]:
    return {
        "joints": [
            {
                "tag": joint.tag,
                "length": given(joint.length),
                "from_rack": joint.tag in leg.racked,
                "pup": joint.pup,
            }
            for joint in leg.joints
        ],
        "back_on_rack": list(leg.freed),
        "extension": _stroke(system, leg.extension),
        "off_mid_stroke": _stroke(system, leg.off),
    }


def _stroke(system: System, value: Length) -> str:
    return like(value, system.y_block.stroke)


def _joint(system: System, value: Length) -> str:
    return like(value, system.bypass.joints[0].length)
