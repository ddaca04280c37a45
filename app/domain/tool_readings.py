"""The tool that a reading was taken with: named, able to show it, and in date on the day."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from app.domain.checks.shown import given
from app.domain.commands import Entered
from app.domain.connections import Tool
from app.domain.figures.torque import date_result, range_result
from app.domain.install_record import ReadingVerdict
from app.domain.plan import Plan
from app.domain.quantities import Quantity
from app.domain.refusals import ReadingError
from app.domain.sheet import ReadingWanted


@dataclass(frozen=True, slots=True)
class Doubt:
    """Why a reading is asked about before it is taken, and the rule behind that."""

    rule: str
    text: str


def tool_named(plan: Plan, wanted: ReadingWanted, entered: Entered) -> Tool | None:
    """Return the tool that a reading was taken with, or none where the plan has none of its kind.

    Raises: ReadingError where it is not named.
    """
    tools = {tool.tag: tool for tool in plan.tools if tool.kind is wanted.tool}
    if not tools:
        return None
    if entered.tool not in tools:
        listed = ", ".join(sorted(tools))
        raise ReadingError(
            wanted.name,
            f"{wanted.name}: say which {wanted.tool} was used: {listed}.",
            rule="tool-missing",
        )
    return tools[entered.tool]


def refuse_beyond_range(tool: Tool, wanted: ReadingWanted, value: Quantity) -> None:
    """Let a value pass that a tool can have shown.

    Raises: ReadingError where it is over the tool's range.
    """
    result = range_result(value, tool, "read")
    if result is not None and result.verdict is ReadingVerdict.ABOVE_WINDOW:
        assert result.high is not None, "nothing is over a range without an end"
        raise ReadingError(
            wanted.name,
            f"{given(value)} is over the range of {tool.tag} ({given(result.high)}): it cannot have shown "
            "that. Read it again or name the right tool.",
            rule="tool-range",
        )


def tool_doubts(tool: Tool, value: Quantity, day: date) -> Iterator[Doubt]:
    """Yield why a reading of a tool on a day is not to be trusted."""
    in_range, in_date = range_result(value, tool, "read"), date_result(tool, day)
    if in_range is not None and in_range.verdict is ReadingVerdict.BELOW_WINDOW:
        yield Doubt("tool-range", in_range.advice)
    if in_date.is_outside:
        yield Doubt("tool-out-of-date", in_date.advice)
