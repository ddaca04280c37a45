"""From what was done to the sheet that undoes it: the whole way out of the hole, or back to a step."""

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import accumulate, groupby

from app.domain.compiler import asked
from app.domain.compiler.writer import SheetWriter
from app.domain.crew import StageKind
from app.domain.operations import Operation
from app.domain.plan import Plan
from app.domain.pulling.done import Done, Undone, seen_before
from app.domain.pulling.inverses import INVERSES
from app.domain.quantities import as_typed
from app.domain.sheet import Lane, ReadingWanted, Sheet, Stage, Step
from app.domain.string.simulator import do, state_after
from app.domain.string.state import new_state

# What is lifted comes first in these, what stays below last.
LIFT_OVER_LOWER = frozenset({Operation.UNBOLT, Operation.TAKE_OFF})
# What a way back ends with; all its other steps undo one that was done.
DOPING = frozenset({Operation.DOPE_BOX, Operation.DOPE_PIN})
# How the title of a stage begins that takes back, and of one in which nothing but standing again is left.
BACK, AGAIN = "Back: ", "Again: "


def pull_sheet(plan: Plan, sheet: Sheet, done: Sequence[Step]) -> Sheet:
    """Return the sheet that takes the string of the steps done out of the hole again, counted at the end."""
    writer = _way_back(plan, sheet, done, 0)
    if writer.written():
        writer.write(Operation.COUNT_BACK, source="lifting_gear")
    return writer.finish()


def back_out_sheet(
    plan: Plan, sheet: Sheet, done: Sequence[Step], first: int, walked: Sequence[Step] = ()
) -> Sheet:
    """Return the sheet that undoes the steps done from position `first` on, the last one first.

    Afterwards the string is as it was before that step, but for what cannot be given back: threads that
    were made up are doped anew. Of a way back that is begun, `walked` are the steps that were walked; they
    are left out.
    """
    writer = _way_back(plan, sheet, done, first)
    _dope_again(writer, plan, done, first, walked)
    return _behind(writer.finish(), _undoings_in(walked))


def begun_to_undo(plan: Plan, done: Sequence[Step], walked: Sequence[Step]) -> int:
    """Return the first position among the steps done whose undoing the steps walked have at least begun."""
    undoings = (sum(1 for _ in _undo(moment)) for moment in reversed(_moments(plan, done)))
    return len(done) - bisect_left(list(accumulate(undoings, initial=0)), _undoings_in(walked))


def _undoings_in(walked: Sequence[Step]) -> int:
    return sum(step.operation not in DOPING for step in walked)


def _behind(sheet: Sheet, last: int) -> Sheet:
    stages = tuple(
        replace(stage, first=max(stage.first, last + 1)) for stage in sheet.stages if stage.last > last
    )
    return Sheet(stages, sheet.steps[last:])


def _way_back(plan: Plan, sheet: Sheet, done: Sequence[Step], first: int) -> SheetWriter:
    writer = SheetWriter(plan, prefix="back")
    back = reversed(_moments(plan, done)[first:])
    for stage_id, moments in groupby(back, key=lambda item: item.step.stage):
        undone = [(item.step, step) for item in moments for step in _undo(item)]
        if undone:
            _stage(writer, sheet.stage(stage_id))
        for step, way_back in undone:
            _write(writer, step, way_back)
    return writer


def _moments(plan: Plan, done: Sequence[Step]) -> list[Done]:
    state = new_state(plan)
    moments: list[Done] = []
    for step in done:
        moments.append(seen_before(state, step))
        do(state, step)
    return moments


def _undo(item: Done) -> Iterator[Undone]:
    undoing = INVERSES.get(item.step.operation)
    if undoing is not None and item.step.lane is Lane.FLOOR:
        yield from undoing(item)


def _stage(writer: SheetWriter, stage: Stage) -> None:
    # What stood again behind a way back may come back once more; that is said once.
    of = stage.title.removeprefix(BACK).removeprefix(AGAIN)
    title = f"{of[:1].lower()}{of[1:]}"
    writer.stage(StageKind.PULLING, f"{BACK}{title}", stage.system, of=stage.id)


def _write(writer: SheetWriter, step: Step, undone: Undone) -> None:
    writer.write(
        undone.operation,
        *undone.parts,
        gear=undone.gear,
        joined=undone.joined,
        dressed=undone.dressed,
        readings=undone.readings or _readings(writer.plan, undone),
        source=step.source,
        **_names(writer.plan, undone),
    )


def _readings(plan: Plan, undone: Undone) -> tuple[ReadingWanted, ...]:
    if undone.operation is not Operation.FIT_SAFETY_CLAMP or not undone.gear:
        return ()
    clamp = undone.gear[0].item
    connection = next((item.connection for item in plan.lifting_gear if item.tag == clamp), "")
    return asked.torque(plan, connection, clamp) if connection else ()


def _names(plan: Plan, undone: Undone) -> dict[str, str]:
    parts, gear = undone.parts, " and ".join(move.item for move in undone.gear)
    it, below = (parts[0], parts[-1]) if parts else ("", "")
    lift = parts[:-1] if undone.operation in LIFT_OVER_LOWER else parts
    rigged = " and ".join(parts)
    return {
        "it": it,
        "joint": it,
        "part": it,
        "below": below,
        "lift": " with ".join(lift),
        "gear_name": rigged if undone.operation is Operation.RIG_FOR_SIZE else gear,
        "size": _size_of(plan, parts),
        "kind": undone.dressed.clamp_type if undone.dressed else "",
        "station": undone.dressed.station if undone.dressed else "",
    }


def _size_of(plan: Plan, parts: tuple[str, ...]) -> str:
    sizes = (item.size for item in plan.lifting_gear if item.tag in parts)
    return next((as_typed(size, "in", 3) for size in sizes if size is not None), "its size")


def _dope_again(
    writer: SheetWriter, plan: Plan, done: Sequence[Step], first: int, walked: Sequence[Step]
) -> None:
    then, now = state_after(plan, done[:first]), state_after(plan, done)
    left = writer.written()[_undoings_in(walked) :]
    for step in (*walked, *left):
        do(now, step)
    made = [step.joined for step in done[first:] if step.joined is not None]
    boxes = {joined.lower: joined.connection for joined in made}
    pins = {joined.upper: joined.connection for joined in made}
    for operation, connections, lost in (
        (Operation.DOPE_BOX, boxes, then.doped_boxes - now.doped_boxes),
        (Operation.DOPE_PIN, pins, then.doped_pins - now.doped_pins),
    ):
        for tag in sorted(lost):
            dope = asked.dope(plan, connections[tag])
            writer.write(operation, tag, source="connection_types", joint=tag, dope=dope)
