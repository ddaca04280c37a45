"""Field and SI: customary units, what stands beside what was typed, and rounding that hides nothing."""

import re

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.domain.checks.verdict import standing
from app.domain.install_record import ReadingVerdict
from app.domain.quantities import (
    Expansion,
    Length,
    Mass,
    Pressure,
    Quantity,
    Temperature,
    Torque,
    in_unit,
    quantity,
    read_quantity,
    units_of,
)
from app.domain.unit_systems import (
    AS_PLANNED,
    CUSTOMARY,
    FIELD,
    SI,
    SYSTEMS,
    UnitSystem,
    converted,
    system_named,
)
from app.domain.units import BY_NAME, UNITS, sign_of, written
from app.domain.windows import Window

LOW, TARGET, HIGH = (read_quantity(f"{number} ft*lbf", Torque) for number in (450, 500, 550))
# From NIST SP 811, 2008, appendix B.8, to the digits that are shown.
PRINTED = (
    ("500 ft*lbf", Torque, SI, "500 ft·lbf (678 N·m)"),
    ("3000 psi", Pressure, SI, "3000 psi (20684 kPa)"),
    ("9 5/8 in", Length, SI, "9 5/8 in (244.5 mm)"),
    ("6500 lb", Mass, SI, "6500 lb (2948 kg)"),
    ("104 degF", Temperature, SI, "104 °F (40.0 °C)"),
    ("20 t", Mass, FIELD, "20 t (44.09 klb)"),
    ("1 m", Length, FIELD, "1 m (3.28 ft)"),
    ("20.684 MPa", Pressure, FIELD, "20.684 MPa (3000 psi)"),
    ("5 bar", Pressure, SI, "5 bar (500 kPa)"),
    ("12e-6 per degC", Expansion, FIELD, "12e-6 per °C (6.67e-06 per °F)"),
)


@pytest.mark.parametrize(("typed", "kind", "units", "told"), PRINTED)
def test_what_was_typed_stays_and_its_worth_stands_beside_it(
    typed: str, kind: type[Quantity], units: UnitSystem, told: str
) -> None:
    assert units.given(read_quantity(typed, kind)) == told


@pytest.mark.parametrize("typed", ["500 ft*lbf", "12 kN*m", "40 in*lbf"])
def test_as_the_plan_nothing_stands_beside_what_was_typed(typed: str) -> None:
    assert AS_PLANNED.given(read_quantity(typed, Torque)) == written(typed)


@pytest.mark.parametrize(("units", "typed"), [(SI, "0.678 kN*m"), (SI, "678 N*m"), (FIELD, "40 in*lbf")])
def test_a_unit_of_the_system_itself_is_left_alone(units: UnitSystem, typed: str) -> None:
    assert units.given(read_quantity(typed, Torque)) == written(typed)


@pytest.mark.parametrize(
    ("unit", "field", "si"),
    [("m", "ft", "m"), ("ft", "ft", "m"), ("mm", "in", "mm"), ("in", "in", "mm"), ("t", "klb", "t")],
)
def test_long_and_short_lengths_and_great_masses_have_their_own_units(unit: str, field: str, si: str) -> None:
    assert (FIELD.unit_for(unit), SI.unit_for(unit), AS_PLANNED.unit_for(unit)) == (field, si, unit)


@pytest.mark.parametrize("row", CUSTOMARY, ids=lambda row: row.purpose)
def test_every_customary_unit_is_known_and_measures_one_thing(row: object) -> None:
    assert isinstance(row, type(CUSTOMARY[0]))
    names = (*row.field, *row.si, *row.neither)

    assert len({BY_NAME[name].kind for name in names}) == 1
    assert all(FIELD.unit_for(name) in row.field and SI.unit_for(name) in row.si for name in names)


def test_every_unit_that_may_be_typed_has_a_customary_one_or_is_the_same_in_both() -> None:
    listed = [name for row in CUSTOMARY for name in (*row.field, *row.si, *row.neither)]
    same = {"Resistance", "Angle", "Duration", "Ratio", "Count"}

    assert len(listed) == len(set(listed))
    assert {unit.name for unit in UNITS if unit.kind.__name__ not in same} == set(listed)


@pytest.mark.parametrize("row", [row for row in CUSTOMARY if row.purpose != "temperature"])
def test_a_system_tells_what_pint_makes_of_it(row: object) -> None:
    assert isinstance(row, type(CUSTOMARY[0]))
    registry: pint.UnitRegistry[float] = pint.UnitRegistry()
    field, si = BY_NAME[row.field[0]], BY_NAME[row.si[0]]
    theirs = registry.Quantity(1.0, field.pint_name).to(si.pint_name).magnitude

    ours = float(converted(quantity("1000000", field.name, field.kind), si.name).split()[0])

    assert ours == pytest.approx(theirs * 1e6, rel=2e-3)


def test_what_was_worked_out_is_told_in_the_system_alone() -> None:
    arm = read_quantity("3 ft", Length)

    assert SI.like(arm * 2.0, arm) == SI.given(arm * 2.0) == "1.829 m"
    assert SI.shown(arm, "in") == "914.4 mm"
    assert AS_PLANNED.like(arm * 2.0, arm) == "6.00 ft"


