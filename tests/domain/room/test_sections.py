"""The sections of a string: every one is there, none of the string is left out, couplings stand alone."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.domain.checks.fit import Standing, check_fit, standing_of
from app.domain.gear import Seat, SeatFor
from app.domain.legs import swivel_extension
from app.domain.parts import PartKind
from app.domain.plan import Plan
from app.domain.quantities import Angle, Length, Quantity, in_unit, length, show
from app.domain.room.clearance import tightest
from app.domain.room.cross_section import Role, clamped, round_item, seated
from app.domain.room.rows import room_rows, tightest_row
from app.domain.room.sections import Section, SectionKind, sections
from app.domain.well import Casing
from tests.domain.checks.changes import (
    change_bypass,
    change_casing,
    change_clamp_type,
    change_part,
    change_y_block,
)
from tests.plan_builder import PlanChoice, SystemChoice, build_plan
from tests.plan_rewriting import rewritten
from tests.plan_stock import TODAY
from tests.strategies import plans

SINGLE = build_plan(PlanChoice((SystemChoice(),)))
DOUBLE = build_plan()
COUPLED = build_plan(PlanChoice((SystemChoice(coupled=True),)))
HAIR_M = 1e-5
MORE_IN = st.floats(0.0, 1.0)


def _named(plan: Plan, words: str) -> Section:
    return next(section for section in sections(plan) if words in section.what)


@given(plans())
@settings(max_examples=15, deadline=None)
def test_between_surface_and_the_end_of_the_string_nothing_is_left_out(plan: Plan) -> None:
    reached_m = None
    for section in sections(plan):
        if section.top == section.base:
            continue
        assert reached_m is None or section.top.si <= reached_m + HAIR_M
        reached_m = max(section.base.si, reached_m or 0.0)

    assert reached_m == pytest.approx(plan.well.setting_depth.si)


@given(plans())
@settings(max_examples=15, deadline=None)
def test_every_clamp_has_a_section_and_every_section_is_as_wide_as_what_is_in_it(plan: Plan) -> None:
    found = sections(plan)

    clamps = [section for section in found if section.kind is SectionKind.CLAMP]
    supports = [system for system in plan.systems if system.support_clamp is not None]
    assert len(clamps) == sum(len(system.clamps) for system in plan.systems) + len(supports)
    for section in found:
        widest_m = max(circle.radius_m for member in section.shape.members for circle in member.circles)
        assert section.shape.width.si >= 2 * widest_m - HAIR_M
        assert section.shape.governing


@given(st.sampled_from([PartKind.MOTOR, PartKind.PUMP, PartKind.SEAL]), st.floats(0.0, 1.0))
@settings(max_examples=20, deadline=None)
def test_a_thicker_part_leaves_no_section_more_room(kind: PartKind, more_in: float) -> None:
    part = SINGLE.systems[0].part(kind)
    assert part is not None

    thicker = change_part(SINGLE, 0, kind, max_od=part.max_od + length(more_in, "in"))

    for before, after in zip(sections(SINGLE), sections(thicker), strict=True):
        assert before.what == after.what
        assert after.shape.width.si >= before.shape.width.si - HAIR_M


@given(plans(), st.sampled_from(["max_od", "od", "coupling_od", "swivel_od", "width", "thickness"]), MORE_IN)
@settings(max_examples=12, deadline=None)
def test_clearances_fall_as_diameters_grow(plan: Plan, name: str, more_in: float) -> None:
    def thicker(record: object, field: str, value: Quantity) -> Quantity:
        grows = field == name and not isinstance(record, Casing)
        return Length(value.si + length(more_in, "in").si) if grows else value

    before, after = _rooms(plan), _rooms(rewritten(plan, thicker))

    assert [place for place, _ in before] == [place for place, _ in after]
    assert all(now <= then + HAIR_M for (_, then), (_, now) in zip(before, after, strict=True))


@given(plans(), MORE_IN)
@settings(max_examples=5, deadline=None)
def test_a_wider_casing_gives_each_place_just_as_much_more_room(plan: Plan, more_in: float) -> None:
    more = length(more_in, "in")

    before = _rooms(plan)
    after = _rooms(change_casing(plan, drift=plan.well.casing[0].drift + more))

    assert [room for _, room in after] == pytest.approx([room + more.si for _, room in before])


def _rooms(plan: Plan) -> list[tuple[tuple[Length, Length], float]]:
    """Return for each section from where to where it reaches, and the room that the drift leaves it [m]."""
    found = [(section, tightest(section, plan.well.casing)) for section in sections(plan)]
    return [((section.top, section.base), room.drift.si) for section, room in found if room is not None]


@given(st.floats(8.2, 8.6))
@settings(max_examples=20, deadline=None)
def test_the_unit_of_a_drift_changes_no_verdict(drift_in: float) -> None:
    inches = change_casing(SINGLE, drift=length(drift_in, "in"))
    drift = inches.well.casing[0].drift
    millimetres = change_casing(SINGLE, drift=Length(drift.si, show(drift, "mm", 6)))

    verdicts = [
        [(problem.rule, problem.where) for problem in check_fit(plan, TODAY)]
        for plan in (inches, millimetres)
    ]

    assert verdicts[0] == verdicts[1]


def test_a_coupling_beside_a_part_is_a_section_of_its_own() -> None:
    beside = [section for section in sections(COUPLED) if "beside a coupling" in section.what]

    assert beside
    for section in beside:
        part = section.what.partition(" ")[0]
        plain = _named(COUPLED, f"{part} beside the system 1 bypass")
        assert section.shape.width > plain.shape.width
        assert in_unit(section.base - section.top, "in") <= 13.001


def test_cables_and_line_lie_beside_the_legs_where_they_run() -> None:
    def small(words: str) -> set[str]:
        return {
            member.name
            for member in _named(DOUBLE, words).shape.members
            if member.role in (Role.CABLE, Role.LINE)
        }

    # A lead begins at the head of its motor; the lower one and its line have passed the upper motor.
    assert small("S1-MOTOR-1 beside") == {"S1-LINE"}
    assert small("S1-SEAL-1 beside") == {"S1-LINE", "S1-LEAD"}
    assert small("S2-SEAL-1 beside") == {"S2-LINE", "S2-LEAD", "S1-CABLE"}


def test_small_members_in_the_pockets_widen_nothing() -> None:
    assert in_unit(_named(DOUBLE, "S2-SEAL-1 beside the").shape.width, "in") == pytest.approx(5.13 + 2.875)


def test_a_clamp_that_holds_the_legs_apart_is_as_wide_as_it_makes_them() -> None:
    apart = change_clamp_type(SINGLE, "bypass clamp", centre_distance=length(4.5, "in"))

    clamp = _named(apart, "clamp at the base of S1-MOTOR-1")

    assert in_unit(clamp.shape.width, "in") == pytest.approx(4.5 + 2.7 + 1.4375)
    assert set(clamp.shape.governing) == {"S1-MOTOR-1", "the system 1 bypass"}


def test_a_seat_that_stands_out_of_its_clamp_governs() -> None:
    proud = (Seat(SeatFor.CABLE, Angle(1.57), length(4.2, "in")),)

    section = _named(change_clamp_type(SINGLE, "bypass clamp", seats=proud), "clamp at the base of S1-PUMP-1")

    assert "S1-LEAD" in section.shape.governing
    assert section.shape.width > length(8.3, "in")
    assert len(section.shape.members) == 5


def test_a_seat_stays_in_its_place_of_the_clamp_when_the_legs_are_pushed_aside() -> None:
    first, second = (round_item(name, length(size, "in")) for name, size in (("pump", 4), ("bypass", 4)))
    thick, thin = (round_item(name, length(size, "in")) for name, size in (("thick", 3.5), ("thin", 0.5)))
    clamp, held = round_item("clamp", length(8.3, "in")), seated(thin, length(3, "in"), 0.0)

    members = clamped((first, second), None, clamp, (held,), (thick,)).members

    body, seat = members[0].circles[0], members[3].circles[0]
    assert (members[0].name, members[3].name) == ("clamp", "thin")
    assert abs(body.x_m) + abs(body.y_m) > 0.001
    assert seat.x_m - body.x_m == pytest.approx(length(3, "in").si)
    assert seat.y_m - body.y_m == pytest.approx(0.0, abs=HAIR_M)


def test_a_seat_for_what_does_not_run_there_stays_empty() -> None:
    seats = (Seat(SeatFor.CABLE, Angle(1.57), length(4.2, "in")),)

    section = _named(
        change_clamp_type(SINGLE, "bypass clamp", seats=seats), "clamp at the base of S1-MOTOR-1"
    )

    assert section.shape.governing == ("the bypass clamp",)


def test_a_swivel_below_its_block_is_measured_with_the_cables_round_it() -> None:
    thick = change_y_block(SINGLE, 0, swivel_od=length(4.0, "in"))

    section, thinner = _named(thick, "The swivel of S1-Y"), _named(SINGLE, "The swivel of S1-Y")

    assert in_unit(section.shape.width, "in") > 4.0
    assert in_unit(section.shape.width, "in") == pytest.approx(
        in_unit(thinner.shape.width, "in") + 1.0, abs=0.2
    )
    assert section.base.si - section.top.si == pytest.approx(
        thick.systems[0].y_block.swivel_length.si
        + swivel_extension(thick.systems[0]).si
        - thick.systems[0].y_block.length.si
    )


def test_a_protector_is_measured_with_what_it_holds() -> None:
    section = _named(SINGLE, "A protector over a coupling")

    assert in_unit(section.shape.width, "in") == pytest.approx(6.0)
    assert section.shape.governing == ("a protector",)


def test_like_sections_are_one_row_with_their_number() -> None:
    rows = room_rows(SINGLE)

    protectors = [row for row in rows if row.section.what.startswith("A protector")]
    assert sum(row.count for row in rows) == len(sections(SINGLE))
    assert sum(row.count for row in protectors) >= len(SINGLE.production.tubing.joints)
    assert len(protectors) < 5


def test_the_tightest_row_is_the_one_with_least_left_in_a_drift() -> None:
    rows = room_rows(SINGLE)

    tightest = tightest_row(rows)

    assert tightest is not None and tightest.least is not None
    assert tightest.section.what == "The bypass clamp at the base of S1-Y"
    assert tightest.section.shape.width == max(row.section.shape.width for row in rows)
    assert standing_of(tightest.least, SINGLE) is Standing.FITS
    assert tightest_row(()) is None


def test_each_casing_that_is_passed_gives_its_room() -> None:
    casing = SINGLE.well.casing[0]
    liner = replace(
        casing, name="liner", top=SINGLE.well.setting_depth - length(30, "ft"), id=length(8, "in")
    )
    plan = replace(SINGLE, well=replace(SINGLE.well, casing=(casing, liner)))

    rooms = {row.section.what: [room.casing.name for room in row.rooms] for row in room_rows(plan)}

    assert rooms["S1-MOTOR-1 beside the system 1 bypass"] == [casing.name, "liner"]
    assert rooms["S1-PUMP-1 beside the system 1 bypass"] == [casing.name]


def test_a_bypass_that_is_thinner_than_its_clamp_wants_still_lies_in_it() -> None:
    thin = change_bypass(SINGLE, 0, od=length(2.375, "in"))

    clamp = _named(thin, "clamp at the base of S1-MOTOR-1")

    assert clamp.shape.governing == ("the bypass clamp",)
    assert in_unit(clamp.shape.width, "in") == pytest.approx(8.3)
