"""Moments of sheets to be drawn, and what of a drawing is looked at."""

from collections.abc import Iterable, Iterator
from functools import cache

from app.domain.compiler.compile import compile_plan
from app.domain.plan import Plan
from app.domain.pulling.pull import pull_sheet
from app.domain.sheet import Sheet
from app.domain.string import simulator
from app.domain.string.drawing.draw import draw
from app.domain.string.drawing.placed import Box, Drawing, Look, Shape
from app.domain.string.state import StringState, new_state
from tests.domain.compiler.test_practice import plan_named

STRING = frozenset(
    {
        Look.PUMP_PART,
        Look.JOINT,
        Look.SUB,
        Look.RUN,
        Look.BLOCK,
        Look.SWIVEL,
        Look.OPEN_SWIVEL,
        Look.HANGER,
    }
)
ONE_BY_ONE = STRING - {Look.SWIVEL, Look.OPEN_SWIVEL}


@cache
def demonstration(name: str) -> tuple[Plan, Sheet]:
    """Return a demonstration plan and its sheet."""
    plan = plan_named(name)
    return plan, compile_plan(plan)[0]


def number_of(name: str, key: str) -> int:
    """Return the number of a demonstration's step with a key."""
    _, sheet = demonstration(name)
    return next(step.number for step in sheet.steps if step.key == key)


def state_after(name: str, key: str) -> StringState:
    """Return the string of a demonstration after a step."""
    return walked(*demonstration(name), number_of(name, key))


def walked(plan: Plan, sheet: Sheet, number: int) -> StringState:
    """Return the string after so many steps of a sheet."""
    return simulator.state_after(plan, sheet.steps[:number])


def drawn_after(name: str, key: str) -> Drawing:
    """Return the picture of a demonstration after a step."""
    plan, sheet = demonstration(name)
    number = number_of(name, key)
    return draw(walked(plan, sheet, number), sheet.step(number), len(sheet.steps))


def drawn_along(plan: Plan, sheet: Sheet, every: int) -> Iterator[tuple[StringState, Drawing]]:
    """Yield the picture after every so many steps of a sheet, the last step's among them."""
    yield from _drawn_from(new_state(plan), sheet, every)


def drawn_on_the_way_out(plan: Plan, sheet: Sheet, every: int) -> Iterator[tuple[StringState, Drawing]]:
    """Yield the picture after every so many steps of pulling the string of a whole sheet."""
    landed = walked(plan, sheet, len(sheet.steps))
    yield from _drawn_from(landed, pull_sheet(plan, sheet, sheet.steps), every)


def _drawn_from(state: StringState, sheet: Sheet, every: int) -> Iterator[tuple[StringState, Drawing]]:
    last = len(sheet.steps)
    for step in sheet.steps:
        simulator.do(state, step)
        if step.number % every == 0 or step.number == last:
            yield state, draw(state, step, last)


def text_boxes(drawing: Drawing) -> list[Box]:
    """Return the box of everything written."""
    return [
        *(text.box for text in drawing.texts),
        *(label.box for label in drawing.labels),
        *(entry.box for entry in drawing.key),
    ]


def tags_drawn(drawing: Drawing) -> list[str]:
    """Return the tag of every part, as often as it is drawn; a Y-block's two sides are one."""
    tags = [tag for shape in of_looks(drawing, ONE_BY_ONE - {Look.BLOCK}) for tag in shape.tags]
    return tags + sorted({tag for shape in of_looks(drawing, {Look.BLOCK}) for tag in shape.tags})


def of_looks(drawing: Drawing, looks: Iterable[Look]) -> list[Shape]:
    """Return the shapes of some looks."""
    wanted = set(looks)
    return [shape for shape in drawing.shapes if shape.look in wanted]
