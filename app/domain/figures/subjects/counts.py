"""Counts: temporary gear on, and clamps, protectors and joints issued against where they went."""

from collections import Counter
from collections.abc import Iterator

from app.domain.at_step.counts import GearCount, ItemCount, gear_at, items_after, items_of
from app.domain.at_step.depths import JointsIn, joints_in
from app.domain.figures.subjects.basis import Basis, Figure, Subject
from app.domain.quantities import Count
from app.domain.results import PLAN, Advice, Input, Result
from app.domain.run import Run
from app.domain.sheet import Step

GEAR, ITEMS, JOINTS, MOST = "temporary gear", "clamps and protectors", "joints", "temporary gear at the most"
EACH = "ea"
FROM_STEPS = "steps done"
NONE_ON = Count(0.0)


def count_figures(basis: Basis) -> Iterator[Figure]:
    """Yield the counts of clamps and protectors, of gear now and at the most, and of joints."""
    run = basis.run
    if run is None:
        return
    for item in _items(basis, run):
        yield Figure(Subject.COUNTS, ITEMS, item_result(item), frozenset({item.item}))
    if basis.followed is not None:
        for gear in gear_at(run.plan, _done(basis, run)):
            yield Figure(Subject.COUNTS, f"{GEAR} {basis.moment}", gear_result(gear), frozenset({gear.item}))
        for joints in joints_in(basis.followed):
            yield Figure(Subject.COUNTS, f"{JOINTS} {basis.moment}", _joints(joints))
    yield from _most(run)


def _items(basis: Basis, run: Run) -> tuple[ItemCount, ...]:
    """Return the counts of a run as it stands, or as planned up to a step."""
    return items_after(run.plan, run.sheet, basis.at) if basis.at else items_of(run)


def _done(basis: Basis, run: Run) -> Iterator[Step]:
    return (step for step in run.sheet.steps if step.number <= basis.at or _is_done(basis, run, step))


def _is_done(basis: Basis, run: Run, step: Step) -> bool:
    return basis.at == 0 and run.is_done(step.number)


def item_result(count: ItemCount) -> Result:
    """Return how many of a type are on deck against how many are to be fitted still."""
    known = count.on_deck if count.on_deck is not None else count.to_fit
    return Result(
        name=f"{count.item}, on deck" if count.on_deck is not None else f"{count.item}, to be fitted",
        value=Count(float(known)),
        unit=EACH,
        formula="issued less fitted, returned and rejected",
        inputs=(
            Input("issued", "not listed" if count.issued is None else str(count.issued), "load-out list"),
            Input("fitted", str(count.fitted), FROM_STEPS),
            Input("returned", str(count.returned), "load-out list"),
            Input("rejected", str(count.rejected), "load-out list"),
            Input("to be fitted still", str(count.to_fit)),
        ),
        source="Counts: issued = fitted + returned + rejected + on deck.",
        says=Advice(
            inside="Enough for what is to be fitted still.",
            below=f"{count.to_fit} are to be fitted still: bring more, or find out where they went.",
        ),
        low=Count(float(count.to_fit)) if count.on_deck is not None else None,
    )


def gear_result(count: GearCount, name: str = "on now") -> Result:
    """Return how many pieces of temporary gear are on, against how many came."""
    came = Count(float(count.on_site)) if count.on_site is not None else None
    return Result(
        name=f"{count.item}, {name}",
        value=Count(float(count.is_on)),
        unit=EACH,
        formula="put on less taken off",
        inputs=(
            Input("put on", str(count.on), FROM_STEPS),
            Input("taken off", str(count.off), FROM_STEPS),
            Input("on site", "comes with the pipe" if count.on_site is None else str(count.on_site), PLAN),
        ),
        source="Counts of the gear that each step puts on or takes off.",
        says=Advice(
            inside="All of it is accounted for.",
            below="More came off than went on: count again, something is in the hole or was not ticked.",
            above="More are on than came to the site: count again, or bring another.",
        ),
        low=NONE_ON,
        high=came,
        runs_out=True,
    )


def _most(run: Run) -> Iterator[Figure]:
    """Yield for each piece of gear the moment of the sheet at which most of it are on."""
    on, off = Counter[str](), Counter[str]()
    most: dict[str, tuple[int, GearCount]] = {}
    came = {item.tag: item.count for item in run.plan.lifting_gear}
    for step in run.sheet.steps:
        for move in step.gear:
            (on if move.count > 0 else off)[move.item] += abs(move.count)
            count = GearCount(move.item, on[move.item], off[move.item], came.get(move.item))
            if move.item not in most or count.is_on > most[move.item][1].is_on:
                most[move.item] = step.number, count
    for item, (number, count) in sorted(most.items()):
        result = gear_result(count, "on at the same time at the most")
        yield Figure(Subject.COUNTS, MOST, result, frozenset({item}), number)


def _joints(joints: JointsIn) -> Result:
    return Result(
        name=f"joints of {joints.string} in",
        value=Count(float(joints.joints_in)),
        unit=EACH,
        formula="joints that hang with the base of the string",
        inputs=(Input("planned", str(joints.planned)),),
        source="Steps that were done.",
        says=Advice("Two people count, each by himself.", above="More are in than the plan has."),
        high=Count(float(joints.planned)),
    )
