from pathlib import Path

import pytest

from app.demo import demo_plan_text


@pytest.fixture
def plan(tmp_path: Path) -> Path:
    """Return the file of a plan that nothing stops."""
    path = tmp_path / "plan.toml"
    path.write_text(demo_plan_text("single"), encoding="utf-8")
    return path


@pytest.fixture
def stopped_plan(plan: Path) -> Path:
    """Return the file of a plan with a finding that stops its release."""
    text = plan.read_text(encoding="utf-8")
    plan.write_text(text.replace('at = "MTR-1"', 'at = "MTR-9"', 1), encoding="utf-8")
    return plan
