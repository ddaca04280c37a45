"""Which readings outside their limits an accepted deviation lets stand: none worse than were tried before."""

from app.domain.events.steps import Taken
from app.domain.install_record import ReadingVerdict
from app.domain.readings import is_outside
from app.domain.run import Run


def allowed_outside(run: Run, number: int, taken: tuple[Taken, ...]) -> int:
    """Return the deviation that lets readings of a step be outside their limits, 0 where none does.

    Whoever accepted it as it is knew what had been tried by then, and accepted nothing further outside.
    """
    outside = [item for item in taken if is_outside((item,))]
    for deviation in reversed(run.deviations_of(number)):
        # One about a finding of a check, or about two readings that do not agree, says nothing of limits.
        if not deviation.is_used_as_is or deviation.raised.finding:
            continue
        tries = run.attempts.get(number, ())[: deviation.tries]
        known = [item for tried in tries for item in tried.readings]
        if all(any(_is_no_worse(item, than) for than in known) for item in outside):
            return deviation.raised.number
    return 0


def _is_no_worse(item: Taken, than: Taken) -> bool:
    if (item.name, item.verdict) != (than.name, than.verdict):
        return False
    below = item.verdict is ReadingVerdict.BELOW_WINDOW
    return float(item.si) >= float(than.si) if below else float(item.si) <= float(than.si)
