"""Tally and depth: the length of the string, the depth of every part, joint and station, and stick-up now."""

from collections.abc import Iterator

from app.domain.at_step.depths import depth_results, depths_of
from app.domain.checks.places import every_part, every_tubing
from app.domain.checks.shown import given, like
from app.domain.checks.tally import (
    TALLY_SOURCE,
    Station,
    TallyLine,
    datum_depths,
    station_depths,
    string_length_result,
    tally,
)
from app.domain.figures.subjects.basis import Basis, Figure, Subject
from app.domain.legs import swivel_extension
from app.domain.plan import Plan
from app.domain.quantities import Length, typed_unit
from app.domain.results import PLAN, Advice, Input, Result, from_plan
from app.domain.room.way_down import way_down
from app.domain.sheet import ReadingKind

WHOLE, STATIONS = "the whole string", "stations once landed"
WORKED_OUT = "worked out"
LANDED = Advice("Once the string is landed.")


def tally_figures(basis: Basis) -> Iterator[Figure]:
    """Yield the figures of tally and depth."""
    plan = basis.plan
    joints = frozenset(joint.tag for joint in plan.production.tubing.joints)
    about = joints | {plan.production.hanger.tag}
    yield Figure(Subject.TALLY, WHOLE, string_length_result(plan), about)
    if basis.followed is not None:
        for result in depth_results(basis.followed, depths_of(basis.followed)):
            yield Figure(Subject.TALLY, basis.moment, result)
    lengths = dict(_lengths(basis))
    for line in tally(plan):
        result = _base(plan, line, lengths[line.tag])
        yield Figure(Subject.TALLY, line.string, result, frozenset({line.tag}))
    for name, depth in datum_depths(plan).items():
        yield Figure(Subject.TALLY, STATIONS, _mark(basis, name, depth))
    for station in station_depths(plan):
        about = frozenset({station.clamp.station})
        yield Figure(Subject.TALLY, STATIONS, _station(plan, station), about)


def _base(plan: Plan, line: TallyLine, lengths: tuple[Input, ...]) -> Result:
    depth = plan.well.setting_depth
    inputs = (
        from_plan("setting depth", depth),
        Input("string from the base to there", like(line.cumulative - line.length, depth), WORKED_OUT),
        *lengths,
        Input("depth of its top", like(line.top_depth, depth), WORKED_OUT),
        *_straight_down(plan, line.base_depth),
    )
    return Result(
        name=f"base of {line.tag}",
        value=line.base_depth,
        unit=typed_unit(depth),
        formula="setting depth less what stands between it and the base of the string",
        inputs=inputs,
        source=TALLY_SOURCE,
        says=LANDED,
    )


def _station(plan: Plan, station: Station) -> Result:
    depth, clamp = plan.well.setting_depth, station.clamp
    return Result(
        name=f"{clamp.type} {clamp.place}",
        value=station.depth,
        unit=typed_unit(depth),
        formula="depth of the end that it sits at, or of the top and the distance below it",
        inputs=(Input("sits", clamp.place), *_straight_down(plan, station.depth)),
        source=TALLY_SOURCE,
        says=LANDED,
    )


def _mark(basis: Basis, name: str, depth: Length) -> Result:
    plan = basis.plan
    (system,) = (system for system in plan.systems if system.name == name)
    joint, below_top = system.datum.joint, system.datum.below_top
    return Result(
        name=f"mark of system {name}, where both legs are fixed",
        value=depth,
        unit=typed_unit(plan.well.setting_depth),
        formula="depth of the top of the joint with the mark, and the distance below it",
        inputs=(
            Input("joint with the mark", joint),
            Input("below its top", given(below_top), basis.origin(joint, ReadingKind.MARK)),
            *_straight_down(plan, depth),
        ),
        source=TALLY_SOURCE,
        says=LANDED,
    )


def _straight_down(plan: Plan, depth: Length) -> Iterator[Input]:
    """Yield how far straight down a depth along the hole is, where a survey tells."""
    if plan.well.survey:
        below = way_down(plan.well.survey).down(depth)
        yield Input("straight down, by the survey", like(below, plan.well.setting_depth), WORKED_OUT)


def _lengths(basis: Basis) -> Iterator[tuple[str, tuple[Input, ...]]]:
    """Yield for each tag of the tally what it adds to the string, as inputs."""
    plan = basis.plan
    for _, tubing in every_tubing(plan):
        loss = Input("make-up loss", given(tubing.make_up_loss), PLAN)
        for joint in tubing.joints:
            yield joint.tag, (_length(basis, joint.tag, joint.length), loss)
    for _, part in every_part(plan):
        yield part.tag, (_length(basis, part.tag, part.length),)
    for system in plan.systems:
        block, out = system.y_block, like(swivel_extension(system), system.y_block.stroke)
        origin = basis.origin(block.tag, ReadingKind.SWIVEL_LENGTH)
        yield (
            block.tag,
            (
                Input("swivel, closed", given(block.swivel_length), origin),
                Input("swivel's extension, which closes the legs", out, WORKED_OUT),
            ),
        )


def _length(basis: Basis, tag: str, length: Length) -> Input:
    return Input("its length", given(length), basis.origin(tag))
