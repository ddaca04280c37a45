"""The close-out: what is missing, gear counts, final signatures, the end."""

from dataclasses import dataclass
from datetime import datetime
from typing import ClassVar

from app.domain.deciding.closing import OpenEnd, closing_roles, gear_counts, open_ends
from app.domain.problems import Problem
from app.domain.rewrites import Signed
from app.domain.run import Run
from app.services.signing import RUN_MEANING, shown_at_close
from app.store.people import KeptPerson
from app.web.contexts.frame import NO_REFUSAL, Frame, Refusal
from app.web.contexts.runs import RunBar, run_bar

# Where what is at no step, stage or deviation is put right.
OF_THE_RUN = {
    "on-hold": "hold",
    "handing-over": "handover",
    "serials-left": "load-out#on-deck",
    "items-left": "load-out#by-number",
}


@dataclass(frozen=True, slots=True)
class Missing:
    """What stands between the run and its signatures, and the page where it is put right."""

    problem: Problem
    place: str


@dataclass(frozen=True, slots=True)
class GearCount:
    """How often a piece of temporary gear went on and came off."""

    item: str
    on: int
    off: int


@dataclass(frozen=True, slots=True)
class RoleToSign:
    """A role that signs the finished run, those who have it, and the signature once it is given."""

    role: str
    people: tuple[KeptPerson, ...]
    signed: Signed | None


@dataclass(frozen=True, slots=True)
class CloseOutPage:
    """The end of a run."""

    PAGE: ClassVar[str] = "close_out/close_out.html"
    PART: ClassVar[str] = "close_out/_close_out.html"

    frame: Frame
    bar: RunBar
    missing: tuple[Missing, ...]
    gear: tuple[GearCount, ...]
    roles: tuple[RoleToSign, ...]
    closed_at: datetime | None
    meaning: str
    shown: str
    now: datetime
    refusal: Refusal


def close_out_page(
    frame: Frame, run: Run, people: list[KeptPerson], now: datetime, refusal: Refusal = NO_REFUSAL
) -> CloseOutPage:
    """Return the close-out of a run as it stands."""
    signed = {item.who.role: item for item in run.signatures}
    return CloseOutPage(
        frame=frame,
        bar=run_bar(run),
        missing=tuple(Missing(end.problem, f"/runs/{run.id}/{_place(end)}") for end in open_ends(run)),
        gear=tuple(GearCount(item, on, off) for item, (on, off) in gear_counts(run).items()),
        roles=tuple(RoleToSign(role, _with(people, role), signed.get(role)) for role in closing_roles(run)),
        closed_at=run.closed_at,
        meaning=RUN_MEANING,
        shown=shown_at_close(run),
        now=now,
        refusal=refusal,
    )


def _place(end: OpenEnd) -> str:
    """Return the page of a run on which something missing is put right."""
    if end.stage:
        return f"hold-points/{end.stage}"
    if end.deviation:
        return f"deviations#deviation-{end.deviation}"
    return f"steps/{end.step}" if end.step else OF_THE_RUN[end.problem.rule]


def _with(people: list[KeptPerson], role: str) -> tuple[KeptPerson, ...]:
    return tuple(person for person in people if person.active and person.role == role)
