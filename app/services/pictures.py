"""Pictures of the string: after any step of a sheet, and of a run as it stands."""

from app.domain.measured import plan_in
from app.domain.plan import Plan
from app.domain.rewriting.rewritten import done_in_order
from app.domain.run import Run, last_on_floor
from app.domain.sheet import Sheet
from app.domain.string.drawing.draw import draw
from app.domain.string.simulator import state_after
from app.domain.string.state import StringState
from app.domain.unit_systems import AS_PLANNED, UnitSystem
from app.exports.string_picture import string_picture


def picture_after(plan: Plan, sheet: Sheet, number: int) -> str:
    """Return as SVG the string after so many steps of a sheet."""
    state = state_after(plan, sheet.steps[:number])
    return string_picture(draw(state, sheet.step(number), len(sheet.steps)))


def picture_now(run: Run, palette: str = "", units: UnitSystem = AS_PLANNED, *, alone: bool = True) -> str:
    """Return as SVG the string after everything that is done in a run, in a palette and system of units.

    Beside other things it has neither heading nor key.
    """
    drawing = draw(string_now(run), last_on_floor(run), len(run.sheet.steps), units)
    return string_picture(drawing, palette, alone=alone)


def string_now(run: Run) -> StringState:
    """Return the string after everything that is done in a run, with all that was measured in it."""
    return state_after(plan_in(run), done_in_order(run))
