"""Cables: phases against each other and against their copper, insulation brought to one temperature."""

from collections.abc import Sequence
from math import fsum

from app.domain.checks.shown import given, like, shown
from app.domain.figures.conductors import TWENTY_DEGC, Conductor, WarmRun, there_and_back
from app.domain.figures.read import Read
from app.domain.figures.warmth import Warmth
from app.domain.quantities import Length, Ratio, Resistance, Temperature, total, typed_unit
from app.domain.results import ASSUMED, PLAN, Advice, Input, Result

# Insulation of plastic or rubber about halves with each ten degrees. IEEE 43 has it so for thermoplastic.
HALVING_K = 10.0
ONE_KM = Length(1000.0)
# A tenth of the test before, at the same temperature and length, is a fault in the making: common practice.
LEAST_KEPT = Ratio(0.10, "10 %")
POLARIZED_ENOUGH = Resistance(5e9)  # IEEE 43, from memory: beyond it the index says nothing


def imbalance(readings: Sequence[Resistance]) -> Ratio:
    """Return the greatest deviation from the mean as a share of the mean [1].

    max|x - mean| / mean. Source: the NEMA MG-1 form of unbalance. Range: readings from zero up, at least
    one; dead shorts all round are in balance.
    """
    mean = mean_of(readings).si
    if mean == 0:
        return Ratio(0.0)
    return Ratio(max(abs(reading.si - mean) for reading in readings) / mean)


def mean_of(readings: Sequence[Resistance]) -> Resistance:
    """Return the mean of resistances [ohm]."""
    return Resistance(fsum(reading.si for reading in readings) / len(readings))


def at_reference(insulation: Resistance, read_at: Temperature, reference: Temperature) -> Resistance:
    """Return what insulation read warm or cold would read at a reference temperature [ohm].

    R_ref = R 0.5^((T_ref - T) / 10 K). Source: IEEE 43, thermoplastic insulation. Range: about 10 to 60 °C;
    beyond it a rule of thumb.
    """
    return insulation * float(0.5 ** ((reference.si - read_at.si) / HALVING_K))


def for_a_kilometre(insulation: Resistance, run: Length) -> Resistance:
    """Return what a kilometre of the same insulation would read [ohm].

    R L / 1000 m. Source: leakage grows as length does. Range: length over zero.
    """
    return insulation * (run.si / ONE_KM.si)


def polarization_index(after_one: Resistance, after_ten: Resistance) -> Ratio:
    """Return insulation after ten minutes as so many times that after one [1].

    R10 / R1. Source: IEEE 43. Range: R1 over zero.
    """
    return Ratio(after_ten.si / after_one.si)


def phase_result(phase: Read, low: Resistance | None, high: Resistance | None) -> Result:
    """Return a phase-to-phase resistance against its window [ohm]."""
    text = given(phase.value)
    return Result(
        name=phase.name,
        value=phase.value,
        unit=typed_unit(low or high or phase.value),
        formula="as read",
        inputs=(phase.as_input(),),
        source="Window of the plan's electrical test."
        if low or high
        else "Recorded; the plan sets no limit.",
        says=Advice(
            inside=f"{text} as it should be." if low or high else f"{text}, recorded.",
            below=f"{text} is below the window: look for a short, and zero the meter's leads.",
            above=f"{text} is over the window: look for an open or poor contact.",
        ),
        low=low,
        high=high,
    )


def imbalance_result(phases: Sequence[Read], limit: Ratio) -> Result:
    """Return how far phases are out of balance against the plan's limit [1]."""
    share = imbalance([Resistance(phase.value.si) for phase in phases])
    text = like(share, limit)
    return Result(
        name="imbalance of the phases",
        value=share,
        unit=typed_unit(limit),
        formula="greatest deviation from the mean, by the mean",
        inputs=tuple(phase.as_input() for phase in phases),
        source="NEMA MG-1 form of unbalance. Limit of the plan.",
        says=Advice(
            inside=f"The phases are {text} out of balance, {given(limit)} is allowed.",
            above=f"The phases are {text} out of balance, {given(limit)} is allowed: test each again.",
        ),
        high=limit,
    )