def test_a_window_is_the_same_in_any_system() -> None:
    window = Window("ft*lbf", TARGET, LOW, HIGH)

    assert window.low_text == "450 ft·lbf"
    assert window.seen_in(SI) == Window("ft*lbf", TARGET, LOW, HIGH, SI)


def test_any_other_name_means_the_units_of_the_plan() -> None:
    assert [system_named(system.name) for system in SYSTEMS] == list(SYSTEMS)
    assert system_named("furlongs") is AS_PLANNED


@pytest.mark.parametrize("unit", UNITS, ids=lambda unit: unit.name)
def test_a_unit_as_people_write_it_can_be_typed(unit: object) -> None:
    assert isinstance(unit, type(UNITS[0]))

    assert quantity("3", sign_of(unit.name), unit.kind) == quantity("3", unit.name, unit.kind)


@pytest.mark.parametrize(
    ("plain", "for_people"),
    [
        ("to 500 ft*lbf.", "to 500 ft·lbf."),
        ("20 degC and 8 kN*m", "20 °C and 8 kN·m"),
        ("is Mohm meant, not ohm?", "is MΩ meant, not Ω?"),
        ("bends by 3.5 deg, 1020 kg/m3", "bends by 3.5°, 1020 kg/m³"),
        ("0.5 psi per degF", "0.5 psi per °F"),
        ("Joint LB*3 to a degree", "Joint LB*3 to a degree"),
    ],
)
def test_units_in_a_text_are_written_as_people_write_them(plain: str, for_people: str) -> None:
    assert written(plain) == for_people
    assert written(for_people) == for_people


def test_limits_are_rounded_into_the_window() -> None:
    window = Window("ft*lbf", TARGET, LOW, HIGH, SI)

    # 450 ft·lbf are 610.12 N·m and 550 ft·lbf 745.70 N·m.
    assert window.low_text == "450 ft·lbf (611 N·m)"
    assert window.high_text == "550 ft·lbf (745 N·m)"
    assert window.value_text == "500 ft·lbf (678 N·m)"


def test_a_value_just_outside_is_not_rounded_to_the_limit() -> None:
    low, value = Torque(610.9), Torque(610.8)

    window = Window("N*m", value, low, None)

    assert (window.low_text, window.value_text) == ("611 N·m", "610 N·m")


def test_a_narrow_window_is_told_with_more_digits() -> None:
    window = Window("m", Length(0.01002), Length(0.0100), Length(0.01004), FIELD)

    low, value, high = (
        float(text.split()[0]) for text in (window.low_text, window.value_text, window.high_text)
    )
    assert 0.0 < low <= value <= high


def _last_number(text: str, unit: str) -> float:
    """Return the number that stands before a unit in a text, the typed one or the one in brackets."""
    return float(re.findall(rf"(-?[\d.]+(?:e-?\d+)?) {re.escape(sign_of(unit))}\)?$", text)[-1])


@settings(max_examples=60)
@given(
    st.floats(0.1, 5000.0),
    st.floats(0.0, 1000.0),
    st.floats(-0.3, 1.3),
    st.sampled_from(SYSTEMS),
    st.sampled_from(units_of(Pressure)),
)
def test_no_system_lets_a_value_look_inside_that_is_outside(
    low_si: float, width: float, share: float, units: UnitSystem, unit: str
) -> None:
    scale = in_unit(Pressure(1.0), unit)
    low, high = Pressure(low_si / scale), Pressure((low_si + width) / scale)
    value = Pressure(low.si + (high.si - low.si) * share)

    window = Window(unit, value, low, high, units)

    own = units.unit_for(unit)
    told, least, most = (
        _last_number(text, own) for text in (window.value_text, window.low_text, window.high_text)
    )
    if standing(value, low, high) is ReadingVerdict.BELOW_WINDOW:
        assert told < least
    elif standing(value, low, high) is ReadingVerdict.ABOVE_WINDOW:
        assert told > most
    assert in_unit(low, own) <= least + abs(least) * 1e-6 + 1e-6 or width == 0.0 or least == most


@settings(max_examples=40)
@given(st.integers(4000, 6000), st.sampled_from(units_of(Torque)), st.sampled_from((FIELD, SI)))
def test_a_typed_reading_outside_never_reads_as_inside_in_brackets(
    tenths: int, unit: str, units: UnitSystem
) -> None:
    plain = read_quantity(f"{tenths / 10} ft*lbf", Torque)
    value = quantity(f"{in_unit(plain, unit):.9f}", unit, Torque)
    window = Window("ft*lbf", value, LOW, HIGH, units)

    own = units.unit_for("ft*lbf")
    verdict = standing(value, LOW, HIGH)

    if units.beside(value):
        told = _last_number(window.value_text, own)
        least, most = (_last_number(text, own) for text in (window.low_text, window.high_text))
        assert (told < least) == (verdict is ReadingVerdict.BELOW_WINDOW)
        assert (told > most) == (verdict is ReadingVerdict.ABOVE_WINDOW)
