"""Pressure tests of the discharge lines: how high, how long, how far it fell, and what warmth did."""

from app.domain.checks.shown import given, shown
from app.domain.crew import LineTest
from app.domain.figures.read import Read
from app.domain.quantities import Pressure, PressurePerDegree, Ratio, Temperature, typed_unit
from app.domain.results import Advice, Input, Result, from_plan
from app.domain.windows import Window

UNSEEN_RATIO = 5e-4  # less than what a share is shown to
LEAK = "look for the leak, bleed to zero before touching a fitting."


def fall(start: Pressure, end: Pressure) -> Ratio:
    """Return the fall of pressure as a share of the start, negative where it rose [1].

    (p_start - p_end) / p_start. Source: definition. Range: start over zero.
    """
    return Ratio((start.si - end.si) / start.si)


def by_warmth(per_degree: PressurePerDegree, start: Temperature, end: Temperature) -> Pressure:
    """Return what warming adds to the pressure of a full, closed line, negative where it cools [Pa].

    (dp/dT) (T_end - T_start). Source: expansion of a confined liquid; the figure per degree is the
    fluid's and the line's. Range: small changes.
    """
    return Pressure(per_degree.si * (end.si - start.si))


def start_result(start: Read, test: LineTest) -> Result:
    """Return the pressure that a test began at against the one that the plan wants [Pa]."""
    text, wanted = given(start.value), given(test.pressure)
    return Result(
        name=start.name,
        value=start.value,
        unit=typed_unit(test.pressure),
        formula="as read",
        inputs=(start.as_input(),),
        source="Line test of the plan.",
        says=Advice(
            inside=f"It began at {text}.",
            below=f"It began at {text}, under the {wanted} that the plan wants: pump up and repeat.",
            above=f"It began at {text}, far over the {wanted} that the plan wants: bleed down and repeat.",
        ),
        low=test.pressure,
        high=test.most,
    )


def planned_results(test: LineTest) -> tuple[Result, ...]:
    """Return what a line test wants before it is made: the pressure left at its end, its start, its hold."""
    source, unit = "Line test of the plan.", typed_unit(test.pressure)
    wanted, allowed = (
        from_plan("pressure wanted", test.pressure),
        from_plan("fall allowed", test.allowed_fall),
    )
    return (
        Result(
            name="least pressure at the end",
            value=test.least_end,
            unit=unit,
            formula="pressure wanted less the share that it may fall: p (1 - share)",
            inputs=(wanted, allowed),
            source=source,
            says=Advice(f"Where it began at {given(test.pressure)}; where it began higher, as much more."),
        ),
        Result(
            name="most pressure at the start",
            value=test.most,
            unit=unit,
            formula="pressure wanted and a tenth of it",
            inputs=(wanted,),
            source=f"{source} A tenth more is another test: common practice.",
            says=Advice("Do not pump higher."),
        ),
        Result(
            name="time to be held",
            value=test.hold,
            unit=typed_unit(test.hold),
            formula="as planned",
            inputs=(from_plan("hold", test.hold),),
            source=source,
            says=Advice("Isolate the pump first, and let the line settle."),
        ),
        *_cooling(test, (wanted, allowed)),
    )


def _cooling(test: LineTest, inputs: tuple[Input, ...]) -> tuple[Result, ...]:
    if test.pressure_per_degree is None:
        return ()
    degree = by_warmth(test.pressure_per_degree, Temperature(0.0), Temperature(1.0))
    return (
        Result(
            name="gained by each degree of warming",
            value=degree,
            unit=typed_unit(test.pressure),
            formula="gain of the full, closed line by one degree Celsius",
            inputs=(*inputs, from_plan("gain by warming", test.pressure_per_degree)),
            source="Expansion of a confined liquid, by the plan's figure for fluid and line.",
            says=Advice("Read the temperature at start and end: the fall is judged without it."),
        ),
    )


def hold_result(held: Read, test: LineTest) -> Result:
    """Return how long a test was held against how long the plan wants [s]."""
    text, wanted = given(held.value), given(test.hold)
    return Result(
        name=held.name,
        value=held.value,
        unit=typed_unit(test.hold),
        formula="as read",
        inputs=(held.as_input(),),
        source="Line test of the plan.",
        says=Advice(
            inside=f"It was held {text}.",
            below=f"It was held {text} of the {wanted} that the plan wants: hold on, or repeat.",
        ),
        low=test.hold,
    )


def fall_result(start: Read, end: Read, allowed: Ratio) -> Result:
    """Return the fall over the hold against what the plan allows, up and down [1]."""
    fallen = fall(Pressure(start.value.si), Pressure(end.value.si))
    amount, limit = _amount(fallen, allowed), given(allowed)
    return Result(
        name="fall of pressure",
        value=fallen,
        unit=typed_unit(allowed),
        formula="start less end, by the start",
        inputs=(start.as_input(), end.as_input()),
        source="Line test of the plan.",
        says=Advice(
            inside=f"It {_moved(fallen, amount)}, {limit} is allowed.",
            below=f"It rose {amount}, {limit} is allowed: the line warms or is still being fed. Let it "
            "settle, isolate the pump and repeat.",
            above=f"It fell {amount}, {limit} is allowed: {LEAK}",
        ),
        low=allowed * -1.0,
        high=allowed,
    )


def _amount(fallen: Ratio, allowed: Ratio) -> str:
    """Return how far it fell or rose, on the side of the limit where the figure is shown."""
    return Window(typed_unit(allowed), Ratio(abs(fallen.si)), None, allowed).value_text


def _moved(fallen: Ratio, amount: str) -> str:
    if abs(fallen.si) < UNSEEN_RATIO:
        return "neither fell nor rose"
    return f"fell {amount}" if fallen.si > 0 else f"rose {amount}"


def warmed_fall_result(
    pressures: tuple[Read, Read], temperatures: tuple[Read, Read], test: LineTest
) -> Result | None:
    """Return the fall less what warmth accounts for [1], or none where the plan has no figure for it."""
    if test.pressure_per_degree is None:
        return None
    (start, end), (cold, warm) = pressures, temperatures
    gained = by_warmth(test.pressure_per_degree, Temperature(cold.value.si), Temperature(warm.value.si))
    left = Pressure(end.value.si - gained.si)
    fallen, allowed = fall(Pressure(start.value.si), left), test.allowed_fall
    said = f"Warmth accounts for {shown(gained, typed_unit(test.pressure))}; without it, it "
    amount = _amount(fallen, allowed)
    return Result(
        name="fall of pressure without warmth",
        value=fallen,
        unit=typed_unit(allowed),
        formula="start less end, and less what warming added to the end, by the start",
        inputs=(
            *(read.as_input() for read in (start, end, cold, warm)),
            from_plan("gain by warming", test.pressure_per_degree),
        ),
        source="Expansion of a confined liquid, by the plan's figure for fluid and line.",
        says=Advice(
            inside=f"{said}{_moved(fallen, amount)}, {given(allowed)} is allowed.",
            below=f"{said}rose {amount}: isolate the pump and repeat.",
            above=f"{said}fell {amount}, {given(allowed)} is allowed: {LEAK}",
        ),
        low=allowed * -1.0,
        high=allowed,
    )
