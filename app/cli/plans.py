"""Commands on a plan's file: check it, and print its sheet."""

import argparse
import json
from datetime import date, datetime
from pathlib import Path
from typing import NoReturn

from app.cli.outcome import GOOD, StoppedError, UnreadableError
from app.domain.plan import Plan
from app.domain.problems import Severity
from app.domain.sheet import Sheet
from app.domain.string.account import account_of, breaches_in
from app.domain.string.simulator import simulate
from app.records.findings_json import findings_to_json
from app.records.findings_text import finding_line
from app.records.plan_toml import LONGEST_TEXT
from app.records.sheet_json import sheet_to_json
from app.records.sheet_text import sheet_to_text
from app.records.trace_json import trace_to_json
from app.records.trace_text import trace_to_text
from app.services.proof import Proof, prove

# UTF-8 takes up to four bytes a letter; whatever is larger cannot be a plan.
LARGEST_FILE = 4 * LONGEST_TEXT
UNREADABLE_RULE = "plan-unreadable"


def check(asked: argparse.Namespace) -> int:
    """Print every finding on a plan.

    Raises: StoppedError where one stops the release; UnreadableError where the file cannot be read.
    """
    # What works figures out is loaded where they are asked for.
    from app.cli.figures import figures_lines, figures_member  # noqa: PLC0415

    proof = prove(read_file(asked.plan), today())
    if asked.json:
        title = proof.plan.job.title if proof.plan is not None else ""
        told = findings_to_json(proof.problems, title=title, releasable=proof.is_releasable)
        print_json(told | figures_member(proof, now()) if asked.figures else told)
    elif not _is_unreadable(proof):
        for problem in proof.problems:
            print(finding_line(problem))
        if asked.figures:
            print(figures_lines(proof, now()), end="")
    if proof.sheet is None or not proof.is_releasable:
        _stop(asked.plan, proof)
    if not asked.json:
        stages, steps = len(proof.sheet.stages), len(proof.sheet.steps)
        print(f"Nothing stops the release. The sheet has {steps} steps in {stages} stages.")
    return GOOD


def sheet(asked: argparse.Namespace) -> int:
    """Print the sheet of a plan.

    Raises: StoppedError where a finding stops the release; UnreadableError where the file cannot be read.
    """
    if asked.trace:
        return _trace(asked)
    _, compiled = proven_sheet(asked.plan)
    if asked.json:
        print_json(sheet_to_json(compiled))
    else:
        print(sheet_to_text(compiled), end="")
    return GOOD


def _trace(asked: argparse.Namespace) -> int:
    # A sheet that breaks a law is printed too, with the breach at its step.
    proof = prove(read_file(asked.plan), today())
    if proof.plan is None or proof.sheet is None:
        _stop(asked.plan, proof)
    account = account_of(simulate(proof.plan, proof.sheet), breaches_in(proof.problems))
    if asked.json:
        print_json(trace_to_json(account))
    else:
        print(trace_to_text(proof.sheet, account), end="")
    if not proof.is_releasable:
        _stop(asked.plan, proof)
    return GOOD


def proven_sheet(path: str) -> tuple[Plan, Sheet]:
    """Return the plan of a file and its sheet.

    Raises: StoppedError where a finding stops the release; UnreadableError where the file cannot be read.
    """
    proof = prove(read_file(path), today())
    if proof.plan is None or proof.sheet is None or not proof.is_releasable:
        _stop(path, proof)
    return proof.plan, proof.sheet


def read_file(path: str) -> bytes:
    """Return what the file of a plan holds.

    Raises: UnreadableError where it cannot be read or is larger than any plan.
    """
    try:
        with Path(path).open("rb") as file:
            text = file.read(LARGEST_FILE + 1)
    except IsADirectoryError:
        raise UnreadableError(f"{path} is a folder. Name the file of the plan in it.") from None
    except OSError as error:
        raise UnreadableError(
            f"{path} cannot be opened ({error.strerror}). Check its name and that you may read it."
        ) from None
    if len(text) > LARGEST_FILE:
        raise UnreadableError(
            f"{path} is larger than {LARGEST_FILE} bytes, which no plan is. Check that it is the right file."
        )
    return text


def _stop(path: str, proof: Proof) -> NoReturn:
    stops = [problem for problem in proof.problems if problem.severity is Severity.STOP]
    if _is_unreadable(proof):
        raise UnreadableError(f"{path} cannot be read: {stops[0].where}: {stops[0].text}")
    count = "1 finding stops" if len(stops) == 1 else f"{len(stops)} findings stop"
    raise StoppedError(
        f"{path}: {count} the release, first {stops[0].where}: {stops[0].text} See all with: twinleg check."
    )


def _is_unreadable(proof: Proof) -> bool:
    return any(problem.rule == UNREADABLE_RULE for problem in proof.problems)


def print_json(value: dict[str, object]) -> None:
    """Print values for another program."""
    print(json.dumps(value, indent=2, ensure_ascii=False))


def today() -> date:
    """Return the day that it is here."""
    return now().date()


def now() -> datetime:
    """Return the time that it is here."""
    return datetime.now().astimezone()
