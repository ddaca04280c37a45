"""The sheet of a handover as pages: what it says can be read in the file, and the string is drawn."""

from datetime import timedelta
from pathlib import Path

import pytest

from app.domain.commands import (
    AcceptHandover,
    BeginHold,
    CheckHandover,
    DraftHandover,
    EndHold,
    Entered,
    TakeCharge,
    TalkHandoverThrough,
)
from app.domain.cross_check import asked_again
from app.domain.events.holds import Cause
from app.domain.events.who import Who
from app.domain.handover_sheet import handover_sheet
from app.domain.run import Run
from app.exports.handover_pages import set_handover
from app.services.handover import pages_of
from tests.domain.job import SECOND_CLAMP, START, before, begun, do
from tests.exports.outside_tools import run_tool

RELIEF = Who("p-rel", "Rita Relief", "supervisor")
NOW = START + timedelta(days=1, microseconds=7)


def handed_over() -> Run:
    run = do(do(before(SECOND_CLAMP), BeginHold(Cause.REST)), EndHold())
    run = do(run, DraftHandover("Slips sit deep 😀."))
    assert run.handing_over is not None
    run = do(run, TalkHandoverThrough(run.handing_over.drafted.open_items))
    assert run.handing_over is not None
    typed = tuple(
        Entered(it.field, it.taken.value, it.taken.unit) for it in asked_again(run, run.handing_over)
    )
    run = do(run, CheckHandover(typed, "12"), RELIEF)
    return do(run, AcceptHandover("wrong page", "mine", "a" * 64), RELIEF)


def words_of(pages: bytes, folder: Path) -> str:
    path = folder / "handover.pdf"
    path.write_bytes(pages)
    told = run_tool("pdftotext", "-layout", path, "-")
    assert told.returncode == 0, told.stderr
    return " ".join(told.stdout.split())


def test_the_pages_say_everything_that_the_sheet_says(tmp_path: Path) -> None:
    run = handed_over()

    words = words_of(pages_of(run, NOW), tmp_path)

    for text in (
        "Slips sit deep [U+1F600].",
        f"typed 12, recorded {SECOND_CLAMP} (does not agree)",
        "Rita Relief (supervisor)",
        "wrong page",
        "bypass clamp",
        "meal or rest",
    ):
        assert text in words
    assert run.sheet.steps[SECOND_CLAMP - 1].text.split(",")[0] in words


def test_the_pages_say_that_work_is_on_hold_and_why_until_it_goes_on(tmp_path: Path) -> None:
    held = do(do(before(SECOND_CLAMP), BeginHold(Cause.WEATHER, "gusts over 20 m/s")), DraftHandover("Wait."))

    words = words_of(pages_of(held, NOW), tmp_path)

    begun_at = f"{held.interruptions[0].begun_at:%Y-%m-%d %H:%M}"
    assert "Work is on hold weather or sea: gusts over 20 m/s; put on hold by Sam Sample" in words
    assert begun_at in words
    assert "Work is on hold" not in words_of(pages_of(handed_over(), NOW), tmp_path)


def test_the_pages_say_who_took_charge_without_a_handover_and_who_left_one(tmp_path: Path) -> None:
    run = do(before(SECOND_CLAMP), DraftHandover("Slips sit deep."))
    run = do(run, TakeCharge("flown out, ill", True, "mine", "a" * 64), RELIEF)

    words = words_of(pages_of(run, NOW), tmp_path)

    assert "Rita Relief took charge without a handover. Sam Sample did not hand over" in words
    assert "Why: flown out, ill" in words
    assert "Rita Relief (supervisor) took charge" in words


def test_the_same_sheet_gives_the_same_bytes_and_a_run_that_has_not_begun_has_one_too() -> None:
    picture = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 10 10"><path d="M1 1h8v8z"/></svg>'
    sheet = handover_sheet(begun(), NOW)

    first, second = set_handover(sheet, picture), set_handover(sheet, picture)

    assert first == second
    assert first.startswith(b"%PDF-")


@pytest.mark.parametrize("word", ["Make-Believe", "Handover"])
def test_the_pages_name_the_well_and_what_they_are(word: str, tmp_path: Path) -> None:
    assert word in words_of(pages_of(begun(), NOW), tmp_path)
