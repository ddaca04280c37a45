"""The picture of a section: to scale, in words too, and made only of what was measured."""

from dataclasses import replace
from xml.etree import ElementTree

import pytest

from app.domain.quantities import length
from app.domain.room.rows import RoomRow, room_rows
from app.exports.section_picture import NAMESPACE, section_picture
from tests.domain.checks.changes import change_bypass, change_casing
from tests.plan_builder import PlanChoice, SystemChoice, build_plan

PLAN = build_plan(PlanChoice((SystemChoice(),)))
PRINTED = 0.12  # places are written to a tenth of a unit, and two of them are held against each other


def _row(words: str) -> RoomRow:
    return next(row for row in room_rows(PLAN) if words in row.section.what)


def _drawn(row: RoomRow) -> ElementTree.Element:
    return ElementTree.fromstring(section_picture(row.section, row.least))


def _circles(picture: ElementTree.Element, kind: str) -> list[ElementTree.Element]:
    return [one for one in picture.iter(f"{{{NAMESPACE}}}circle") if one.get("class") == kind]


def _words(picture: ElementTree.Element) -> str:
    return " ".join(text.text or "" for text in picture.iter(f"{{{NAMESPACE}}}text"))


def test_legs_drift_and_inside_are_drawn_to_one_scale() -> None:
    picture = _drawn(_row("S1-MOTOR-1 beside"))

    inside, drift = (float(_circles(picture, kind)[0].get("r", "")) for kind in ("casing", "drift"))
    motor, bypass = (float(leg.get("r", "")) for leg in _circles(picture, "governing"))
    per_in = inside / (8.681 / 2)
    assert drift == pytest.approx(8.525 / 2 * per_in, abs=PRINTED)
    assert motor == pytest.approx(5.40 / 2 * per_in, abs=PRINTED)
    assert bypass == pytest.approx(2.875 / 2 * per_in, abs=PRINTED)


def test_what_governs_and_what_is_left_is_written_with_its_unit() -> None:
    words = _words(_drawn(_row("S1-MOTOR-1 beside")))

    assert "drift 8.525 in, inside 8.681 in." in words
    assert "Left in the drift 0.250 in, in the inside 0.406 in." in words
    assert "Held by S1-MOTOR-1 and the system 1 bypass." in words


def test_every_member_has_its_number_in_the_picture_and_below_it() -> None:
    row = _row("S1-PUMP-1 beside the system 1 bypass")
    words = _words(_drawn(row)).split()

    numbers = [str(number) for number in range(1, len(row.section.shape.members) + 1)]
    assert len(numbers) == 4
    assert all(words.count(number) >= 2 for number in numbers)


def test_a_flat_cable_is_drawn_with_round_edges() -> None:
    picture = _drawn(_row("S1-PUMP-1 beside the system 1 bypass"))

    (cable,) = picture.iter(f"{{{NAMESPACE}}}path")
    assert cable.get("d", "").count("A ") == 2


def test_the_picture_says_in_words_what_it_shows() -> None:
    picture = _drawn(_row("clamp at the base of S1-MOTOR-1"))

    assert picture.get("role") == "img"
    assert picture.get("aria-label", "").startswith("The bypass clamp at the base of S1-MOTOR-1. ")


def test_a_name_that_looks_like_markup_is_only_text() -> None:
    strange = room_rows(change_bypass(PLAN, 0, name='<script>&"'))
    row = next(row for row in strange if "S1-MOTOR-1 beside" in row.section.what)

    text = section_picture(row.section, row.least)

    assert "<script>" not in text
    assert '<script>&"' in _words(ElementTree.fromstring(text))


def test_over_all_casing_only_the_string_is_drawn() -> None:
    plan = change_casing(PLAN, top=PLAN.well.setting_depth)
    row = room_rows(plan)[0]

    picture = _drawn(row)

    assert row.least is None
    assert not _circles(picture, "casing")
    assert "it passes no casing" in _words(picture)


def test_something_wider_than_the_casing_still_lies_in_the_picture() -> None:
    narrow = change_casing(PLAN, id=length(4, "in"), drift=length(3.9, "in"))
    row = next(row for row in room_rows(narrow) if "S1-MOTOR-1 beside" in row.section.what)

    picture = _drawn(row)

    for circle in picture.iter(f"{{{NAMESPACE}}}circle"):
        x, y, radius = (float(circle.get(name, "")) for name in ("cx", "cy", "r"))
        assert radius <= x <= 1000 - radius
        assert radius <= y <= 1000 - radius


def test_the_same_section_gives_the_same_picture() -> None:
    row = _row("S1-MOTOR-1 beside")

    assert section_picture(replace(row.section), row.least) == section_picture(row.section, row.least)
