"""Cable figures: phases against each other and their copper, insulation warm and cold, long and short."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.domain.figures.conductors import Conductor, WarmRun, area_mm2, there_and_back
from app.domain.figures.electrical import (
    at_reference,
    expected_result,
    for_a_kilometre,
    imbalance,
    imbalance_result,
    insulation_result,
    kept_result,
    off_expected_result,
    phase_result,
    polarization_result,
    reference_result,
)
from app.domain.figures.read import Read
from app.domain.figures.warmth import Warmth
from app.domain.install_record import ReadingVerdict
from app.domain.quantities import (
    Length,
    Quantity,
    Ratio,
    Resistance,
    Temperature,
    in_unit,
    length,
    quantity,
    read_quantity,
    units_of,
)

ALLOWED = read_quantity("3 %", Ratio)
LEAST = read_quantity("500 Mohm", Resistance)
TWENTY = read_quantity("20 degC", Temperature)
MILE = Conductor("MC-1", "4 AWG", read_quantity("6000 ft", Length))


def ohms(*numbers: float, unit: str = "ohm") -> list[Resistance]:
    return [read_quantity(f"{number} {unit}", Resistance) for number in numbers]


def read(value: Quantity, name: str = "insulation to ground") -> Read:
    return Read(name, value, "read at step 7")


def reads(*numbers: float) -> list[Read]:
    return [read(value, f"resistance {number}") for number, value in enumerate(ohms(*numbers))]


@pytest.mark.parametrize("number", [0, 3])
def test_like_phases_are_in_balance(number: float) -> None:
    assert imbalance(ohms(number, number, number)).si == 0


def test_imbalance_is_the_greatest_deviation_over_the_mean() -> None:
    # Mean 3.1, farthest 3.3.
    assert in_unit(imbalance(ohms(3.0, 3.0, 3.3)), "%") == pytest.approx(100 * 0.2 / 3.1)


def test_an_imbalance_is_told_with_its_limit_and_its_phases() -> None:
    result = imbalance_result(reads(3.0, 3.0, 3.3), ALLOWED)

    assert "6.5 % out of balance, 3 % is allowed: test each again" in result.advice
    assert result.margin_text == "-3.5 %"
    assert [item.origin for item in result.inputs] == ["read at step 7"] * 3


@settings(max_examples=30)
@given(st.tuples(*[st.floats(0.5, 3.0)] * 3), st.sampled_from(units_of(Resistance)))
def test_the_unit_of_phases_changes_no_verdict(numbers: tuple[float, float, float], unit: str) -> None:
    plain = reads(*numbers)
    share = imbalance([Resistance(item.value.si) for item in plain]).si
    other = [
        Read(item.name, quantity(f"{in_unit(item.value, unit):.12e}", unit, Resistance), "") for item in plain
    ]

    if abs(share - ALLOWED.si) > 1e-6:
        assert imbalance_result(other, ALLOWED).verdict is imbalance_result(plain, ALLOWED).verdict


@pytest.mark.parametrize(
    ("number", "verdict", "words"),
    [
        (3.0, ReadingVerdict.IN_WINDOW, "as it should be"),
        (0.9, ReadingVerdict.BELOW_WINDOW, "look for a short"),
        (5.1, ReadingVerdict.ABOVE_WINDOW, "look for an open"),
    ],
)
def test_a_phase_stands_in_its_window(number: float, verdict: ReadingVerdict, words: str) -> None:
    low, high = ohms(1.0, 5.0)

    result = phase_result(reads(number)[0], low, high)

    assert result.verdict is verdict
    assert words in result.advice


def test_a_phase_without_a_window_is_recorded() -> None:
    assert phase_result(reads(3.0)[0], None, None).advice == "3.0 Ω, recorded."


@pytest.mark.parametrize(("text", "passes"), [("500 Mohm", True), ("2 Gohm", True), ("50 Mohm", False)])
def test_insulation_passes_from_its_limit_up(text: str, passes: bool) -> None:
    result = insulation_result(read(read_quantity(text, Resistance)), LEAST)

    assert result.is_outside is not passes
    assert ("do not bury it" in result.advice) is not passes


def test_insulation_is_brought_to_the_plans_temperature_and_to_a_kilometre() -> None:
    warm, run = read(read_quantity("30 degC", Temperature)), Conductor("MC-1", "", length(2000, "m"))

    result = reference_result(read(ohms(100, unit="Mohm")[0]), Warmth(warm), (run,), TWENTY)

    assert result.name == "insulation at 20 °C, for 1000 m"
    assert in_unit(result.value, "Mohm") == pytest.approx(400)
    assert result.verdict is ReadingVerdict.NO_LIMIT


def test_a_reference_that_the_plan_does_not_name_is_assumed() -> None:
    result = reference_result(read(ohms(100, unit="Mohm")[0]), Warmth(read(TWENTY)), (), None)

    assert result.name == "insulation at 20 °C"
    assert result.inputs[-1].origin == "assumed"


@settings(max_examples=30)
@given(st.floats(1e6, 1e12), st.floats(263.0, 373.0), st.floats(1.0, 3000.0))
def test_insulation_brought_there_and_back_is_as_it_was(ohm: float, kelvin: float, run: float) -> None:
    there = at_reference(Resistance(ohm), Temperature(kelvin), TWENTY)

    back = at_reference(there, TWENTY, Temperature(kelvin))

    assert back.si == pytest.approx(ohm)
    assert for_a_kilometre(Resistance(ohm), Length(run)).si == pytest.approx(ohm * run / 1000)


def test_insulation_that_lost_nine_tenths_since_the_test_before_wants_a_reason() -> None:
    before = Read("the test before", ohms(1000, unit="Mohm")[0], "step 3")

    little = kept_result(Read("this test", ohms(99, unit="Mohm")[0], "step 9"), before)
    enough = kept_result(Read("this test", ohms(100, unit="Mohm")[0], "step 9"), before)

    assert "only 9.9 %" in little.advice
    assert not enough.is_outside


@pytest.mark.parametrize(
    ("ten", "low", "words"),
    [(200, True, "does not charge up"), (400, False, "charges up as sound insulation does.")],
)
def test_insulation_must_charge_up_in_ten_minutes(ten: float, low: bool, words: str) -> None:
    one, ten_minutes = (read(value) for value in ohms(150, ten, unit="Mohm"))

    result = polarization_result(one, ten_minutes, read_quantity("2 times", Ratio))

    assert result.is_outside is low
    assert words in result.advice


def test_very_dry_insulation_makes_the_index_say_little() -> None:
    one, ten = (read(value) for value in ohms(9000, 20000, unit="Mohm"))

    result = polarization_result(one, ten, read_quantity("2 times", Ratio))

    assert "the index says little" in result.advice


@pytest.mark.parametrize("size", ["4 AWG", "#4", "4", "21.15 mm2", "21.15 mm²", " 4 awg "])
def test_a_size_of_copper_is_read_as_people_write_it(size: str) -> None:
    assert area_mm2(size) == pytest.approx(21.15, abs=0.01)


@pytest.mark.parametrize(
    ("size", "square_mm"),
    [
        ("0 AWG", 53.48),
        ("1/0 AWG", 53.48),
        ("00", 67.43),
        ("2/0 AWG", 67.43),
        ("000 awg", 85.01),
        ("#3/0", 85.01),
        ("0000 AWG", 107.22),
        ("4/0 AWG", 107.22),
        ("40 AWG", 0.00501),
    ],
)
def test_gauges_over_one_are_counted_in_noughts(size: str, square_mm: float) -> None:
    # A circular mil is 5.067075e-4 mm2; ASTM B258 has the gauges from 105 500 to 211 600 of them.
    assert area_mm2(size) == pytest.approx(square_mm, rel=2e-3)


@pytest.mark.parametrize(
    "size", ["", "thick", "0 mm2", "-4 AWG", "4 in", "0/0", "5/0 AWG", "00000", "04 AWG", "41 AWG", "99"]
)
def test_what_is_no_size_of_copper_is_none(size: str) -> None:
    assert area_mm2(size) is None


def test_a_cable_of_unknown_copper_has_no_expected_resistance() -> None:
    unknown = Conductor("ML-1", "", length(75, "ft"))
    window = (Resistance(1.0), Resistance(5.0))

    assert there_and_back([WarmRun(item, TWENTY) for item in (MILE, unknown)]) is None
    assert there_and_back(()) is None
    assert expected_result((unknown,), Warmth(read(TWENTY)), None, window) is None
    assert off_expected_result(reads(3.0), (unknown,), Warmth(read(TWENTY)), None, Ratio(0.1)) is None


def test_six_thousand_feet_and_a_motor_read_as_both_together() -> None:
    low, high = ohms(3.0, 5.0)
    motor = Read("motor, phase to phase", Resistance(1.0, "1 ohm"), "mean read at step 4")

    alone = expected_result((MILE,), Warmth(read(TWENTY, "temperature")), None, (low, high))
    both = expected_result((MILE,), Warmth(read(TWENTY, "temperature")), motor, (low, high))

    assert alone is not None
    assert both is not None
    # 2.982 ohm there and back, and 2 % for the lay.
    assert alone.value.si == pytest.approx(2.982 * 1.02, abs=0.001)
    assert both.value.si == pytest.approx(alone.value.si + 1.0)
    assert both.inputs[-1].origin == "mean read at step 4"


def test_a_window_that_misses_the_copper_is_said_so() -> None:
    low, high = ohms(4.0, 5.0)

    result = expected_result((MILE,), Warmth(read(TWENTY)), None, (low, high))

    assert result is not None
    assert "The window, 4.0 Ω to 5.0 Ω, is not what this copper can read" in result.advice
    assert "motor" not in result.advice


def test_a_motor_behind_the_copper_is_named_where_the_window_misses_both() -> None:
    low, high = ohms(5.0, 6.0)
    motor = Read("motor, phase to phase", Resistance(1.0, "1 ohm"), "mean read at step 4")
    warm = Warmth(read(TWENTY, "temperature"))

    before = expected_result((MILE,), warm, motor, (low, high))
    after = off_expected_result(reads(5.0, 5.0, 5.0), (MILE,), warm, motor, read_quantity("5 %", Ratio))

    assert before is not None
    assert before.verdict is ReadingVerdict.BELOW_WINDOW
    assert "is not what this copper and the motor behind it can read" in before.advice
    assert "The motor counts as 1.00 Ω, mean read at step 4: where that was read wrong" in before.advice
    assert after is not None
    assert after.verdict is ReadingVerdict.ABOVE_WINDOW
    assert "More than their copper and motor, 4.04 Ω" in after.advice
    assert "The motor counts as 1.00 Ω, mean read at step 4: was it read right?" in after.advice


@pytest.mark.parametrize(
    ("number", "verdict"),
    [
        (3.04, ReadingVerdict.IN_WINDOW),
        (2.0, ReadingVerdict.BELOW_WINDOW),
        (4.0, ReadingVerdict.ABOVE_WINDOW),
    ],
)
def test_phases_are_held_against_their_copper(number: float, verdict: ReadingVerdict) -> None:
    result = off_expected_result(
        reads(number, number, number), (MILE,), Warmth(read(TWENTY)), None, read_quantity("5 %", Ratio)
    )

    assert result is not None
    assert result.verdict is verdict
