"""Paper beside the tablet: what of a run is left, to be printed, and who did what was copied from it."""

from collections.abc import Callable, Sequence
from datetime import datetime, tzinfo

from app.domain.commands import FinishStep, OnPaper, ReadAgain
from app.domain.events.who import Who
from app.domain.paper import PaperSheet, remaining
from app.domain.refusals import LateEntryError, NobodyError, RefusedError
from app.records.paper_time import read_paper_time
from app.records.short_code import short_code
from app.services.people import person_of
from app.services.runs import LONGEST_KEY, Acted, act, checked_key, log_of, run_of
from app.services.site import Site

LONGEST_KEY_LEFT = LONGEST_KEY - 10  # room for the number of the step


# What came of an entry that closed its step.
CLOSED = (("step-done",), ("second-reading-taken",))


class NothingTypedError(RefusedError):
    """Nothing was typed of any step."""

    rule = "nothing-typed"

    def __init__(self) -> None:
        super().__init__("No step has a time, so nothing was entered. Type when each was done, by the paper.")


def on_paper(site: Site, at: datetime, person_id: str) -> OnPaper:
    """Return what the paper says of a step: when it was done, and by whom of the people known here.

    Raises: UnknownPersonError.
    """
    person = person_of(site, person_id)
    return OnPaper(at, Who(person.id, person.name, person.role))


def time_on_paper(step: int, text: str, zone: tzinfo | None) -> datetime:
    """Return a time of the place as it was typed from paper: the day, a space, the time of day.

    Raises: LateEntryError where either is missing or cannot be read.
    """
    day, _, clock = text.replace("T", " ").partition(" ")
    if not day:
        raise LateEntryError(step, "its day is not chosen.")
    if not clock.strip():
        raise LateEntryError(step, "its time is missing; type the day and the time.")
    try:
        return read_paper_time(day, clock, zone)
    except ValueError:
        raise LateEntryError(step, "its time cannot be read; type it like 14:30.") from None


def paper_of(site: Site, run_id: str) -> PaperSheet:
    """Return what of a run is left, with the code of the event after which it is so.

    Raises: UnknownRunError.
    """
    run = run_of(site, run_id)
    # Others may have recorded since the run was read: the code is that of what is shown.
    head = log_of(site, run_id, run.sequence - 1)[0]
    return remaining(run, short_code(head.hash), site.clock())


def paper_pages(site: Site, run_id: str) -> bytes:
    """Return what of a run is left as PDF, to be printed and written on.

    Raises: UnknownRunError.
    """
    # Typesetting loads its library for half a second: only an export pays for it.
    from app.exports.paper_pages import set_paper  # noqa: PLC0415

    return set_paper(paper_of(site, run_id))


async def enter_paper(
    site: Site,
    run_id: str,
    entries: Sequence[FinishStep | ReadAgain],
    who: Who | None,
    key: str,
    *,
    seen: int | None,
    telling: Callable[[int], None],
) -> tuple[Acted, ...]:
    """Enter steps from paper in their order, each as an event of its own under a key of its own.

    It ends behind the first that is not done by it, such as one whose readings are outside their limits.
    What was entered before a refusal stays entered; `telling` is told each step before it is entered.

    Raises: KeyMissingError; NobodyError; NothingTypedError; what `act` raises.
    """
    checked_key(key)
    if who is None:
        raise NobodyError
    if not entries:
        raise NothingTypedError
    done: list[Acted] = []
    for entry in entries:
        telling(entry.step)
        acted = await act(site, run_id, entry, who, f"{key[:LONGEST_KEY_LEFT]}/{entry.step}", seen=seen)
        # The next one rests on what this one did.
        seen = acted.sequence if seen is not None else None
        done.append(acted)
        if acted.kinds not in CLOSED:
            break
    return tuple(done)
