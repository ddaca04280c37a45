"""Torque: what was applied against its window, what the bolts then carry, and the tool that showed it."""

from dataclasses import dataclass
from datetime import date

from app.domain.checks.shown import given
from app.domain.connections import ConnectionType, Tool
from app.domain.figures.wrench import STRAIGHT, wrench_setting
from app.domain.quantities import Duration, Force, Length, Quantity, Ratio, Torque, typed_unit
from app.domain.results import ASSUMED, PLAN, Advice, Input, Result, from_plan

# As received steel; lubricated threads take about 0.15. Common practice.
NUT_FACTOR = Ratio(0.20)
# NASA-STD-5020B, table 3: how far a torque wrench lets the preload of dry and of oiled bolts scatter.
SCATTER = "± 35 % dry, ± 25 % oiled"
DAY_S = 86400.0
NO_DAYS = Duration(0.0)


@dataclass(frozen=True, slots=True)
class TorqueWindow:
    """What a make-up aims at and between which torques it is accepted."""

    low: Torque
    target: Torque
    high: Torque


def torque_result(applied: Torque, window: TorqueWindow, read: str) -> Result:
    """Return an applied torque against its window [N*m]; `read` says where it was read."""
    shown = given(applied)
    limits = f"{given(window.low)} to {given(window.high)}"
    return Result(
        name="torque",
        value=applied,
        unit=typed_unit(window.target),
        formula="the torque as read",
        inputs=(Input("torque", shown, read), from_plan("target", window.target)),
        source="Window of the connection type in the plan.",
        says=Advice(
            inside=f"{shown} is inside the window, {limits}.",
            below=f"{shown} is below the window, {limits}: back it off, inspect and make it up again.",
            above=f"{shown} is over the window, {limits}: break it out and inspect both ends; do "
            "not slacken.",
        ),
        low=window.low,
        high=window.high,
    )


def preload(applied: Torque, size: Length, nut_factor: Ratio) -> Force:
    """Return the pull in a bolt that is tightened by a torque [N].

    F = T / (K D). Source: the short form of the torque and preload relation, as public bolt tables use it.
    Range: K and D over zero.
    """
    return Force(applied.si / (nut_factor.si * size.si))


def preload_result(applied: Torque, kind: ConnectionType, read: str) -> Result | None:
    """Return the pull in each bolt of a connection [N], or none where the plan names no size of bolt."""
    if kind.bolt_size is None:
        return None
    factor = kind.nut_factor or NUT_FACTOR
    value = preload(applied, kind.bolt_size, factor)
    return Result(
        name="pull in each bolt",
        value=value,
        unit=typed_unit(kind.bolt_load) if kind.bolt_load is not None else "lbf",
        formula="torque by nut factor and size of the bolt: F = T / (K D)",
        inputs=(
            Input("torque", given(applied), read),
            from_plan("size of the bolt", kind.bolt_size),
            Input("nut factor K", f"{factor.si:.2f}", PLAN if kind.nut_factor is not None else ASSUMED),
        ),
        source=f"Short form of torque and preload. A torque wrench scatters {SCATTER} (NASA-STD-5020B).",
        says=Advice(
            inside="As long as the threads are as smooth as assumed; scatter may be a third either way.",
            above="More than a bolt may carry: check torque, lubricant and grade of the bolts, and change "
            "those that were tightened so far.",
        ),
        high=kind.bolt_load,
    )


def range_result(value: Quantity, tool: Tool, read: str) -> Result | None:
    """Return a value against what its tool can show, or none where no range of the tool is known."""
    low, high = tool_range(tool, value)
    if low is None and high is None:
        return None
    shown, extended = value, isinstance(value, Torque) and tool.extension is not None
    if isinstance(value, Torque) and extended:
        shown = setting_of(value, tool)
    limit = high if high is not None else low
    assert limit is not None, "one of the two is known here"
    return Result(
        name=f"range of {tool.tag}",
        value=shown,
        unit=typed_unit(limit),
        formula="the torque wanted, as the tool shows it through its extension" if extended else "as read",
        inputs=(Input("read", given(value), read),),
        source=f"Range of {tool.tag}, serial {tool.serial}, in the plan.",
        says=Advice(
            inside=f"{tool.tag} can show this.",
            below=f"That is under the range of {tool.tag}, where it is not to be trusted: take a "
            "smaller one.",
            above=f"That is over the range of {tool.tag}: it cannot have shown that. Read it again or name "
            "the right tool.",
        ),
        low=low,
        high=high,
    )


def tool_range(tool: Tool, value: Quantity) -> tuple[Quantity | None, Quantity | None]:
    """Return the least and the most that a tool can show of such a value; none where it is not known."""
    highest = {"Pressure": tool.pressure_high, "Resistance": tool.resistance_high, "Length": tool.length_high}
    if isinstance(value, Torque):
        return tool.torque_low, tool.torque_high
    return None, highest.get(type(value).__name__)


def setting_of(wanted: Torque, tool: Tool) -> Torque:
    """Return what a tool shows when it gives a torque through its extension, if it has one [N*m]."""
    if tool.arm is None or tool.extension is None:
        return wanted
    return wrench_setting(wanted, tool.arm, tool.extension, tool.extension_angle or STRAIGHT)


def date_result(tool: Tool, day: date) -> Result:
    """Return how long a tool's calibration still runs on a day [s]; the due day itself is in date."""
    return Result(
        name=f"calibration left of {tool.tag}",
        value=Duration((tool.due - day).days * DAY_S),
        unit="day",
        formula="due day less the day of the reading",
        inputs=(Input("due", tool.due.isoformat()), Input("day of the reading", day.isoformat(), "clock")),
        source=f"Due day of {tool.tag}, serial {tool.serial}, in the plan.",
        says=Advice(
            inside=f"{tool.tag} is in date until {tool.due.isoformat()}.",
            below=f"{tool.tag} ran out on {tool.due.isoformat()}: nothing measured with it counts. Measure "
            "again with one in date.",
        ),
        low=NO_DAYS,
    )
