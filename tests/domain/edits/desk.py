"""A desk to change the sheet of the small demonstration plan at: changes decided on as a supervisor asks."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta, timezone

from app.domain.edits.deciding import Unreleased, decide_change, decide_take_back
from app.domain.edits.editing import EditedSheet, edit_sheet
from app.domain.edits.kinds import AddStep, Change, Edit, Place
from app.domain.events.who import Who
from app.domain.plan import Plan
from app.domain.problems import Problem
from app.domain.sheet import Sheet, Step
from app.domain.string.laws import prove_sheet
from tests.domain import job

AT = datetime(2031, 5, 4, 6, 0, tzinfo=timezone(timedelta(hours=2)))
SUPERVISOR = Who("p-sup", "Sam Sample", "supervisor")
OWN = "Watch the weather window with the crane driver."


@dataclass(slots=True)
class Desk:
    """Guards the list of changes to one compiled sheet."""

    plan: Plan = field(default_factory=job.plan)
    compiled: Sheet = field(default_factory=job.sheet)
    history: list[Edit] = field(default_factory=list)

    def change(self, act: Change, *, why: str = "the site asks for it", who: Who | None = SUPERVISOR) -> Edit:
        """Add a change.

        Raises: RefusedError where it is not taken.
        """
        unreleased = Unreleased(self.plan, self.compiled, self.history)
        edit = decide_change(unreleased, act, why=why, who=who, now=AT)
        self.history.append(edit)
        return edit

    def take_back(self, number: int, *, why: str = "not needed after all") -> Edit:
        """Take a change back.

        Raises: RefusedError where it is not taken.
        """
        edit = decide_take_back(self.history, number, why=why, who=SUPERVISOR, now=AT)
        self.history.append(edit)
        return edit

    @property
    def edited(self) -> EditedSheet:
        return edit_sheet(self.compiled, self.history)

    @property
    def sheet(self) -> Sheet:
        return self.edited.sheet

    def breaches(self) -> tuple[Problem, ...]:
        """Return what the laws find on the edited sheet."""
        return prove_sheet(self.plan, self.sheet)

    def step(self, key: str) -> Step:
        """Return a step of the edited sheet."""
        return next(step for step in self.sheet.steps if step.key == key)


def own(place: Place, text: str = OWN, role: str = "driller") -> AddStep:
    """Return a step of one's own as it is asked for."""
    return AddStep("", place, text, role)


def keys(sheet: Sheet) -> Sequence[str]:
    """Return the keys of a sheet's steps in their order."""
    return [step.key for step in sheet.steps]


def needed_by(sheet: Sheet, key: str) -> list[str]:
    """Return the keys of the floor steps that need a deck step."""
    number = next(step.number for step in sheet.steps if step.key == key)
    return [step.key for step in sheet.steps if number in step.needs]
