"""Counts at a step: temporary gear on and off, and what was issued against where it went."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from app.domain.checks.load_out import bulk_wanted, clamps_wanted
from app.domain.events.load_out import ItemsCounted, Settlement
from app.domain.operations import Operation
from app.domain.plan import Plan
from app.domain.run import Run
from app.domain.sheet import Sheet, Step
from app.domain.string.known import protected_runs

# What fits one more of what has no serial, and what takes one off.
PROTECTORS: dict[Operation, int] = {Operation.FIT_PROTECTOR: 1, Operation.REMOVE_PROTECTOR: -1}
MIDDLE_CLAMPS: dict[Operation, int] = {Operation.FIT_MID_JOINT_CLAMP: 1, Operation.REMOVE_MIDDLE_CLAMP: -1}


@dataclass(frozen=True, slots=True)
class GearCount:
    """A kind of temporary gear: how often it went on and came off, how many came to the site.

    `on_site` is nothing for what comes with the pipe, such as pin protectors.
    """

    item: str
    on: int
    off: int
    on_site: int | None = None

    @property
    def is_on(self) -> int:
        """Return how many are on the string or over the hole now."""
        return self.on - self.off

    @property
    def left(self) -> int | None:
        """Return how many are free on deck, below zero where more are on than came."""
        return None if self.on_site is None else self.on_site - self.is_on

    @property
    def is_true(self) -> bool:
        """Return whether no more came off than went on, and no more are on than came."""
        return self.is_on >= 0 and (self.left is None or self.left >= 0)


@dataclass(frozen=True, slots=True)
class ItemCount:
    """A type of clamp or protector: issued = fitted + returned + rejected + still on deck.

    `issued` is nothing where nobody said how many came; `loose_fitted` are those fitted without a serial.
    """

    item: str
    wanted: int
    issued: int | None
    fitted: int
    returned: int = 0
    rejected: int = 0
    loose_fitted: int = 0

    @property
    def on_deck(self) -> int | None:
        """Return how many are on deck still, below zero where more were used than issued."""
        if self.issued is None:
            return None
        return self.issued - self.fitted - self.returned - self.rejected

    @property
    def to_fit(self) -> int:
        """Return how many are to be fitted still."""
        return max(self.wanted - self.fitted, 0)

    @property
    def is_enough(self) -> bool:
        """Return whether what is on deck serves for what is to be fitted still."""
        return self.on_deck is None or self.on_deck >= self.to_fit


def gear_at(plan: Plan, steps: Iterable[Step]) -> tuple[GearCount, ...]:
    """Return the count of each piece of temporary gear after steps."""
    on: Counter[str] = Counter()
    off: Counter[str] = Counter()
    for step in steps:
        for move in step.gear:
            (on if move.count > 0 else off)[move.item] += abs(move.count)
    came = {item.tag: item.count for item in plan.lifting_gear}
    return tuple(GearCount(item, on[item], off[item], came.get(item)) for item in sorted(on | off))


def items_of(run: Run) -> tuple[ItemCount, ...]:
    """Return the count of each type of clamp and protector as a run stands."""
    fitted = Counter(run.load_out[serial] for serial in run.used_serials if serial in run.load_out)
    # A way back takes off what stands on the string until then, one by one.
    loose = bulk_fitted(run.plan, (run.sheet.steps[number - 1] for number in run.done))
    issued = Counter(run.load_out.values())
    return tuple(_settled(run, count) for count in _counted(run.plan, issued, fitted, loose, run.counted))


def items_after(plan: Plan, sheet: Sheet, number: int) -> tuple[ItemCount, ...]:
    """Return the count of each type once every step of a sheet up to a number is done as planned."""
    done = sheet.steps[:number]
    fitted = Counter(step.dressed.clamp_type for step in done if step.dressed is not None)
    issued = Counter(item.item for item in plan.load_out)
    return tuple(_counted(plan, issued, fitted, bulk_fitted(plan, done), {}))


def loose_items(plan: Plan) -> tuple[str, ...]:
    """Return what is counted by number: what the plan issues so, and what is fitted without a serial."""
    return tuple(sorted({*bulk_wanted(plan), *(item.item for item in plan.issued)}))


def bulk_fitted(plan: Plan, done: Iterable[Step]) -> Counter[str]:
    """Return how many protectors and mid-joint clamps of each type steps have fitted and not taken off."""
    run_of = dict(protected_runs(plan))
    fitted: Counter[str] = Counter()
    for step in done:
        run = run_of.get(step.parts[0]) if step.parts else None
        if run is not None and step.operation in PROTECTORS:
            fitted[run.protector] += PROTECTORS[step.operation]
        elif run is not None and step.operation in MIDDLE_CLAMPS:
            fitted[run.mid_joint_clamp] += MIDDLE_CLAMPS[step.operation]
    return fitted


def _counted(
    plan: Plan,
    serials: Mapping[str, int],
    fitted: Counter[str],
    loose: Counter[str],
    told: Mapping[str, ItemsCounted],
) -> Iterator[ItemCount]:
    came = {item.item: item.count for item in plan.issued}
    came |= {item: count.issued for item, count in told.items()}
    stations = clamps_wanted(plan)
    wanted = stations + bulk_wanted(plan)
    for item in sorted({*wanted, *came}):
        listed = serials.get(item, 0)
        known = listed + came.get(item, 0) if listed or item in came or item in stations else None
        yield ItemCount(item, wanted[item], known, fitted[item] + loose[item], loose_fitted=loose[item])


def _settled(run: Run, count: ItemCount) -> ItemCount:
    """Return a count with what went back and what was rejected, by serial and by number."""
    went = Counter(where for serial, where in run.settled.items() if run.load_out.get(serial) == count.item)
    told = run.counted.get(count.item)
    return replace(
        count,
        returned=went[Settlement.RETURNED.value] + (told.returned if told is not None else 0),
        rejected=went[Settlement.REJECTED.value] + (told.rejected if told is not None else 0),
    )
