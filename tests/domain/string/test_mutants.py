"""The simulator against the oracle: a fixed sample of sheets with one step wrong, judged by both.

`python -m tests.domain.string.mutation` tries every mutant of many more sheets.
"""

from functools import cache
from random import Random

import pytest

from app.domain.operations import Operation
from app.domain.sheet import Lane
from app.domain.string.simulator import simulate
from tests.domain.string.comparison import Compared, Judged, Tally, compared
from tests.domain.string.harmless import WHY_HARMLESS, why_not
from tests.domain.string.mutants import Mutant, Wrong, deletions, mutants_of, replacements, swaps
from tests.domain.string.mutation import SEED, table
from tests.domain.string.oracle import LAWS_PROVED
from tests.domain.string.oracle.rating import ROUNDING_KG
from tests.domain.string.varied_plans import varied_plan

SAMPLE = 150
# A tandem pump leg over two systems, one rated tightly, one with stations at its joints, one flush.
SAMPLED = (1, 2, 5)
ALL_DELETIONS = 7


@cache
def sheet_of(number: int) -> Compared:
    return compared(*varied_plan(number))


@cache
def judged(number: int) -> Tally:
    both = sheet_of(number)
    return both.judge(Random(SEED + number).sample(list(mutants_of(both.oracle.steps)), SAMPLE))


@cache
def deleted() -> Tally:
    both = sheet_of(ALL_DELETIONS)
    return both.judge(deletions(both.oracle.steps))


@pytest.mark.parametrize("number", SAMPLED)
def test_simulator_and_oracle_judge_a_sheet_with_a_step_wrong_alike(number: int) -> None:
    tally = judged(number)

    assert tally.disagreements == []
    assert tally.tried.total() == SAMPLE


def test_simulator_and_oracle_judge_every_deletion_of_a_sheet_alike() -> None:
    tally = deleted()

    assert tally.disagreements == []
    assert tally.tried[Wrong.DELETION] == len(sheet_of(ALL_DELETIONS).oracle.steps)


def test_each_deletion_that_laws_1_to_5_let_pass_is_caught_by_the_law_that_its_row_names() -> None:
    tally = deleted()

    assert tally.unexplained == []
    assert tally.harmless[Wrong.DELETION] > 0


def test_the_sample_reaches_every_law_and_lets_some_sheets_pass() -> None:
    whole = Tally()
    for tally in (deleted(), *map(judged, SAMPLED)):
        whole.add(tally)

    for law in LAWS_PROVED:
        assert any(whole.counts[kind, law, Judged.CAUGHT] for kind in Wrong), law
        assert any(whole.counts[kind, law, Judged.HARMLESS] for kind in Wrong), law


@pytest.mark.parametrize("number", [1, 5])
def test_simulator_and_oracle_weigh_every_body_alike_after_every_step(number: int) -> None:
    both = sheet_of(number)

    trace = simulate(both.plan, both.proof.sheet)

    for moment, oracle in zip(trace.moments, both.oracle.before[1:], strict=True):
        floor = oracle.floor
        weighed = [sum(map(floor.mass_of, {body} | floor.standing_on(body))) for body in floor.hanging()]
        seen = [hanging.weight_kg for hanging in moment.after]
        assert sorted(seen) == pytest.approx(sorted(weighed), abs=ROUNDING_KG), moment.step


@pytest.mark.parametrize("number", [0, 1])
def test_walking_from_the_wrong_step_on_gives_what_the_whole_proof_gives(number: int) -> None:
    both = sheet_of(number)
    mutants = Random(SEED).sample(list(mutants_of(both.oracle.steps)), 40)

    for mutant in mutants:
        assert both.proof.broken_by(mutant) == both.proof.proved(mutant), mutant.name


def test_a_row_that_names_the_wrong_law_or_is_missing_is_said() -> None:
    assert "no row says why" in why_not(Operation.PULL_SLIPS, {"law-in-reach"})
    assert "law-in-reach should miss it" in why_not(Operation.LOWER_LEG, {"law-in-line"})
    assert why_not(Operation.LOWER_LEG, {"law-in-reach"}) == ""


def test_mutants_judged_apart_are_counted_and_named() -> None:
    tally, mutant = Tally(), Mutant("without step 7", Wrong.DELETION, 6, 1, ())

    tally.note("a plan", mutant, {1: 7}, {})
    tally.note("a plan", mutant, {1: 7}, {1: 8})

    assert not tally.is_clean
    assert tally.disagreements == ["a plan: without step 7: oracle {1: 7}, simulator {}"]
    assert tally.counts[Wrong.DELETION, 1, Judged.APART] == tally.other_step == 1
    assert list(table(tally))[-1].startswith("2 mutants: 1 judged apart, 1 caught at another step")


def test_every_step_is_deleted_every_floor_pair_swapped_and_every_deed_replaced_once() -> None:
    steps = sheet_of(0).oracle.steps
    floor = [step for step in steps if step.lane is Lane.FLOOR]

    deleted, swapped, replaced = (list(make(steps)) for make in (deletions, swaps, replacements))

    assert [mutant.steps(steps) for mutant in deleted[:2]] == [steps[1:], steps[:1] + steps[2:]]
    assert len(deleted) == len(steps)
    assert len(swapped) == len(floor) - 1
    assert all(sorted(mutant.steps(steps), key=lambda step: step.number) == list(steps) for mutant in swapped)
    assert all(mutant.steps(steps) != steps for mutant in replaced)
    assert all(mutant.instead[0].parts[:1] == steps[mutant.at].parts[:1] for mutant in replaced)
    assert all(mutant.instead[0].number == steps[mutant.at].number for mutant in replaced)


def test_each_row_of_harmless_deletions_says_why() -> None:
    for operation, missed in WHY_HARMLESS.items():
        assert missed.why.endswith("."), operation
