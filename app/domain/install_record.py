"""The install record: everything that was put in the well, by whom, and how it was proven.

Every measured value stands as it was typed, with its unit as text beside it; nothing is rounded or
converted. Times are ISO 8601 with their offset. An empty text means that nothing was recorded.
"""

from dataclasses import dataclass
from enum import StrEnum

from app.domain.record_changes import (
    ChargeTaken,
    Correction,
    Deviation,
    EarlierReading,
    LostTime,
    OtherNumber,
    SetAside,
    SheetChange,
    Standstill,
    Swap,
    TakenTwice,
    UndoneTick,
)
from app.domain.record_steps import ClockMoved, StepRun, StepTiming, WeightRead
from app.domain.record_values import Amount

FORMAT = "twinleg-install-record-1"


class ReadingVerdict(StrEnum):
    """Where one reading stands against its limits."""

    IN_WINDOW = "in window"
    BELOW_WINDOW = "below the window"
    ABOVE_WINDOW = "above the window"
    NO_LIMIT = "no limit set"


class Verdict(StrEnum):
    """How a connection, a test, a clamp or a count ended."""

    PASSED = "passed"
    FAILED = "failed"
    BY_DEVIATION = "accepted by deviation"
    OPEN = "not finished"
    TAKEN_BACK = "passed, taken back later"


@dataclass(frozen=True, slots=True)
class Job:
    """The job as the plan names it; `invented` marks demonstration data."""

    title: str
    number: str
    rig: str
    notice: str
    invented: bool


@dataclass(frozen=True, slots=True)
class Casing:
    """One section of casing that the string passes."""

    description: str
    outside_diameter: Amount
    weight: Amount
    drift: Amount
    top: Amount
    base: Amount


@dataclass(frozen=True, slots=True)
class Well:
    """The hole and what stands in it."""

    name: str
    datum: str
    setting_depth: Amount
    fluid: str
    fluid_density: Amount
    casing: tuple[Casing, ...]


@dataclass(frozen=True, slots=True)
class RunFacts:
    """Which run this is, and when it was released and closed."""

    id: str
    released_at: str
    closed_at: str


@dataclass(frozen=True, slots=True)
class PlanText:
    """The plan exactly as it was written, and its fingerprint."""

    fingerprint: str
    text: str


@dataclass(frozen=True, slots=True)
class InstalledPart:
    """One part as it hangs in the well."""

    system: str
    leg: str
    tag: str
    kind: str
    description: str
    serial: str
    length: Amount
    max_od: Amount
    weight: Amount
    top: Amount
    base: Amount


@dataclass(frozen=True, slots=True)
class Attempt:
    """One make-up of a connection, kept even where it was made again."""

    applied: Amount
    tool: str
    by: str
    at: str
    verdict: ReadingVerdict


@dataclass(frozen=True, slots=True)
class ConnectionMade:
    """One connection: what it joins, its window, and every attempt at it."""

    step: int
    stage: str
    system: str
    joins: str
    connection_type: str
    dope: str
    target: Amount
    low: Amount
    high: Amount
    attempts: tuple[Attempt, ...]
    verdict: Verdict
    deviations: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ClampFitted:
    """One clamp at its station."""

    serial: str
    clamp_type: str
    station: str
    system: str
    depth: Amount
    bolt_torque: Amount
    by: str
    at: str


@dataclass(frozen=True, slots=True)
class TallyLine:
    """One joint in the order it was run."""

    number: int
    tag: str
    string: str
    serial: str
    length: Amount
    cumulative: Amount
    base: Amount


@dataclass(frozen=True, slots=True)
class TestReading:
    """One reading of a test beside its limits; a limit left empty was not set."""

    __test__ = False  # it is a value of the trade, not a test case

    name: str
    value: str
    unit: str
    low: str
    high: str
    tool: str
    verdict: ReadingVerdict


@dataclass(frozen=True, slots=True)
class ProofTest:
    """One electrical or pressure test of one item at one moment of the run."""

    kind: str
    step: int
    moment: str
    item: str
    readings: tuple[TestReading, ...]
    by: str
    at: str
    verdict: Verdict


@dataclass(frozen=True, slots=True)
class Attendee:
    """A person who was there, and in what role."""

    name: str
    role: str


@dataclass(frozen=True, slots=True)
class Signature:
    """One person's signature, its meaning, and the SHA-256 of what was shown."""

    name: str
    role: str
    meaning: str
    at: str
    shown: str


