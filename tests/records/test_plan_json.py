"""A plan and its plain values are one thing in two forms, with one fingerprint."""

import json
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.demo import DEMO_NAMES, demo_plan_text
from app.domain.plan import Plan
from app.domain.quantities import length
from app.records.plan_json import plan_fingerprint, plan_from_json, plan_to_json
from app.records.plan_toml import read_plan

PLAIN = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(),
    lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner),
)


def demo_plan(name: str) -> Plan:
    plan, problems = read_plan(demo_plan_text(name))
    assert plan is not None, problems
    return plan


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_a_plan_comes_back_from_json_with_each_value_as_typed(name: str) -> None:
    plan = demo_plan(name)

    again, problems = plan_from_json(json.loads(json.dumps(plan_to_json(plan))))

    assert problems == ()
    assert again == plan
    assert plan_to_json(again) == plan_to_json(plan)


def test_a_quantity_is_kept_as_the_text_that_was_typed() -> None:
    plan, _ = read_plan(demo_plan_text("single").replace('od = "9 5/8 in"', 'od = " 9 5/8  in "', 1))
    assert plan is not None

    assert '"9 5/8  in"' in json.dumps(plan_to_json(plan))


def test_a_default_that_somebody_typed_is_kept_and_one_that_nobody_typed_is_left_out() -> None:
    text = demo_plan_text("single").replace('make_up_loss = "0.17 ft"', 'make_up_loss = "0 ft"', 1)
    plan, _ = read_plan(text)
    assert plan is not None

    written = json.dumps(plan_to_json(plan))

    assert '"make_up_loss": "0 ft"' in written
    assert '"pup"' not in written


def test_the_fingerprint_depends_on_values_as_typed_and_on_nothing_else() -> None:
    plan = demo_plan("single")
    retyped = replace(plan, rig=replace(plan.rig, reach=length(27.0, "m")))
    again, _ = plan_from_json(dict(reversed(plan_to_json(plan).items())))
    assert again is not None

    assert plan_fingerprint(again) == plan_fingerprint(plan)
    assert retyped == again
    assert plan_fingerprint(
        replace(plan, rig=replace(plan.rig, reach=length(2700, "cm")))
    ) != plan_fingerprint(plan)


def test_a_mistake_in_plain_values_has_the_same_place_as_in_text() -> None:
    values = json.loads(json.dumps(plan_to_json(demo_plan("single"))))
    values["systems"][0]["parts"][1]["length"] = "-1 ft"

    plan, problems = plan_from_json(values)

    assert plan is None
    assert [problem.where for problem in problems] == ['systems[0] "pump" . parts[1] "MTR-1" . length']


def test_null_for_what_may_be_left_out_is_as_if_it_were_left_out() -> None:
    plan = demo_plan("single")
    values = plan_to_json(plan) | {"extra_roles": None}

    assert plan_from_json(values) == (plan, ())


def test_a_lone_half_of_a_character_is_refused() -> None:
    values = plan_to_json(demo_plan("single")) | {"extra_roles": ["\ud800"]}

    _, problems = plan_from_json(values)

    assert [problem.where for problem in problems] == ["extra_roles[0]"]


@pytest.mark.parametrize("value", [None, [], "plan", 7, {1: 2}, object()])
def test_a_value_that_is_no_plan_is_refused(value: object) -> None:
    plan, problems = plan_from_json(value)

    assert plan is None
    assert problems


@given(st.dictionaries(st.sampled_from(sorted(plan_to_json(demo_plan("dual")))), PLAIN))
def test_no_plain_values_make_reading_fail(changes: dict[str, object]) -> None:
    values = plan_to_json(demo_plan("single"))

    plan, problems = plan_from_json(values | changes)

    assert (plan is None) == bool(problems)
    assert plan is None or len(plan_fingerprint(plan)) == 64
