"""All checks together: sound plans pass, each rule has a plan that triggers it, nothing crashes."""

import ast
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.domain import checks
from app.domain.checks.every import CHECKS, FIGURES, GROUND, RULES, SUBJECTS, WITHHELD, WRITTEN, run_checks
from app.domain.plan import Plan
from app.domain.problems import Severity, has_stop
from tests.domain.checks.breaks import BREAKS
from tests.domain.checks.changes import change_bypass
from tests.plan_builder import build_plan
from tests.plan_stock import TODAY
from tests.strategies import plans

OF_ANY_PLAN = (
    "swivel-margin-unfit",
    "size-not-positive",
    "gear-missing",
    "unknown-connection",
    "bolts-missing",
)
MAKERS = {"stop", "caution", "note", "grave"}


def test_the_built_plan_has_nothing_to_find() -> None:
    found = run_checks(build_plan(), TODAY)

    assert found == ()


@given(plans())
@settings(max_examples=60, deadline=None)
def test_no_legal_plan_is_stopped(plan: Plan) -> None:
    found = run_checks(plan, TODAY)

    assert not has_stop(found), found


def test_every_rule_has_a_plan_that_breaks_it() -> None:
    assert set(BREAKS) == set(RULES)


@pytest.mark.parametrize("rule", BREAKS)
def test_breaking_a_rule_is_found_by_that_rule(rule: str) -> None:
    sound = build_plan()

    found = run_checks(BREAKS[rule](sound), TODAY)

    assert rule in {problem.rule for problem in found}


def test_a_bypass_as_wide_inside_as_outside_is_told_and_works_nothing_out() -> None:
    sound = build_plan()
    od = sound.systems[0].bypass.od

    found = run_checks(change_bypass(sound, 0, id=od, drift=None), TODAY)

    assert {"tubing-sizes-disordered", WITHHELD} <= {problem.rule for problem in found}


@given(plans(), st.sampled_from(OF_ANY_PLAN))
@settings(max_examples=40, deadline=None)
def test_any_legal_plan_that_is_broken_is_stopped_by_the_right_rule(plan: Plan, rule: str) -> None:
    broken = BREAKS[rule](plan)

    stops = {problem.rule for problem in run_checks(broken, TODAY) if problem.severity is Severity.STOP}

    assert rule in stops


@given(plans().filter(lambda plan: len(plan.systems) > 1))
@settings(max_examples=20, deadline=None)
def test_an_upper_system_without_its_support_clamp_is_stopped(plan: Plan) -> None:
    broken = BREAKS["upper-system-incomplete"](plan)

    stops = {problem.rule for problem in run_checks(broken, TODAY) if problem.severity is Severity.STOP}

    assert "upper-system-incomplete" in stops


@given(st.lists(st.sampled_from(sorted(BREAKS)), min_size=2, max_size=6, unique=True))
@settings(max_examples=150, deadline=None)
def test_a_plan_broken_in_many_ways_is_reported_and_never_crashes(rules: list[str]) -> None:
    plan = build_plan()

    for rule in rules:
        plan = _broken_if_possible(plan, rule)
    found = run_checks(plan, TODAY)

    assert found
    assert all(problem.where and problem.text.endswith((".", "?")) for problem in found)


def test_figures_wait_until_the_shape_is_whole() -> None:
    broken = BREAKS["upper-system-incomplete"](BREAKS["does-not-fit"](build_plan()))

    found = {problem.rule for problem in run_checks(broken, TODAY)}

    assert WITHHELD in found
    assert "does-not-fit" not in found


def test_each_check_runs_once() -> None:
    assert (*GROUND, *WRITTEN, *FIGURES) == CHECKS
    assert len(set(CHECKS)) == len(CHECKS)


def test_every_check_in_the_code_is_run() -> None:
    written = {
        value for subject in SUBJECTS for name, value in vars(subject).items() if name.startswith("check_")
    }

    assert written == set(CHECKS)


def test_every_rule_in_the_code_is_in_the_table_and_the_other_way_round() -> None:
    folder = Path(checks.__path__[0])

    used = {rule for module in folder.glob("*.py") for rule in _rules_used(module)}

    assert used | {WITHHELD} == set(RULES)


def test_a_meaning_is_one_sentence() -> None:
    for meaning in RULES.values():
        assert meaning[0].isupper()
        assert meaning.endswith(".")


def _broken_if_possible(plan: Plan, rule: str) -> Plan:
    try:
        return BREAKS[rule](plan)
    except (AssertionError, IndexError):
        # Another break has taken away what this one would change.
        return plan


def _rules_used(module: Path) -> set[str]:
    calls = (node for node in ast.walk(ast.parse(module.read_text())) if isinstance(node, ast.Call))
    named = (
        call for call in calls if isinstance(call.func, ast.Name) and call.func.id in MAKERS and call.args
    )
    return {
        call.args[0].value
        for call in named
        if isinstance(call.args[0], ast.Constant) and isinstance(call.args[0].value, str)
    }
