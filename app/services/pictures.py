"""Pictures of the string: after any step of a sheet, and of a run as it stands."""

from app.domain.plan import Plan
from app.domain.run import Run
from app.domain.sheet import Sheet
from app.domain.standing import last_on_floor
from app.domain.string.drawing.draw import draw
from app.domain.string.simulator import state_after
from app.domain.string.state import StringState
from app.exports.string_picture import string_picture


def picture_after(plan: Plan, sheet: Sheet, number: int) -> str:
    """Return as SVG the string after so many steps of a sheet."""
    state = state_after(plan, sheet.steps[:number])
    return string_picture(draw(state, sheet.step(number), len(sheet.steps)))


def picture_now(run: Run, palette: str = "") -> str:
    """Return as SVG the string after everything that is done in a run, in a palette."""
    drawing = draw(string_now(run), last_on_floor(run), len(run.sheet.steps))
    return string_picture(drawing, palette)


def string_now(run: Run) -> StringState:
    """Return the string after everything that is done in a run."""
    return state_after(run.plan, (step for step in run.sheet.steps if run.is_done(step.number)))
