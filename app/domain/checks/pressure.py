"""Pressure tests of the discharge lines: the fall over the hold, and the verdict on it."""

from collections.abc import Iterator
from datetime import date

from app.domain.checks.places import place, system_place
from app.domain.checks.shown import given, like
from app.domain.checks.verdict import Verdict, is_above, is_below
from app.domain.crew import LineTest
from app.domain.install_record import ReadingVerdict
from app.domain.plan import Plan
from app.domain.problems import Problem, caution, stop
from app.domain.quantities import Duration, Pressure, Ratio

RULES = {
    "line-test-empty": "A line test has no pressure or no hold time.",
    "line-test-fall-unlikely": "A line test allows a fall below nothing, or so wide that it proves little.",
}

# 30 CFR 250.721 fails casing that falls more than 10 % in 30 minutes; a small line must do better.
WIDEST_FALL = Ratio(0.10)


def fall(start: Pressure, end: Pressure) -> Ratio:
    """Return the fall of pressure as a share of the start, negative where it rose [1].

    (p_start - p_end) / p_start. Source: definition. Range: start over zero.
    """
    return Ratio((start.si - end.si) / start.si)


def pressure_verdict(start: Pressure, end: Pressure, held: Duration, test: LineTest) -> Verdict:
    """Return where a line test stands: started high enough, held long enough, steady enough."""
    if is_below(start, test.pressure):
        text = (
            f"It began at {given(start)}, under the {given(test.pressure)} that the plan wants: pump up "
            "and repeat."
        )
        return Verdict(ReadingVerdict.BELOW_WINDOW, text)
    if is_below(held, test.hold):
        text = f"It was held {given(held)} of the {given(test.hold)} that the plan wants: hold on, or repeat."
        return Verdict(ReadingVerdict.BELOW_WINDOW, text)
    fallen = fall(start, end)
    shown, limit = like(Ratio(abs(fallen.si)), test.allowed_fall), given(test.allowed_fall)
    if is_above(fallen, test.allowed_fall):
        text = (
            f"It fell {shown}, {limit} is allowed: look for the leak, bleed to zero before touching a "
            "fitting."
        )
        return Verdict(ReadingVerdict.BELOW_WINDOW, text)
    if is_above(Ratio(-fallen.si), test.allowed_fall):
        text = (
            f"It rose {shown}: the line warms or is still being fed. Let it settle, isolate the pump and "
            "repeat."
        )
        return Verdict(ReadingVerdict.ABOVE_WINDOW, text)
    moved = "fell" if fallen.si > 0 else "rose"
    return Verdict(ReadingVerdict.IN_WINDOW, f"It {moved} {shown} in {given(held)}, {limit} is allowed.")


def check_line_tests(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each line test that would prove nothing."""
    for position, system in enumerate(plan.systems):
        if system.line is None:
            continue
        where, test = place(system_place(position, system), "line", "test"), system.line.test
        if test.pressure.si <= 0 or test.hold.si <= 0:
            text = (
                f"{given(test.pressure)} held for {given(test.hold)} is no test; write pressure and hold "
                "time."
            )
            yield stop("line-test-empty", where, text)
        if not 0 <= test.allowed_fall.si <= WIDEST_FALL.si:
            text = (
                f"An allowed fall of {given(test.allowed_fall)} is not a useful limit; common practice is "
                "1 to 5 %."
            )
            yield caution("line-test-fall-unlikely", where, text)
