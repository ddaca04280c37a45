"""The command that prints the way back out of the hole."""

import argparse

from app.cli.outcome import GOOD, StoppedError, UnreadableError
from app.cli.plans import print_json, proven_sheet
from app.domain.sheet import Lane, Sheet
from app.records.findings_text import finding_line
from app.records.sheet_json import sheet_to_json
from app.records.sheet_text import sheet_to_text
from app.services.pulling import way_back


def pull(asked: argparse.Namespace) -> int:
    """Print the sheet that undoes a plan's sheet from a step, back to another or out of the hole.

    Raises: StoppedError where a finding stops the plan or the way back; UnreadableError where the file
    cannot be read or has no such steps.
    """
    plan, sheet = proven_sheet(asked.plan)
    last, first = _steps_asked(sheet, asked.after, asked.to)
    back = way_back(plan, sheet, last, first)
    if asked.json:
        print_json(sheet_to_json(back.sheet))
    elif back.sheet.steps:
        print(sheet_to_text(back.sheet), end="")
    else:
        print("Nothing hangs and nothing was put on there: there is nothing to undo.")
    if not back.is_proven:
        for problem in back.problems:
            print(finding_line(problem))
        raise StoppedError(f"{asked.plan}: the way back breaks a law; do not pull by it.")
    return GOOD


def _steps_asked(sheet: Sheet, after: int | None, to: int | None) -> tuple[int, int | None]:
    steps = len(sheet.steps)
    last = steps if after is None else after
    if not 1 <= last <= steps:
        raise UnreadableError(f"There is no step {last}: the sheet has steps 1 to {steps}.")
    on_floor = next(step.number for step in sheet.steps if step.lane is Lane.FLOOR)
    if to is not None and last < on_floor:
        raise UnreadableError(f"Nothing hangs after step {last}, so --to has no step to go back to.")
    if to is not None and not on_floor <= to <= last:
        raise UnreadableError(
            f"The way back cannot end before step {to}: name a floor step from {on_floor} to {last}."
        )
    return last, to
