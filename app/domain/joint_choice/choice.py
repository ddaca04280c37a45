"""The choice of joints for a leg: the best one, the runners-up, or what the rack is short of."""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from app.domain.joint_choice.formulation import (
    Formulation,
    chosen,
    exclude,
    formulate,
    programme_of,
    shortfalls,
)
from app.domain.joint_choice.shortfalls import Shortfall
from app.domain.joint_choice.wanted import LegWanted, beyond_mending, leg_wanted
from app.domain.legs import mid_stroke
from app.domain.parts import Joint
from app.domain.plan import Plan, System
from app.domain.quantities import NO_LENGTH, Length, total

SEARCH_S = 5.0
RUNNERS_UP = 2
# Costs are whole numbers: nearer than that to the least there can be is the least.
WHOLE_GAP = 0.9
SHORT_GAP = 0.0005  # half a millimetre, when what is short is weighed


@dataclass(frozen=True, slots=True)
class Leg:
    """Joints from the one with the mark upwards, and where they leave the swivel.

    `racked` are tags that come from the rack, `freed` tags of the plan that go back on it.
    """

    joints: tuple[Joint, ...]
    extension: Length
    off: Length
    racked: tuple[str, ...]
    freed: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Progress:
    """How far a search is: the nearest to mid stroke found so far, and how near another might still be."""

    seconds: float
    nearest: Length | None
    may_be: Length


@dataclass(frozen=True, slots=True)
class JointChoice:
    """What came of a search for one system.

    Without a leg, `short` says what is missing and by how much. What is not `proven` was cut off by
    time: then another leg might be nearer to mid stroke by up to `gap`. `all_shown` says that there is
    no further set of joints that would do.
    """

    system: str
    wanted: LegWanted
    leg: Leg | None
    runners_up: tuple[Leg, ...]
    short: tuple[Shortfall, ...]
    proven: bool
    gap: Length
    all_shown: bool
    seconds: float


OnProgress = Callable[[Progress], None]


def choose_joints(
    plan: Plan, position: int, *, seconds: float = SEARCH_S, on_progress: OnProgress | None = None
) -> JointChoice:
    """Return the joints that bring a swivel nearest to mid stroke, or what the rack is short of."""
    system = plan.systems[position]
    search = Search(system, leg_wanted(plan, system), seconds, on_progress)
    hopeless = tuple(beyond_mending(search.wanted))
    legs = search.legs()
    best = None if hopeless else next(legs, None)
    proven, gap = search.proven, search.gap(best)
    short = hopeless
    if best is None and proven and not hopeless:
        short = search.missing()
    runners_up = () if best is None else tuple(leg for _, leg in zip(range(RUNNERS_UP), legs, strict=False))
    return JointChoice(
        system=system.name,
        wanted=search.wanted,
        leg=best,
        runners_up=runners_up,
        short=short,
        proven=proven,
        gap=gap,
        all_shown=search.proven and len(runners_up) < RUNNERS_UP,
        seconds=search.spent_s,
    )


@dataclass(slots=True)
class Search:
    """Guards the time that a search has left, and how far its last try came."""

    system: System
    wanted: LegWanted
    left_s: float
    on_progress: OnProgress | None = None
    spent_s: float = 0.0
    proven: bool = True
    may_be: Length = NO_LENGTH

    def legs(self) -> Iterator[Leg]:
        """Yield the best leg, then each next best of other joints, while there is one and time is left."""
        made = formulate(self.wanted)
        while values := self.solve(made, WHOLE_GAP):
            taken = chosen(made, values)
            yield leg_of(self.system, self.wanted, taken)
            exclude(made, taken[1:])

    def missing(self) -> tuple[Shortfall, ...]:
        """Return what every leg misses at the least."""
        made = formulate(self.wanted, relaxed=True)
        values = self.solve(made, SHORT_GAP)
        return shortfalls(made, values) if values else ()

    def gap(self, best: Leg | None) -> Length:
        """Return how much nearer to mid stroke than the best another leg might be [m]."""
        return NO_LENGTH if best is None or self.proven else max(best.off - self.may_be, NO_LENGTH)

    def solve(self, made: Formulation, gap: float) -> tuple[float, ...]:
        """Return the best values found in the time that is left, and note whether they are proven."""
        # The solver takes a fifth of a second to import, which only a search should wait for.
        from app.domain.joint_choice.solver import Reached, minimise  # noqa: PLC0415

        def report(reached: Reached) -> None:
            if self.on_progress is not None and not made.relaxed:
                nearest = made.within(reached.cost) if math.isfinite(reached.cost) else None
                may_be = made.nearest_possible(reached.bound)
                self.on_progress(Progress(self.spent_s + reached.seconds, nearest, may_be))

        solution = minimise(programme_of(made), seconds=self.left_s, gap=gap, on_reached=report)
        self.spent_s, self.left_s = self.spent_s + solution.seconds, self.left_s - solution.seconds
        self.proven, self.may_be = solution.proven, made.nearest_possible(solution.bound)
        return solution.values


def leg_of(system: System, wanted: LegWanted, taken: tuple[int, ...]) -> Leg:
    """Return the leg of the candidates that were taken, from the mark's joint upwards."""
    candidates = [wanted.candidates[number] for number in taken]
    height = wanted.first + total(Length, (candidate.net for candidate in candidates[1:]))
    off = height - wanted.mid
    joints = tuple(candidate.joint for candidate in candidates)
    kept = {joint.tag for joint in joints}
    return Leg(
        joints=joints,
        extension=mid_stroke(system) - off,
        off=Length(abs(off.si)),
        racked=tuple(candidate.joint.tag for candidate in candidates if candidate.racked),
        freed=tuple(
            candidate.joint.tag
            for candidate in wanted.candidates
            if not candidate.racked and candidate.joint.tag not in kept
        ),
    )
