"""From plan to sheet: deck work, each system in turn, the run to depth, the landing."""

from app.domain.compiler.deck import deck_work
from app.domain.compiler.running import land, run_to_depth
from app.domain.compiler.systems import systems
from app.domain.compiler.writer import SheetWriter
from app.domain.plan import Plan
from app.domain.problems import Problem
from app.domain.sheet import Sheet


def compile_plan(plan: Plan) -> tuple[Sheet, tuple[Problem, ...]]:
    """Return the sheet of a plan whose references hold, and what the compiler found on the way."""
    writer = SheetWriter(plan)
    deck_work(writer)
    hung = systems(writer)
    hung = run_to_depth(writer, hung)
    land(writer, hung)
    return writer.finish(), tuple(writer.problems)
