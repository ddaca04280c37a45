"""The command that draws the string at a moment of a plan's sheet."""

import argparse
import sys
from pathlib import Path

from app.cli.outcome import GOOD, UnreadableError
from app.cli.plans import proven_sheet
from app.services.pictures import picture_after

STANDARD_OUTPUT = "-"


def picture(asked: argparse.Namespace) -> int:
    """Write the picture of the string after a step.

    Raises: StoppedError where a finding stops the release; UnreadableError where the plan cannot be read,
    the sheet has no such step, or the picture cannot be written.
    """
    plan, sheet = proven_sheet(asked.plan)
    last = len(sheet.steps)
    if not 1 <= asked.step <= last:
        raise UnreadableError(f"The sheet has no step {asked.step}. Name one from 1 to {last} with --step.")
    _write(asked.out, picture_after(plan, sheet, asked.step).encode())
    return GOOD


def _write(out: str, text: bytes) -> None:
    if out == STANDARD_OUTPUT:
        sys.stdout.buffer.write(text)
        return
    try:
        Path(out).write_bytes(text)
    except OSError as error:
        raise UnreadableError(
            f"{out} cannot be written ({error.strerror}). Name another file with -o, or - to print it."
        ) from None
