"""What an install record says of work that did not stay as it was first done or planned."""

from dataclasses import dataclass

from app.domain.record_values import Amount


@dataclass(frozen=True, slots=True)
class Proposal:
    """What somebody proposed to do about a deviation; the last one is what was accepted."""

    disposition: str
    reason: str
    by: str
    at: str


@dataclass(frozen=True, slots=True)
class Deviation:
    """A departure from the plan and who accepted it; `accepted_by` is empty while it is open.

    `finding` is the finding of a check that it is about, empty for any other departure.
    """

    id: str
    step: int
    what: str
    why: str
    disposition: str
    raised_by: str
    raised_at: str
    accepted_by: str
    accepted_at: str
    reason: str
    finding: str = ""
    proposals: tuple[Proposal, ...] = ()


@dataclass(frozen=True, slots=True)
class SheetChange:
    """A change to the compiled sheet before its release; step 0 is not in the sheet that was run."""

    number: int
    step: int
    kind: str
    what: str
    why: str
    by: str
    at: str


@dataclass(frozen=True, slots=True)
class Correction:
    """A reading put right, with the first entry kept legible."""

    step: int
    reading: str
    old: Amount
    new: Amount
    reason: str
    by: str
    at: str


@dataclass(frozen=True, slots=True)
class UndoneTick:
    """A tick that was taken back."""

    step: int
    text: str
    reason: str
    by: str
    at: str


@dataclass(frozen=True, slots=True)
class SetAside:
    """A step that was said not to apply, or to apply after all; put off or brought forward to before `until`.

    That is 0 of the others. Step 0 is not in the sheet any more.
    """

    step: int
    text: str
    what: str
    until: int
    reason: str
    by: str
    at: str


@dataclass(frozen=True, slots=True)
class OtherNumber:
    """A step that an event of the log names by the number that it had then; 0 is in the sheet no more."""

    event: int
    then: int
    now: int


@dataclass(frozen=True, slots=True)
class TakenTwice:
    """A reading that two people took, the second without seeing the first; `agreed` says how it came out."""

    step: int
    reading: str
    first: Amount
    first_by: str
    first_at: str
    second: Amount
    second_by: str
    second_at: str
    agreed: bool = True


@dataclass(frozen=True, slots=True)
class EarlierReading:
    """A reading by which a step did not stay done: outside its limits, taken back, or asked again."""

    step: int
    text: str
    reading: str
    value: Amount
    tool: str
    verdict: str
    by: str
    at: str


@dataclass(frozen=True, slots=True)
class NewValue:
    """What was known of a part that was swapped in."""

    name: str
    value: Amount


@dataclass(frozen=True, slots=True)
class Swap:
    """A part or clamp that took the place of a rejected one; `deviation` is empty where none was raised.

    `reopened` are the deck steps that were asked again.
    """

    place: str
    item: str
    old_serial: str
    new_serial: str
    values: tuple[NewValue, ...]
    reopened: tuple[int, ...]
    reason: str
    deviation: str
    by: str
    at: str


@dataclass(frozen=True, slots=True)
class Standstill:
    """A time in which work was on hold; `looked_at` is the step that was looked at at its end, or 0."""

    cause: str
    words: str
    by: str
    at: str
    look: str
    looked_at: int
    ended_words: str
    ended_by: str
    ended_at: str


@dataclass(frozen=True, slots=True)
class ChargeTaken:
    """Charge taken without a handover; `before` did not hand over, empty where nobody was in charge."""

    by: str
    at: str
    before: str
    reason: str
    ended_handover: bool
    meaning: str
    shown: str


@dataclass(frozen=True, slots=True)
class LostTime:
    """All the time lost to one cause, and how often."""

    cause: str
    time: Amount
    times: int
