"""Pressure tests of the discharge lines: whether what the plan wants of them proves anything."""

from collections.abc import Iterator
from datetime import date

from app.domain.checks.places import place, system_place
from app.domain.checks.shown import given
from app.domain.plan import Plan
from app.domain.problems import Problem, caution, stop
from app.domain.quantities import Ratio

RULES = {
    "line-test-empty": "A line test has no pressure or no hold time.",
    "line-test-fall-unlikely": "A line test allows a fall below nothing, or so wide that it proves little.",
}

# 30 CFR 250.721 fails casing that falls more than 10 % in 30 minutes; a small line must do better.
WIDEST_FALL = Ratio(0.10)


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
