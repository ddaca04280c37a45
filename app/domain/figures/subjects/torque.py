"""Torque: what the tools of each connection give and take, what its bolts carry, all that was applied."""

from collections.abc import Iterator
from dataclasses import replace

from app.domain.connections import TOOL_FOR, ConnectionType, Tool
from app.domain.figures.subjects.basis import Basis, Figure, Subject
from app.domain.figures.torque import date_result, preload_result, range_result
from app.domain.figures.wrench import pull_result, setting_result
from app.domain.results import PLAN, Result
from app.domain.sheet import ReadingKind
from app.domain.stage_titles import stage_title

TOOLS = "tools on the day"


def torque_figures(basis: Basis) -> Iterator[Figure]:
    """Yield what was applied first, then what every connection type and tool of the plan comes to."""
    yield from _applied(basis)
    for kind in basis.plan.connection_types:
        for result in _planned(basis, kind):
            yield Figure(Subject.TORQUE, f"connection {kind.name}", result, frozenset({kind.name}))
    for tool in basis.plan.tools:
        result = date_result(tool, basis.now.date())
        yield Figure(Subject.TORQUE, TOOLS, result, frozenset({tool.kind.value}))


def _applied(basis: Basis) -> Iterator[Figure]:
    for step, results in basis.taken:
        if any(wanted.kind is ReadingKind.TORQUE for wanted in step.readings):
            assert basis.run is not None, "what was read was read in a run"
            group = f"applied in {stage_title(basis.run, step)}"
            yield from (Figure(Subject.TORQUE, group, result, step=step.number) for result in results)


def _planned(basis: Basis, kind: ConnectionType) -> Iterator[Result]:
    for tool in basis.plan.tools:
        if tool.kind is TOOL_FOR[kind.method] and _is_whole(tool):
            found = (
                setting_result(kind.target, tool),
                pull_result(kind.target, tool),
                range_result(kind.target, tool, PLAN),
            )
            yield from (result for result in found if result is not None)
    if kind.has_sized_bolts:
        for limit, torque in (("the target", kind.target), ("the high limit", kind.high)):
            result = preload_result(torque, kind, f"{PLAN}, {limit}")
            if result is not None:
                yield replace(result, name=f"{result.name} at {limit}")


def _is_whole(tool: Tool) -> bool:
    return tool.arm is None or tool.arm.si > 0
