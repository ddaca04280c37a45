"""Sentences and readings told in a system: what is typed stays, and what is no amount is left alone."""

import pytest

from app.domain.events.steps import Taken
from app.domain.install_record import ReadingVerdict
from app.domain.quantities import Torque, read_quantity
from app.domain.sentences import told, told_reading
from app.domain.unit_systems import AS_PLANNED, FIELD, SI, SYSTEMS, UnitSystem


@pytest.mark.parametrize(
    ("text", "units", "words"),
    [
        ("Target 500 ft*lbf.", SI, "Target 500 ft·lbf (678 N·m)."),
        ("Target 500 ft*lbf.", FIELD, "Target 500 ft·lbf."),
        ("Target 500 ft*lbf.", AS_PLANNED, "Target 500 ft·lbf."),
        ("slips for 9 5/8 in over the coupling", SI, "slips for 9 5/8 in (244.5 mm) over the coupling"),
        ("6.21 ft below the top of BL-3", SI, "6.21 ft (1.893 m) below the top of BL-3"),
        ("a fluid of 8.6 lb/gal at 20 degC", SI, "a fluid of 8.6 lb/gal (1031 kg/m³) at 20 °C"),
        (
            "halved for each 10 degC over 20 degC",
            FIELD,
            "halved for each 10 °C (18.0 °F) over 20 °C (68.0 °F)",
        ),
        ("twice for each 9 degF", SI, "twice for each 9 °F (5.00 °C)"),
        ("one for each 10 ft of it", SI, "one for each 10 ft (3.048 m) of it"),
        ("in slips of 4.5 in; hold 15 min", SI, "in slips of 4.5 in (114.3 mm); hold 15 min"),
    ],
)
def test_an_amount_in_a_sentence_gets_its_worth(text: str, units: UnitSystem, words: str) -> None:
    assert told(text, units) == words


@pytest.mark.parametrize(
    "text",
    [
        "Stand joint 3 in the slips and joint 4 in its place",
        "Clamp CL-12 m, part BL-3 in hand, 2026-03-01",
        "Hold 15 min, 3 % allowed, 2.1 Ω",
        "Step 12 in line",
    ],
)
def test_what_is_no_amount_is_left_alone(text: str) -> None:
    assert [told(text, units) for units in SYSTEMS] == [text] * len(SYSTEMS)


def test_both_ends_of_a_range_are_rounded_into_it() -> None:
    assert told("450 ft·lbf to 550 ft·lbf", SI) == "450 ft·lbf (611 N·m) to 550 ft·lbf (745 N·m)"
    assert told("at least 450 ft·lbf", SI) == "at least 450 ft·lbf (611 N·m)"
    assert told("449.9 ft·lbf is below the window", SI) == "449.9 ft·lbf (609 N·m) is below the window"
    assert told("550.1 ft·lbf is above it", SI) == "550.1 ft·lbf (746 N·m) is above it"
    assert told("at most 550 ft·lbf", SI) == "at most 550 ft·lbf (745 N·m)"


def test_a_sentence_told_twice_says_its_worth_once() -> None:
    assert told(told("Target 500 ft*lbf.", SI), SI) == "Target 500 ft·lbf (678 N·m)."


@pytest.mark.parametrize(
    ("value", "verdict", "words"),
    [
        ("500", ReadingVerdict.IN_WINDOW, "500 ft*lbf"),
        ("449.9", ReadingVerdict.BELOW_WINDOW, "449.9 ft*lbf"),
    ],
)
def test_a_reading_is_told_as_typed(value: str, verdict: ReadingVerdict, words: str) -> None:
    taken = _taken(value, "ft*lbf", verdict)

    assert told_reading(taken, AS_PLANNED) == words.replace("*", "·")
    assert told_reading(taken, SI).startswith(words.replace("*", "·"))


def test_a_reading_outside_is_rounded_away_from_the_window() -> None:
    # 449.9 ft·lbf are 609.98 N·m, 550.1 ft·lbf 745.84 N·m.
    low = _taken("449.9", "ft*lbf", ReadingVerdict.BELOW_WINDOW)
    high = _taken("550.1", "ft*lbf", ReadingVerdict.ABOVE_WINDOW)

    assert told_reading(low, SI) == "449.9 ft·lbf (609 N·m)"
    assert told_reading(high, SI) == "550.1 ft·lbf (746 N·m)"


def test_a_serial_has_no_unit() -> None:
    assert told_reading(Taken("serial", "TL-1", "", "", "", ReadingVerdict.NO_LIMIT), SI) == "TL-1"


def _taken(value: str, unit: str, verdict: ReadingVerdict) -> Taken:
    si = read_quantity(f"{value} {unit}", Torque).si
    return Taken("torque", value, unit, "", repr(si), verdict)