def insulation_result(insulation: Read, low: Resistance) -> Result:
    """Return an insulation resistance to ground against the least that passes [ohm]."""
    text, limit = given(insulation.value), given(low)
    return Result(
        name=insulation.name,
        value=insulation.value,
        unit=typed_unit(low),
        formula="as read",
        inputs=(insulation.as_input(),),
        source="Limit of the plan's electrical test.",
        says=Advice(
            inside=f"{text} to ground; the limit is {limit}.",
            below=f"{text} to ground is below the limit, {limit}: do not bury it; clean, dry and test again.",
        ),
        low=low,
    )


def all_at_reference(insulation: Resistance, runs: Sequence[WarmRun], reference: Temperature) -> Resistance:
    """Return what insulation of runs that are not alike warm would read at a reference temperature [ohm].

    R_ref = sum of L_i / L times R 0.5^((T_ref - T_i) / 10 K): each run leaks by its length and its warmth.
    Source: as of at_reference; leakages side by side add up. Range: as there; length over zero.
    """
    run_m = fsum(run.conductor.length.si for run in runs)
    parts = (
        at_reference(insulation, run.temperature, reference).si * (run.conductor.length.si / run_m)
        for run in runs
    )
    return Resistance(fsum(parts))


def reference_result(
    insulation: Read, warmth: Warmth, conductors: Sequence[Conductor], reference: Temperature | None
) -> Result:
    """Return insulation brought to one temperature and, where a length is known, to a kilometre [ohm]."""
    at, assumed = (reference, PLAN) if reference is not None else (TWENTY_DEGC, ASSUMED)
    read = Resistance(insulation.value.si)
    inputs: tuple[Input, ...] = (
        insulation.as_input(),
        *warmth.inputs(conductors),
        Input("reference", given(at), assumed),
    )
    formula, of = "halved for each 10 °C that it was read colder than the reference", ""
    if conductors:
        run = total(Length, (conductor.length for conductor in conductors))
        value = for_a_kilometre(all_at_reference(read, warmth.along(conductors), at), run)
        inputs = (*inputs, _length_of(conductors, run))
        formula, of = f"{formula}, run by run; times length by 1000 m", ", for 1000 m"
    else:
        value = at_reference(read, warmth.above, at)
    return Result(
        name=f"insulation at {given(at)}{of}",
        value=value,
        unit=typed_unit(insulation.value),
        formula=formula,
        inputs=inputs,
        source=f"IEEE 43, thermoplastic insulation; for cables a rule of thumb. {WARM}",
        says=Advice("To be held against the other tests of the same cable, warm or cold, long or short."),
    )


def _length_of(conductors: Sequence[Conductor], run: Length) -> Input:
    # One length stays as it was typed; a sum is shown in the unit of the first.
    text = given(conductors[0].length) if len(conductors) == 1 else like(run, conductors[0].length)
    return Input(f"length of {' and '.join(item.cable for item in conductors)}", text, PLAN)


def kept_result(now: Read, before: Read) -> Result:
    """Return how much of the test before, both at one temperature and length, an insulation kept [1]."""
    share = Ratio(now.value.si / before.value.si)
    kept = shown(share, "%")
    return Result(
        name="insulation kept since the test before",
        value=share,
        unit="%",
        formula="this test by the one before, both brought to one temperature and length",
        inputs=(now.as_input(), before.as_input()),
        source="Less than a tenth is a fault in the making: common practice.",
        says=Advice(
            inside=f"It kept {kept} of the test before.",
            below=f"It kept only {kept} of the test before, and not for warmth: find out why before "
            "running on.",
        ),
        low=LEAST_KEPT,
    )


def polarization_result(after_one: Read, after_ten: Read, low: Ratio) -> Result:
    """Return the polarization index against the plan's limit [1]."""
    index = polarization_index(Resistance(after_one.value.si), Resistance(after_ten.value.si))
    void = ", and so dry already that the index says little" if after_one.value > POLARIZED_ENOUGH else ""
    return Result(
        name="polarization index",
        value=index,
        unit="times",
        formula="insulation after ten minutes by insulation after one",
        inputs=(after_one.as_input(), after_ten.as_input()),
        source="IEEE 43. Limit of the plan.",
        says=Advice(
            inside=f"The insulation charges up as sound insulation does{void}.",
            below=f"The insulation does not charge up, as wet or dirty insulation does not{void}: clean, dry "
            "and test again.",
        ),
        low=low,
    )


