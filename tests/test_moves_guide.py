"""The guide's part about legal moves is what the table says."""

from app.domain.string.laws import LAWS
from app.domain.string.moves import MOVES
from tests.moves_guide import BEGIN, END, GUIDE, moves_part, with_moves

TEXT = GUIDE.read_text(encoding="utf-8")


def test_the_guide_shows_the_moves_as_they_are_now() -> None:
    assert with_moves(TEXT) == TEXT, "write it anew with: python -m tests.moves_guide"


def test_the_guide_has_one_place_for_the_moves() -> None:
    assert (TEXT.count(BEGIN), TEXT.count(END)) == (1, 1)


def test_every_move_and_every_law_has_its_row() -> None:
    part = moves_part()

    for move in MOVES:
        assert part.count(f"\n| {move.operation.value} | ") == 1
    for law in LAWS:
        assert f"| {law.number} | {law.demands} | `{law.rule}` |" in part


def test_the_diagrams_lead_from_the_deck_to_the_wellhead() -> None:
    tubing, pump_leg = moves_part().split("```mermaid")[1:]

    for wanted in ('"on deck"', '"elevators and slips"', '"safety clamp"', '"tubing hanger"', ": set slips"):
        assert wanted in tubing
    for wanted in ('"slings"', '"lifting clamp and slings"', '"lifting clamp"', ": land on table"):
        assert wanted in pump_leg
