"""What happens when work is put on hold, and when it goes on."""

from dataclasses import dataclass
from enum import StrEnum


class Cause(StrEnum):
    """Why work stands still: a closed list, so that lost time adds up; the words beside it are free."""

    WEATHER = "weather or sea"
    DANGER = "somebody saw a danger"
    INJURY = "injury or near miss"
    WELL = "the well: pressure, losses or gas"
    RIG = "rig or hoist broke down"
    HANDLING_GEAR = "handling gear or tool broke down"
    STRING_PART = "part, thread or cable not good"
    REPEATED_WORK = "work done again"
    PARTS = "waiting for parts or gear"
    PEOPLE = "waiting for people"
    DECISION = "waiting for a decision or permit"
    OTHER_WORK = "other work on the location"
    REST = "meal or rest"
    SHIFT_CHANGE = "change of shift"
    OTHER = "something else"


class LookBack(StrEnum):
    """What came of looking once more at the step that was done last, before work goes on."""

    NOT_ASKED = "not asked for"
    CONFIRMED = "confirmed"
    UNDONE = "undone"
    RAISED = "raised as a deviation"


@dataclass(frozen=True, slots=True)
class HoldBegun:
    """Work was put on hold."""

    cause: Cause
    words: str


@dataclass(frozen=True, slots=True)
class HoldEnded:
    """Work goes on; `step` is the step that was looked at once more, 0 where none was."""

    look: LookBack
    step: int
    words: str
