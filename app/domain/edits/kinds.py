"""The kinds of change to an unreleased sheet; steps are named by their key, which outlives a recompile."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from app.domain.events.who import Who


@dataclass(frozen=True, slots=True)
class Written:
    """The stage and the words that a step was compiled with when a change named it.

    A key that counts (the third check of gear) may name another step after a recompile; these tell.
    """

    stage: str = ""
    text: str = ""


NOT_SEEN = Written()


@dataclass(frozen=True, slots=True)
class Place:
    """Where a step is put: behind the step of a key, or first in the stage of an id; one of the two."""

    after: str = ""
    start_of: str = ""
    was: Written = NOT_SEEN


@dataclass(frozen=True, slots=True)
class DropStep:
    """A step is left out."""

    key: str
    was: Written = NOT_SEEN


@dataclass(frozen=True, slots=True)
class MoveStep:
    """A step stands elsewhere."""

    key: str
    place: Place
    was: Written = NOT_SEEN


@dataclass(frozen=True, slots=True)
class RewordStep:
    """A step reads otherwise; what it does stays as it is."""

    key: str
    text: str
    was: Written = NOT_SEEN


@dataclass(frozen=True, slots=True)
class AddStep:
    """A step of one's own, in plain words; it changes nothing of the string. `key` is its own."""

    key: str
    place: Place
    text: str
    role: str


@dataclass(frozen=True, slots=True)
class RepeatStep:
    """A step is done once more elsewhere; `key` is that of the copy, `of` that of the step."""

    key: str
    of: str
    place: Place
    was: Written = NOT_SEEN


@dataclass(frozen=True, slots=True)
class TakeBack:
    """A change of that number counts no longer."""

    edit: int


@dataclass(frozen=True, slots=True)
class TakeOver:
    """Everything before this was taken over from another plan, named by its id and its name."""

    plan_id: str
    plan_name: str


Change = DropStep | MoveStep | RewordStep | AddStep | RepeatStep
Act = Change | TakeBack | TakeOver


@dataclass(frozen=True, slots=True)
class Edit:
    """One entry of a plan's list of changes: its number there, what is done, by whom, when and why."""

    number: int
    act: Act
    who: Who
    at: datetime
    why: str


History = Sequence[Edit]


def taken_back(history: History) -> dict[int, Edit]:
    """Return by the number of a change the entry that took it back."""
    return {edit.act.edit: edit for edit in history if isinstance(edit.act, TakeBack)}


def standing(history: History) -> tuple[Edit, ...]:
    """Return the changes that count: all that nobody took back, in their order."""
    gone = taken_back(history)
    return tuple(edit for edit in history if isinstance(edit.act, Change) and edit.number not in gone)


def last_number(history: History) -> int:
    """Return the number of the last entry, 0 where there is none."""
    return history[-1].number if history else 0
