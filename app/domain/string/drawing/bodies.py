"""The string itself: parts, joints, Y-blocks and what belongs to them for good, each as a box."""

from app.domain.parts import PartKind
from app.domain.plan import System
from app.domain.quantities import Length, show, typed_unit
from app.domain.string.drawing.described import together
from app.domain.string.drawing.floor import top_of_body
from app.domain.string.drawing.items import Item
from app.domain.string.drawing.placed import Box, Line, Look, Side, Sketch
from app.domain.string.drawing.scale import Scale
from app.domain.string.drawing.scene import Scene
from app.domain.string.drawing.stack import Column, Standing
from app.domain.string.known import slots_of
from app.domain.string.state import StringState

AXIS = {Column.PUMP: 362.0, Column.BYPASS: 444.0}
SIDE = {Column.PUMP: Side.LEFT, Column.BYPASS: Side.RIGHT}
COUPLING_DOTS, OPEN_DOTS, SWIVEL_DOTS = 12.0, 52.0, 28.0
BLOCK_OVER = 22.0  # how far a Y-block reaches over the axis of each leg
AT_THE_TABLE_M = 0.05  # what is landed on the table needs no height
BLOCK_SHARE = 0.45  # how much of a Y-block is one piece before its two sides part
RETRACTED = 0.6  # how much of its way to the leg a swivel is drawn while it is not made up


def place_items(sketch: Sketch, scene: Scene) -> None:
    """Place every part of the string and ask for its label."""
    for item in scene.items:
        if item.look is Look.BLOCK:
            _place_block(sketch, scene, item.parts[0])
        else:
            _place_item(sketch, scene, item)
    _say_heights(sketch, scene)


def box_of(item: Item, scene: Scene) -> Box:
    """Return where the box of an item stands."""
    top, base = scene.y(item.top_m), scene.y(item.base_m)
    return Box(AXIS[item.column] - item.width / 2, top, item.width, base - top)


def _place_item(sketch: Sketch, scene: Scene, item: Item) -> None:
    state = scene.state
    box = sketch.box(item.look, box_of(item, scene), *item.tags)
    if item.coupling and item.look is Look.JOINT:
        _place_coupling(sketch, item, box)
    side = SIDE[item.column]
    edge = box.x if side is Side.LEFT else box.right
    sketch.label(side, (edge, _visible_middle(box, scene.scale)), _name(item), _words(state, item))
    if item.tags[0] in state.stabbed:
        _place_open_connection(sketch, item.tags[0], item.column, box.bottom)


def _place_open_connection(sketch: Sketch, tag: str, column: Column, y: float) -> None:
    box = Box(AXIS[column] - OPEN_DOTS / 2, y - 4, OPEN_DOTS, 8)
    sketch.box(Look.OPEN_CONNECTION, box, tag)
    edge = box.x if SIDE[column] is Side.LEFT else box.right
    sketch.label(SIDE[column], (edge, y), tag, "stabbed, not made up")


def _place_coupling(sketch: Sketch, item: Item, box: Box) -> None:
    width = max(item.coupling, box.width + 6)
    sketch.box(Look.COUPLING, Box(AXIS[item.column] - width / 2, box.y, width, COUPLING_DOTS), item.tags[0])


def _place_block(sketch: Sketch, scene: Scene, block: Standing) -> None:
    tag, system = block.tag, scene.state.known.system_of[block.tag]
    top, head, pin = scene.y(block.top_m), scene.y(block.head_m), scene.y(block.base_m)
    left, right = AXIS[Column.PUMP] - BLOCK_OVER, AXIS[Column.BYPASS] + BLOCK_OVER
    high = top + (min(head, pin) - top) * BLOCK_SHARE
    sketch.box(Look.BLOCK, Box(left, top, right - left, high - top), tag)
    sketch.box(Look.BLOCK, Box(left, high, 2 * BLOCK_OVER, head - high), tag)
    sketch.label(Side.LEFT, (left, top + (high - top) / 2), tag, _block_words(scene.state, system))
    is_met = _is_met(scene.state, system)
    end = pin if is_met else high + (pin - high) * RETRACTED
    _place_swivel(sketch, scene.state, tag, high, end)
    if tag in scene.state.stabbed:
        column, y = (Column.BYPASS, end) if is_met else (Column.PUMP, head)
        _place_open_connection(sketch, tag, column, y)


