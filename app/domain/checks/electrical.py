"""Electrical proof: a test at each moment that the string needs, with limits that prove something."""

from collections import Counter
from collections.abc import Iterator
from datetime import date

from app.domain.checks.places import every_cable, numbered
from app.domain.checks.shown import given
from app.domain.crew import ALONG, ElectricalTest, TestMoment
from app.domain.figures.conductors import SIZES, area_mm2
from app.domain.figures.electrical import expected_result
from app.domain.figures.read import Read
from app.domain.figures.scene import conductor
from app.domain.figures.warmth import Warmth
from app.domain.plan import MainCable, MotorLead, Plan
from app.domain.problems import Problem, caution, stop
from app.domain.quantities import Ratio, Resistance
from app.domain.results import Result
from app.domain.sheet import TEMPERATURE

RULES = {
    "electrical-test-missing": "A moment at which the cables must be proven has no test.",
    "electrical-test-repeated": "One moment has two tests.",
    "test-interval-missing": "A test along tubing does not say every how many joints.",
    "resistance-limits-disordered": "The limits of phase resistance do not rise from low to high.",
    "insulation-limit-unlikely": "An insulation limit is so low that it proves nothing.",
    "conductor-unknown": "The size of a cable's conductor cannot be read.",
    "resistance-not-of-copper": "A cable that is tested alone cannot read within the window of its test.",
    "polarization-limit-missing": "Insulation is read again after ten minutes, and nothing says what passes.",
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


def check_conductors(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each size of conductor that is none, and each window that its copper cannot read within."""
    deck = next((test for test in plan.electrical_tests if test.moment is TestMoment.ON_DECK), None)
    for where, cable in every_cable(plan):
        if cable.conductor and not area_mm2(cable.conductor):
            text = f"'{cable.conductor}' is no size of a conductor; write it like {SIZES}, or leave it out."
            yield stop("conductor-unknown", where, text)
        result = _expected_alone(plan, cable, deck) if deck is not None else None
        if result is not None and result.is_outside:
            text = f"{cable.tag} should read {result.value_text}, phase to phase. {result.advice}"
            yield caution("resistance-not-of-copper", where, text)


def _expected_alone(plan: Plan, cable: MotorLead | MainCable, test: ElectricalTest) -> Result | None:
    air = Read(TEMPERATURE, plan.well.surface_temperature, "plan, at surface")
    window = test.resistance_low, test.resistance_high
    return expected_result((conductor(cable),), Warmth(air), None, window)


def check_polarization(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each test that reads insulation twice where no least polarization index is given."""
    for number, test in enumerate(plan.electrical_tests):
        if test.again_after_ten and plan.limits.polarization_low is None:
            text = (
                f"The test '{test.moment}' reads insulation after one and ten minutes, but the limits name "
                "no polarization_low; common practice is 1.5 to 2 times."
            )
            yield stop("polarization-limit-missing", numbered("electrical_tests", number, test.moment), text)


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
