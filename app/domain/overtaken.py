"""What overtakes an act: what others did since its page was made, where that changed what the act is about.

A page shows a run as it stood after one event, and the crew goes on. An act from that page goes through
unless an event since then changed one of the matters that it is about: the step, talk, deviation, serials or
item that it names; for a tick on the floor, which floor step is to be done now; for going on after a hold,
that work stands; for a part of a handover, its other parts; for the final signatures and the close, the work
that they stand for; for a way back and a changed plan, all of that work; and for whatever names a step or a
stage, the sheet. So a note goes through whatever others did, a tick on deck whatever was done at other steps,
and a signature beside the signatures of others; to stop the work is never held up. A tick is, once somebody
did, undid or remarked on anything at its step. `matters.py` has the rows.
"""

from collections.abc import Iterable

from app.domain.commands import Command
from app.domain.events.event import Happened
from app.domain.matters import matters_about, matters_changed
from app.domain.refusals import RefusedError
from app.domain.run import Run


class StaleError(RefusedError):
    """Others have changed what an act is about since its page was made.

    `changes` says how, oldest first; `run` is the run that they brought about.
    """

    rule = "stale"

    def __init__(self, changes: tuple[Happened, ...], run: Run) -> None:
        self.changes, self.run = changes, run
        names = " and ".join(dict.fromkeys(happened.who.name for happened in changes))
        places = ", ".join(str(happened.sequence) for happened in changes)
        super().__init__(
            f"{names} changed this after you last saw it (log: {places}), so nothing was recorded. "
            "Read what changed, then send it again if it still holds."
        )


def overtaking(run: Run, command: Command, since: Iterable[Happened]) -> tuple[Happened, ...]:
    """Return the events, of those since a page was made, that overtake an act from it."""
    about = matters_about(run, command)
    return tuple(happened for happened in since if about & matters_changed(run, happened.event))
