"""What every kept sample of an event says, by its kind and the version that wrote it.

A sample file is never changed. Where a kind gets a new version, its files stay and a new one is added; the
old ones must then still read as the event of today.
"""

from pathlib import Path

from app.domain.events.charge import ChargeTaken
from app.domain.events.clock import ClockJumped
from app.domain.events.closing import RunClosed, RunSigned
from app.domain.events.deviations import (
    DeviationAccepted,
    DeviationRaised,
    Disposition,
    DispositionProposed,
)
from app.domain.events.event import Event
from app.domain.events.handover import (
    HandoverAccepted,
    HandoverChecked,
    HandoverDrafted,
    HandoverTakenBack,
    HandoverTalked,
    ReadAgain,
)
from app.domain.events.hold_points import HoldPointReleased, HoldPointSigned, TalkHeld
from app.domain.events.holds import Cause, HoldBegun, HoldEnded, LookBack
from app.domain.events.load_out import ItemsCounted, ItemsSettled, LoadOutAdded, Settlement
from app.domain.events.release import PlanReleased
from app.domain.events.remarks import NoteAdded, PhotoAdded
from app.domain.events.rewriting import BackOutBegun, BackOutCalledOff, BackOutCause, BackOutTurned, Replanned
from app.domain.events.set_aside import StepApplicable, StepBroughtForward, StepDeferred, StepNotApplicable
from app.domain.events.steps import (
    AttemptFailed,
    FirstReadingTaken,
    Late,
    ReadingCorrected,
    SecondReadingTaken,
    StepDone,
    StepUndone,
    Taken,
)
from app.domain.events.swaps import ItemSwapped
from app.domain.events.who import Who
from app.domain.install_record import ReadingVerdict

FOLDER = Path(__file__).parent / "samples"
WHO = Who("0a1b2c3d4e5f", "Änne Example ⚙", "supervisor")

SERIAL = Taken("serial", "TL-BC-0401", "", "", "", ReadingVerdict.NO_LIMIT)
LOW = Taken("torque", "440", "ft*lbf", "T-WRENCH", "596.5598864658166", ReadingVerdict.BELOW_WINDOW)
GOOD = Taken("torque", "0500.0", "ft*lbf", "T-WRENCH", "677.9089741657002", ReadingVerdict.IN_WINDOW)
LONGER = Taken("length", "11.90", "ft", "", "3.62712", ReadingVerdict.NO_LIMIT)
HIGH = Taken("resistance A-B", "1.9", "ohm", "T-BRIDGE", "1.9", ReadingVerdict.ABOVE_WINDOW)
PAPER = Late("2031-05-04T05:40:00+02:00", Who("5f4e3d2c1b0a", "Dora Dummy", "driller"))

