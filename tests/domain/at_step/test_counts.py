"""Counts: gear on and off at any step, and what was issued against where it went."""

from dataclasses import replace

import pytest

from app.domain.at_step.counts import GearCount, ItemCount, gear_at, items_after, items_of
from app.domain.commands import SettleItems
from app.domain.events.load_out import Settlement
from app.domain.gear import Issued, LoadOutItem
from app.domain.operations import Operation
from app.domain.string.simulator import state_after
from tests.domain.at_step.shifts import double
from tests.domain.job import after, all_done, begun, do, first, plan, sheet

CLAMP, PROTECTOR = "bypass clamp", "cross-coupling protector, 2-7/8 in"
FITTED = first(Operation.FIT_PROTECTOR)


def of(counts: tuple[ItemCount, ...], item: str) -> ItemCount:
    return next(count for count in counts if count.item == item)


def test_gear_that_went_on_and_not_off_is_on() -> None:
    clamped = first(Operation.FIT_COLLAR)

    counts = {count.item: count for count in gear_at(plan(), sheet().steps[:clamped])}

    assert counts["LG-DC-287"] == GearCount("LG-DC-287", on=1, off=0, on_site=1)
    assert counts["LG-DC-287"].left == 0
    assert counts["LG-DC-287"].is_true


def test_more_on_than_came_to_the_site_is_not_true() -> None:
    assert not GearCount("LC", on=3, off=0, on_site=2).is_true
    assert not GearCount("LC", on=1, off=2, on_site=2).is_true


def test_what_comes_with_the_pipe_has_no_number_on_site() -> None:
    counts = {count.item: count for count in gear_at(plan(), sheet().steps)}

    assert counts["pin protector"].left is None
    assert counts["pin protector"].is_true


@pytest.mark.parametrize("share", [0.0, 0.3, 0.5, 0.7, 1.0])
def test_what_is_on_is_what_the_walked_string_wears(share: float) -> None:
    made, steps = double()[0], double()[1].steps
    done = steps[: round(share * len(steps))]
    worn = state_after(made, done).temporary

    on = {count.item: count.is_on for count in gear_at(made, done)}

    assert on.get("SLINGS", 0) == len(worn.slings)
    assert on.get("pin protector", 0) == len(worn.pin_protectors)
    assert on.get("COVER", 0) == int(worn.cover)
    assert sum(on.values()) == 0 or not worn.is_empty()


def test_clamps_are_issued_fitted_and_left_on_deck() -> None:
    assert of(items_of(begun()), CLAMP) == ItemCount(CLAMP, wanted=4, issued=6, fitted=0)

    fitted = of(items_of(all_done()), CLAMP)

    assert (fitted.fitted, fitted.on_deck, fitted.to_fit, fitted.is_enough) == (4, 2, 0, True)


def test_what_went_back_or_was_rejected_is_no_longer_on_deck() -> None:
    run = all_done()
    left = [
        serial for serial, item in run.load_out.items() if item == CLAMP and serial not in run.used_serials
    ]

    run = do(run, SettleItems((left[0],), Settlement.RETURNED, "spare"))
    run = do(run, SettleItems((left[1],), Settlement.REJECTED, "bent"))

    count = of(items_of(run), CLAMP)
    assert (count.returned, count.rejected, count.on_deck) == (1, 1, 0)
    assert count.issued == count.fitted + count.returned + count.rejected


def test_protectors_are_counted_by_the_steps_that_fitted_them() -> None:
    count = of(items_of(after(FITTED)), PROTECTOR)

    assert (count.wanted, count.issued, count.fitted, count.on_deck, count.to_fit) == (9, 12, 1, 11, 8)


def test_too_few_for_what_is_still_to_be_fitted_is_seen() -> None:
    short = replace(plan(), issued=(Issued(PROTECTOR, 5),))

    count = of(items_after(short, sheet(), FITTED), PROTECTOR)

    assert not count.is_enough


def test_protectors_that_nobody_counted_out_have_no_number() -> None:
    count = of(items_after(replace(plan(), issued=()), sheet(), FITTED), PROTECTOR)

    assert (count.issued, count.on_deck, count.is_enough) == (None, None, True)


def test_a_protector_with_a_serial_counts_beside_those_without() -> None:
    listed = replace(plan(), load_out=(*plan().load_out, LoadOutItem("X-1", PROTECTOR)))

    assert of(items_after(listed, sheet(), 0), PROTECTOR).issued == 13


def test_a_whole_sheet_fits_all_that_its_plan_wants() -> None:
    made, steps = double()

    for count in items_after(made, steps, len(steps.steps)):
        assert count.fitted == count.wanted, count.item
