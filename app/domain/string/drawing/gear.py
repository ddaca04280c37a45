"""What holds the string and what must come off again: each piece of gear where it is."""

from collections.abc import Iterator

from app.domain.gear import Clamp
from app.domain.parts import LegEnd
from app.domain.plan import System
from app.domain.string.drawing.band import COLLAR_DOTS, top_of
from app.domain.string.drawing.bodies import AXIS, SIDE
from app.domain.string.drawing.items import LANDING_JOINT_DOTS, LANDING_JOINT_M
from app.domain.string.drawing.labels import LINE, SIZE, width_of
from app.domain.string.drawing.placed import Box, Line, Look, Side, Sketch, TextLine
from app.domain.string.drawing.scene import DERRICK_DOTS, Scene
from app.domain.string.drawing.stack import Column, Standing

GRIP = 18.0  # how high elevators and clamps are drawn
NUBBIN, NECK = 30.0, 14.0  # how high a nubbin is drawn, and how much of it stands under the elevators
REACH_OUT = 30.0  # how far a lifting clamp reaches to each side


def place_gear(sketch: Sketch, scene: Scene) -> Iterator[TextLine]:
    """Place everything that holds the string or must come off it, and yield the words on it."""
    state, parts = scene.state, scene.stack.parts
    _place_ends(sketch, scene)
    if state.elevators in parts:
        _place_elevators(sketch, scene, parts[state.elevators])
    for tag in state.temporary.lifting_clamps:
        if tag in parts:
            _place_lifting_clamp(sketch, scene, parts[tag])
    _place_at_floor(sketch, scene)
    if any(line.look in (Look.BAILS, Look.SLINGS) for line in sketch.lines):
        left, right = AXIS[Column.PUMP] - 30, AXIS[Column.BYPASS] + 34
        box = Box(left, scene.derrick_y - DERRICK_DOTS, right - left, DERRICK_DOTS)
        yield _word_in(sketch.box(Look.DERRICK, box), Look.DERRICK)


def _place_ends(sketch: Sketch, scene: Scene) -> None:
    state, parts = scene.state, scene.stack.parts
    for tag in sorted(parts.keys() & state.temporary.nubbins):
        part = parts[tag]
        x, y = AXIS[part.column], scene.y(part.top_m)
        sketch.box(Look.NUBBIN, Box(x - 9, y - NUBBIN, 18, NUBBIN), tag)
        sketch.label(SIDE[part.column], (x + 9, y - NECK / 2), "lift nubbin", f"in {tag}")
    for tag in sorted(parts.keys() & state.temporary.pin_protectors):
        part = parts[tag]
        x, y = AXIS[part.column], scene.y(part.base_m)
        sketch.box(Look.PIN_PROTECTOR, Box(x - 13, y - 4, 26, 16), tag)
        sketch.label(SIDE[part.column], (x + 13, y + 6), "protector", f"on the pin of {tag}")
    hanger = scene.hanger
    if hanger is not None and state.temporary.landing_joint:
        y = scene.y(hanger.top_m)
        box = Box(AXIS[hanger.column] - 14, y - LANDING_JOINT_DOTS, 28, LANDING_JOINT_DOTS)
        sketch.box(Look.LANDING_JOINT, box, hanger.tag)
        sketch.label(Side.RIGHT, (box.right, box.middle[1]), "landing joint", f"in {hanger.tag}")


def _place_elevators(sketch: Sketch, scene: Scene, part: Standing) -> None:
    state = scene.state
    x, y = AXIS[part.column], scene.y(part.top_m)
    if part.tag in state.temporary.nubbins:
        y -= GRIP + NECK
    elif state.temporary.landing_joint and part == scene.hanger:
        y = scene.y(part.top_m + LANDING_JOINT_M)
    box = sketch.box(Look.ELEVATORS, Box(x - 25, y, 50, GRIP), part.tag)
    for edge in (box.x + 4, box.right - 4):
        sketch.lines.append(Line(Look.BAILS, ((edge, box.y), (x, scene.derrick_y)), (part.tag,)))
    name = f"elevators {state.elevators_gear}".strip()
    sketch.label(SIDE[part.column], (box.right, box.middle[1]), name, f"on {part.tag}")


