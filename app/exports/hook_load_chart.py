"""What the hook should carry against depth, as a chart: buoyed, in air, and every reading beside it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from app.domain.at_step.hook_load import CurvePoint
from app.domain.at_step.weight_reading import WeightRead, allowed_off
from app.domain.install_record import ReadingVerdict
from app.domain.plan import Plan
from app.domain.quantities import Length, Mass, in_unit, typed_unit
from app.domain.unit_systems import AS_PLANNED, UnitSystem
from app.exports.chart import WIDTH, Axis, chart_style, key, line, number_text, paper
from app.exports.svg import Page, document, element, points, text

HEIGHT = 780.0
LEFT, RIGHT, TOP, BOTTOM = 150.0, 970.0, 70.0, 600.0
TITLE = "Hook load against depth of the base"
ROOM = 0.25  # of the span of loads, over and under it


@dataclass(frozen=True, slots=True)
class _Scales:
    depth_unit: str
    load_unit: str
    depth: Axis
    load: Axis

    def place(self, depth: Length, load: Mass) -> tuple[float, float]:
        return self.depth.at(in_unit(depth, self.depth_unit)), self.load.at(in_unit(load, self.load_unit))


def hook_load_chart(
    plan: Plan,
    curve: Sequence[CurvePoint],
    reads: Sequence[WeightRead],
    last: int,
    palette: str = "",
    *,
    units: UnitSystem = AS_PLANNED,
) -> str:
    """Return the SVG text of the curve, with the place that the run has come to by its last step."""
    page = Page(WIDTH, HEIGHT, TITLE, _described(plan, curve, reads, units), chart_style(palette))
    if not curve:
        return document(page, (paper(HEIGHT), text("Nothing is lowered in this sheet.", 20, 60)))
    return document(page, _painted(plan, curve, reads, last, units))


def _described(
    plan: Plan, curve: Sequence[CurvePoint], reads: Sequence[WeightRead], units: UnitSystem
) -> str:
    if not curve:
        return "Nothing is lowered in this sheet."
    end = curve[-1]
    depth = units.like(end.depth, plan.well.setting_depth)
    load = units.like(end.load.expected, plan.rig.travelling_weight)
    return (
        f"{len(curve)} lowerings; at the last one the base is at {depth} and the hook "
        f"should carry {load}, blocks included. The weight "
        f"indicator was read {len(reads)} times."
    )


def _painted(
    plan: Plan, curve: Sequence[CurvePoint], reads: Sequence[WeightRead], last: int, units: UnitSystem
) -> Iterator[str]:
    scales = _scales(plan, curve, reads, units)
    yield paper(HEIGHT)
    yield text(TITLE, 20, 40, {"class": "title"})
    yield _band(plan, scales, curve)
    yield from _grid(scales)
    level = scales.place(plan.well.fluid_level, Mass(0.0))[0]
    yield line("fluid", (level, TOP), (level, BOTTOM))
    for name in ("in-air", "expected"):
        corners = [scales.place(point.depth, _worth(point, name)) for point in curve]
        yield element("polyline", {"class": name, "points": points(corners)})
    yield from _now(scales, curve, last)
    for read in reads:
        yield _dot(read, scales)
    yield from _legend(plan, units)


def _worth(point: CurvePoint, name: str) -> Mass:
    return point.load.expected if name == "expected" else point.load.air + point.load.blocks


def _scales(
    plan: Plan, curve: Sequence[CurvePoint], reads: Sequence[WeightRead], units: UnitSystem
) -> _Scales:
    depth_unit = units.unit_for(typed_unit(plan.well.setting_depth))
    load_unit = units.unit_for(typed_unit(plan.rig.travelling_weight))
    deepest = max(in_unit(point.depth, depth_unit) for point in curve)
    drawn = [load for point in curve for load in (point.load.going_in, _worth(point, "in-air"))]
    loads = [in_unit(load, load_unit) for load in (*drawn, *(read.read for read in reads))]
    # The blocks hang always; a scale from nothing would squeeze what changes into a strip.
    room = ROOM * (max(loads) - min(loads)) or max(loads)
    return _Scales(
        depth_unit,
        load_unit,
        Axis(LEFT, RIGHT, 0.0, max(deepest, 1e-3)),
        Axis(BOTTOM, TOP, max(min(loads) - room, 0.0), max(max(loads) + room, 1e-3)),
    )


def _band(plan: Plan, scales: _Scales, curve: Sequence[CurvePoint]) -> str:
    """Return the stretch in which a reading is near what should hang."""
    off = [allowed_off(plan, point.load) for point in curve]
    upper = [scales.place(p.depth, p.load.expected + o) for p, o in zip(curve, off, strict=True)]
    lower = [scales.place(p.depth, p.load.going_in - o) for p, o in zip(curve, off, strict=True)]
    return element("polygon", {"class": "band", "points": points([*upper, *reversed(lower)])})


def _grid(scales: _Scales) -> Iterator[str]:
    for worth in scales.load.ticks():
        y = scales.load.at(worth)
        yield line("grid", (LEFT, y), (RIGHT, y))
        yield text(number_text(worth), LEFT - 12, y + 9, {"text-anchor": "end"})
    for worth in scales.depth.ticks():
        x = scales.depth.at(worth)
        yield line("grid", (x, TOP), (x, BOTTOM))
        yield text(number_text(worth), x, BOTTOM + 34, {"text-anchor": "middle"})
    yield text(f"load in {scales.load_unit}, depth in {scales.depth_unit}", RIGHT, 40, {"text-anchor": "end"})


def _now(scales: _Scales, curve: Sequence[CurvePoint], last: int) -> Iterator[str]:
    reached = [point for point in curve if point.step.number <= last]
    if reached:
        x, y = scales.place(reached[-1].depth, reached[-1].load.expected)
        yield line("now", (x, y - 40), (x, y + 40))


def _dot(read: WeightRead, scales: _Scales) -> str:
    x, y = scales.place(read.depth, read.read)
    if read.result.verdict is ReadingVerdict.IN_WINDOW:
        return element("circle", {"class": "read", "cx": x, "cy": y, "r": 10})
    corners = [(x, y - 14), (x + 13, y + 10), (x - 13, y + 10)]
    return element("polygon", {"class": "far-off", "points": points(corners)})


def _legend(plan: Plan, units: UnitSystem) -> Iterator[str]:
    yield from key(BOTTOM + 82, (("expected", "should hang"), ("box band", "near it"), ("in-air", "in air")))
    level = f"fluid level, {units.given(plan.well.fluid_level)}"
    yield from key(BOTTOM + 122, (("now", "run so far"), ("fluid", level)))
    yield text("Round: read, near it. Three-cornered: read, far off.", 20, BOTTOM + 162)