def _place_swivel(sketch: Sketch, state: StringState, tag: str, top: float, end: float) -> None:
    is_free = tag in state.temporary.open_swivels
    look, words = (
        (Look.OPEN_SWIVEL, "free, its screws are out")
        if is_free
        else (Look.SWIVEL, "held by ring and screws")
    )
    x = AXIS[Column.BYPASS] - SWIVEL_DOTS / 2
    sleeve = sketch.box(look, Box(x, top, SWIVEL_DOTS, end - top), tag)
    sketch.label(Side.RIGHT, (sleeve.right, sleeve.middle[1]), "swivel", words)


def _is_met(state: StringState, system: System) -> bool:
    # The head is mated first: stabbed again once it is bolted, it is the swivel that meets the leg.
    block, head = system.y_block.tag, system.parts[-1].tag
    below = system.safety_sub.tag if system.safety_sub is not None else system.bypass.joints[-1].tag
    return state.bodies.same(block, below) or (block in state.stabbed and state.bodies.same(block, head))


def _block_words(state: StringState, system: System) -> str:
    tag = system.y_block.tag
    facts = ["Y-block"]
    if tag in state.lock_rings:
        facts.append("lock ring up")
    if slots_of(tag) in state.dressing.stations:
        facts.append("cables in its slots")
    return ", ".join(facts)


def _name(item: Item) -> str:
    return item.tags[0] if len(item.tags) == 1 else f"{item.tags[0]} to {item.tags[-1]}"


def _words(state: StringState, item: Item) -> str:
    facts = [item.words]
    for system in state.plan.systems:
        facts += _line_words(state, system, item.tags[0])
        facts += _lead_words(state, system, item.tags[0])
    if item.look is Look.RUN:
        protected = sum(tag in state.dressing.couplings for tag in item.tags)
        facts.append(f"protectors on {protected} couplings")
    return ", ".join(facts)


def _line_words(state: StringState, system: System, tag: str) -> list[str]:
    line = system.line
    if line is None or tag != system.parts[0].tag or line.tag not in state.lines.at_gauge:
        return []
    return [f"{line.tag} connected{', proven' if line.tag in state.lines.proven else ''}"]


def _lead_words(state: StringState, system: System, tag: str) -> list[str]:
    lead = system.motor_lead
    connected = state.cables.connected & {lead.tag, lead.main_cable.tag}
    if tag != motor_of(system) or not connected:
        return []
    return [f"{lead.tag} connected{', wants its test' if connected & state.cables.untested else ''}"]


def motor_of(system: System) -> str:
    """Return the motor that the lead of a system is connected to, which is the topmost."""
    motors = [part.tag for part in system.parts if part.kind is PartKind.MOTOR]
    return motors[-1] if motors else ""


def _visible_middle(box: Box, scale: Scale) -> float:
    # What the floor cuts is named where more of it is seen.
    if not box.y < scale.band_top < box.bottom:
        return box.middle[1]
    over, under = scale.band_top - box.y, box.bottom - scale.band_bottom
    return box.y + over / 2 if over >= under else box.bottom - under / 2


def _say_heights(sketch: Sketch, scene: Scene) -> None:
    state = scene.state
    unit = typed_unit(state.plan.rig.working_height)
    for body, lift_m in scene.stack.lifted_m.items():
        # Of what hangs free, the state tells how high it will stand.
        over_table_m = None if lift_m else state.heights.top_m.get(body)
        if over_table_m is not None and over_table_m > AT_THE_TABLE_M and not state.landed:
            top = top_of_body(scene.stack, body)
            side, x = SIDE[top.column], AXIS[top.column]
            at = x + (-14.0 if side is Side.LEFT else 14.0), scene.y(top.top_m) + 2
            height = together(show(Length(over_table_m), scene.units.unit_for(unit)))
            sketch.label(side, at, f"top {height}", "over the table")


def place_orientation_line(sketch: Sketch, scene: Scene) -> None:
    """Place the orientation line on every part that it has been carried up."""
    marked = [item for item in scene.items if scene.state.line_on.issuperset(item.tags)]
    for item in marked:
        box, x = box_of(item, scene), AXIS[item.column] - 6
        sketch.lines.append(Line(Look.ORIENTATION_LINE, ((x, box.bottom), (x, box.y)), item.tags))
