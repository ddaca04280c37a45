"""How warm a tested cable is: on deck, on its way into a warm well, and landed there."""

from dataclasses import replace
from functools import cache

import pytest

from app.domain.checks.tally import tally
from app.domain.figures.cable_depths import cable_depths
from app.domain.figures.conductors import Conductor
from app.domain.figures.electrical import expected_result, reference_result
from app.domain.figures.read import Read
from app.domain.figures.trend import trend_of
from app.domain.figures.warmth import Warmth
from app.domain.operations import Operation
from app.domain.quantities import Length, Resistance, Temperature, in_unit, length, read_quantity
from app.domain.run import Run
from app.domain.well import Well
from tests.domain import job

AIR = Read("temperature", read_quantity("20 degC", Temperature), "read at step 7")
CABLE = Conductor("MC-1", "4 AWG", length(1000, "m"))
TESTS = [step.number for step in job.sheet().steps if step.operation is Operation.TEST_CABLES]


@cache
def hot_well() -> Well:
    """Return a well of 20 °C at the surface and 120 °C at 1000 m."""
    return replace(
        job.plan().well,
        survey=(),
        setting_depth=length(1000, "m"),
        surface_temperature=read_quantity("20 degC", Temperature),
        setting_temperature=read_quantity("120 degC", Temperature),
    )


def told(warmth: Warmth) -> list[tuple[str, str]]:
    return [(item.name, item.text) for item in warmth.inputs((CABLE,))]


def test_on_deck_all_of_it_is_as_warm_as_was_read() -> None:
    warmth = Warmth(AIR, hot_well())

    (run,) = warmth.along((CABLE,))

    assert (run.conductor, run.temperature.si) == (CABLE, AIR.value.si)
    assert warmth.at_lower_end == warmth.above
    assert told(warmth) == [("temperature", "20 °C")]


def test_what_is_in_the_hole_is_as_warm_as_the_well_there() -> None:
    warmth = Warmth(AIR, hot_well(), Length(400.0))

    runs = warmth.along((CABLE,))

    in_hole, over = [run for run in runs if run.in_hole], [run for run in runs if not run.in_hole]
    assert sum(run.conductor.length.si for run in in_hole) == pytest.approx(400)
    assert [run.conductor.length.si for run in over] == pytest.approx([600])
    assert in_unit(warmth.at_lower_end, "degC") == pytest.approx(60)
    # From 20 to 60 °C over 400 m.
    assert told(warmth) == [("temperature", "20 °C"), ("of it in the hole", "400.000 m, 40.0 °C on the mean")]


def test_a_cable_in_a_hot_well_should_read_more_than_on_deck() -> None:
    window = Resistance(1.0), Resistance(9.0)

    cold, hot = (
        expected_result((CABLE,), Warmth(AIR, hot_well(), Length(depth)), None, window)
        for depth in (0.0, 1000.0)
    )

    assert cold is not None
    assert hot is not None
    # 70 °C on the mean, fifty degrees more.
    assert hot.value.si / cold.value.si == pytest.approx(1 + 0.00393 * 50)


def test_sound_insulation_that_grows_warm_on_its_way_in_compares_with_the_test_on_deck() -> None:
    sound = 1e9  # what the whole of it reads at 20 °C
    mean_gain = sum(2.0 ** (10.0 * (cut + 0.5) / 1000.0) for cut in range(1000)) / 1000  # from 20 to 120 °C

    deck, landed = (
        reference_result(
            Read("insulation to ground", Resistance(ohm), "read"),
            Warmth(AIR, hot_well(), Length(depth)),
            (CABLE,),
            None,
        )
        for ohm, depth in ((sound, 0.0), (sound / mean_gain, 1000.0))
    )

    assert landed.value.si == pytest.approx(deck.value.si, rel=0.02)


def test_each_test_is_as_deep_as_its_motor_hangs() -> None:
    run = job.all_done()

    deep = cable_depths(run, job.LAST)

    assert list(deep) == TESTS
    depths = [deep[number].si for number in TESTS]
    assert depths == sorted(depths)
    top = next(line.top_depth for line in tally(run.plan) if line.tag == "MTR-1")
    assert deep[TESTS[-1]].si == pytest.approx(top.si, abs=0.5)
    assert cable_depths(run, TESTS[0] - 1) == {}


def warm(run: Run) -> Run:
    """Return a run as if its well were a hundred degrees warmer at the bottom."""
    hot = read_quantity("150 degC", Temperature)
    return replace(run, plan=replace(run.plan, well=replace(run.plan.well, setting_temperature=hot)))


def test_the_history_of_a_cable_in_a_warm_well_is_worth_more_the_deeper_it_was_read() -> None:
    mild, hot = (trend_of(run, "MC-1").points for run in (job.all_done(), warm(job.all_done())))

    gains = [
        after.compared.si / before.compared.si
        for before, after in zip(mild, hot, strict=True)
        if before.compared is not None and after.compared is not None
    ]
    assert gains[0] == pytest.approx(1.0)  # on deck
    assert gains == sorted(gains)
    assert gains[-1] > 2.0