def _place_lifting_clamp(sketch: Sketch, scene: Scene, part: Standing) -> None:
    state = scene.state
    tag, x, y = part.tag, AXIS[part.column], scene.y(part.top_m)
    box = sketch.box(Look.LIFTING_CLAMP, Box(x - REACH_OUT, y - GRIP, 2 * REACH_OUT, GRIP), tag)
    landed = ", landed on the table" if tag in state.on_table else ""
    name = f"lifting clamp {state.temporary.lifting_clamps[tag]}".strip()
    sketch.label(Side.LEFT, (box.x, box.middle[1]), name, f"on {tag}{landed}")
    if tag in state.temporary.slings:
        for edge in (box.x + 4, box.right - 4):
            sketch.lines.append(Line(Look.SLINGS, ((edge, box.y), (x, scene.derrick_y)), (tag,)))
        slings = f"slings {state.temporary.slings[tag]}".strip()
        sketch.label(Side.LEFT, (x - REACH_OUT / 2, (box.y + scene.derrick_y) / 2), slings, f"on {tag}")


def _place_at_floor(sketch: Sketch, scene: Scene) -> None:
    state, parts, scale = scene.state, scene.stack.parts, scene.scale
    x = AXIS[Column.BYPASS]
    if state.slips in parts:
        y = top_of(scene.rows, Look.ROTARY_TABLE, scale.band_top)
        sketch.box(Look.SLIPS, Box(x - 30, y, 60, scale.band_bottom - y), state.slips)
    if state.temporary.collar in parts:
        y = top_of(scene.rows, Look.DOG_COLLAR, scale.band_top)
        box = sketch.box(Look.DOG_COLLAR, Box(x - 24, y + 2, 48, COLLAR_DOTS - 2), state.temporary.collar)
        sketch.label(Side.RIGHT, (box.right, box.middle[1]), "dog collar", f"on {state.temporary.collar}")
    if state.temporary.safety_clamp in parts:
        box = Box(x - 34, scale.band_top - GRIP, 68, GRIP)
        sketch.box(Look.SAFETY_CLAMP, box, state.temporary.safety_clamp)
        name = f"safety clamp {state.safety_clamp_gear}".strip()
        sketch.label(Side.RIGHT, (box.right, box.middle[1]), name, "on the work table")


def place_stations(sketch: Sketch, scene: Scene) -> None:
    """Place the clamps that tie the legs, the support clamps, the marks and the cable protectors."""
    state, parts = scene.state, scene.stack.parts
    left, right = AXIS[Column.PUMP] - 32, AXIS[Column.BYPASS] + 22
    for station, kind in state.dressing.stations.items():
        clamp, tag = state.known.clamps.get(station), state.known.station_on(station)
        if kind and tag in parts and clamp is not None:
            y = scene.y(_height_m(parts[tag], clamp))
            box = sketch.box(Look.CLAMP, Box(left, y - 7, right - left, 14), tag)
            sketch.label(Side.RIGHT, (box.right, box.middle[1]), kind)
    for system in state.plan.systems:
        joint = parts.get(system.datum.joint)
        if joint is not None:
            _place_mark(sketch, scene, system, scene.y(joint.top_m - system.datum.below_top.si))
    lowest = {item.tags[0] for item in scene.items}
    for tag in sorted(state.dressing.couplings & lowest):
        _place_protector(sketch, scene, parts[tag])


def _height_m(part: Standing, clamp: Clamp) -> float:
    if clamp.below_top is not None:
        return part.top_m - clamp.below_top.si
    return part.head_m if clamp.end is LegEnd.BASE else part.top_m


def _place_mark(sketch: Sketch, scene: Scene, system: System, y: float) -> None:
    state, joint, x = scene.state, system.datum.joint, AXIS[Column.BYPASS]
    if joint in state.support_clamps:
        bears = any(on == joint and not state.bodies.same(base, on) for base, on in state.standing.items())
        left, right = AXIS[Column.PUMP] - 36, x + 26
        look = Look.BEARING_CLAMP if bears else Look.SUPPORT_CLAMP
        box = sketch.box(look, Box(left, y - 9, right - left, 18), joint)
        sketch.label(Side.RIGHT, (box.right, y), state.support_clamps[joint], f"on the mark of {joint}")
    elif not any(part.tag in scene.stack.parts for part in system.parts):
        box = sketch.box(Look.MARK, Box(x + 8, y - 4, 14, 8), joint)
        sketch.label(Side.RIGHT, (box.right, y), "mark", f"on {joint}")


def _place_protector(sketch: Sketch, scene: Scene, part: Standing) -> None:
    box = Box(AXIS[part.column] - 26, scene.y(part.base_m) - 9, 52, 18)
    sketch.box(Look.PROTECTOR, box, part.tag)


def _word_in(box: Box, look: Look) -> TextLine:
    width = width_of(look, SIZE, strong=True)
    x, y = box.middle
    return TextLine(look, Box(x - width / 2, y - LINE / 2, width, LINE), SIZE, strong=True)
