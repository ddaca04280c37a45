"""The proof of a plan's text: what can be made of it, and everything found on the way.

It needs no database, so that checking a file starts quickly.
"""

from dataclasses import dataclass, replace
from datetime import date

from app.domain.edits.editing import EditedSheet, edit_sheet
from app.domain.edits.findings import edit_problems
from app.domain.edits.kinds import History
from app.domain.plan import Plan
from app.domain.problems import Problem, Severity, has_stop
from app.domain.sheet import Sheet
from app.domain.string.laws import prove_sheet
from app.records.plan_toml import read_plan


@dataclass(frozen=True, slots=True)
class Proof:
    """What proving a plan's text gave: plan and sheet as far as they could be made, and all findings.

    `compiled` is the sheet before anything was changed about it, `edited` what was changed and how,
    `history` the list of changes that was reckoned with.
    """

    plan: Plan | None
    sheet: Sheet | None
    problems: tuple[Problem, ...]
    compiled: Sheet | None = None
    edited: EditedSheet | None = None
    history: History = ()

    @property
    def is_releasable(self) -> bool:
        """Return whether nothing stops the release."""
        return self.sheet is not None and not has_stop(self.problems)

    def cautions(self) -> tuple[Problem, ...]:
        """Return what the releaser must accept by name."""
        return tuple(problem for problem in self.problems if problem.severity is Severity.CAUTION)


def problems_at(proof: Proof, number: int) -> tuple[Problem, ...]:
    """Return what was found at one step of the sheet."""
    place = f"step {number}"
    return tuple(problem for problem in proof.problems if problem.where == place)


def prove(text: str | bytes, today: date, history: History = ()) -> Proof:
    """Return the plan of a text, its sheet after the changes to it, and every finding on the way."""
    made = compiled(text, today)
    if made.plan is None or made.compiled is None:
        return replace(made, history=history)
    edited = edit_sheet(made.compiled, history)
    problems = made.problems + edit_problems(edited) + prove_sheet(made.plan, edited.sheet)
    return Proof(made.plan, edited.sheet, problems, made.compiled, edited, history)


def compiled(text: str | bytes, today: date) -> Proof:
    """Return the plan of a text and its compiled sheet, held to no law yet."""
    # A server that nobody has shown a plan should not wait for the checks and the compiler.
    from app.domain.checks.every import run_checks  # noqa: PLC0415
    from app.domain.compiler.compile import compile_plan  # noqa: PLC0415

    plan, unreadable = read_plan(text)
    if plan is None:
        return Proof(None, None, unreadable)
    problems = unreadable + run_checks(plan, today)
    if has_stop(problems):
        return Proof(plan, None, problems)
    sheet, found = compile_plan(plan)
    return Proof(plan, sheet, problems + found, sheet)
