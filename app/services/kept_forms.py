"""Which forms of a run are kept while they are half typed, and what of each: a row a form.

What has no row is not kept: signatures, photos, and what has nothing to type in. PINs have no field here.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from app.domain.commands import (
    AcceptDeviation,
    AcceptHandover,
    AddNote,
    AddToLoadOut,
    BackOut,
    BeginHold,
    BringForward,
    CallOffBackOut,
    CheckHandover,
    CloseRun,
    CorrectReading,
    CountItems,
    DeferStep,
    DraftHandover,
    EndHold,
    FinishStep,
    HoldTalk,
    ProposeDisposition,
    RaiseDeviation,
    ReadAgain,
    Replan,
    SayApplicable,
    SayNotApplicable,
    SettleItems,
    SwapItem,
    TakeCharge,
    TakeHandoverBack,
    TalkHandoverThrough,
    UndoStep,
)
from app.domain.run import Run
from app.domain.second_readings import asked_twice
from app.domain.sheet import Step

IsForOne = Callable[[Run, Step | None], bool]
READINGS = ("value-", "unit-", "tool-")
PROPOSED = ("what", "why", "proposed")
# What is chosen beside a text, or offered with it, and says nothing without it.
BESIDE = re.compile(r"unit-\d+|tool-\d+|day(-\d+)?|by(-\d+)?|late-by|deviation|step")
# The forms that ask for the readings of a step, and so end with it.
OF_READINGS = ("steps/*/done", "steps/*/second")
# The forms whose fields go by the numbers of steps, and so end where the sheet is written anew.
BY_NUMBERS = ("from-paper floor", "from-paper deck")


def for_all(_run: Run, _step: Step | None) -> bool:
    """Return that everybody on the run may see it."""
    return False


def read_by_two(run: Run, step: Step | None) -> bool:
    """Return whether two people read the step, each without seeing the other's reading."""
    return step is not None and bool(asked_twice(run.plan, step))


def anything_read_by_two(run: Run, _step: Step | None) -> bool:
    """Return whether two people read any step of the plan."""
    return bool(run.plan.limits.second_readings)


@dataclass(frozen=True, slots=True)
class KeptForm:
    """A form: its address below the run, the command that it gives, its fields that are kept.

    A word in braces stands for any one word, and `about` for what tells forms of one address apart. Fields
    are named whole, or by their beginning up to a dash where each has a number. `page` is where the form
    stands, `title` what it is called; `is_for_one` says whether only who typed it may see it.
    """

    address: str
    command: type[Any]
    fields: tuple[str, ...]
    page: str
    title: str
    is_for_one: IsForOne = for_all
    shape: re.Pattern[str] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        shape = re.sub(r"\{(\w+)\}", r"(?P<\1>[^/ ]+)", self.address)
        object.__setattr__(self, "shape", re.compile(f"{shape}(?: (?P<about>.+))?"))

    def keeps(self, name: str) -> bool:
        """Return whether a field is kept."""
        return name in self.fields or re.sub(r"(?<=-)\d+$", "", name) in self.fields


@dataclass(frozen=True, slots=True)
class FormMeant:
    """A form that is meant by a name: its row, what stands in the places of its braces, and its step."""

    row: KeptForm
    words: dict[str, str]

    @property
    def step(self) -> int:
        """Return the number of the step that the form belongs to, 0 where to none."""
        number = self.words.get("step", "")
        return int(number) if number.isascii() and number.isdecimal() and len(number) < 10 else 0

    def name_of(self, step: str) -> str:
        """Return the name of the form with its step called otherwise."""
        about = self.words["about"]
        address = self.row.address.format_map({**self.words, "step": step})
        return f"{address} {about}" if about else address

    @property
    def page(self) -> str:
        """Return the address of its page, below the run."""
        return self.row.page.format_map(self.words)

    @property
    def title(self) -> str:
        """Return what the form is called."""
        return self.row.title.format_map(self.words)


