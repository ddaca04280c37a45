"""Electrical proof: tests at each moment that the string needs, and verdicts on what was read."""

from collections import Counter
from collections.abc import Iterator, Sequence
from datetime import date
from math import fsum

from app.domain.checks.places import numbered
from app.domain.checks.shown import given, like
from app.domain.checks.verdict import Verdict, is_above, is_below
from app.domain.crew import ALONG, ElectricalTest, Limits, TestMoment
from app.domain.install_record import ReadingVerdict
from app.domain.plan import Plan
from app.domain.problems import Problem, caution, stop
from app.domain.quantities import Ratio, Resistance

RULES = {
    "electrical-test-missing": "A moment at which the cables must be proven has no test.",
    "electrical-test-repeated": "One moment has two tests.",
    "test-interval-missing": "A test along tubing does not say every how many joints.",
    "resistance-limits-disordered": "The limits of phase resistance do not rise from low to high.",
    "insulation-limit-unlikely": "An insulation limit is so low that it proves nothing.",
    "imbalance-limit-unlikely": "The limit of imbalance is nothing, or so wide that it proves nothing.",
}

ALWAYS_TESTED: tuple[TestMoment, ...] = (
    TestMoment.ON_DECK,
    TestMoment.AFTER_POTHEAD,
    TestMoment.SYSTEM_COMPLETE,
    TestMoment.AFTER_SPLICE,
    TestMoment.ALONG_PRODUCTION,
    TestMoment.AFTER_PENETRATOR,
    TestMoment.LANDED,
)
LOWEST_INSULATION = Resistance(1e6)  # under a megohm the unit was mistaken, or the limit passes anything
WIDEST_IMBALANCE = Ratio(0.10)  # common practice accepts 2 to 5 %


def imbalance(readings: Sequence[Resistance]) -> Ratio:
    """Return the greatest deviation from the mean as a share of the mean [1].

    max|x - mean| / mean. Source: the NEMA MG-1 form of unbalance. Range: readings from zero up, at least
    one; dead shorts all round are in balance.
    """
    mean = fsum(reading.si for reading in readings) / len(readings)
    if mean == 0:
        return Ratio(0.0)
    return Ratio(max(abs(reading.si - mean) for reading in readings) / mean)


def phase_verdict(readings: Sequence[Resistance], test: ElectricalTest, limits: Limits) -> Verdict:
    """Return where phase-to-phase resistances [ohm] stand: each within its limits, all in balance."""
    window = f"{given(test.resistance_low)} to {given(test.resistance_high)}"
    low, high = min(readings), max(readings)
    if is_below(low, test.resistance_low):
        text = f"{given(low)} is below the window, {window}: look for a short, and zero the meter's leads."
        return Verdict(ReadingVerdict.BELOW_WINDOW, text)
    if is_above(high, test.resistance_high):
        text = f"{given(high)} is over the window, {window}: look for an open or poor contact."
        return Verdict(ReadingVerdict.ABOVE_WINDOW, text)
    share = imbalance(readings)
    limit = limits.resistance_imbalance
    if is_above(share, limit):
        text = (
            f"The phases are {like(share, limit)} out of balance, {given(limit)} is allowed: test each again."
        )
        return Verdict(ReadingVerdict.ABOVE_WINDOW, text)
    text = f"All phases lie in the window, {window}, {like(share, limit)} out of balance."
    return Verdict(ReadingVerdict.IN_WINDOW, text)


def insulation_verdict(readings: Sequence[Resistance], test: ElectricalTest) -> Verdict:
    """Return where insulation resistances to ground [ohm] stand against the least that passes."""
    least, limit = min(readings), given(test.insulation_low)
    if is_below(least, test.insulation_low):
        text = (
            f"{given(least)} to ground is below the limit, {limit}: do not bury it; clean, dry and test "
            "again."
        )
        return Verdict(ReadingVerdict.BELOW_WINDOW, text)
    return Verdict(ReadingVerdict.IN_WINDOW, f"{given(least)} to ground or better; the limit is {limit}.")


def check_moments(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each moment at which the string needs a test and the plan has none, or two."""
    planned = Counter(test.moment for test in plan.electrical_tests)
    between = (TestMoment.ALONG_INTERMEDIATE,) if len(plan.systems) > 1 else ()
    for moment in (*ALWAYS_TESTED, *between):
        if not planned[moment]:
            text = (
                f"No test is planned for '{moment}', so a fault would be buried and found too late; add it."
            )
            yield stop("electrical-test-missing", "electrical_tests", text)
    for number, test in enumerate(plan.electrical_tests):
        where = numbered("electrical_tests", number, test.moment)
        if planned[test.moment] > 1:
            text = (
                f"There are {planned[test.moment]} tests for '{test.moment}'; keep the one whose limits hold."
            )
            yield stop("electrical-test-repeated", where, text)
        if test.moment in ALONG and test.every < 1:
            text = (
                f"The test '{test.moment}' wants a number of joints between two tests; common practice is "
                "10 to 20."
            )
            yield stop("test-interval-missing", where, text)


def check_limits(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each limit that cannot be, or that anything would pass."""
    for number, test in enumerate(plan.electrical_tests):
        where = numbered("electrical_tests", number, test.moment)
        if not 0 <= test.resistance_low.si < test.resistance_high.si:
            yield stop(
                "resistance-limits-disordered",
                where,
                f"Phase resistance from {given(test.resistance_low)} to {given(test.resistance_high)} is "
                "no window; "
                "write the lower limit first, from zero up.",
            )
        if test.insulation_low < LOWEST_INSULATION:
            text = (
                f"An insulation limit of {given(test.insulation_low)} passes a faulty cable; is Mohm meant?"
            )
            yield caution("insulation-limit-unlikely", where, text)
    allowed = plan.limits.resistance_imbalance
    if not 0 < allowed.si <= WIDEST_IMBALANCE.si:
        text = f"An imbalance of {given(allowed)} allowed is not a useful limit; common practice is 2 to 5 %."
        yield caution("imbalance-limit-unlikely", "limits", text)
