"""Cables and discharge lines: each from what it is connected to, up to its end or on to its spool."""

from dataclasses import dataclass

from app.domain.plan import System
from app.domain.string.drawing.bodies import AXIS, motor_of
from app.domain.string.drawing.items import splice_joint
from app.domain.string.drawing.placed import Box, Line, Look, Point, Side, Sketch
from app.domain.string.drawing.scene import Scene
from app.domain.string.drawing.stack import Column

FIRST_LANE, LANES_DOTS = 389.0, 36.0  # cables run in the gap between the legs
TO_LANE = 14.0
SPOOL_BELOW_TOP = 22.0
POTHEAD_DOTS = 12.0


@dataclass(frozen=True, slots=True)
class _Way:
    """The way of one cable or line: where it begins, its lane, and to where it is held fast."""

    start: Point
    lane: float
    held_to: float
    end: float


def place_cables(sketch: Sketch, scene: Scene) -> None:
    """Place every cable and line that is connected, and ask for the labels of the free ones."""
    systems = scene.state.plan.systems
    apart = LANES_DOTS / max(len(systems), 3)
    for rank, system in enumerate(systems):
        _place_lead(sketch, scene, system, rank, FIRST_LANE + apart * (rank + 1))
        _place_line(sketch, scene, system)


def _place_lead(sketch: Sketch, scene: Scene, system: System, rank: int, lane: float) -> None:
    state, parts = scene.state, scene.stack.parts
    motor, lead = parts.get(motor_of(system)), system.motor_lead
    running = state.cables.connected & {lead.tag, lead.main_cable.tag}
    if motor is None or not running:
        return
    x, y = AXIS[Column.PUMP] + 14, scene.y(motor.top_m) + 10
    sketch.box(Look.POTHEAD, Box(x, y - POTHEAD_DOTS / 2, POTHEAD_DOTS, POTHEAD_DOTS), motor.tag)
    hanger = scene.hanger
    is_through = lead.main_cable.tag in state.cables.through and hanger is not None
    spool = scene.scale.top_y - SPOOL_BELOW_TOP
    end = scene.y(hanger.base_m) if hanger is not None and is_through else spool
    fast = end if is_through else _fast_to(scene, y - TO_LANE)
    way = _Way((x + POTHEAD_DOTS, y), lane, fast, end)
    (tag,) = sorted(running)[-1:]
    _place_way(sketch, way, (Look.CABLE, Look.FREE_CABLE), tag, rank)
    if not is_through:
        sketch.label(Side.LEFT, (lane, end + 4), tag, "to its spool")
    joint = parts.get(splice_joint(system, state))
    if lead.main_cable.tag in state.cables.spliced and joint is not None:
        y = scene.y(joint.top_m) + 22
        box = sketch.box(Look.SPLICE, Box(lane - 6, y - 8, 12, 16), lead.tag, lead.main_cable.tag)
        sketch.label(Side.LEFT, (box.x, y), "splice", f"{lead.tag} to {lead.main_cable.tag}")


def _place_line(sketch: Sketch, scene: Scene, system: System) -> None:
    state, parts = scene.state, scene.stack.parts
    line, gauge = system.line, parts.get(system.parts[0].tag)
    if line is None or gauge is None or line.tag not in state.lines.at_gauge:
        return
    y = (scene.y(gauge.base_m) + scene.y(gauge.top_m)) / 2
    block = parts.get(system.y_block.tag)
    is_ended = line.tag in state.lines.at_block and block is not None
    end = scene.y(block.head_m) if block is not None and is_ended else scene.scale.top_y - SPOOL_BELOW_TOP
    fast = end if is_ended else _fast_to(scene, y - TO_LANE)
    way = _Way((AXIS[Column.PUMP] + 18, y), FIRST_LANE, fast, end)
    _place_way(sketch, way, (Look.LINE, Look.FREE_LINE), line.tag, 0)
    if not is_ended:
        sketch.label(Side.LEFT, (FIRST_LANE, end + 12), line.tag, "to its spool")


def _place_way(sketch: Sketch, way: _Way, looks: tuple[Look, Look], tag: str, rank: int) -> None:
    turn = (way.lane, way.start[1] - TO_LANE)
    held = (way.lane, min(way.held_to, turn[1]))
    sketch.lines.append(Line(looks[0], (way.start, turn, held), (tag,), rank))
    if held[1] > way.end:
        sketch.lines.append(Line(looks[1], (held, (way.lane, way.end)), (tag,), rank))


def _fast_to(scene: Scene, start: float) -> float:
    """Return the y of the highest clamp, slot or protector, or that of the start where there is none."""
    dressing, parts = scene.state.dressing, scene.stack.parts
    tags = (*(scene.state.known.station_on(station) for station in dressing.stations), *dressing.couplings)
    return min((scene.y(parts[tag].head_m) for tag in tags if tag in parts), default=start)
