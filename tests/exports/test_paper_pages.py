"""The remaining steps as pages to write on: each says that it is a copy, of which run, and its number."""

from pathlib import Path

import pytest

from app.domain.paper import remaining
from app.exports.paper_pages import set_paper
from tests.domain.job import START, TORQUE, before
from tests.exports.outside_tools import run_tool


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> list[str]:
    """Return the text of each page of what is left behind a step."""
    path: Path = tmp_path_factory.mktemp("paper") / "remaining.pdf"
    path.write_bytes(set_paper(remaining(before(TORQUE), "3f2a-91bc-77d0-0a15", START)))
    return run_tool("pdftotext", "-layout", path, "-").stdout.split("\f")[:-1]


def test_every_page_says_that_it_is_a_copy_of_which_run_and_its_number(pages: list[str]) -> None:
    for number, page in enumerate(pages, start=1):
        assert "Copy to write on: the run is in the tablet" in page
        assert "Log code 3f2a-91bc-77d0-0a15" in page
        assert f"Page {number} of {len(pages)}" in page


def test_the_paper_says_that_nobody_signs_a_hold_point_for_another(pages: list[str]) -> None:
    text = " ".join("".join(pages).split())

    assert "nobody signs for another" in text
    assert "This paper is no signature of the run." in text
    assert "Hold point: Talk before the pump leg" in text


def test_the_same_sheet_gives_the_same_bytes() -> None:
    sheet = remaining(before(TORQUE), "3f2a-91bc-77d0-0a15", START)

    assert set_paper(sheet) == set_paper(sheet)
