"""The moment that is drawn: its state, where everything stands along the string, and the scale of it."""

from dataclasses import dataclass, replace

from app.domain.string.drawing.band import Row, band_height, band_of
from app.domain.string.drawing.floor import floor_m
from app.domain.string.drawing.items import Item, items_of, spans_of
from app.domain.string.drawing.scale import Scale, scale_of
from app.domain.string.drawing.stack import Stack, Standing, stack_of
from app.domain.string.state import StringState
from app.domain.unit_systems import AS_PLANNED, UnitSystem

UNDER_DERRICK = 54.0
DERRICK_DOTS = 28.0


@dataclass(frozen=True, slots=True)
class Scene:
    """Everything that places are worked out from; nothing in it changes while it is drawn."""

    state: StringState
    stack: Stack
    items: tuple[Item, ...]
    rows: tuple[Row, ...]
    scale: Scale
    units: UnitSystem = AS_PLANNED

    @property
    def derrick_y(self) -> float:
        """Return the y of the derrick's lower side, from which elevators and slings hang."""
        return self.scale.top_y - UNDER_DERRICK

    @property
    def hanger(self) -> Standing | None:
        """Return the tubing hanger where it hangs already."""
        return self.stack.parts.get(self.state.plan.production.hanger.tag)

    def y(self, at_m: float) -> float:
        """Return the y of a place along the string [m]."""
        return self.scale.y(at_m)

    def moved(self, down: float) -> "Scene":
        """Return the same scene further down."""
        return replace(self, scale=self.scale.moved(down))


def scene_of(state: StringState, units: UnitSystem = AS_PLANNED, more_room: float = 0.0) -> Scene:
    """Return the scene of a moment in a system of units, with so much more room over the floor."""
    stack, rows = stack_of(state), band_of(state)
    at_m = floor_m(state, stack)
    items = items_of(state, stack, at_m, units)
    spans = tuple(spans_of(state, stack, items, at_m, more_room))
    return Scene(state, stack, items, rows, scale_of(spans, at_m, band_height(rows)), units)
