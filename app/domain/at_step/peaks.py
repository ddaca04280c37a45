"""The most that each support sees in the course of a sheet, and the most that the hook carries."""

from collections.abc import Iterable
from dataclasses import dataclass

from app.domain.at_step.following import Followed, follow
from app.domain.at_step.hook_load import LOWERINGS, HookLoad, buoyancy_kg, hook_load
from app.domain.plan import Plan
from app.domain.quantities import Mass
from app.domain.sheet import Step
from app.domain.string.loads import Load, seen
from app.domain.string.supports import Hanging, SupportKind

Key = tuple[SupportKind, tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class SupportPeak:
    """The greatest load of a kind of support with its gear, at which step, and what of it is left buoyed."""

    step: Step
    load: Load
    buoyed: Mass


@dataclass(frozen=True, slots=True)
class HookPeak:
    """The most that the hook carries at the end of a lowering."""

    step: Step
    load: HookLoad


@dataclass(frozen=True, slots=True)
class Peaks:
    """All peaks of a sheet; the hook has none where nothing is lowered."""

    supports: tuple[SupportPeak, ...]
    hook: HookPeak | None


def peaks_of(plan: Plan, steps: Iterable[Step]) -> Peaks:
    """Return the peaks of the steps of a sheet, in the order in which each support comes on."""
    followed, before = follow(plan), tuple[Hanging, ...]()
    supports: dict[Key, SupportPeak] = {}
    hook: HookPeak | None = None
    for step in steps:
        followed.do(step)
        now = followed.state.hangings()
        if now != before:
            _note(supports, followed, step, (hanging for hanging in now if hanging not in before))
            before = now
        if step.operation in LOWERINGS:
            load = hook_load(followed)
            if hook is None or load.expected > hook.load.expected:
                hook = HookPeak(step, load)
    return Peaks(tuple(supports.values()), hook)


def _note(supports: dict[Key, SupportPeak], followed: Followed, step: Step, now: Iterable[Hanging]) -> None:
    for hanging in now:
        for load in seen(followed.plan, (hanging,)):
            key = load.support.kind, load.support.gear
            known = supports.get(key)
            if load.support.is_primary and (known is None or load.weight > known.load.weight):
                # What the fluid takes off is told, and never counted on.
                wet_kg = buoyancy_kg(followed, followed.state.bodies.of(load.tag))
                supports[key] = SupportPeak(step, load, Mass(load.weight.si - wet_kg))
