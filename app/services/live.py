"""What a page is told while it is open: that its run has moved on, through whom, and who else is there.

It is a hint and carries nothing that the pages do not show; whoever misses one sees it with the next page.
"""

import asyncio
from collections.abc import AsyncGenerator
from contextlib import suppress
from dataclasses import dataclass

from app.domain.commands import FinishStep
from app.domain.events.event import Happened
from app.domain.events.who import Who
from app.domain.overtaken import overtaking
from app.domain.run import Run
from app.records.event_json import read_entry
from app.services.listeners import Stretch
from app.services.pin_hashes import token_hash
from app.services.presence import Onlooker
from app.services.runs import log_of, run_of
from app.services.sign_ins import who_is
from app.services.site import Site

# Often enough that somebody who is there does not fade.
SECONDS_BETWEEN_SIGNS = 5.0


@dataclass(frozen=True, slots=True)
class Looking:
    """A page that is looked at: by whom, on the tablet of which token, of which run, at which step (0: none).

    `seen` is the last event that it shows.
    """

    who: Who
    token: str
    run_id: str
    step: int
    seen: int


@dataclass(frozen=True, slots=True)
class News:
    """What there is to tell a page: the run's last event, who brought it there, and who else is there.

    `touched` says that a tick of the page's step is overtaken by now; any event touches a page of no step.
    """

    sequence: int
    by: tuple[str, ...] = ()
    touched: bool = False
    here: tuple[Onlooker, ...] = ()


def arrive(site: Site, looking: Looking) -> None:
    """Let the others know who looks at which step."""
    present = Onlooker(looking.who, looking.step, site.clock())
    if site.presence.arrive(token_hash(looking.token), looking.run_id, present):
        site.listeners.tell(looking.run_id)


def who_is_at(site: Site, run_id: str, *, but_token: str = "") -> tuple[Onlooker, ...]:
    """Return who looks at a run now, without the tablet of one token.

    Raises: UnknownRunError.
    """
    run_of(site, run_id)
    return site.presence.at_run(run_id, site.clock(), but=token_hash(but_token))


def news_for(site: Site, looking: Looking, told: News | None = None) -> News:
    """Return what a page is to be told, on top of what it was told before.

    Raises: UnknownRunError.
    """
    run, told = run_of(site, looking.run_id), told or News(looking.seen)
    since = _since(site, run, told.sequence)
    names = (happened.who.name for happened in since)
    return News(
        sequence=max(run.sequence, told.sequence),
        by=tuple(dict.fromkeys((*told.by, *names))),
        touched=told.touched or _touches(run, looking.step, since),
        here=who_is_at(site, looking.run_id, but_token=looking.token),
    )


async def live(site: Site, looking: Looking) -> AsyncGenerator[News | None, None]:
    """Yield what is new for a page whenever something is, and None where nothing was for a few seconds.

    Ends when the sign-in does, or the server. Raises: TooManyListenersError; UnknownRunError.
    """
    told: News | None = None
    with site.listeners.listening(looking.run_id) as woken:
        while not site.listeners.closed and who_is(site, looking.token) is not None:
            woken.clear()
            arrive(site, looking)
            news = news_for(site, looking, told)
            yield news if news != told else None
            told = news
            with suppress(TimeoutError):
                await asyncio.wait_for(woken.wait(), SECONDS_BETWEEN_SIGNS)


def _touches(run: Run, step: int, since: tuple[Happened, ...]) -> bool:
    return bool(overtaking(run, FinishStep(step), since) if step else since)


def _since(site: Site, run: Run, sequence: int) -> tuple[Happened, ...]:
    if sequence >= run.sequence:
        return ()
    kept = site.listeners.newest.get(run.id)
    if kept is None or kept.after > sequence or kept.last < run.sequence:
        kept = Stretch(sequence, tuple(map(read_entry, log_of(site, run.id, sequence))))
        site.listeners.newest[run.id] = kept
    return tuple(happened for happened in kept.happened if happened.sequence > sequence)
