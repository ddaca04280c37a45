"""Refused acts: each says what was refused, why, and what is possible instead."""

from collections.abc import Iterable

from app.domain.problems import Problem

# What is possible in each state instead.
NEXT_IN = {
    "running": "Nothing stands still: go on with the step to do now.",
    "on hold": "Resume it first.",
    "handing over": (
        "The incoming supervisor accepts the handover first, or the outgoing one takes it back; where he is "
        "gone, another takes charge."
    ),
}


class RefusedError(Exception):
    """An act that the run does not allow now; `rule` is a stable short name."""

    rule = "refused"


class NobodyError(RefusedError):
    """Nobody stands behind the act."""

    rule = "nobody"

    def __init__(self) -> None:
        super().__init__("Nobody is signed in: sign in with your name and PIN, then do it again.")


class ClosedRunError(RefusedError):
    """The run is closed."""

    rule = "run-closed"

    def __init__(self) -> None:
        super().__init__("The run is closed and signed; nothing can be added to it. Read it in its record.")


class RunStateError(RefusedError):
    """The run is not in a state in which this is done."""

    rule = "run-state"

    def __init__(self, act: str, state: str) -> None:
        super().__init__(f"The run is {state}: nobody may {act} now. {NEXT_IN[state]}")


class UnknownStepError(RefusedError):
    """The sheet has no such step."""

    rule = "unknown-step"

    def __init__(self, step: int, last: int) -> None:
        super().__init__(f"The sheet has no step {step}; its steps are 1 to {last}.")


class OutOfOrderError(RefusedError):
    """The step is not the one to be done now."""

    rule = "out-of-order"

    def __init__(self, step: int, current: int) -> None:
        super().__init__(
            f"Step {step} is out of order: step {current} comes first. Do or settle step {current}."
        )


class DeckWorkOpenError(RefusedError):
    """Deck work that the step needs is not done."""

    rule = "deck-work-open"

    def __init__(self, step: int, open_steps: Iterable[int]) -> None:
        listed = ", ".join(str(number) for number in open_steps)
        super().__init__(f"Step {step} needs deck work that is still open: step {listed}. Do that first.")


class AlreadyDoneError(RefusedError):
    """The step is done."""

    rule = "already-done"

    def __init__(self, step: int, name: str) -> None:
        super().__init__(
            f"Step {step} is done already, by {name}. To change it, correct a reading or undo it."
        )


class NotDoneError(RefusedError):
    """The step is not done, so there is nothing to undo or correct."""

    rule = "not-done"

    def __init__(self, step: int) -> None:
        super().__init__(f"Step {step} is not done, so there is nothing to undo or correct on it.")


class HeldError(RefusedError):
    """An unsigned hold point stands before the step."""

    rule = "hold-point-unsigned"

    def __init__(self, step: int, title: str) -> None:
        super().__init__(
            f"Step {step} stands behind the hold point '{title}': hold the talk and sign it first."
        )


class HoldPointError(RefusedError):
    """The hold point does not take this talk or signature."""

    rule = "hold-point"


class RightsError(RefusedError):
    """The person's role may not do this; `act` is what it may not do."""

    rule = "role"

    def __init__(
        self, name: str, role: str, act: str, allowed: Iterable[str], *, mend: str = "Sign in as one of them."
    ) -> None:
        self.act = act
        listed = " or ".join(allowed)
        ending = f"that is for the {listed}. {mend}" if listed else "nobody may."
        super().__init__(f"{name} ({role}) may not {act}: {ending}")


class ReasonMissingError(RefusedError):
    """A reason is demanded."""

    rule = "reason-missing"

    def __init__(self, act: str) -> None:
        super().__init__(f"Say why, in a few words, before you {act}: the record keeps the reason.")


