"""How deep everything of the string is after a step: base, joints, stations, and what is within reach.

Depths count along the hole from the top of the work table, which a landed hanger takes the place of.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from app.domain.at_step.following import Followed
from app.domain.checks.shown import shown
from app.domain.checks.tally import TALLY_SOURCE, bypass_name, station_depths
from app.domain.plan import PRODUCTION, tubing_below_name
from app.domain.quantities import Length, typed_unit
from app.domain.results import ASSUMED, Advice, Input, Result, from_plan

TOUCHES_M = 1e-6  # ends that meet are worked out by sums of their own, which differ in the last bits
ABOUT = "Lowered by eye since the last measured height: true within an arm's length."
SURE = "As the lengths say."


@dataclass(frozen=True, slots=True)
class Place:
    """A part that is in or over the hole: its string, and the depths of its top and base [m].

    What stands over the table has depths below zero.
    """

    tag: str
    string: str
    top: Length
    base: Length

    def reaches(self, depth_m: float) -> bool:
        """Return whether a depth lies on the part, its ends included."""
        return self.top.si - TOUCHES_M <= depth_m <= self.base.si + TOUCHES_M


@dataclass(frozen=True, slots=True)
class JointsIn:
    """How many joints of a run of tubing are in, of how many."""

    string: str
    joints_in: int
    planned: int


@dataclass(frozen=True, slots=True)
class StationNow:
    """A clamp that is fitted, its type, and how deep it is now [m]."""

    system: str
    station: str
    type: str
    depth: Length


@dataclass(frozen=True, slots=True)
class Depths:
    """The string after a step; `base` and `stick_up` are none while it does not hang.

    `by_hand` is what was brought to working height, `beside_hands` every part that stands there, and
    `in_table` every part that the table is round.
    """

    base: Length | None
    stick_up: Length | None
    by_eye: bool
    top_tag: str
    joints: tuple[JointsIn, ...]
    places: tuple[Place, ...]
    stations: tuple[StationNow, ...]
    by_hand: tuple[str, ...]
    beside_hands: tuple[str, ...]
    in_table: tuple[str, ...]


def depths_of(followed: Followed) -> Depths:
    """Return how deep everything is that hangs or stands in or over the hole."""
    places = tuple(sorted(_places(followed), key=lambda place: place.top.si))
    base_m = followed.depth_m
    top_m = None if base_m is None else followed.height_m(followed.top_tag) - base_m
    hands_m = -followed.plan.rig.working_height.si
    return Depths(
        base=None if base_m is None else Length(base_m),
        stick_up=None if top_m is None else Length(top_m),
        by_eye=followed.by_eye,
        top_tag=followed.top_tag if base_m is not None else "",
        joints=tuple(joints_in(followed)),
        places=places,
        stations=tuple(_stations(followed)),
        by_hand=tuple(_by_hand(followed)),
        beside_hands=tuple(place.tag for place in places if place.reaches(hands_m)),
        in_table=tuple(place.tag for place in places if place.reaches(0.0)),
    )


def depth_results(followed: Followed, depths: Depths) -> tuple[Result, ...]:
    """Return base depth and stick-up with what they are worked out from; nothing while nothing hangs."""
    if depths.base is None or depths.stick_up is None:
        return ()
    plan = followed.plan
    depth = plan.well.setting_depth
    says = Advice(ABOUT if depths.by_eye else SURE)
    tallied = Length(followed.height_m(followed.top_tag))
    unit = typed_unit(depth)
    inputs = (
        Input("part at the top", depths.top_tag, "step"),
        Input("string from its base to there", shown(tallied, unit), "step"),
        from_plan("working height", plan.rig.working_height),
        Input("counted from", "the top of the work table", ASSUMED),
        Input("the table is round", ", ".join(depths.in_table) or "nothing", "step"),
        Input("beside the hands", ", ".join(depths.beside_hands) or "nothing", "step"),
    )
    return (
        Result(
            "depth of the base", depths.base, unit, "string length less stick-up", inputs, TALLY_SOURCE, says
        ),
        Result(
            "stick-up over the table",
            depths.stick_up,
            unit,
            "string length less depth of the base",
            inputs,
            TALLY_SOURCE,
            says,
        ),
    )


def _places(followed: Followed) -> Iterator[Place]:
    state, lines = followed.state, followed.lines
    for body in state.hung:
        base_m = followed.base_depth_m(body)
        if base_m is None:
            continue
        for tag in state.bodies.members(body):
            if tag in lines:
                line = lines[tag]
                low_m = base_m - line.cumulative.si
                yield Place(tag, line.string, Length(low_m), Length(low_m + line.length.si))


def joints_in(followed: Followed) -> Iterator[JointsIn]:
    """Yield how many joints of each run of tubing hang with the base of the string."""
    state = followed.state
    base = followed.trunk[0]
    hangs = state.is_hung(base)
    for name, tags in _runs(followed):
        hung = sum(state.bodies.same(base, tag) for tag in tags) if hangs else 0
        yield JointsIn(name, hung, len(tags))


def _runs(followed: Followed) -> Iterator[tuple[str, tuple[str, ...]]]:
    plan = followed.plan
    for system in plan.systems:
        if system.tubing_below is not None:
            yield tubing_below_name(system), tuple(joint.tag for joint in system.tubing_below.joints)
        yield bypass_name(system), tuple(joint.tag for joint in system.bypass.joints)
    yield PRODUCTION, tuple(joint.tag for joint in plan.production.tubing.joints)


def _stations(followed: Followed) -> Iterator[StationNow]:
    plan, dressed = followed.plan, followed.state.dressing.stations
    for station in station_depths(plan):
        clamp = station.clamp
        base_m = followed.base_depth_m(followed.state.bodies.of(clamp.at))
        if clamp.station in dressed and base_m is not None:
            up_m = (plan.well.setting_depth - station.depth).si
            yield StationNow(station.system, clamp.place, clamp.type, Length(base_m - up_m))


def _by_hand(followed: Followed) -> Iterator[str]:
    heights = followed.state.heights
    return (heights.at_hands[body] for body in followed.state.hung if heights.at_hands.get(body))
