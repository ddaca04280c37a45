import pytest

from app.domain.numbering import first_key, needs_by_key, numbered
from tests.domain import job


@pytest.mark.parametrize(
    ("key", "first"),
    [("MTR-1/bolt", "MTR-1/bolt"), ("MTR-1/bolt~2", "MTR-1/bolt"), ("back-3/land~12", "back-3/land")],
)
def test_a_step_that_stands_once_more_is_known_by_its_first_key(key: str, first: str) -> None:
    assert first_key(key) == first


def test_a_sheet_numbered_anew_in_its_own_order_is_the_same_sheet() -> None:
    sheet = job.sheet()

    anew = numbered(sheet.stages, sheet.steps, needs_by_key(sheet))

    assert (anew.stages, anew.steps) == (sheet.stages, sheet.steps)


def test_a_step_that_is_left_out_is_waited_for_no_longer() -> None:
    sheet = job.sheet()
    needed = next(need for step in sheet.steps for need in step.needs)
    left = [step for step in sheet.steps if step.number != needed]

    anew = numbered(sheet.stages, left, needs_by_key(sheet))

    key = sheet.steps[needed - 1].key
    assert key not in {step.key for step in anew.steps}
    assert key not in set().union(*needs_by_key(anew).values())
    assert [step.number for step in anew.steps] == list(range(1, len(sheet.steps)))