SAMPLES: dict[tuple[str, int], Event] = {
    ("plan-released", 1): PlanReleased(
        title="Demonstration",
        well="Make-Believe 1",
        plan_name="Demonstration: single pump",
        plan_fingerprint="1" * 64,
        plan_content="2" * 64,
        sheet_content="3" * 64,
        accepted=("tool-due-soon at tools[0]: T-WRENCH is due in 12 days.",),
        meaning="I have checked this plan and release it to be run.",
        practice=False,
    ),
    ("talk-held", 1): TalkHeld(
        "first-lift-pump",
        ("Who may stop the job: everyone", "Dropped objects"),
        (WHO, Who("5f4e3d2c1b0a", "Dora Dummy", "driller")),
    ),
    ("hold-point-signed", 1): HoldPointSigned("first-lift-pump", "I was at this talk.", "4" * 64, hasty=True),
    ("hold-point-released", 1): HoldPointReleased("first-lift-pump"),
    ("step-done", 1): StepDone(74, (SERIAL, GOOD), 0),
    ("step-done", 2): StepDone(74, (SERIAL, GOOD), 0, PAPER),
    ("first-reading-taken", 1): FirstReadingTaken(60, (GOOD,), 0),
    ("first-reading-taken", 2): FirstReadingTaken(60, (GOOD,), 0, PAPER),
    ("second-reading-taken", 1): SecondReadingTaken(60, (LOW,), ("torque",)),
    ("second-reading-taken", 2): SecondReadingTaken(60, (LOW,), ("torque",), PAPER),
    ("attempt-failed", 1): AttemptFailed(60, (LOW, HIGH)),
    ("attempt-failed", 2): AttemptFailed(60, (LOW, HIGH), PAPER),
    ("step-undone", 1): StepUndone(60, "wrong joint"),
    ("reading-corrected", 1): ReadingCorrected(60, LOW, GOOD, "misread"),
    ("reading-corrected", 2): ReadingCorrected(60, LOW, GOOD, "misread", PAPER),
    ("deviation-raised", 1): DeviationRaised(2, 60, "torque low", "worn thread", Disposition.USE_AS_IS, ""),
    ("deviation-raised", 2): DeviationRaised(3, 98, "legs open", "new pump", None, "systems[0]: too long"),
    ("disposition-proposed", 1): DispositionProposed(3, Disposition.REPLACE, "there is a spare"),
    ("deviation-accepted", 1): DeviationAccepted(2, Disposition.BACK_OUT, "not here\nnot today"),
    ("note-added", 1): NoteAdded(0, 'Wind 12 knots, "gusting" \\ 5 °C'),
    ("photo-added", 1): PhotoAdded(74, "5" * 64, "clamp.jpg", "image/jpeg", 0, ""),
    ("photo-added", 2): PhotoAdded(0, "5" * 64, "talk.jpg", "image/jpeg", 0, "first-lift-pump"),
    ("item-swapped", 1): ItemSwapped(
        "SEAL-1", "SEAL-1", "TL-S-0302", "TL-S-0399", (LONGER,), (25, 27), "leaks at its base", 3
    ),
    ("load-out-added", 1): LoadOutAdded("TL-BC-0499", "bypass clamp", "came late"),
    ("items-settled", 1): ItemsSettled(("TL-BC-0405", "TL-BC-0406"), Settlement.REJECTED, "cracked"),
    ("back-out-begun", 1): BackOutBegun(
        number=1,
        first=60,
        cause=BackOutCause.FAILED_TEST,
        reason="MLE-U reads 0.2 MΩ",
        deviation=2,
        kept=65,
        undone=(60, 61, 62, 63, 64, 65),
        back=(66, 67, 68),
        sheet_content="7" * 64,
        meaning="I have read the way back, step by step, and lead it.",
        shown="8" * 64,
    ),
    ("back-out-turned", 1): BackOutTurned(
        number=2,
        turns=1,
        first=63,
        cause=BackOutCause.FOUND_SOONER,
        reason="the clamp at the seal was loose",
        deviation=0,
        kept=66,
        undone=(63, 64, 65),
        back=(67,),
        sheet_content="9" * 64,
        meaning="I have read how it goes on from here, step by step, and lead it.",
        shown="6" * 64,
    ),
    ("back-out-called-off", 1): BackOutCalledOff(1, "it was the meter", "3" * 64),
    ("step-not-applicable", 1): StepNotApplicable(60, "the line is not run"),
    ("step-applicable", 1): StepApplicable(60, "it is run after all"),
    ("step-deferred", 1): StepDeferred(
        number=3,
        step=61,
        until=64,
        reason="the tester is not at the table yet",
        kept=60,
        sheet_content="5" * 64,
        meaning="I have looked at the string.",
        shown="6" * 64,
    ),
    ("step-brought-forward", 1): StepBroughtForward(
        number=4,
        step=63,
        before=61,
        reason="the tester came early",
        kept=60,
        sheet_content="7" * 64,
        meaning="I have looked at the string.",
        shown="8" * 64,
    ),
    ("replanned", 1): Replanned(
        number=2,
        reason="a pup joint more",
        plan_name="Demonstration: with a pup joint",
        plan_fingerprint="9" * 64,
        plan_content="a" * 64,
        sheet_content="b" * 64,
        kept=65,
        dropped=(47,),
        carried="running-to-depth~2",
        accepted=("tool-due-soon at tools[0]: T-WRENCH is due in 12 days.",),
        meaning="I have read what changes in what remains, and the string is to be run so.",
        shown="c" * 64,
    ),
    ("items-counted", 1): ItemsCounted("protector, 2-7/8 in", 12, 2, 1, "one cracked"),
    ("hold-begun", 1): HoldBegun(Cause.WEATHER, "45 knots, crane down"),
    ("hold-ended", 1): HoldEnded(LookBack.CONFIRMED, 60, "torque mark is there"),
    ("handover-drafted", 1): HandoverDrafted("Slips sit deep.", ("Deviation 1 at step 60 is not settled",)),
    ("handover-talked", 1): HandoverTalked(("Deviation 1 at step 60 is not settled",)),
    ("handover-checked", 1): HandoverChecked(
        (ReadAgain(60, "torque", "500 ft*lbf", "680 N*m", agrees=True),),
        ReadAgain(0, "step to be done now", "61", "62", agrees=False),
    ),
    ("handover-accepted", 1): HandoverAccepted("61 it is.", "I take this run over.", "7" * 64),
    ("handover-taken-back", 1): HandoverTakenBack("relief is late"),
    ("charge-taken", 1): ChargeTaken(
        reason="flown out, ill",
        before=Who("5f4e3d2c1b0a", "Otto Outgoing", "supervisor"),
        ended_handover=True,
        meaning="I have read where the run stands and answer for it from now on.",
        shown="8" * 64,
    ),
    ("clock-jumped", 1): ClockJumped(-3600, "2031-05-04T07:00:00+02:00", "2031-05-04T06:00:00+02:00"),
    ("run-signed", 1): RunSigned("The string was run as this record says.", "6" * 64),
    ("run-closed", 1): RunClosed("No remarks."),
}


def sample_text(kind: str, version: int) -> str:
    """Return the body of an event as it was written."""
    return (FOLDER / f"{kind}-{version}.json").read_text(encoding="utf-8")
