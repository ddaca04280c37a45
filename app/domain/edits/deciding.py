"""Which changes to an unreleased sheet are taken: by whom, in which words, and whether they fit."""

import unicodedata
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from app.domain.crew import ROLES
from app.domain.edits.bench import Bench, CannotApplyError
from app.domain.edits.editing import apply_edit, edited_bench
from app.domain.edits.kinds import (
    NOT_SEEN,
    Act,
    AddStep,
    Change,
    DropStep,
    Edit,
    History,
    MoveStep,
    Place,
    RepeatStep,
    RewordStep,
    TakeBack,
    TakeOver,
    Written,
    last_number,
    standing,
    taken_back,
)
from app.domain.events.who import Who
from app.domain.plan import Plan
from app.domain.refusals import ReasonMissingError, RefusedError
from app.domain.sheet import Sheet
from app.domain.site_rights import SiteAct, check_site_right, may_on_site

LONGEST_STEP_TEXT = 300  # letters; the longest that the compiler writes has half of that
LONGEST_WHY = 300
JOINERS = "\u200c\u200d"  # what some scripts need between letters, though it does not print


class EditError(RefusedError):
    """The sheet does not take the change."""

    rule = "change"


@dataclass(frozen=True, slots=True)
class Unreleased:
    """The sheet of a plan before its release: as it was compiled, and all entries of changes to it."""

    plan: Plan
    sheet: Sheet
    history: History


def may_edit(who: Who | None) -> bool:
    """Return whether somebody may change a sheet: whoever may release it."""
    return may_on_site(SiteAct.CHANGE_SHEET, who)


def refuse_others(who: Who | None) -> Who:
    """Return somebody who may change a sheet.

    Raises: NobodyError, RightsError.
    """
    return check_site_right(SiteAct.CHANGE_SHEET, who)


def known_roles(plan: Plan) -> tuple[str, ...]:
    """Return the roles that an added step may be for."""
    return (*ROLES, *plan.extra_roles)


def decide_change(unreleased: Unreleased, act: Change, *, why: str, who: Who | None, now: datetime) -> Edit:
    """Return the entry for one more change to a sheet.

    Raises: NobodyError, RightsError, ReasonMissingError; EditError where the sheet does not take it.
    """
    known, reason = refuse_others(who), _why(why, "change the sheet")
    number = last_number(unreleased.history) + 1
    bench = edited_bench(unreleased.sheet, unreleased.history)
    edit = Edit(number, FILLED_IN[type(act)](_Scene(unreleased.plan, bench, number), act), known, now, reason)
    before = list(bench.order), dict(bench.steps)
    try:
        apply_edit(bench, edit)
    except CannotApplyError as error:
        raise EditError(str(error)) from None
    if (bench.order, bench.steps) == before:
        raise EditError("This changes nothing: the sheet is so already. Choose another place or other words.")
    return edit


def decide_take_back(history: History, number: int, *, why: str, who: Who | None, now: datetime) -> Edit:
    """Return the entry that takes a change back.

    Raises: NobodyError, RightsError, ReasonMissingError; EditError where no such change stands.
    """
    known = refuse_others(who)
    gone = taken_back(history).get(number)
    if gone is not None:
        raise EditError(f"Change {number} was taken back already, by {gone.who.name}. Make it anew instead.")
    if number not in {edit.number for edit in standing(history)}:
        raise EditError(f"There is no change {number} of this sheet. Choose one of the list of changes.")
    return Edit(last_number(history) + 1, TakeBack(number), known, now, _why(why, "take a change back"))


def decide_take_over(
    history: History, source: TakeOver, others: History, *, why: str, who: Who | None, now: datetime
) -> tuple[Edit, ...]:
    """Return the entries that take the changes of another plan over, each as it was made, and who did so.

    Raises: NobodyError, RightsError, ReasonMissingError; EditError where there is nothing to take or no
    room for it.
    """
    known, reason = refuse_others(who), _why(why, "take changes over")
    if history:
        raise EditError(
            "This plan has changes of its own, which those of another plan would get mixed up with. "
            "Make the missing ones by hand, or keep the plan once more and take them over there."
        )
    if not standing(others):
        raise EditError(f"The plan '{source.plan_name}' has no changes that count. Choose another plan.")
    return (*others, Edit(last_number(others) + 1, source, known, now, reason))


def plain_words(text: str, longest: int, what: str) -> str:
    """Return a text that a person typed, blanks made even.

    Raises: EditError where nothing is there, too much, or something that does not print.
    """
    plain = " ".join(text.split())
    if not plain:
        raise EditError(f"Write {what}, in plain words.")
    if len(plain) > longest:
        raise EditError(f"{what.capitalize()} has {len(plain)} letters; {longest} are the most. Shorten it.")
    if not all(letter in JOINERS or _prints(letter) for letter in plain):
        raise EditError(f"{what.capitalize()} holds a character that does not print. Type it again.")
    return plain


def _why(why: str, act: str) -> str:
    if not why.strip():
        raise ReasonMissingError(act)
    return plain_words(why, LONGEST_WHY, "the reason")


def _prints(letter: str) -> bool:
    return unicodedata.category(letter)[0] != "C"


@dataclass(frozen=True, slots=True)
class _Scene:
    """What a change is filled in from: the plan, the sheet as it stands, and the number of the change."""

    plan: Plan
    bench: Bench
    number: int

    def written(self, key: str) -> Written:
        return self.bench.written.get(key, NOT_SEEN)

    def place(self, place: Place) -> Place:
        # A place is found again in its stage, whatever the step there says by then.
        return replace(place, was=Written(stage=self.written(place.after).stage))


def _dropped(scene: _Scene, act: DropStep) -> DropStep:
    return replace(act, was=scene.written(act.key))


def _moved(scene: _Scene, act: MoveStep) -> MoveStep:
    return replace(act, was=scene.written(act.key), place=scene.place(act.place))


def _reworded(scene: _Scene, act: RewordStep) -> RewordStep:
    text = plain_words(act.text, LONGEST_STEP_TEXT, "the text of the step")
    return replace(act, text=text, was=scene.written(act.key))


def _added(scene: _Scene, act: AddStep) -> AddStep:
    roles = known_roles(scene.plan)
    if act.role not in roles:
        raise EditError(f"There is no role '{act.role}'. Choose one: {', '.join(roles)}.")
    text = plain_words(act.text, LONGEST_STEP_TEXT, "the text of the step")
    # Numbers are never used twice, so neither are the keys of added steps.
    return replace(act, text=text, key=f"own-step/{scene.number}", place=scene.place(act.place))


def _repeated(scene: _Scene, act: RepeatStep) -> RepeatStep:
    place, was = scene.place(act.place), scene.written(act.of)
    return replace(act, key=f"repeat/{scene.number}", place=place, was=was)


FILLED_IN: dict[type[Any], Callable[[_Scene, Any], Act]] = {
    DropStep: _dropped,
    MoveStep: _moved,
    RewordStep: _reworded,
    AddStep: _added,
    RepeatStep: _repeated,
}
