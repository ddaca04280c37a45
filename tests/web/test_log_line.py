"""A line of the log names what it is about by the words that people know it by."""

import pytest

from app.domain.events.event import Happened
from app.domain.events.hold_points import HoldPointReleased
from app.web.contexts.log_line import log_line
from tests.domain import job


@pytest.mark.parametrize(
    ("stage", "words"),
    [
        ("pump-leg-pump", "Pump system: pump leg"),
        # Talked about ahead of it, and then left out of a changed plan.
        ("pump-leg-old-one", "pump leg old one"),
    ],
)
def test_a_stage_is_named_in_words_even_where_the_sheet_has_it_no_more(stage: str, words: str) -> None:
    happened = Happened(1, job.START, job.SUPERVISOR, HoldPointReleased(stage))

    assert getattr(log_line(happened, job.begun()).event, "stage", "") == words