FORMS = (
    KeptForm(
        "steps/{step}/done", FinishStep, READINGS, "/steps/{step}", "Readings of step {step}", read_by_two
    ),
    KeptForm(
        "steps/{step}/second", ReadAgain, READINGS, "/steps/{step}", "Readings of step {step}", read_by_two
    ),
    KeptForm("steps/{step}/undo", UndoStep, ("reason",), "/steps/{step}#undo", "Undoing step {step}"),
    KeptForm(
        "steps/{step}/correct/{at}",
        CorrectReading,
        (*READINGS, "reason", "late-at", "late-by"),
        "/steps/{step}",
        "A correction at step {step}",
    ),
    KeptForm(
        "steps/{step}/deviations",
        RaiseDeviation,
        PROPOSED,
        "/steps/{step}#deviation",
        "A deviation at step {step}",
    ),
    KeptForm("steps/{step}/notes", AddNote, ("text",), "/steps/{step}#note", "A note on step {step}"),
    KeptForm(
        "steps/{step}/not-applicable",
        SayNotApplicable,
        ("reason",),
        "/steps/{step}#set-aside",
        "Why step {step} does not apply",
    ),
    KeptForm(
        "steps/{step}/applicable",
        SayApplicable,
        ("reason",),
        "/steps/{step}",
        "Why step {step} applies after all",
    ),
    KeptForm(
        "steps/{step}/defer/{until}",
        DeferStep,
        ("reason",),
        "/steps/{step}/defer/{until}",
        "Why step {step} is put off",
    ),
    KeptForm(
        "steps/{step}/bring-forward",
        BringForward,
        ("reason",),
        "/steps/{step}/bring-forward",
        "Why step {step} is brought forward",
    ),
    KeptForm("deviations", RaiseDeviation, ("step", *PROPOSED), "/deviations", "A deviation"),
    KeptForm(
        "deviations/{number}/propose",
        ProposeDisposition,
        ("disposition", "reason"),
        "/deviations#deviation-{number}",
        "A proposal about deviation {number}",
    ),
    KeptForm(
        "deviations/{number}/settle",
        AcceptDeviation,
        ("reason",),
        "/deviations#deviation-{number}",
        "Accepting deviation {number}",
    ),
    KeptForm(
        "swaps",
        SwapItem,
        ("old", "new", "reason", "deviation", "value-", "unit-"),
        "/swaps?place={about}",
        "A swap",
    ),
    KeptForm("load-out", AddToLoadOut, ("serial", "item", "reason"), "/load-out", "The load-out list"),
    KeptForm(
        "load-out/settle",
        SettleItems,
        ("serial", "settlement", "reason"),
        "/load-out",
        "What is left on deck",
    ),
    KeptForm(
        "load-out/count",
        CountItems,
        ("issued", "returned", "rejected", "reason"),
        "/load-out",
        "A count of {about}",
    ),
    KeptForm("hold", BeginHold, ("words",), "/hold", "Putting work on hold"),
    KeptForm("resume", EndHold, ("words",), "/hold", "Going on with the work"),
    KeptForm("handover/draft", DraftHandover, ("words",), "/handover", "The draft of a handover"),
    KeptForm("handover/talk", TalkHandoverThrough, ("item",), "/handover", "The talk of a handover"),
    KeptForm(
        "handover/check",
        CheckHandover,
        ("value-", "unit-", "current"),
        "/handover",
        "The cross-check of a handover",
    ),
    KeptForm("handover/accept", AcceptHandover, ("words",), "/handover", "Accepting a handover"),
    KeptForm("handover/take-back", TakeHandoverBack, ("reason",), "/handover", "Taking a handover back"),
    KeptForm(
        "handover/take-charge",
        TakeCharge,
        ("reason", "gone"),
        "/handover/take-charge",
        "Taking charge without a handover",
    ),
    KeptForm("hold-points/{stage}/talk", HoldTalk, ("topic", "there"), "/hold-points/{stage}", "A talk"),
    KeptForm("back-out", CallOffBackOut, ("reason",), "/back-out", "Calling a way back off"),
    KeptForm(
        "back-out/{first}",
        BackOut,
        ("cause", "reason", "deviation"),
        "/back-out/{first}",
        "Going back to before step {first}",
    ),
    KeptForm("replan/{plan}", Replan, ("reason",), "/replan/{plan}", "Going on with a changed plan"),
    KeptForm(
        "from-paper",
        FinishStep,
        (*READINGS, "at-", "day", "day-", "by", "by-"),
        "/from-paper?lane={about}",
        "Steps from paper",
        anything_read_by_two,
    ),
    KeptForm("close-out/close", CloseRun, ("note",), "/close-out", "Closing the run"),
)


def form_meant(name: str) -> FormMeant | None:
    """Return the form of a name, or none where nothing of it is kept."""
    for row in FORMS:
        found = row.shape.fullmatch(name)
        if found is not None:
            return FormMeant(row, {word: text or "" for word, text in found.groupdict().items()})
    return None


def says_something(values: dict[str, tuple[str, ...]]) -> bool:
    """Return whether anything is typed or ticked, beside what is chosen along with a text."""
    return any(text.strip() for name, texts in values.items() if not BESIDE.fullmatch(name) for text in texts)
