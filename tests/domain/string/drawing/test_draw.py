"""The picture shows what hangs, once each, held by what holds it, and nothing is written over anything."""

from dataclasses import replace
from itertools import combinations, pairwise

import pytest
from hypothesis import given, settings

from app.domain.compiler.compile import compile_plan
from app.domain.plan import Plan
from app.domain.quantities import in_unit
from app.domain.string.drawing.band import COVER_DOTS
from app.domain.string.drawing.bodies import AXIS
from app.domain.string.drawing.draw import draw
from app.domain.string.drawing.placed import Box, Drawing, Look, Shape
from app.domain.string.drawing.stack import Column
from app.domain.string.needs.deck import missing_from_string
from app.domain.string.state import StringState, new_state
from app.domain.string.supports import Support, SupportKind
from app.domain.unit_systems import SI
from tests.domain.string.drawing.moments import (
    ONE_BY_ONE,
    STRING,
    demonstration,
    drawn_after,
    drawn_along,
    drawn_on_the_way_out,
    of_looks,
    state_after,
    tags_drawn,
    text_boxes,
    walked,
)
from tests.strategies import plans

SLABS = (Look.WORK_TABLE, Look.ROTARY_TABLE, Look.WELLHEAD)
LOOKS_OF = {
    SupportKind.ELEVATORS: (Look.ELEVATORS,),
    SupportKind.SLIPS: (Look.SLIPS,),
    SupportKind.DOG_COLLAR: (Look.DOG_COLLAR,),
    SupportKind.SAFETY_CLAMP: (Look.SAFETY_CLAMP,),
    SupportKind.LIFTING_CLAMP: (Look.LIFTING_CLAMP,),
    SupportKind.SLINGS: (Look.LIFTING_CLAMP,),
    SupportKind.SUPPORT_CLAMP: (Look.BEARING_CLAMP,),
    SupportKind.HANGER: (Look.HANGER,),
}
RESTS_ON = {
    SupportKind.SLIPS: (Look.ROTARY_TABLE,),
    SupportKind.DOG_COLLAR: (Look.ROTARY_TABLE,),
    SupportKind.SAFETY_CLAMP: (Look.WORK_TABLE, Look.HOLE_COVER),
    SupportKind.LIFTING_CLAMP: (Look.WORK_TABLE, Look.HOLE_COVER),
    SupportKind.SUPPORT_CLAMP: (Look.JOINT,),
    SupportKind.HANGER: (Look.WELLHEAD,),
}
BETWEEN = (Look.NUBBIN, Look.LANDING_JOINT)  # what elevators latch where they do not latch on the part
TOUCHING = 4.0


@pytest.mark.parametrize("name", ["single", "dual"])
def test_a_demonstration_is_drawn_rightly_all_along(name: str) -> None:
    plan, sheet = demonstration(name)

    for state, drawing in drawn_along(plan, sheet, every=7):
        assert_drawn_rightly(state, drawing)


@pytest.mark.parametrize(("name", "every"), [("single", 5), ("dual", 31)])
def test_a_string_that_is_pulled_is_drawn_rightly_all_the_way_out(name: str, every: int) -> None:
    plan, sheet = demonstration(name)

    for state, drawing in drawn_on_the_way_out(plan, sheet, every):
        assert_drawn_rightly(state, drawing)


@pytest.mark.parametrize(
    "key",
    [
        "BU-03/BU-02/stab-and-make-up-by-hand",
        "YB-U/DIS-U1/mate-discharge-head",
        "YB-U/SS-U/bring-swivel-to-bypass-leg",
        "YB-U/SS-U/torque",
    ],
)
def test_a_pump_leg_on_the_table_is_drawn_there_whatever_is_being_joined_over_it(key: str) -> None:
    drawing, state = drawn_after("dual", key), state_after("dual", key)
    (table,) = of_looks(drawing, {Look.WORK_TABLE})

    assert_drawn_rightly(state, drawing)
    clamps = of_looks(drawing, {Look.LIFTING_CLAMP})
    assert [clamp.tags for clamp in clamps] == [(tag,) for tag in state.on_table]
    for clamp in clamps:
        assert clamp.box.touches(table.box, within=TOUCHING + COVER_DOTS)