def expected(conductors: Sequence[Conductor], warmth: Warmth, motor: Read | None) -> Read | None:
    """Return what two phases of copper should read, with the motor behind them if there is one [ohm]."""
    copper = there_and_back(warmth.along(conductors))
    if copper is None:
        return None
    value = copper if motor is None else Resistance(copper.si + motor.value.si)
    return Read("expected", value, "worked out")


def expected_result(
    conductors: Sequence[Conductor],
    warmth: Warmth,
    motor: Read | None,
    window: tuple[Resistance, Resistance],
) -> Result | None:
    """Return the resistance that two phases should read against the plan's window [ohm]."""
    found = expected(conductors, warmth, motor)
    if found is None:
        return None
    low, high = window
    outside = (
        f"The window, {given(low)} to {given(high)}, is not what {_read_through(motor, typed_unit(low))}"
    )
    return Result(
        name="expected resistance, phase to phase",
        value=found.value,
        unit=typed_unit(low),
        formula=EXPECTED,
        inputs=tuple(_expected_inputs(conductors, warmth, motor)),
        source=COPPER,
        says=Advice(
            inside="What the meter should show, its leads zeroed.",
            below=outside,
            above=outside,
        ),
        low=low,
        high=high,
    )


def off_expected_result(
    phases: Sequence[Read], conductors: Sequence[Conductor], warmth: Warmth, motor: Read | None, off: Ratio
) -> Result | None:
    """Return the mean of the phases against what the copper is worth, give or take the plan's share [ohm]."""
    found = expected(conductors, warmth, motor)
    if found is None:
        return None
    worth = shown(found.value, typed_unit(phases[0].value))
    than = "their copper" if motor is None else "their copper and motor"
    motor_too = "" if motor is None else f" {_taken(motor, typed_unit(phases[0].value))}: was it read right?"
    return Result(
        name="phases against their copper",
        value=mean_of([Resistance(phase.value.si) for phase in phases]),
        unit=typed_unit(phases[0].value),
        formula=f"mean of the phases; they should read within {given(off)} of what their copper is worth. "
        f"{EXPECTED}",
        inputs=(
            *(phase.as_input() for phase in phases),
            *_expected_inputs(conductors, warmth, motor),
        ),
        source=f"{COPPER} Share of the plan.",
        says=Advice(
            inside=f"As {than}: {worth} was expected.",
            below=f"Less than {than}, {worth}: is it shorted on the way, or another cable?{motor_too}",
            above=f"More than {than}, {worth}: look for poor contact, and zero the meter's leads.{motor_too}",
        ),
        low=Resistance(found.value.si * (1.0 - off.si)),
        high=Resistance(found.value.si * (1.0 + off.si)),
    )


def _read_through(motor: Read | None, unit: str) -> str:
    """Return what a test reads through, and what to put right where its window is not of that."""
    if motor is None:
        return "this copper can read: correct size, length or window in the plan."
    return (
        f"this copper and the motor behind it can read. {_taken(motor, unit)}: where that was read wrong, "
        "correct it; else correct size, length or window in the plan."
    )


def _taken(motor: Read, unit: str) -> str:
    return f"The motor counts as {shown(motor.value, unit)}, {motor.origin}"


EXPECTED = "Twice the conductors, R = rho L / A, 0.393 % more for each °C over 20 °C, 2 % for their lay"
WARM = "In the hole as warm as the well there, a straight line; over it as where it was read."
COPPER = f"ASTM B258 gauges; annealed copper of 100 % IACS. {WARM}"


def _expected_inputs(
    conductors: Sequence[Conductor], warmth: Warmth, motor: Read | None
) -> tuple[Input, ...]:
    sizes = tuple(
        Input(f"conductor of {item.cable}", f"{item.size}, {given(item.length)}") for item in conductors
    )
    return (*sizes, *warmth.inputs(conductors), *((motor.as_input(),) if motor is not None else ()))
