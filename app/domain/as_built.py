"""From a run to its install record: what was put in the well, by whom, and how it was proven."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from app.domain.as_built_changes import (
    corrections,
    deviations,
    earlier_readings,
    set_aside,
    sheet_changes,
    swaps,
    taken_twice,
    undone_ticks,
)
from app.domain.as_built_handover import charges, handovers
from app.domain.as_built_parts import amount, clamps, named, parts, tally_lines, time_text
from app.domain.as_built_shifts import lost_time, standstills
from app.domain.as_built_times import clock_moves, times
from app.domain.as_built_weights import weights
from app.domain.as_built_work import connections, gear, items, steps, tests
from app.domain.events.event import Happened
from app.domain.events.load_out import ItemsCounted, ItemsSettled, LoadOutAdded
from app.domain.events.release import PlanReleased
from app.domain.events.remarks import NoteAdded, PhotoAdded
from app.domain.events.rewriting import BackOutBegun, BackOutTurned, Replanned
from app.domain.events.set_aside import StepBroughtForward, StepDeferred
from app.domain.install_record import (
    FORMAT,
    Attendee,
    Casing,
    HoldPointHeld,
    InstallRecord,
    Job,
    LoggedEvent,
    Note,
    Photo,
    PlanText,
    Rewriting,
    RunFacts,
    Signature,
    Well,
)
from app.domain.measured import as_landed, plan_in
from app.domain.plan import Plan
from app.domain.record_changes import OtherNumber
from app.domain.rewrites import Rewrite, Signed
from app.domain.run import Run
from app.domain.step_numbers import renumbered

Log = tuple[LoggedEvent, ...]
Plans = Mapping[str, str]
NO_PLANS: Plans = {}
DATUM = "Depths are along the hole, down from the top of the landed tubing hanger, from lengths as measured."


def install_record(run: Run, plan_text: str, log: Log, later_plans: Plans = NO_PLANS) -> InstallRecord:
    """Return the install record of a run, with the plan as written and the whole log.

    `later_plans` holds the texts by which it was planned anew, by the hash that the event names; steps
    that the log names by numbers of then are told by `with_other_numbers`.
    """
    release, built = _release(run), as_landed(plan_in(run))
    return InstallRecord(
        format=FORMAT,
        job=_job(run.plan),
        well=_well(run.plan),
        run=_facts(run),
        plan=PlanText(release.plan_fingerprint, plan_text),
        sheet_fingerprint=release.sheet_content,
        parts=parts(run, built),
        connections=connections(run),
        clamps=clamps(run, built),
        tally=tally_lines(built),
        tests=tests(run),
        weights=tuple(weights(run)),
        hold_points=tuple(_hold_points(run)),
        sheet_changes=tuple(sheet_changes(run)),
        rewritings=tuple(_rewritings(run, later_plans)),
        deviations=tuple(deviations(run)),
        swaps=tuple(swaps(run)),
        taken_twice=tuple(taken_twice(run)),
        earlier_readings=tuple(earlier_readings(run)),
        corrections=tuple(corrections(run)),
        undone_ticks=tuple(undone_ticks(run)),
        set_aside=tuple(set_aside(run)),
        standstills=tuple(standstills(run)),
        lost_time=tuple(lost_time(run)),
        handovers=tuple(handovers(run)),
        charges=tuple(charges(run)),
        notes=tuple(_notes(run)),
        photos=tuple(_photos(run)),
        counts=gear(run),
        items=items(run),
        steps=steps(run),
        times=tuple(times(run)),
        clock_moves=tuple(clock_moves(run)),
        signatures=tuple(_signature(signed) for signed in _all_signed(run)),
        log=log,
        head=log[-1].hash if log else "",
    )


def with_other_numbers(record: InstallRecord, run: Run, log: Iterable[Happened]) -> InstallRecord:
    """Return a record that tells, of the events of its log, which name steps by numbers of then."""
    found = (OtherNumber(item.sequence, item.then, item.now) for item in renumbered(run, log))
    return replace(record, other_numbers=tuple(found))


def _release(run: Run) -> PlanReleased:
    assert run.release is not None, "a run begins with its release"
    return run.release


def _job(plan: Plan) -> Job:
    return Job(plan.job.title, plan.job.number, plan.rig.name, plan.job.notice, plan.job.invented)


def _well(plan: Plan) -> Well:
    well = plan.well
    casing = tuple(
        Casing(
            item.name,
            amount(item.od),
            amount(item.weight),
            amount(item.drift),
            amount(item.top),
            amount(item.base),
        )
        for item in well.casing
    )
    return Well(
        f"{well.name}, {well.field}",
        DATUM,
        amount(well.setting_depth),
        well.fluid,
        amount(well.fluid_density),
        casing,
    )


def _facts(run: Run) -> RunFacts:
    released = run.released.at if run.released else None
    return RunFacts(run.id, time_text(released), time_text(run.closed_at))


def _hold_points(run: Run) -> Iterator[HoldPointHeld]:
    for stage in run.sheet.stages:
        hold = run.hold(stage.id)
        if stage.hold_point is None or hold.talk is None:
            continue
        if hold.talk.stage != stage.id and hold.talk.stage in run.sheet.by_stage:
            continue  # a stage that a changed plan split: its one talk stands where it was held
        yield HoldPointHeld(
            title=f"{stage.hold_point.title} ({stage.title})",
            topics=hold.talk.topics,
            attendance=tuple(Attendee(person.name, person.role) for person in hold.talk.attendance),
            signatures=tuple(_signature(signed) for signed in hold.signatures),
            released_at=time_text(hold.released_at),
        )


def _rewritings(run: Run, plans: Mapping[str, str]) -> Iterator[Rewriting]:
    for item in run.rewrites:
        match item.event:
            case BackOutBegun() as begun:
                yield _way_back(item, begun, f"way back: {begun.cause}")
            case BackOutTurned() as turn:
                yield _way_back(item, turn, f"way back {turn.turns} turned: {turn.cause}")
            case Replanned() as changed:
                plan = PlanText(changed.plan_fingerprint, plans.get(changed.plan_content, ""))
                yield _rewriting(item, f"changed plan: {changed.plan_name}", plan)
            case StepDeferred():
                yield _rewriting(item, "step deferred", PlanText("", ""))
            case StepBroughtForward():
                yield _rewriting(item, "step brought forward", PlanText("", ""))


def _way_back(item: Rewrite, event: BackOutBegun | BackOutTurned, kind: str) -> Rewriting:
    rewriting = _rewriting(item, kind, PlanText("", ""))
    turned_by = item.turned.number if item.turned is not None else 0
    # The numbers of steps that were never walked are others' now.
    back = item.back if item.turned is not None else event.back
    return replace(rewriting, first=event.first, undone=event.undone, back=back, turned_by=turned_by)


def _rewriting(item: Rewrite, kind: str, plan: PlanText) -> Rewriting:
    return Rewriting(
        number=item.event.number,
        kind=kind,
        first=0,
        kept=item.event.kept,
        undone=(),
        back=(),
        reason=item.event.reason,
        plan=plan,
        sheet_fingerprint=item.event.sheet_content,
        signature=_signature(item.signed),
        called_off=item.called_off,
        turned_by=0,
    )


def _notes(run: Run) -> Iterator[Note]:
    for happened in run.remarks:
        step, text = _remark(happened)
        if text:
            yield Note(step, text, named(happened.who), time_text(happened.at))


def _remark(happened: Happened) -> tuple[int, str]:
    match happened.event:
        case NoteAdded() as event:
            return event.step, event.text
        case _:
            return 0, load_out_words(happened)


def load_out_words(happened: Happened) -> str:
    """Return what an event changed on the load-out list, in words; nothing for any other event."""
    match happened.event:
        case LoadOutAdded() as event:
            return f"Added to the load-out list: {event.serial} ({event.item}). Reason: {event.reason}"
        case ItemsSettled() as event:
            listed = ", ".join(event.serials)
            return f"Load-out list, {event.settlement.value}: {listed}. Reason: {event.reason}"
        case ItemsCounted() as event:
            return (
                f"Counted {event.item}: {event.issued} came, {event.returned} went back, "
                f"{event.rejected} rejected. Reason: {event.reason}"
            )
        case _:
            return ""


def _photos(run: Run) -> Iterator[Photo]:
    for happened in run.remarks:
        if isinstance(happened.event, PhotoAdded):
            yield _photo(run, happened, happened.event)


def _photo(run: Run, happened: Happened, event: PhotoAdded) -> Photo:
    stage = run.sheet.by_stage.get(event.stage)
    return Photo(
        hash=event.content,
        name=event.name,
        step=event.step,
        by=named(happened.who),
        at=time_text(happened.at),
        deviation=str(event.deviation) if event.deviation else "",
        hold_point=stage.hold_point.title if stage is not None and stage.hold_point is not None else "",
    )


def _all_signed(run: Run) -> Iterator[Signed]:
    if run.released is not None:
        yield run.released
    yield from run.signatures


def _signature(signed: Signed) -> Signature:
    # Two signatures within seconds are not hidden from whoever reads the record.
    hasty = " (within seconds of the one before)" if signed.hasty else ""
    return Signature(
        signed.who.name, signed.who.role, signed.meaning + hasty, time_text(signed.at), signed.shown
    )
