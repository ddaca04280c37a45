"""The handovers of the install record: from whom to whom, what was said and read; and charge without one."""

from collections.abc import Iterator

from app.domain.as_built_parts import named, time_text
from app.domain.events import handover as events
from app.domain.handover import Handover
from app.domain.install_record import HandedOver, ReadAgain
from app.domain.record_changes import ChargeTaken
from app.domain.run import Run


def handovers(run: Run) -> Iterator[HandedOver]:
    """Yield every handover, those that were not accepted as well."""
    for item in run.handovers:
        accepted, back = item.accepted, item.taken_back
        yield HandedOver(
            outgoing=named(item.outgoing),
            at=time_text(item.drafted_at),
            words=item.drafted.words,
            open_items=item.items,
            talked_at=time_text(item.talked_at),
            read_again=tuple(_read_again(item)),
            incoming=named(item.incoming),
            settled=accepted.words if accepted is not None else "",
            meaning=accepted.meaning if accepted is not None else "",
            shown=accepted.shown if accepted is not None else "",
            taken_back=back.reason if back is not None else "",
            ended_at=time_text(item.ended_at),
            charge_taken_by=named(item.charge.who) if item.charge is not None else "",
        )


def charges(run: Run) -> Iterator[ChargeTaken]:
    """Yield every time that charge was taken without a handover."""
    for item in run.charges:
        yield ChargeTaken(
            by=named(item.who),
            at=time_text(item.at),
            before=named(item.taken.before),
            reason=item.taken.reason,
            ended_handover=item.taken.ended_handover,
            meaning=item.taken.meaning,
            shown=item.taken.shown,
        )


def _read_again(handover: Handover) -> Iterator[ReadAgain]:
    for check in handover.checks:
        for item in (*check.event.readings, check.event.current):
            yield _one(item, named(check.who))


def _one(item: events.ReadAgain, by: str) -> ReadAgain:
    return ReadAgain(item.step, item.name, item.recorded, item.typed, item.agrees, by)
