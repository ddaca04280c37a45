import pytest

from app.domain.plan import Plan
from app.domain.run import Run
from app.domain.sheet import Sheet
from tests.domain import job


@pytest.fixture(scope="session")
def plan() -> Plan:
    return job.plan()


@pytest.fixture(scope="session")
def sheet() -> Sheet:
    return job.sheet()


@pytest.fixture(scope="session")
def begun() -> Run:
    return job.begun()
