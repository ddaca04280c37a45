"""The close-out: what is missing, gear counts, final signatures, the end."""

from dataclasses import dataclass
from datetime import datetime
from typing import ClassVar

from app.domain.deciding.closing import closing_roles, gear_counts, missing
from app.domain.problems import Problem
from app.domain.run import Run, Signed
from app.services.signing import RUN_MEANING, shown_at_close
from app.store.people import KeptPerson
from app.web.contexts.frame import NO_REFUSAL, Frame, Refusal
from app.web.contexts.runs import RunBar, run_bar

# Where each thing that may be missing is put right.
PLACES: dict[str, str] = {
    "steps-open": "sheet",
    "hold-point-open": "hold-points",
    "deviation-open": "deviations",
    "gear-left": "sheet",
    "serials-left": "load-out",
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
        missing=tuple(Missing(problem, _place(run, problem)) for problem in missing(run)),
        gear=tuple(GearCount(item, on, off) for item, (on, off) in gear_counts(run).items()),
        roles=tuple(RoleToSign(role, _with(people, role), signed.get(role)) for role in closing_roles(run)),
        closed_at=run.closed_at,
        meaning=RUN_MEANING,
        shown=shown_at_close(run),
        now=now,
        refusal=refusal,
    )


def _place(run: Run, problem: Problem) -> str:
    return f"/runs/{run.id}/{PLACES.get(problem.rule, 'sheet')}"


def _with(people: list[KeptPerson], role: str) -> tuple[KeptPerson, ...]:
    return tuple(person for person in people if person.active and person.role == role)