@given(plans())
@settings(max_examples=4)
def test_any_plan_is_drawn_rightly_all_along(plan: Plan) -> None:
    sheet, _ = compile_plan(plan)

    for state, drawing in drawn_along(plan, sheet, every=23):
        assert_drawn_rightly(state, drawing)


@given(plans())
@settings(max_examples=4)
def test_at_the_end_every_part_of_a_plan_is_drawn_once(plan: Plan) -> None:
    sheet, _ = compile_plan(plan)

    *_, (state, drawing) = drawn_along(plan, sheet, every=len(sheet.steps))

    drawn = tags_drawn(drawing)
    assert missing_from_string(state) == ()
    assert sorted(drawn) == sorted(set(drawn))
    assert set(drawn) == {
        *(part.tag for system in plan.systems for part in system.every_part()),
        *(system.y_block.tag for system in plan.systems),
        *(joint.tag for system in plan.systems for joint in system.every_joint()),
        *(joint.tag for joint in plan.production.tubing.joints),
        *(part.tag for part in (plan.production.crossover, plan.production.hanger) if part),
    }


def test_before_the_first_step_the_floor_is_drawn_and_nothing_else() -> None:
    drawing = draw(new_state(demonstration("single")[0]), None, 1)

    assert drawing.title == "Before the first step"
    assert [shape.look for shape in drawing.shapes] == [Look.HOLE, Look.ROTARY_TABLE]
    assert drawing.labels == ()


def test_the_title_says_after_which_step_and_the_notice_that_all_is_invented() -> None:
    drawing = drawn_after("dual", "MTR-L1/land-on-table")
    words = " ".join(text.text for text in drawing.texts)

    assert drawing.title == "After step 138 of 1002"
    assert "Lower, both legs together, until clamp LC-540 on MTR-L1 lands on the table." in words
    assert "no such well, rig, crew or equipment exists" in words
    assert "The lower pump leg hangs from slings and lifting clamp." in drawing.description


def test_of_a_job_that_is_real_no_notice_says_that_it_is_invented() -> None:
    plan, _ = demonstration("single")
    real = replace(plan, job=replace(plan.job, invented=False, title="Replacement"))

    drawing = draw(new_state(real), None, 1)

    assert [text.text for text in drawing.texts[:2]] == [
        "Before the first step",
        f"Replacement · {plan.well.name}",
    ]
    assert not any(plan.job.notice[:20] in text.text for text in drawing.texts)


def test_a_name_without_a_blank_is_broken_where_it_is_wider_than_its_room() -> None:
    plan, _ = demonstration("single")
    gear = tuple(replace(item, tag=f"{item.tag}-{'W' * 30}") for item in plan.lifting_gear)
    wordy = replace(plan, job=replace(plan.job, title="M" * 100), lifting_gear=gear)
    sheet, _ = compile_plan(wordy)
    number = next(step.number for step in sheet.steps if step.key == "MTR-1/land-on-table")
    state = walked(wordy, sheet, number)

    drawing = draw(state, sheet.step(number), len(sheet.steps))

    assert_drawn_rightly(state, drawing)
    assert "".join(text.text for text in drawing.texts).count("M" * 20) > 1
    words = "".join("".join(label.lines) for label in drawing.labels)
    assert "W" * 30 in words


def test_a_part_on_its_slings_hangs_free_above_what_it_will_stand_on() -> None:
    drawing = drawn_after("dual", "SEAL-L1/pick-up-pump-leg-part")

    lifted, below = box_of(drawing, "SEAL-L1"), box_of(drawing, "MTR-L1")
    assert lifted.bottom + 30 < below.y


