"""The run plan as tables of plain values, for JSON and for its fingerprint."""

from app.domain.plan import PLAN_FORMAT, Plan
from app.domain.problems import Problem, stop
from app.records.canonical import fingerprint
from app.records.dataclass_reader import read_record
from app.records.dataclass_writer import write_record
from app.records.scalars import shown

WHOLE = "plan"


def plan_to_json(plan: Plan) -> dict[str, object]:
    """Return the plan as plain values: quantities as typed, days as text, defaults left out."""
    return write_record(plan)


def plan_from_json(value: object) -> tuple[Plan | None, tuple[Problem, ...]]:
    """Return the plan that plain values hold, or none and every mistake in them."""
    plan, problems = read_record(Plan, value, WHOLE)
    if isinstance(value, dict) and isinstance(value.get("format"), str):
        problems += _wrong_format(value["format"].strip())
    return (None if problems else plan), problems


def plan_fingerprint(plan: Plan) -> str:
    """Return the SHA-256 of the plan's canonical form, as 64 hex digits."""
    return fingerprint(plan_to_json(plan))


def _wrong_format(typed: str) -> tuple[Problem, ...]:
    if typed in ("", PLAN_FORMAT):
        return ()
    text = (
        f'{shown(typed)} is not a format that is read here; write "{PLAN_FORMAT}" and check the plan\'s keys.'
    )
    return (stop("plan-format", "format", text),)
