"""What each support can see of the string's weight: at one moment, and at most in the course of a step."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from enum import StrEnum

from app.domain.checks.slings import capacity
from app.domain.plan import Plan
from app.domain.quantities import Mass, Ratio
from app.domain.string.simulator import Moment
from app.domain.string.supports import RULE_OF, Hanging, Support, SupportKind


class Change(StrEnum):
    """What a step does to a support."""

    NONE = ""
    COMES_ON = "comes on"
    COMES_OFF = "comes off"


@dataclass(frozen=True, slots=True)
class Rating:
    """A piece of gear that sees the load of a support, and its WLL."""

    gear: str
    wll: Mass


@dataclass(frozen=True, slots=True)
class Load:
    """What one support can see: the leg, the part that it is named by, the weight in air, all ratings."""

    leg: str
    tag: str
    support: Support
    weight: Mass
    ratings: tuple[Rating, ...]
    change: Change = Change.NONE

    @property
    def held_by(self) -> str:
        """Return the support in words, with its gear and the part that it is on."""
        gear = ", ".join(item for item in self.support.gear if item != self.support.kind)
        return f"{self.support.kind} {gear} on {self.support.on}".replace("  ", " ")

    @property
    def rests_on(self) -> str:
        """Return what the support rests on."""
        return RULE_OF[self.support.kind].rests_on

    @property
    def weakest(self) -> Rating | None:
        """Return the lowest rating of what sees the load, or none where nothing is rated."""
        return min(self.ratings, key=lambda rating: rating.wll.si, default=None)

    @property
    def margin(self) -> Mass | None:
        """Return what the weakest could still carry, negative where it is overloaded [kg]."""
        return None if self.weakest is None else self.weakest.wll - self.weight

    @property
    def margin_share(self) -> Ratio | None:
        """Return the margin as a share of the WLL, or none where nothing is rated."""
        if self.weakest is None or self.margin is None or self.weakest.wll.si <= 0:
            return None
        return Ratio(self.margin.si / self.weakest.wll.si)


def loads(plan: Plan, moment: Moment) -> tuple[Load, ...]:
    """Return the greatest load of each support in a step, which is that before it or that after it."""
    before = {_key(load): load for load in seen(plan, moment.before)}
    after = {_key(load): load for load in seen(plan, moment.after)}
    return tuple(_greater(before.get(key), after.get(key)) for key in (before | after))


def seen(plan: Plan, hangings: Iterable[Hanging]) -> tuple[Load, ...]:
    """Return what each support of each leg can see at one moment."""
    return tuple(
        Load(item.leg, item.tag, support, Mass(item.weight_kg), tuple(ratings_of(plan, support)))
        for item in hangings
        for support in item.supports
    )


def greatest(found: Iterable[Load]) -> Load | None:
    """Return the greatest load on a primary support, of equal ones that with the least margin, or none."""
    primary = [load for load in found if load.support.is_primary]
    return max(primary, key=lambda load: (load.weight.si, -_share(load)), default=None)


def tightest(found: Iterable[Load]) -> Load | None:
    """Return the load that leaves the least of its WLL, or none where nothing is rated."""
    rated = [load for load in found if load.margin_share is not None]
    return min(rated, key=_share, default=None)


def ratings_of(plan: Plan, support: Support) -> Iterator[Rating]:
    """Yield each piece of gear that sees the load of a support and has a WLL."""
    if support.kind is SupportKind.SUPPORT_CLAMP:
        known = {kind.name: kind.wll for kind in plan.clamp_types if kind.wll is not None}
    else:
        known = {item.tag: capacity(item) for item in plan.lifting_gear}
    for gear in support.gear:
        if gear in known:
            yield Rating(gear, known[gear])


def _key(load: Load) -> tuple[SupportKind, str]:
    return load.support.kind, load.support.on


def _greater(before: Load | None, after: Load | None) -> Load:
    if before is None or after is None:
        alone, change = (after, Change.COMES_ON) if before is None else (before, Change.COMES_OFF)
        assert alone is not None, "a support is there before the step or after it"
        return replace(alone, change=change)
    return replace(after, weight=max(after.weight, before.weight, key=lambda weight: weight.si))


def _share(load: Load) -> float:
    share = load.margin_share
    return float("inf") if share is None else share.si