class TooLongError(RefusedError):
    """Somebody typed more than a page can show."""

    rule = "too-long"

    def __init__(self, what: str, letters: int, most: int) -> None:
        super().__init__(
            f"{what[0].upper()}{what[1:]} has {letters} letters; {most} are the most. Shorten it, or write "
            "the rest as notes."
        )


class UndoOrderError(RefusedError):
    """Later work rests on the step."""

    rule = "undo-order"

    def __init__(self, step: int, later: int) -> None:
        super().__init__(
            f"Step {step} cannot be undone now: step {later} was done on top of it. Undo step {later} first."
        )


class ReadingError(RefusedError):
    """A value cannot be taken; `field` is the reading's name, `question` asks for a second look."""

    rule = "reading"

    def __init__(self, field: str, text: str, *, rule: str = "reading", question: bool = False) -> None:
        super().__init__(text)
        self.field = field
        self.rule = rule
        self.question = question


class LateEntryError(RefusedError):
    """What was copied from paper cannot have been so; `field` is the time."""

    rule = "late-entry"
    field = "late-at"

    def __init__(self, step: int, why: str) -> None:
        super().__init__(
            f"Step {step} cannot be entered from paper so: {why} Look at the paper once more, and enter the "
            "time and the name that stand there."
        )


class HoldError(RefusedError):
    """Work cannot be put on hold, or go on, so."""

    rule = "hold"


class HandoverError(RefusedError):
    """The handover does not go on so."""

    rule = "handover"


class DeviationError(RefusedError):
    """The deviation cannot be raised or disposed of so."""

    rule = "deviation"


class BackOutError(RefusedError):
    """The run cannot go back so."""

    rule = "back-out"


class ReplanError(RefusedError):
    """What remains cannot be planned anew so."""

    rule = "replan"


class SetAsideError(RefusedError):
    """The step cannot be set aside so: said not to apply, to apply after all, or put off."""

    rule = "set-aside"


class CloseOutError(RefusedError):
    """Something is missing for the close-out."""

    rule = "close-out"


class LoadOutError(RefusedError):
    """The load-out list does not take the change."""

    rule = "load-out"


class NoLegsError(RefusedError):
    """The legs of a plan cannot be worked out yet; `found` is the rule that stands in the way."""

    rule = "legs"

    def __init__(self, stop: Problem) -> None:
        self.found = stop.rule
        super().__init__(f"The legs cannot be worked out yet. {stop.where}: {stop.text}")


class UnknownSystemError(RefusedError):
    """The plan has no such system."""

    rule = "unknown-system"

    def __init__(self, name: str, known: Iterable[str]) -> None:
        super().__init__(f"The plan has no system '{name}'. Choose one of: {', '.join(known)}.")


class UnknownSubjectError(RefusedError):
    """Figures have no such subject."""

    rule = "unknown-subject"

    def __init__(self, name: str, known: Iterable[str]) -> None:
        super().__init__(f"No figures are of '{name}'. Choose one of: {', '.join(known)}.")


class SecondReadingError(RefusedError):
    """The second reading is not taken so."""

    rule = "second-reading"


class SwapError(RefusedError):
    """The part or clamp cannot be swapped so."""

    rule = "swap"


class InStringError(RefusedError):
    """What is to be swapped is in the string, or on its way into it."""

    rule = "in-the-string"

    def __init__(self, place: str, step: int) -> None:
        super().__init__(
            f"{place} has been on the floor or in the string since step {step}: back out to before it "
            "first, then swap it."
        )


class FindingError(RefusedError):
    """A check of the plan as it is now fails and stops the step; `problems` say what and how to mend it."""

    rule = "check-fails"

    def __init__(self, step: int, problems: tuple[Problem, ...]) -> None:
        listed = " ".join(f"{problem.where}: {problem.text}" for problem in problems)
        super().__init__(
            f"Step {step} must wait: {listed} Swap or measure again what is wrong, or raise a deviation on "
            "this finding and have it accepted as “use as is”."
        )
        self.problems = problems
