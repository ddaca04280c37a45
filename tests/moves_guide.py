"""Writes the guide's part about legal moves from the table itself: `python -m tests.moves_guide`."""

from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path

from app.domain.checks.tally import pump_leg_name
from app.domain.compiler.compile import compile_plan
from app.domain.string.laws import LAWS
from app.domain.string.move import Move
from app.domain.string.moves import MOVES
from app.domain.string.simulator import Trace, simulate
from app.domain.string.supports import Hanging, SupportKind
from tests.domain.compiler.test_practice import plan_named

GUIDE = Path(__file__).resolve().parent.parent / "DEVELOPERS.md"
BEGIN = "<!-- legal moves, written by: python -m tests.moves_guide -->"
END = "<!-- end of the legal moves -->"
ON_DECK = "on deck"
SHOWN_BY = "dual"  # the demonstration whose sheet makes every move of running
# It stays in the well and is under every upper pump leg alike, so the picture is clearer without it.
LEFT_OUT = SupportKind.SUPPORT_CLAMP

Change = tuple[str, str]


def main() -> None:
    """Write the part anew."""
    GUIDE.write_text(with_moves(GUIDE.read_text(encoding="utf-8")), encoding="utf-8")


def with_moves(guide: str) -> str:
    """Return a guide with the part between the marks as the table says it."""
    before, _, rest = guide.partition(BEGIN)
    _, _, after = rest.partition(END)
    return f"{before}{BEGIN}\n\n{moves_part()}\n\n{END}{after}"


def moves_part() -> str:
    """Return the part: the laws, what holds a leg and what changes that, and every move."""
    plan = plan_named(SHOWN_BY)
    trace = simulate(plan, compile_plan(plan)[0])
    pump_legs = {pump_leg_name(system) for system in plan.systems}
    return "\n".join(
        (
            *_laws(),
            "",
            "What holds tubing and a bypass leg, and the operations that change it:",
            "",
            *_diagram(_changes(trace, pump_legs, of_pump_legs=False)),
            "",
            "What holds a pump leg, the support clamp under an upper one left out:",
            "",
            *_diagram(_changes(trace, pump_legs, of_pump_legs=True)),
            "",
            "Every move: what it needs, each need with its law, and what it makes true.",
            "",
            *_table(),
        )
    )


def _laws() -> Iterator[str]:
    yield "| law | demands | rule of its findings |"
    yield "|---|---|---|"
    for law in LAWS:
        yield f"| {law.number} | {law.demands} | `{law.rule}` |"


def _table() -> Iterator[str]:
    yield "| operation | needs | makes true |"
    yield "|---|---|---|"
    for move in MOVES:
        yield f"| {move.operation} | {_needs(move)} | {'; '.join(effect.words for effect in move.makes)} |"


def _needs(move: Move) -> str:
    return "; ".join(f"{need.demand} ({need.law})" for need in move.needs) or "nothing"


def _changes(trace: Trace, pump_legs: set[str], *, of_pump_legs: bool) -> dict[Change, list[str]]:
    """Return by what held something before and after a step the operations that did so."""
    changes: dict[Change, list[str]] = defaultdict(list)
    for moment in trace.moments:
        before = {item.tag: item for item in moment.before}
        for item in moment.after:
            if (item.leg in pump_legs) is of_pump_legs:
                change = _held(before.get(item.tag)), _held(item)
                operation = moment.step.operation.value
                if change[0] != change[1] and operation not in changes[change]:
                    changes[change].append(operation)
    return {change: operations for change, operations in changes.items() if operations}


def _held(item: Hanging | None) -> str:
    if item is None:
        return ON_DECK
    return " and ".join(kind.value for kind in SupportKind if kind is not LEFT_OUT and _is_on(item, kind))


def _is_on(item: Hanging, kind: SupportKind) -> bool:
    return any(support.kind is kind for support in item.supports)


def _diagram(changes: dict[Change, list[str]]) -> Iterator[str]:
    names: dict[str, str] = {}
    for change in changes:
        for held in change:
            names.setdefault(held, f"s{len(names)}")
    yield "```mermaid"
    yield "stateDiagram-v2"
    for held, name in names.items():
        yield f'    state "{held}" as {name}'
    for (before, after), operations in changes.items():
        yield f"    {names[before]} --> {names[after]} : {', '.join(operations)}"
    yield "```"


if __name__ == "__main__":
    main()
