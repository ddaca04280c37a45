"""What rewrites the open part of a run's sheet: a way back to an earlier step, a changed plan.

Plan and sheet are kept under the hashes that the events name; what was done keeps its number.
"""

from dataclasses import dataclass
from enum import StrEnum


class BackOutCause(StrEnum):
    """Why a run goes back to an earlier step (common practice)."""

    FAILED_TEST = "a test failed"
    DAMAGE = "something was damaged"
    WRONG_PART = "a wrong part was run"
    LEGS_DO_NOT_CLOSE = "the legs do not close"
    HOLE = "the hole does not let the string pass"
    WEATHER = "weather or the well"
    FOUND_SOONER = "what was looked for was found sooner"
    OTHER = "another cause"


@dataclass(frozen=True, slots=True)
class BackOutBegun:
    """The way back to before step `first` was signed for.

    Steps 1 to `kept` keep their numbers. `undone` are the steps done that are taken back by those of `back`;
    behind them they stand again. `deviation` is the number of the one that asked for it, or 0.
    """

    number: int
    first: int
    cause: BackOutCause
    reason: str
    deviation: int
    kept: int
    undone: tuple[int, ...]
    back: tuple[int, ...]
    sheet_content: str
    meaning: str
    shown: str


@dataclass(frozen=True, slots=True)
class BackOutTurned:
    """On a way back another step was chosen, and signed for: further back, or sooner forward again.

    `turns` is the number of the way back that it goes on from. Steps 1 to `kept` keep their numbers, those
    walked of that way back too. `undone` are all steps done that are taken back, those included that were
    taken back already; `back` are the steps that are left to walk.
    """

    number: int
    turns: int
    first: int
    cause: BackOutCause
    reason: str
    deviation: int
    kept: int
    undone: tuple[int, ...]
    back: tuple[int, ...]
    sheet_content: str
    meaning: str
    shown: str


@dataclass(frozen=True, slots=True)
class BackOutCalledOff:
    """A way back, or a turn of one, that nobody had begun to walk was called off.

    The sheet is again as it was before it.
    """

    number: int
    reason: str
    sheet_content: str


@dataclass(frozen=True, slots=True)
class Replanned:
    """What remains was planned anew, checked and signed for.

    Steps 1 to `kept` keep their numbers; `dropped` are open ones among them that are no longer wanted.
    `carried` is the stage that goes on as it was signed for, under a new name, or empty. `accepted` holds the
    cautions that the signer saw.
    """

    number: int
    reason: str
    plan_name: str
    plan_fingerprint: str
    plan_content: str
    sheet_content: str
    kept: int
    dropped: tuple[int, ...]
    carried: str
    accepted: tuple[str, ...]
    meaning: str
    shown: str
