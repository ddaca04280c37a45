"""The account of a sheet: its peaks are those of a plain search, and each breach stands at its step."""

from collections.abc import Iterator
from dataclasses import replace
from functools import cache

import pytest

from app.domain.checks.slings import capacity
from app.domain.compiler.compile import compile_plan
from app.domain.problems import note, stop
from app.domain.string.account import Account, account_of, breaches_in
from app.domain.string.laws import prove_sheet
from app.domain.string.loads import loads
from app.domain.string.simulator import Trace, simulate
from app.domain.string.supports import Hanging, Support
from tests.domain.compiler.test_practice import plan_named, sheet_named


@cache
def trace() -> Trace:
    plan = plan_named("dual")
    return simulate(plan, compile_plan(plan)[0])


@cache
def account() -> Account:
    return account_of(trace())


def held_along() -> Iterator[tuple[int, Hanging, Support]]:
    """Yield every support before and after each step of the sheet, with the step's number."""
    for moment in trace().moments:
        for hanging in (*moment.before, *moment.after):
            yield from ((moment.step.number, hanging, support) for support in hanging.supports)


def test_every_step_has_its_loads_in_the_order_of_the_sheet() -> None:
    steps = [(item.step, item.loads) for item in account().steps]

    assert steps == [(moment.step, loads(trace().plan, moment)) for moment in trace().moments]


def test_the_greatest_load_is_the_heaviest_that_any_primary_support_holds() -> None:
    heaviest_kg = max(hanging.weight_kg for _, hanging, support in held_along() if support.is_primary)

    peak = account().greatest

    assert peak is not None
    assert peak.load.support.is_primary
    assert peak.load.weight.si == pytest.approx(heaviest_kg)
    assert peak.load in account().steps[peak.step.number - 1].loads
    assert peak.load == account().steps[peak.step.number - 1].greatest


def test_the_tightest_load_leaves_the_least_of_any_wll_and_stands_at_the_first_step_that_does() -> None:
    plan = trace().plan
    wll_kg = {item.tag: capacity(item).si for item in plan.lifting_gear}
    wll_kg |= {kind.name: kind.wll.si for kind in plan.clamp_types if kind.wll is not None}
    margins = [
        (1 - hanging.weight_kg / wll_kg[gear], number)
        for number, hanging, support in held_along()
        for gear in support.gear
        if gear in wll_kg
    ]

    peak = account().tightest

    least, step = min(margins)
    assert peak is not None
    assert peak.load.margin_share is not None
    assert peak.load.margin_share.si == pytest.approx(least)
    assert peak.step.number == step


def test_where_nothing_hangs_there_is_no_peak() -> None:
    on_deck = replace(trace(), moments=trace().moments[:3])

    empty = account_of(on_deck)

    assert [item.greatest for item in empty.steps] == [None, None, None]
    assert (empty.greatest, empty.tightest, empty.elsewhere) == (None, None, ())


def test_a_breach_stands_at_its_step_and_one_of_no_step_elsewhere() -> None:
    first = stop("law-held", "step 7", "Nothing holds it.")
    second = stop("law-rating", "step 7", "It is too heavy.")
    of_no_step = stop("law-whole", "the sheet", "A part is missing.")

    told = account_of(trace(), (of_no_step, first, second))

    assert {item.step.number: item.breaches for item in told.steps if item.breaches} == {7: (first, second)}
    assert told.elsewhere == (of_no_step,)


def test_every_breach_of_a_sheet_with_a_step_left_out_is_told_once() -> None:
    plan, sheet = plan_named("single"), sheet_named("single")
    without = [step for step in sheet.steps if step.key != "BP-02/BP-01/torque"]
    wrong = replace(sheet, steps=tuple(without))
    breaches = breaches_in(prove_sheet(plan, wrong))

    told = account_of(simulate(plan, wrong), breaches)

    at_steps = [(f"step {item.step.number}", breach) for item in told.steps for breach in item.breaches]
    assert at_steps
    assert all(breach.where == where for where, breach in at_steps)
    assert sorted(map(str, [*(breach for _, breach in at_steps), *told.elsewhere])) == sorted(
        map(str, breaches)
    )


def test_only_breaches_of_a_law_are_breaches() -> None:
    breach = stop("law-stations-dressed", "step 3", "A clamp is missing.")
    other = stop("sling-angle-flat", "lifting_gear[2]", "The slings lie too flat.")

    assert breaches_in((other, breach, note("run-note", "job", "Read it."))) == (breach,)
