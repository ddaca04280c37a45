"""Named plans that tests read through the same door as a user's: the demonstration's and one more."""

from pathlib import Path

from app.demo import DEMO_NAMES, demo_plan_text
from app.domain.plan import Plan
from app.records.plan_toml import read_plan

NAMES = (*DEMO_NAMES, "triple")


def plan_text(name: str) -> str:
    """Return the TOML text of a named plan."""
    if name in DEMO_NAMES:
        return demo_plan_text(name)
    return (Path(__file__).parent / f"{name}.toml").read_text(encoding="utf-8")


def plan_named(name: str) -> Plan:
    """Return a named plan, read as a user's is."""
    plan, problems = read_plan(plan_text(name))
    assert plan is not None, problems
    return plan
