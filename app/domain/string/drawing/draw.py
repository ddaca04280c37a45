"""Draw a moment: everything placed, nothing written over anything else, all of it inside the picture."""

from collections.abc import Iterable

from app.domain.sentences import told
from app.domain.sheet import Step
from app.domain.string.drawing.band import place_band
from app.domain.string.drawing.bodies import place_items, place_orientation_line
from app.domain.string.drawing.cables import place_cables
from app.domain.string.drawing.described import together
from app.domain.string.drawing.gear import place_gear, place_stations
from app.domain.string.drawing.labels import WIDTH, placed_labels
from app.domain.string.drawing.placed import (
    Box,
    Drawing,
    Label,
    Line,
    Look,
    Shape,
    Side,
    Sketch,
    TextLine,
)
from app.domain.string.drawing.scene import DERRICK_DOTS, Scene, scene_of
from app.domain.string.drawing.words import BEFORE, heading, key_of
from app.domain.string.state import StringState
from app.domain.unit_systems import AS_PLANNED, UnitSystem

MARGIN = 14.0
HOLE_LEFT, HOLE_RIGHT = 322.0, 482.0


def draw(state: StringState, step: Step | None, total: int, units: UnitSystem = AS_PLANNED) -> Drawing:
    """Return the picture of the string as it is, after a step of so many or before the first one.

    A figure that was typed is told as typed, with its worth in the system of units beside it.
    """
    scene = _roomy(state, units)
    text = told(step.text, units) if step is not None else ""
    texts = tuple(heading(state.plan.job, state.plan.well.name, text, _title(step, total)))
    under_heading = max(text.box.bottom for text in texts) + MARGIN
    sketch, labels, _ = _sketched(scene)
    scene = scene.moved(under_heading - min(_tops(scene, sketch, labels)))
    sketch, labels, words = _sketched(scene)
    lowest = max(_bottoms(scene, sketch, labels)) + MARGIN
    key = tuple(key_of(sketch.shapes, sketch.lines, lowest + MARGIN))
    height = max((entry.box.bottom for entry in key), default=lowest) + MARGIN
    sketch.shapes.insert(0, _hole(scene, lowest))
    return Drawing(
        WIDTH,
        height,
        under_heading - MARGIN / 2,
        lowest,
        texts[0].text,
        _description(state, text),
        (*texts, *words),
        tuple(sketch.shapes),
        tuple(sketch.lines),
        labels,
        key,
    )


def _title(step: Step | None, total: int) -> str:
    return f"After step {step.number} of {total}" if step is not None else BEFORE


def _roomy(state: StringState, units: UnitSystem) -> Scene:
    """Return the scene with so much room over the floor that no label stands higher than the derrick."""
    scene = scene_of(state, units)
    _, labels, _ = _sketched(scene)
    highest = scene.derrick_y - DERRICK_DOTS
    missing = highest - min((label.box.y for label in labels), default=highest)
    return scene_of(state, units, missing) if missing > 0 else scene


def _sketched(scene: Scene) -> tuple[Sketch, tuple[Label, ...], tuple[TextLine, ...]]:
    sketch = Sketch()
    words = list(place_band(sketch, scene.rows, scene.scale.band_top))
    place_items(sketch, scene)
    place_orientation_line(sketch, scene)
    place_stations(sketch, scene)
    place_cables(sketch, scene)
    words += place_gear(sketch, scene)
    _place_working_height(sketch, scene)
    return sketch, tuple(_labels(sketch, scene)), tuple(words)


def _labels(sketch: Sketch, scene: Scene) -> Iterable[Label]:
    top, bottom = scene.scale.band_top, scene.scale.band_bottom
    over = [wanted for wanted in sketch.wanted if wanted.at[1] < (top + bottom) / 2]
    under = [wanted for wanted in sketch.wanted if wanted.at[1] >= (top + bottom) / 2]
    for side in Side:
        yield from placed_labels(over, side, above=top)
        yield from placed_labels(under, side, below=bottom + MARGIN / 2)


def _place_working_height(sketch: Sketch, scene: Scene) -> None:
    state = scene.state
    if state.landed or not scene.stack.parts:
        return
    y = scene.y(scene.scale.floor_m + state.plan.rig.working_height.si)
    sketch.lines.append(Line(Look.WORKING_HEIGHT, ((HOLE_LEFT, y), (HOLE_RIGHT, y))))
    height = together(scene.units.given(state.plan.rig.working_height))
    sketch.label(Side.LEFT, (HOLE_LEFT, y), "working height", f"{height} over the table")


def _hole(scene: Scene, lowest: float) -> Shape:
    top = scene.scale.band_bottom
    return Shape(Look.HOLE, Box(HOLE_LEFT, top, HOLE_RIGHT - HOLE_LEFT, max(lowest - top, MARGIN)))


def _tops(scene: Scene, sketch: Sketch, labels: tuple[Label, ...]) -> Iterable[float]:
    yield scene.scale.top_y
    yield from (y for line in sketch.lines for _, y in line.points)
    yield from (shape.box.y for shape in sketch.shapes)
    yield from (label.box.y for label in labels)


def _bottoms(scene: Scene, sketch: Sketch, labels: tuple[Label, ...]) -> Iterable[float]:
    yield scene.scale.band_bottom
    yield from (shape.box.bottom for shape in sketch.shapes)
    yield from (label.box.bottom for label in labels)


def _description(state: StringState, text: str) -> str:
    held = " ".join(f"The {item.leg} hangs from {item.held_by}." for item in state.hangings())
    done = f"After: {text} " if text else ""
    return f"{done}{held or 'Nothing hangs over the hole.'}"
