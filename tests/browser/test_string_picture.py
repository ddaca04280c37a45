"""The picture of the string in a real browser: its letters have the room that they were given."""

from itertools import combinations
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from app.demo import demo_plan_text
from app.domain.string.drawing.draw import draw
from app.domain.string.simulator import state_after
from app.domain.unit_systems import SI
from app.exports.string_picture import string_picture
from tests.browser.conftest import PORTRAIT, OpenTablet
from tests.browser.crew import SLOW
from tests.browser.running_program import running_program
from tests.browser.shift import SUPERVISOR, Shift, at_camp, deck_work_done
from tests.domain.string.drawing.moments import demonstration, number_of

MOMENTS = (
    ("dual", "BL-01/set-slips"),
    ("dual", "MTR-L1/land-on-table"),
    ("dual", "MTR-U1/land-on-table"),
    ("dual", "YB-U/DIS-U1/bolt-discharge-head"),
    ("dual", "count-temporary-gear"),
    ("single", "YB-1/SS-1/torque"),
)
TEXTS = """() => [...document.querySelectorAll('text')].map(text => {
    const box = text.getBBox();
    return [box.x, box.y, box.x + box.width, box.y + box.height, text.textContent];
})"""


@pytest.mark.parametrize(("name", "key"), MOMENTS)
def test_no_words_of_a_picture_are_written_over_others_or_out_of_it(
    open_tablet: OpenTablet, tmp_path: Path, name: str, key: str
) -> None:
    plan, sheet = demonstration(name)
    file, number = tmp_path / "string.svg", number_of(name, key)
    # What was typed in feet has its worth in metres beside it: the longest words that a picture has.
    drawing = draw(state_after(plan, sheet.steps[:number]), sheet.step(number), len(sheet.steps), SI)
    file.write_text(string_picture(drawing), encoding="utf-8")
    page = open_tablet(size=PORTRAIT).new_page()

    page.goto(file.as_uri())

    texts: list[Any] = page.evaluate(TEXTS)
    width, height = page.evaluate(
        "['width', 'height'].map(side => document.documentElement[side].baseVal.value)"
    )
    assert len(texts) > 10
    for left, top, right, bottom, words in texts:
        assert left >= 0, words
        assert top >= 0, words
        assert right <= width, words
        assert bottom <= height, words
    for one, other in combinations(texts, 2):
        is_apart = one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]
        assert is_apart, (one, other)


def test_the_page_of_the_string_shows_its_picture_in_the_chosen_palette(
    open_tablet: OpenTablet, tmp_path: Path
) -> None:
    data = tmp_path / "data"
    run_id, _ = at_camp(data, lambda site: deck_work_done(site, demo_plan_text("single"), but=1))
    with running_program(data) as server:
        shift = Shift(open_tablet(base_url=server.address).new_page(), data, run_id)
        shift.sign_in(SUPERVISOR)
        see_picture_by_night(shift.page, f"{server.address}{shift.home}")


def see_picture_by_night(tablet: Page, address: str) -> None:
    tablet.context.add_cookies([{"name": "palette", "value": "night", "url": address}])

    tablet.goto(f"{address}/string")

    picture = tablet.locator("img.string-picture")
    expect(picture).to_be_visible(timeout=SLOW)
    assert picture.evaluate("image => image.complete && image.naturalWidth") == 800
    # Alone it stands under its own policy, which must let its style through.
    tablet.goto(f"{address}/picture")
    paper = tablet.locator("rect.paper").evaluate("paper => getComputedStyle(paper).fill")
    assert paper == "rgb(11, 15, 18)"
