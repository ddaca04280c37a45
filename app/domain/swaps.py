"""What of a run can be swapped: each part, joint, cable and clamp that is not in the string yet."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from app.domain.events.load_out import Settlement
from app.domain.parts import BlockMeasure, Joint, PartMeasure
from app.domain.quantities import Quantity
from app.domain.run import Run
from app.domain.sheet import QUANTITY_OF, Dressed, Lane, ReadingKind, ReadingWanted, Step

REJECTED = Settlement.REJECTED.value
LENGTH = "length"
# What may be known of the new one, by the name that it is given.
VALUE_KINDS: dict[str, ReadingKind] = {
    LENGTH: ReadingKind.LENGTH,
    PartMeasure.MAX_OD.value: ReadingKind.MAX_OD,
    PartMeasure.WEIGHT.value: ReadingKind.WEIGHT,
    BlockMeasure.SWIVEL_LENGTH.value: ReadingKind.SWIVEL_LENGTH,
    BlockMeasure.DROP.value: ReadingKind.DROP,
}
QUANTITY_OF_VALUE: dict[str, type[Quantity]] = {name: QUANTITY_OF[kind] for name, kind in VALUE_KINDS.items()}
OF_JOINT = (LENGTH,)
OF_PART = (LENGTH, *(measure.value for measure in PartMeasure))
OF_BLOCK = (LENGTH, *(measure.value for measure in BlockMeasure))


@dataclass(frozen=True, slots=True)
class Swappable:
    """A part by its tag or a clamp by its station, and what a swap of it touches.

    `item` is what the load-out list calls it, empty for a joint, which is on no list; `serial` is the one
    that counts now, empty where none is known; `values` are what may be given of a new one; `deck` the
    deck steps that are asked again; `on_floor_since` the step since which the floor has it, 0 before that.
    `wants_length` says that its row is measured with joints that are in the string, and not asked again.
    """

    place: str
    item: str
    serial: str
    values: tuple[str, ...]
    deck: tuple[int, ...]
    on_floor_since: int
    wants_length: bool = False


def swappables(run: Run) -> tuple[Swappable, ...]:
    """Return everything that has a place of its own in the string, parts and joints before clamps."""
    known = _known(run)
    return (*(_of_part(run, known, tag) for tag in known.measured), *_stations(run))


def swappable(run: Run, place: str) -> Swappable | None:
    """Return what stands at a place, or none where the sheet has no such tag or station."""
    known = _known(run)
    if place in known.measured:
        return _of_part(run, known, place)
    return next((item for item in _stations(run) if item.place == place), None)


def is_ticked(run: Run, number: int) -> bool:
    """Return whether a step is done, or waits only for its second reading."""
    return number in run.done or number in run.waiting


def is_value_of(wanted: ReadingWanted, place: str, name: str) -> bool:
    """Return whether a reading is of what a value of a swap says of a part."""
    is_of_it = wanted.item == place and wanted.kind is VALUE_KINDS.get(name)
    # A swivel's extension is a length too, but not the length of its block.
    return is_of_it and (name != LENGTH or wanted.name.endswith(place))


@dataclass(frozen=True, slots=True)
class _Known:
    """The sheet by what its steps name: tags that are measured on deck, the steps that name each tag, for a
    deck step the first that needs it of those whose work stands, and which these are."""

    measured: tuple[str, ...]
    naming: Mapping[str, tuple[Step, ...]]
    needed_by: Mapping[int, int]
    standing: frozenset[int]


def _known(run: Run) -> _Known:
    naming: dict[str, list[Step]] = defaultdict(list)
    measured: dict[str, None] = {}
    needed_by: dict[int, int] = {}
    standing = _standing(run)
    for step in run.sheet.steps:
        for tag in _tags_of(step):
            naming[tag].append(step)
        if step.lane is Lane.DECK:
            measured |= dict.fromkeys(wanted.item for wanted in step.readings if _is_of_its_own(wanted))
        if step.number in standing:
            for need in step.needs:
                needed_by.setdefault(need, step.number)
    steps = {tag: tuple(found) for tag, found in naming.items()}
    return _Known(tuple(measured), steps, needed_by, standing)


def _tags_of(step: Step) -> Iterable[str]:
    joined = (step.joined.lower, step.joined.upper) if step.joined is not None else ()
    return dict.fromkeys((*step.parts, *joined, *(wanted.item for wanted in step.readings)))


def _is_of_its_own(wanted: ReadingWanted) -> bool:
    return wanted.kind is ReadingKind.SERIAL or wanted.name == f"{LENGTH} {wanted.item}"


def _of_part(run: Run, known: _Known, tag: str) -> Swappable:
    naming = known.naming[tag]
    deck = tuple(step for step in naming if step.lane is Lane.DECK)
    wanted = [item for step in deck for item in step.readings if item.item == tag]
    on_list = any(item.kind is ReadingKind.SERIAL for item in wanted)
    has_length = any(item.name == f"{LENGTH} {tag}" for item in wanted)
    on_floor = [step.number for step in naming if step.lane is Lane.FLOOR and step.number in known.standing]
    needing = [known.needed_by[step.number] for step in deck if step.number in known.needed_by]
    # What did not apply to the rejected one may well apply to the new one.
    asked = (step for step in deck if is_ticked(run, step.number) or step.number in run.not_applicable)
    again = [step for step in asked if step.number not in known.needed_by]
    return Swappable(
        place=tag,
        item=tag if on_list else "",
        serial=_serial(run, tag, deck),
        values=_values(run, tag, on_list=on_list) if has_length else (),
        deck=tuple(step.number for step in again),
        on_floor_since=min((*on_floor, *(needing if on_list else ())), default=0),
        wants_length=not on_list and bool(needing),
    )


def _values(run: Run, tag: str, *, on_list: bool) -> tuple[str, ...]:
    if any(system.y_block.tag == tag for system in run.plan.systems):
        return OF_BLOCK
    return OF_PART if on_list else OF_JOINT


def _standing(run: Run) -> frozenset[int]:
    """Return the steps whose work stands; while the string comes back, what it takes back stands too."""
    ticked = frozenset((*run.done, *run.waiting))
    return ticked if run.way_back_left() else ticked - run.backed_out - run.ways_back


def _serial(run: Run, tag: str, deck: tuple[Step, ...]) -> str:
    """Return the serial that was read for a part, else the one that was put in its place or planned."""
    for step in deck:
        names = {item.name for item in step.readings if item.kind is ReadingKind.SERIAL and item.item == tag}
        ticked = run.done.get(step.number) or run.waiting.get(step.number)
        for taken in ticked.readings if ticked is not None else ():
            if taken.name in names:
                return taken.value
    for swap in reversed(run.swaps):
        if swap.swapped.place == tag:
            return swap.swapped.new_serial
    listed = (serial for serial, item in run.load_out.items() if item == tag and serial not in run.settled)
    return next(listed, "") or next((joint.serial for joint in _joints(run) if joint.tag == tag), "")


def _joints(run: Run) -> Iterator[Joint]:
    for system in run.plan.systems:
        yield from system.every_joint()
    yield from run.plan.production.tubing.joints


def _stations(run: Run) -> Iterator[Swappable]:
    standing, since = _standing(run), dict[Dressed, int]()
    for step in run.sheet.steps:
        if step.dressed is not None:
            since[step.dressed] = since.get(step.dressed, 0) or (
                step.number if step.number in standing else 0
            )
    for dressed, number in since.items():
        yield Swappable(dressed.station, dressed.clamp_type, "", (), (), number)
