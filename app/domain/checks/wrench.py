"""The wrench and the bolts: whether a person can pull it and the bolts carry it."""

from collections.abc import Iterator
from datetime import date

from app.domain.checks.places import numbered
from app.domain.connections import TOOL_FOR, MakeUp, Tool
from app.domain.figures.torque import preload_result
from app.domain.figures.wrench import pull_result
from app.domain.plan import Plan
from app.domain.problems import Problem, caution, stop

RULES = {
    "pull-beyond-one-person": "A connection takes more pull on every pipe wrench than one person can give.",
    "bolts-overloaded": "The high limit of a torque pulls a bolt beyond what it may carry.",
    "tool-arm-unfit": "A tool's arm is nothing, or it has an extension but no arm.",
    "bolt-size-unfit": "The size or nut factor of a bolt is nothing.",
}


def check_arms(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each arm and each bolt that no figure can be worked out from."""
    for number, tool in enumerate(plan.tools):
        if not _is_whole(tool):
            text = (
                f"{tool.tag} wants its arm, from the grip to the drive, over zero; without it neither pull "
                "nor setting is known."
            )
            yield stop("tool-arm-unfit", numbered("tools", number, tool.tag), text)
    for number, kind in enumerate(plan.connection_types):
        if not kind.has_sized_bolts:
            text = f"Size of the bolts and nut factor of '{kind.name}' must be over zero."
            yield stop("bolt-size-unfit", numbered("connection_types", number, kind.name), text)


def check_pulls(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each connection that no pipe wrench with a known arm lets one person make up."""
    for number, kind in enumerate(plan.connection_types):
        if kind.method is not MakeUp.WRENCH:
            continue
        tools = (tool for tool in plan.tools if tool.kind is TOOL_FOR[kind.method] and _is_whole(tool))
        pulls = [
            result for result in (pull_result(kind.target, tool) for tool in tools) if result is not None
        ]
        if pulls and all(pull.is_outside for pull in pulls):
            least = min(pulls, key=lambda pull: pull.value.si)
            text = f"'{kind.name}' takes a {least.name} of {least.value_text}. {least.advice}"
            yield caution("pull-beyond-one-person", numbered("connection_types", number, kind.name), text)


def check_bolts(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each bolted connection whose bolts the high limit of torque overloads."""
    for number, kind in enumerate(plan.connection_types):
        result = preload_result(kind.high, kind, "plan") if kind.has_sized_bolts else None
        if result is not None and result.is_outside:
            text = (
                f"At its high limit each bolt of '{kind.name}' is pulled by {result.value_text}, "
                f"{result.limits_text} is allowed. Lower the limit, or write the bolts' right size and "
                "factor."
            )
            yield caution("bolts-overloaded", numbered("connection_types", number, kind.name), text)


def _is_whole(tool: Tool) -> bool:
    return tool.arm.si > 0 if tool.arm is not None else tool.extension is None