def test_long_runs_of_tubing_are_one_broken_box_that_says_how_many_joints_it_is() -> None:
    drawing = drawn_after("dual", "count-temporary-gear")

    (below, above) = of_looks(drawing, {Look.RUN})[:2]
    words = " ".join(" ".join(label.lines) for label in drawing.labels)
    assert {len(below.tags), len(above.tags)} == {6, 58}
    assert "58 joints, protectors on 58 couplings" in words


def test_lengths_are_told_as_typed_with_their_worth_in_the_chosen_units() -> None:
    state = state_after("dual", "MTR-L1/land-on-table")
    part = next(part for part in state.plan.systems[0].parts if part.tag == "MTR-L1")

    drawing = draw(state, None, 1, SI)

    words = next(" ".join(label.lines) for label in drawing.labels if label.name == "MTR-L1")
    assert f"{part.length.typed} ({in_unit(part.length, 'm'):.3f} m)" in words.replace("\u00a0", " ")


def test_heights_are_told_where_they_are_known() -> None:
    labels = {
        label.name.replace("\u00a0", " ") for label in drawn_after("dual", "MTR-L1/land-on-table").labels
    }

    assert "top 11.98 m" in labels
    assert "working height" in labels


def test_cables_are_drawn_from_their_motor_to_what_holds_them_and_on_to_their_spools() -> None:
    drawing = drawn_after("dual", "P-022/lower-string")

    fast = {line.tags[0]: line for line in drawing.lines if line.look is Look.CABLE}
    free = {line.tags[0]: line for line in drawing.lines if line.look is Look.FREE_CABLE}
    assert set(fast) == set(free) == {"MC-L", "MC-U"}
    for tag, motor in (("MC-L", "MTR-L1"), ("MC-U", "MTR-U1")):
        assert box_of(drawing, motor).touches(Box(*fast[tag].points[0], 0, 0), within=12)
        assert fast[tag].points[-1] == free[tag].points[0]
        assert free[tag].points[-1][1] < box_of(drawing, "P-021").y


def test_a_landed_string_has_its_cables_through_the_hanger() -> None:
    drawing = drawn_after("dual", "count-temporary-gear")

    hanger = box_of(drawing, "TH-1")
    ends = [line.points[-1] for line in drawing.lines if line.look is Look.CABLE]
    assert len(ends) == 2
    assert all(y == pytest.approx(hanger.bottom) for _, y in ends)


def test_what_must_come_off_is_drawn_as_long_as_it_is_on() -> None:
    for key, looks in (
        ("BL-02/clean,-inspect-and-dope-pin", {Look.NUBBIN, Look.DOG_COLLAR}),
        ("BL-02/pick-up-joint", {Look.NUBBIN, Look.DOG_COLLAR, Look.PIN_PROTECTOR}),
        (
            "YB-L/SS-L/bring-swivel-to-bypass-leg",
            {Look.HOLE_COVER, Look.WORK_TABLE, Look.SAFETY_CLAMP, Look.OPEN_SWIVEL, Look.OPEN_CONNECTION},
        ),
        ("HS-L/set-slips", set()),
    ):
        drawn = {shape.look for shape in drawn_after("dual", key).shapes}
        temporary = {
            Look.NUBBIN,
            Look.DOG_COLLAR,
            Look.PIN_PROTECTOR,
            Look.HOLE_COVER,
            Look.WORK_TABLE,
            Look.SAFETY_CLAMP,
            Look.OPEN_SWIVEL,
            Look.OPEN_CONNECTION,
        }
        assert drawn & temporary == looks, key


def test_every_clamp_is_at_its_station_with_its_type() -> None:
    drawing, state = drawn_after("dual", "HS-U/set-slips"), state_after("dual", "HS-U/set-slips")

    clamps = of_looks(drawing, {Look.CLAMP})
    stations = [name for name, kind in state.dressing.stations.items() if kind and name.endswith(" base")]
    named = [label.name for label in drawing.labels if label.name.startswith("bypass clamp")]
    assert len(clamps) == len(stations) == len(named) == 9
    for clamp in clamps:
        on = [shape.box for shape in of_looks(drawing, STRING) if clamp.tags[0] in shape.tags]
        assert touches_any(clamp, on)


