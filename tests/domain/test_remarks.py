from dataclasses import replace

import pytest

from app.domain.commands import (
    AddNote,
    AddPhoto,
    AddToLoadOut,
    RaiseDeviation,
    SettleItems,
)
from app.domain.events.deviations import Disposition
from app.domain.events.load_out import ItemsSettled, LoadOutAdded, Settlement
from app.domain.events.remarks import NoteAdded, PhotoAdded
from app.domain.refusals import (
    DeviationError,
    HoldPointError,
    LoadOutError,
    ReasonMissingError,
    RightsError,
    UnknownStepError,
)
from app.domain.run import Run
from tests.domain import job
from tests.domain.job import (
    FIRST_CLAMP,
    HAND,
    TECHNICIAN,
    after,
    asked,
    do,
    refused,
)


@pytest.mark.parametrize("number", [0, 1, job.LAST])
def test_anybody_may_remark_on_the_run_or_on_a_step(begun: Run, number: int) -> None:
    photo = AddPhoto(number, "h" * 64, "box.png", "image/png")

    assert asked(begun, AddNote(number, " wind "), HAND) == (NoteAdded(number, "wind"),)
    assert asked(begun, photo, HAND) == (PhotoAdded(number, "h" * 64, "box.png", "image/png", 0, ""),)


def test_an_empty_note_is_refused(begun: Run) -> None:
    assert isinstance(refused(begun, AddNote(1, "  ")), ReasonMissingError)


def test_a_photo_of_no_step_is_refused(begun: Run) -> None:
    assert isinstance(
        refused(begun, AddPhoto(job.LAST + 1, "h" * 64, "box.png", "image/png")), UnknownStepError
    )


def test_a_supervisor_adds_to_the_load_out_list_with_a_reason(begun: Run) -> None:
    command = AddToLoadOut(" X-1 ", " bypass clamp ", " came late ")

    assert asked(begun, command) == (LoadOutAdded("X-1", "bypass clamp", "came late"),)
    assert isinstance(refused(begun, command, TECHNICIAN), RightsError)
    assert isinstance(refused(begun, AddToLoadOut("X-1", "bypass clamp", "")), ReasonMissingError)


@pytest.mark.parametrize(
    ("serial", "item", "words"),
    [
        ("", "bypass clamp", "Give the serial and what it is"),
        ("X-1", " ", "Give the serial and what it is"),
        ("TL-MTR-0011", "bypass clamp", "Serial TL-MTR-0011 is on the list already, as MTR-1."),
    ],
)
def test_what_is_not_new_to_the_list_is_refused(begun: Run, serial: str, item: str, words: str) -> None:
    error = refused(begun, AddToLoadOut(serial, item, "came late"))

    assert isinstance(error, LoadOutError)
    assert words in str(error)


def test_things_that_did_not_go_in_the_well_are_accounted_for(begun: Run) -> None:
    serials = ("TL-BC-0405", "TL-BC-0406")

    event = asked(begun, SettleItems(serials, Settlement.RETURNED, " not needed "), HAND)

    assert event == (ItemsSettled(serials, Settlement.RETURNED, "not needed"),)


@pytest.mark.parametrize(
    ("serials", "words"),
    [((), "Choose at least one serial"), (("TL-BC-0405", "X-9"), "Serial X-9 is not on the load-out list.")],
)
def test_what_is_not_on_the_list_is_not_accounted_for(
    begun: Run, serials: tuple[str, ...], words: str
) -> None:
    error = refused(begun, SettleItems(serials, Settlement.RETURNED, "not needed"))

    assert isinstance(error, LoadOutError)
    assert words in str(error)


def test_what_is_in_the_well_is_not_accounted_for_as_returned() -> None:
    run = after(FIRST_CLAMP)
    fitted = run.done[FIRST_CLAMP].readings[0].value

    error = refused(run, SettleItems((fitted,), Settlement.RETURNED, "not needed"))

    assert str(error) == f"Serial {fitted} is in the well, fitted at step {FIRST_CLAMP}."


def test_nothing_is_accounted_for_without_a_reason(begun: Run) -> None:
    error = refused(begun, SettleItems(("TL-BC-0405",), Settlement.RETURNED, ""))

    assert isinstance(error, ReasonMissingError)


def test_a_photo_hangs_on_a_deviation_and_on_a_hold_point_that_are_there(begun: Run) -> None:
    run = do(begun, RaiseDeviation(3, "dent", "dropped", Disposition.USE_AS_IS), HAND)
    dent = AddPhoto(3, "h" * 64, "dent.png", "image/png", deviation=1)
    talk = AddPhoto(0, "h" * 64, "talk.png", "image/png", stage="first-lift-pump")

    assert asked(run, dent, HAND) == (PhotoAdded(3, "h" * 64, "dent.png", "image/png", 1, ""),)
    assert asked(run, talk, HAND) == (PhotoAdded(0, "h" * 64, "talk.png", "image/png", 0, "first-lift-pump"),)
    assert isinstance(refused(begun, dent), DeviationError)
    assert isinstance(refused(begun, replace(talk, stage="deck-work")), HoldPointError)
