"""A walked sheet as plain text: under each step what holds each leg, and how much of its WLL is left."""

from collections.abc import Iterator
from itertools import zip_longest
from textwrap import wrap

from app.domain.problems import Problem
from app.domain.quantities import show
from app.domain.sheet import Sheet
from app.domain.string.account import Account, Peak, StepAccount
from app.domain.string.loads import Load
from app.domain.unit_systems import AS_PLANNED, UnitSystem

WIDTH = 100
INDENT, LEG, HELD_BY, NUMBER, PERCENT = 6, 19, 38, 10, 6
NO_RATING = "no rating"
SECOND_BARRIER = "second barrier"


def trace_to_text(sheet: Sheet, account: Account) -> str:
    """Return the account in the order of the sheet, stage by stage, no line longer than 100 letters."""
    lines: list[str] = []
    stage = ""
    for item in account.steps:
        if item.step.stage != stage:
            stage = item.step.stage
            lines += ["", *_folded(sheet.stage(stage).title.upper(), WIDTH), _heads()]
        lines += _step_lines(item)
    for problem in account.elsewhere:
        lines += ["", *_breach_lines(problem)]
    return "\n".join([*lines, "", *_peaks(account)]).lstrip("\n") + "\n"


def load_words(load: Load, units: UnitSystem = AS_PLANNED) -> str:
    """Return what a support sees, its WLL and what is left of that, in words."""
    weight = units.shown(load.weight, "t")
    if load.weakest is None or load.margin is None or load.margin_share is None:
        return f"{weight}, {NO_RATING}"
    rated = f"WLL {units.shown(load.weakest.wll, 't')}"
    return f"{weight}, {rated}, margin {units.shown(load.margin, 't')} or {show(load.margin_share, '%', 0)}"


def _heads() -> str:
    numbers = "".join(f"{name:>{NUMBER}}" for name in ("load", "WLL", "margin"))
    return f"{'':{INDENT}}{'leg':{LEG}} {'held by, resting on':{HELD_BY}}{numbers}"


def _step_lines(item: StepAccount) -> Iterator[str]:
    yield from _hung(f"{item.step.number:5} {item.step.text}")
    for load in item.loads:
        yield from _load_lines(load)
    most = item.greatest
    if most is None:
        yield f"{'':{INDENT}}Nothing hangs."
    else:
        yield from _hung(f"{'':{INDENT}}Greatest: {load_words(most)}, on {most.held_by}.", INDENT + 2)
    for problem in item.breaches:
        yield from _breach_lines(problem)


def _load_lines(load: Load) -> Iterator[str]:
    change = f", {load.change}" if load.change else ""
    held = f"{load.held_by}, {load.rests_on}{change}"
    columns = _folded(load.leg, LEG), _folded(held, HELD_BY - 1), [_numbers(load)]
    for leg, held_by, numbers in zip_longest(*columns, fillvalue=""):
        yield f"{'':{INDENT}}{leg:{LEG}} {held_by:{HELD_BY}}{numbers}".rstrip()


def _numbers(load: Load) -> str:
    if not load.support.is_primary:
        return f"{SECOND_BARRIER:>{3 * NUMBER}}"
    weight = f"{show(load.weight, 't'):>{NUMBER}}"
    if load.weakest is None or load.margin is None or load.margin_share is None:
        return f"{weight}{NO_RATING:>{2 * NUMBER}}"
    rated = f"{show(load.weakest.wll, 't'):>{NUMBER}}{show(load.margin, 't'):>{NUMBER}}"
    return f"{weight}{rated}{show(load.margin_share, '%', 0):>{PERCENT}}"


def _breach_lines(problem: Problem) -> Iterator[str]:
    yield from _hung(f"{'':{INDENT}}! {problem.where}: {problem.text} [{problem.rule}]", INDENT + 2)


def _peaks(account: Account) -> Iterator[str]:
    if account.greatest is None:
        yield "Nothing hangs in the whole sheet."
        return
    yield from _hung(f"GREATEST LOAD of the sheet: {_peak(account.greatest)}.", 2)
    if account.tightest is not None:
        yield from _hung(f"NEAREST TO ITS WLL: {_peak(account.tightest)}.", 2)


def _peak(peak: Peak) -> str:
    return f"step {peak.step.number}, {load_words(peak.load)}, on {peak.load.held_by} of the {peak.load.leg}"


def _hung(text: str, indent: int = INDENT) -> list[str]:
    return _folded(text, WIDTH, indent)


def _folded(text: str, width: int, indent: int = 0) -> list[str]:
    if len(text) <= width:
        return [text]
    bare = text.lstrip()
    lead = text[: len(text) - len(bare)]
    # A tag such as LG-EL-287 stays on one line.
    return wrap(bare, width, initial_indent=lead, subsequent_indent=" " * indent, break_on_hyphens=False)
