"""Tools: for each connection and each test one that is made for it, reaches its values and is in date."""

from collections.abc import Callable, Iterator
from datetime import date
from functools import partial

from app.domain.checks.places import every_part, every_tubing, numbered, place, system_place
from app.domain.checks.shown import given
from app.domain.checks.verdict import is_above, is_below
from app.domain.connections import TOOL_FOR, ConnectionType, Tool, ToolKind
from app.domain.figures.torque import setting_of
from app.domain.plan import Plan
from app.domain.problems import Problem, caution, stop
from app.domain.quantities import Pressure, Resistance

RULES = {
    "tool-out-of-date": "A tool's calibration has run out.",
    "tool-range-disordered": "A tool's range ends below where it begins.",
    "no-tool-for-connection": "No tool in date reaches over the torque window of a connection.",
    "no-tool-for-test": "No tool in date reaches what an electrical or pressure test must show.",
}

ELECTRICAL_TOOLS = (ToolKind.INSULATION_TESTER, ToolKind.RESISTANCE_BRIDGE)
Fault = Callable[[Tool], str | None]


def tool_range_problem(tool: Tool, connection: ConnectionType) -> str | None:
    """Return why a tool cannot make a connection up to its whole window, or none."""
    wanted = TOOL_FOR[connection.method]
    if tool.kind is not wanted:
        return f"{tool.tag} is a {tool.kind}, '{connection.name}' wants a {wanted}"
    if tool.torque_low is None or tool.torque_high is None:
        return f"{tool.tag} has no torque range written down"
    low, high = setting_of(connection.low, tool), setting_of(connection.high, tool)
    if is_below(low, tool.torque_low) or is_above(high, tool.torque_high):
        return (
            f"{tool.tag} reaches from {given(tool.torque_low)} to {given(tool.torque_high)}, "
            f"'{connection.name}' wants {given(connection.low)} to {given(connection.high)}"
        )
    return None


def tool_date_problem(tool: Tool, today: date) -> str | None:
    """Return when a tool's calibration ran out, or none; the due day itself is in date."""
    return f"{tool.tag} ran out on {tool.due.isoformat()}" if tool.due < today else None


def check_dates(plan: Plan, today: date) -> Iterator[Problem]:
    """Yield each tool whose calibration has run out, and each range that is the wrong way round."""
    for number, tool in enumerate(plan.tools):
        where = numbered("tools", number, tool.tag)
        expired = tool_date_problem(tool, today)
        if expired:
            text = (
                f"{expired}: nothing measured with it counts. Have it calibrated, or leave it off the floor."
            )
            yield caution("tool-out-of-date", where, text)
        if (
            tool.torque_low is not None
            and tool.torque_high is not None
            and tool.torque_low >= tool.torque_high
        ):
            yield stop(
                "tool-range-disordered",
                where,
                f"{tool.tag} reaches from {given(tool.torque_low)} to {given(tool.torque_high)}; write the "
                "lower end first.",
            )


def check_make_up(plan: Plan, today: date) -> Iterator[Problem]:
    """Yield each connection in use that no tool of the plan can make up today."""
    used = _connections_used(plan)
    for number, kind in enumerate(plan.connection_types):
        if kind.name not in used:
            continue
        # Tools of another kind would only lengthen the list of reasons.
        fitting = [tool for tool in plan.tools if tool.kind is TOOL_FOR[kind.method]]
        reasons = _reasons(fitting, today, partial(tool_range_problem, connection=kind))
        if reasons is not None:
            yield stop(
                "no-tool-for-connection",
                numbered("connection_types", number, kind.name),
                f"No {TOOL_FOR[kind.method]} can make up '{kind.name}', {given(kind.low)} to "
                f"{given(kind.high)}"
                f"{reasons}. Bring one that can.",
            )


def check_tests(plan: Plan, today: date) -> Iterator[Problem]:
    """Yield each test that no tool of the plan can show today."""
    for number, test in enumerate(plan.electrical_tests):
        wanted = (test.insulation_low, test.resistance_high)
        for kind, value in zip(ELECTRICAL_TOOLS, wanted, strict=True):
            yield from _untested(plan, today, kind, value, numbered("electrical_tests", number, test.moment))
    for position, system in enumerate(plan.systems):
        if system.line is not None:
            where = place(system_place(position, system), "line")
            yield from _untested(plan, today, ToolKind.PRESSURE_GAUGE, system.line.test.pressure, where)


def _untested(
    plan: Plan, today: date, kind: ToolKind, value: Pressure | Resistance, where: str
) -> Iterator[Problem]:
    fitting = [tool for tool in plan.tools if tool.kind is kind]
    reasons = _reasons(fitting, today, partial(_reach_problem, value=value))
    if reasons is not None:
        text = f"No {kind} reaches {given(value)}{reasons}. Bring one that does."
        yield stop("no-tool-for-test", where, text)


def _reach_problem(tool: Tool, value: Pressure | Resistance) -> str | None:
    reach = tool.pressure_high if isinstance(value, Pressure) else tool.resistance_high
    if reach is None:
        return f"{tool.tag} has no range written down"
    return f"{tool.tag} ends at {given(reach)}" if reach.si < value.si else None


def _reasons(tools: list[Tool], today: date, fault: Fault) -> str | None:
    """Return why none of the tools will do, or none where one does."""
    found = [tool_date_problem(tool, today) or fault(tool) for tool in tools]
    if None in found:
        return None
    return f": {'; '.join(reason for reason in found if reason)}" if found else ", none is listed"


def _connections_used(plan: Plan) -> set[str]:
    used = {part.connection for _, part in every_part(plan)} | {t.connection for _, t in every_tubing(plan)}
    for system in plan.systems:
        block = system.y_block
        used |= {block.head_connection, block.swivel_connection, block.top_connection}
    used |= {gear.connection for gear in plan.lifting_gear}
    return used | {kind.connection for kind in plan.clamp_types}
