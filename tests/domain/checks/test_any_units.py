"""The units that a plan is written in change nothing that is found in it: SI or field units, one plan."""

from collections.abc import Iterator, Mapping

from hypothesis import given, settings
from hypothesis import strategies as st

from app.domain.checks.every import run_checks
from app.domain.checks.space_out import closures
from app.domain.compiler.compile import compile_plan
from app.domain.figures.wrench import pull_result
from app.domain.plan import Plan
from app.domain.problems import Problem, has_stop
from app.domain.quantities import (
    Density,
    Expansion,
    Force,
    Length,
    LinearMass,
    Mass,
    Pressure,
    PressurePerDegree,
    Quantity,
    Temperature,
    Torque,
    in_unit,
    quantity,
)
from app.domain.string.laws import prove_sheet
from app.records.plan_toml import read_plan, write_plan_toml
from tests.domain.checks.breaks import BREAKS
from tests.plan_builder import build_plan
from tests.plan_rewriting import rewritten
from tests.plan_stock import TODAY
from tests.strategies import plans

Units = Mapping[type[Quantity], str]
SI: Units = {
    Length: "m",
    Mass: "kg",
    LinearMass: "kg/m",
    Force: "N",
    Torque: "N*m",
    Pressure: "kPa",
    PressurePerDegree: "kPa per degC",
    Temperature: "degC",
    Expansion: "per degC",
    Density: "kg/m3",
}
FIELD: Units = {
    Length: "in",
    Mass: "lb",
    LinearMass: "lb/ft",
    Force: "lbf",
    Torque: "ft*lbf",
    Pressure: "psi",
    PressurePerDegree: "psi per degF",
    Temperature: "degF",
    Expansion: "per degF",
    Density: "lb/gal",
}


@given(plans())
@settings(max_examples=4, deadline=None)
def test_a_sound_plan_is_as_sound_read_in_either_units(plan: Plan) -> None:
    in_si, in_field = _read_in(SI, plan), _read_in(FIELD, plan)

    assert _found(in_si) == _found(in_field)
    assert _verdicts(in_si) == _verdicts(in_field)
    assert _proven(in_si) == _proven(in_field)


@given(st.sampled_from(sorted(BREAKS)))
@settings(max_examples=30, deadline=None)
def test_what_is_wrong_with_a_plan_is_wrong_in_either_units(rule: str) -> None:
    plan = BREAKS[rule](build_plan())

    found = _found(_typed_in(SI, plan))

    assert rule in {broken for broken, _, _ in found}
    assert found == _found(_typed_in(FIELD, plan))


def _read_in(units: Units, plan: Plan) -> Plan:
    """Return the plan as it is read from the text that was written in those units."""
    read, mistakes = read_plan(write_plan_toml(_typed_in(units, plan)))
    assert read is not None, mistakes
    return read


def _typed_in(units: Units, plan: Plan) -> Plan:
    """Return the plan with each number typed in one of those units."""

    def retyped(_record: object, _name: str, value: Quantity) -> Quantity:
        unit = units.get(type(value))
        return value if unit is None else quantity(repr(in_unit(value, unit)), unit, type(value))

    return rewritten(plan, retyped)


def _found(plan: Plan) -> list[tuple[str, str, str]]:
    return list(_told(run_checks(plan, TODAY)))


def _told(problems: tuple[Problem, ...]) -> Iterator[tuple[str, str, str]]:
    return ((problem.rule, problem.severity, problem.where) for problem in problems)


def _verdicts(plan: Plan) -> list[object]:
    pulls = [pull_result(kind.target, tool) for kind in plan.connection_types for tool in plan.tools]
    return [
        *(closure.verdict for closure in closures(plan)),
        *(pull.verdict for pull in pulls if pull is not None),
    ]


def _proven(plan: Plan) -> tuple[list[str], list[tuple[str, str, str]]]:
    sheet, problems = compile_plan(plan)
    assert not has_stop(problems)
    return [step.key for step in sheet.steps], list(_told(prove_sheet(plan, sheet)))
