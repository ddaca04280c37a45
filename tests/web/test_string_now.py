"""The string of a run as it is now: drawn after the last step done, and told in words."""

import hashlib
import re
from base64 import b64encode
from xml.etree import ElementTree

from tests.domain.string.drawing.moments import number_of
from tests.web.conftest import Rig, Tablet

SVG = "{http://www.w3.org/2000/svg}"
LANDED_ON_TABLE = number_of("single", "MTR-1/land-on-table")  # its slings are still on


def test_the_picture_is_that_after_the_last_floor_step_done(rig: Rig, tablet: Tablet) -> None:
    rig.do_deck_work()
    rig.do_floor_until(LANDED_ON_TABLE + 1)

    answer = tablet.get(f"{rig.home}/picture")

    root = ElementTree.fromstring(answer.content)
    assert answer.status_code == 200
    assert answer.headers["content-type"].startswith("image/svg+xml")
    assert root.findtext(f"{SVG}title") == f"After step {LANDED_ON_TABLE} of {len(rig.run.sheet.steps)}"


def test_the_page_says_in_words_what_holds_each_leg(rig: Rig, tablet: Tablet) -> None:
    rig.do_deck_work()
    rig.do_floor_until(LANDED_ON_TABLE + 1)

    page = tablet.page(f"{rig.home}/string")

    words = page.one("section", aria_labelledby="held").text()
    held = "Pump bypass leg, with BP-01 elevators LG-EL-287, LG-NB-287 on SS-1, hanging from the derrick: 0."
    assert held in words
    assert "slings LG-SG, LC-540 on MTR-1, hanging from the derrick" in words
    assert "lifting clamp LC-540 on MTR-1, resting on the work table" in words
    assert re.search(r"\d\.\d\d t, WLL 2\.95 t, margin \d\.\d\d t or \d\d %", words)
    assert page.one("img").attributes["src"].startswith(f"{rig.home}/picture?seen=")
    assert "What holds each leg" in page.one("img").attributes["alt"]


def test_the_string_hangs_beside_the_step_without_heading_and_key(rig: Rig, tablet: Tablet) -> None:
    rig.do_deck_work()
    rig.do_floor_until(LANDED_ON_TABLE + 1)
    beside = tablet.page(rig.home).one("img").attributes["src"]

    alone, hanging = (
        ElementTree.fromstring(tablet.get(address).content)
        for address in (beside.removesuffix("&beside=true"), beside)
    )

    _, top, _, height = map(float, hanging.attrib["viewBox"].split())
    assert beside.endswith("&beside=true")
    assert top > 0
    assert height < float(alone.attrib["height"]) - top
    assert (
        tablet.page(rig.home)
        .one("img")
        .attributes["alt"]
        .startswith(f"The string after step {LANDED_ON_TABLE}")
    )


def test_before_anything_hangs_the_page_says_so(rig: Rig, tablet: Tablet) -> None:
    words = tablet.page(f"{rig.home}/string").text()

    assert "Before the first step on the floor." in words
    assert "Nothing hangs over the hole." in words


def test_deck_work_done_ahead_leaves_the_picture_where_the_floor_is(rig: Rig, tablet: Tablet) -> None:
    rig.do_deck_work()

    root = ElementTree.fromstring(tablet.get(f"{rig.home}/picture").content)

    assert root.findtext(f"{SVG}title") == "Before the first step"


def test_a_picture_is_kept_by_the_browser_as_long_as_the_log_has_the_same_head(
    rig: Rig, tablet: Tablet
) -> None:
    first = tablet.get(f"{rig.home}/picture")
    again = tablet.ask("GET", f"{rig.home}/picture", headers={"If-None-Match": first.headers["etag"]})
    rig.do_deck_work()
    later = tablet.ask("GET", f"{rig.home}/picture", headers={"If-None-Match": first.headers["etag"]})

    assert (again.status_code, again.content) == (304, b"")
    assert later.status_code == 200
    assert later.headers["etag"] != first.headers["etag"]


def test_a_picture_has_the_palette_that_was_chosen_on_the_display_page(rig: Rig, tablet: Tablet) -> None:
    wanted = {}
    for palette in ("", "day", "night"):
        tablet.client.cookies.set("palette", palette)
        wanted[palette] = tablet.get(f"{rig.home}/picture")

    assert "@media screen and (prefers-color-scheme:dark){" in wanted[""].text
    assert "@media" not in wanted["day"].text
    assert "@media screen{" in wanted["night"].text
    assert len({answer.headers["etag"] for answer in wanted.values()}) == 3


def test_a_picture_may_use_its_own_style_and_nothing_else(rig: Rig, tablet: Tablet) -> None:
    answer = tablet.get(f"{rig.home}/picture")

    style = ElementTree.fromstring(answer.content).findtext(f"{SVG}style") or ""
    known = b64encode(hashlib.sha256(style.encode()).digest()).decode()
    policies = answer.headers.get_list("content-security-policy")
    assert policies == [
        f"default-src 'none'; style-src 'sha256-{known}'; base-uri 'none'; frame-ancestors 'none'"
    ]
    assert " style=" not in answer.text


def test_the_string_of_a_run_that_is_not_there_is_not_found(tablet: Tablet) -> None:
    for name in ("string", "picture"):
        assert tablet.get(f"/runs/none/{name}").status_code == 404
