"""A changed plan part-way through a run: the steps that remain, proven from the string as it hangs."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from app.domain.compiler.writer import SheetWriter
from app.domain.crew import StageKind
from app.domain.numbering import needs_by_key, numbered
from app.domain.operations import Operation
from app.domain.plan import Plan
from app.domain.problems import Problem, caution, stop
from app.domain.sheet import Lane, Sheet, Step
from app.domain.string.laws import prove_whole
from app.domain.string.simulator import state_after, walk

ON_DECK = frozenset({Operation.MAKE_UP_ON_DECK, Operation.BOLT_ON_DECK})
RULES = {
    "replan-done-and-gone": "A step that was done is not in the changed plan.",
    "replan-too-late": "The changed plan wants a step before one that was done.",
    "replan-done-otherwise": "A step that was done is another one in the changed plan.",
    "replan-mark-otherwise": "A mark was set elsewhere than the changed plan wants it.",
    "replan-set-aside-otherwise": "A step that does not apply is another one in the changed plan.",
    "replan-deferred-anew": "A step was put off until before one that the changed plan does not have.",
}


@dataclass(frozen=True, slots=True)
class Remaining:
    """What is left to do: a sheet of its own, numbered from one, and what stands against it."""

    sheet: Sheet
    problems: tuple[Problem, ...]


@dataclass(frozen=True, slots=True)
class Aside:
    """Steps of the old sheet, by key, that were set aside in it.

    Those of `passed` lie behind the floor and do not apply; `anywhere` holds all that do not stand where the
    plan has them.
    """

    passed: frozenset[str] = frozenset()
    anywhere: frozenset[str] = frozenset()


NOTHING_ASIDE = Aside()


def replan(plan: Plan, sheet: Sheet, done: Sequence[Step]) -> Remaining:
    """Return what remains of the sheet of a changed plan after steps of the old one, with its proof."""
    remaining = remaining_of(plan, sheet, done)
    trace = walk(state_after(plan, done), remaining.sheet.steps)
    return Remaining(remaining.sheet, (*remaining.problems, *prove_whole(trace, remaining.sheet)))


def remaining_of(plan: Plan, sheet: Sheet, done: Sequence[Step], aside: Aside = NOTHING_ASIDE) -> Remaining:
    """Return what remains of the sheet of a changed plan after steps of the old one, held to no law yet.

    A step is known by its key. What was made up on deck and is wanted otherwise now is broken out again,
    where it still lies on the deck.
    """
    keys = {step.key for step in done}
    on_deck = tuple(step for step in done if step.key not in _keys(sheet) and step.operation in ON_DECK)
    undo_first = _broken_out_on_deck(plan, on_deck)
    left = tuple(step for step in sheet.steps if step.key not in keys | aside.passed)
    remaining = numbered(sheet.stages, (*undo_first, *left), needs_by_key(sheet))
    found = (*_gone(sheet, done), *_too_late(sheet, done, aside), *_done_otherwise(sheet, done))
    return Remaining(remaining, found)


def _keys(sheet: Sheet) -> frozenset[str]:
    return frozenset(step.key for step in sheet.steps)


def _broken_out_on_deck(plan: Plan, made_up: Sequence[Step]) -> tuple[Step, ...]:
    writer = SheetWriter(plan, prefix="replan")
    writer.stage(StageKind.DECK_WORK, "Deck work")
    for step in made_up:
        upper, lower = step.parts
        writer.write(
            Operation.BREAK_OUT_ON_DECK,
            *step.parts,
            joined=step.joined,
            source=step.source,
            it=upper,
            below=lower,
        )
    return writer.written()


def _gone(sheet: Sheet, done: Sequence[Step]) -> Iterator[Problem]:
    keys = _keys(sheet)
    for step in done:
        if step.lane is Lane.FLOOR and step.key not in keys:
            yield stop(
                "replan-done-and-gone",
                f"step {step.number}",
                f"'{step.text}' was done, and the changed plan has no such step. Back out to before "
                "it, or keep it in the plan.",
            )


def _too_late(sheet: Sheet, done: Sequence[Step], aside: Aside) -> Iterator[Problem]:
    keys = {step.key for step in done}
    floor = [step for step in sheet.steps if step.lane is Lane.FLOOR]
    last = max((place for place, step in enumerate(floor) if step.key in keys), default=-1)
    for step in floor[: last + 1]:
        if step.key not in keys and step.key not in aside.anywhere:
            yield stop(
                "replan-too-late",
                f"step {step.number}",
                f"'{step.text}' would stand before '{floor[last].text}', which was done. Back out to before "
                "it, or change the plan only above what hangs.",
            )


def _done_otherwise(sheet: Sheet, done: Sequence[Step]) -> Iterator[Problem]:
    anew = {step.key: step for step in sheet.steps}
    for step in done:
        now = anew.get(step.key)
        if now is not None and (now.joined, now.dressed) != (step.joined, step.dressed):
            yield caution(
                "replan-done-otherwise",
                f"step {step.number}",
                f"'{step.text}' was done; the changed plan says '{now.text}'. Accept it as it was done, or "
                "back out to before it.",
            )