@dataclass(frozen=True, slots=True)
class HoldPointHeld:
    """A hold point: what was talked through, who was there, who signed."""

    title: str
    topics: tuple[str, ...]
    attendance: tuple[Attendee, ...]
    signatures: tuple[Signature, ...]
    released_at: str


@dataclass(frozen=True, slots=True)
class Rewriting:
    """A way back, a changed plan, a step put off or brought forward: what it left, and who signed for it.

    Steps 1 to `kept` keep their numbers; those of `undone` were taken back by those of `back`. `plan` is the
    text by which the run went on, empty for a way back; `called_off` the reason where nobody walked it.
    Where another step was chosen while it was walked, `turned_by` is the number of that choice, `back` ends
    with the last step that was walked, and what was taken back stands there.
    """

    number: int
    kind: str
    first: int
    kept: int
    undone: tuple[int, ...]
    back: tuple[int, ...]
    reason: str
    plan: PlanText
    sheet_fingerprint: str
    signature: Signature
    called_off: str
    turned_by: int


@dataclass(frozen=True, slots=True)
class ReadAgain:
    """A recorded value that was typed again without being seen; step 0 is the step to be done then."""

    step: int
    name: str
    recorded: str
    typed: str
    agrees: bool
    by: str


@dataclass(frozen=True, slots=True)
class HandedOver:
    """A handover from one supervisor to the next, or one that ended before, taken back or by charge taken."""

    outgoing: str
    at: str
    words: str
    open_items: tuple[str, ...]
    talked_at: str
    read_again: tuple[ReadAgain, ...]
    incoming: str
    settled: str
    meaning: str
    shown: str
    taken_back: str
    ended_at: str
    charge_taken_by: str = ""


@dataclass(frozen=True, slots=True)
class Note:
    """A remark; step 0 is the run as a whole."""

    step: int
    text: str
    by: str
    at: str


@dataclass(frozen=True, slots=True)
class Photo:
    """A photo by its name and SHA-256; the picture itself travels beside the record.

    `deviation` is the number of the deviation that it is of, `hold_point` the title of the hold point.
    """

    hash: str
    name: str
    step: int
    by: str
    at: str
    deviation: str = ""
    hold_point: str = ""


@dataclass(frozen=True, slots=True)
class GearCount:
    """Temporary gear of one item, put on and taken off."""

    item: str
    on: int
    off: int
    verdict: Verdict


@dataclass(frozen=True, slots=True)
class ItemCounted:
    """A type of clamp or protector: issued = fitted + returned + rejected; empty is unknown."""

    item: str
    issued: str
    fitted: int
    returned: int
    rejected: int
    verdict: Verdict


@dataclass(frozen=True, slots=True)
class LoggedEvent:
    """One entry of the chained log, field for field as it is kept."""

    run_id: str
    sequence: int
    kind: str
    version: int
    at: str
    by: str
    body: str
    previous: str
    hash: str


@dataclass(frozen=True, slots=True)
class InstallRecord:
    """The whole record; parts stand bottom-up, everything else in the order it happened."""

    format: str
    job: Job
    well: Well
    run: RunFacts
    plan: PlanText
    sheet_fingerprint: str
    parts: tuple[InstalledPart, ...]
    connections: tuple[ConnectionMade, ...]
    clamps: tuple[ClampFitted, ...]
    tally: tuple[TallyLine, ...]
    tests: tuple[ProofTest, ...]
    weights: tuple[WeightRead, ...]
    hold_points: tuple[HoldPointHeld, ...]
    sheet_changes: tuple[SheetChange, ...]
    rewritings: tuple[Rewriting, ...]
    deviations: tuple[Deviation, ...]
    swaps: tuple[Swap, ...]
    taken_twice: tuple[TakenTwice, ...]
    earlier_readings: tuple[EarlierReading, ...]
    corrections: tuple[Correction, ...]
    undone_ticks: tuple[UndoneTick, ...]
    set_aside: tuple[SetAside, ...]
    standstills: tuple[Standstill, ...]
    lost_time: tuple[LostTime, ...]
    handovers: tuple[HandedOver, ...]
    charges: tuple[ChargeTaken, ...]
    notes: tuple[Note, ...]
    photos: tuple[Photo, ...]
    counts: tuple[GearCount, ...]
    items: tuple[ItemCounted, ...]
    steps: tuple[StepRun, ...]
    times: tuple[StepTiming, ...]
    clock_moves: tuple[ClockMoved, ...]
    signatures: tuple[Signature, ...]
    log: tuple[LoggedEvent, ...]
    head: str
    other_numbers: tuple[OtherNumber, ...] = ()
