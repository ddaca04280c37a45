"""Words that people type are as long as a page can show."""

from dataclasses import fields
from typing import get_args

import pytest

from app.domain.commands import (
    AddNote,
    AddToLoadOut,
    Command,
    Entered,
    FinishStep,
    RaiseDeviation,
    UndoStep,
)
from app.domain.deciding.words import LONGEST, LONGEST_READING
from app.domain.events.deviations import Disposition
from app.domain.refusals import TooLongError
from tests.domain import job


@pytest.mark.parametrize(
    ("command", "told"),
    [
        (AddNote(1, "n" * 4_001), "The note has 4001 letters; 4000 are the most."),
        (UndoStep(1, "r" * 4_001), "The reason has 4001 letters"),
        (
            RaiseDeviation(1, "w" * 501, "why", Disposition.REWORK),
            "What departs from the plan has 501 letters; 500 are the most.",
        ),
        (AddToLoadOut("S" * 101, "bypass clamp", "late"), "The serial has 101 letters"),
        (FinishStep(1, (Entered("torque", "5" * 101, "N*m"),)), "Torque has 101 letters"),
    ],
    ids=lambda item: type(item).__name__,
)
def test_what_no_page_can_show_is_refused_with_how_long_it_may_be(command: Command, told: str) -> None:
    refusal = job.refused(job.begun(), command)

    assert isinstance(refusal, TooLongError)
    assert str(refusal).startswith(told)
    assert str(refusal).endswith("Shorten it, or write the rest as notes.")


def test_a_note_as_long_as_it_may_be_is_kept() -> None:
    run = job.do(job.begun(), AddNote(1, "n" * LONGEST["text"][1]))

    assert run.remarks


def test_each_length_is_of_a_field_of_some_command() -> None:
    named = {field.name for command in get_args(Command) for field in fields(command)}

    assert set(LONGEST) <= named
    assert LONGEST["what"][1] > LONGEST_READING