def assert_drawn_rightly(state: StringState, drawing: Drawing) -> None:
    """Every promise that each picture keeps."""
    assert_all_that_hangs_is_drawn_once(state, drawing)
    assert_nothing_is_written_over_anything(drawing)
    assert_parts_of_a_leg_stand_on_one_another(state, drawing)
    for hanging in state.hangings():
        for support in hanging.supports:
            assert_held(state, drawing, support, hanging.tag)


def assert_all_that_hangs_is_drawn_once(state: StringState, drawing: Drawing) -> None:
    hanging = [tag for body in state.hung for tag in state.bodies.members(body)]

    assert sorted(tags_drawn(drawing)) == sorted(hanging)


def assert_nothing_is_written_over_anything(drawing: Drawing) -> None:
    whole = Box(0, 0, drawing.width, drawing.height)
    boxes = text_boxes(drawing)
    solid = [shape.box for shape in drawing.shapes if shape.look not in (*SLABS, Look.HOLE, Look.DERRICK)]
    for one, other in combinations(boxes, 2):
        assert not one.overlaps(other), (one, other)
    for box in (*boxes, *(shape.box for shape in drawing.shapes)):
        assert whole.holds(box), box
    for label in drawing.labels:
        crossed = [box for box in solid if box.overlaps(label.box)]
        crossed += [shape.box for shape in of_looks(drawing, SLABS) if shape.box.overlaps(label.box)]
        assert crossed == [], label


def assert_parts_of_a_leg_stand_on_one_another(state: StringState, drawing: Drawing) -> None:
    for column in Column:
        axis = AXIS[column]
        boxes = [shape.box for shape in of_looks(drawing, STRING) if abs(shape.box.middle[0] - axis) < 1]
        for lower, upper in pairwise(sorted(boxes, key=lambda box: -box.y)):
            assert upper.bottom <= lower.y + 0.01, (lower, upper)


def assert_held(state: StringState, drawing: Drawing, support: Support, tag: str) -> None:
    """A support is drawn on the body that it holds and at what it rests on."""
    members = state.bodies.members(state.bodies.of(tag))
    body = [shape.box for shape in of_looks(drawing, STRING) if not members.isdisjoint(shape.tags)]
    between = [shape.box for shape in of_looks(drawing, BETWEEN) if support.on in shape.tags]
    held = [shape for shape in of_looks(drawing, LOOKS_OF[support.kind]) if support.on in shape.tags]
    assert held, support
    assert touches_any(held[0], [*body, *between]), (support, tag)
    if support.kind in (SupportKind.ELEVATORS, SupportKind.SLINGS):
        assert_hangs_from_the_derrick(drawing, held[0], support)
    else:
        rests = [shape.box for shape in of_looks(drawing, RESTS_ON[support.kind])]
        assert touches_any(held[0], rests), support


def assert_hangs_from_the_derrick(drawing: Drawing, held: Shape, support: Support) -> None:
    look = Look.BAILS if support.kind is SupportKind.ELEVATORS else Look.SLINGS
    lines = [line for line in drawing.lines if line.look is look and support.on in line.tags]
    (derrick,) = of_looks(drawing, {Look.DERRICK})
    assert len(lines) == 2
    for line in lines:
        assert held.box.touches(Box(*line.points[0], 0, 0))
        assert derrick.box.touches(Box(*line.points[-1], 0, 0))


def touches_any(shape: Shape, boxes: list[Box]) -> bool:
    return any(shape.box.touches(box, within=TOUCHING) for box in boxes)


def box_of(drawing: Drawing, tag: str) -> Box:
    return next(shape.box for shape in of_looks(drawing, ONE_BY_ONE) if tag in shape.tags)
