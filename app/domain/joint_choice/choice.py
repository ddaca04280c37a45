"""The choice of joints for a leg: the best one, the runners-up, or what the rack is short of."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from app.domain.built import NOTHING_BUILT, Built
from app.domain.joint_choice.formulation import (
    Formulation,
    chosen,
    exclude,
    exclude_order,
    formulate,
    programme_of,
    shortfalls,
)
from app.domain.joint_choice.leg import Leg, fits, leg_of
from app.domain.joint_choice.programme import OnReached, Reached
from app.domain.joint_choice.shortfalls import Shortfall
from app.domain.joint_choice.wanted import LegWanted, beyond_mending, leg_wanted
from app.domain.plan import Plan, System
from app.domain.quantities import NO_LENGTH, Length
from app.domain.stands import SAME_HEIGHT

SEARCH_S = 4.7  # with what comes before and after it, an answer takes five seconds at most
RUNNERS_UP = 2
# Costs are whole numbers: nearer than that to the least there can be is the least.
WHOLE_GAP = 0.9
SHORT_GAP = 0.0005  # half a millimetre, when what is short is weighed


@dataclass(frozen=True, slots=True)
class Progress:
    """How far a search is: the best leg found so far, and how much nearer to mid stroke another may be."""

    seconds: float
    leg: Leg | None
    gap: Length


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
    plan: Plan,
    position: int,
    *,
    built: Built = NOTHING_BUILT,
    seconds: float = SEARCH_S,
    on_progress: OnProgress | None = None,
) -> JointChoice:
    """Return the joints that bring a swivel nearest to mid stroke, or what the rack is short of.

    What is built of the leg stays as it is.
    """
    system = plan.systems[position]
    search = Search(system, leg_wanted(plan, system, built), seconds, on_progress)
    hopeless = tuple(beyond_mending(search.wanted))
    legs = search.legs()
    best = None if hopeless else next(legs, None)
    proven, gap = search.proven, search.gap(best)
    if best is not None:
        search.tell(search.spent_s, best, gap)
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
    is_found: bool = False

    def legs(self) -> Iterator[Leg]:
        """Yield the best leg, then each next best of other joints, while there is one and time is left."""
        made = formulate(self.wanted)
        while values := self.solve(made, WHOLE_GAP):
            taken = chosen(made, values)
            leg = leg_of(self.system, self.wanted, taken)
            if fits(self.system, self.wanted, leg):
                self.is_found = True
                yield leg
                exclude(made, taken[1:])
            else:
                # The solver rounds where the rules do not.
                exclude_order(made, taken)

    def missing(self) -> tuple[Shortfall, ...]:
        """Return what every leg misses at the least."""
        made = formulate(self.wanted, relaxed=True)
        values = self.solve(made, SHORT_GAP)
        return shortfalls(made, values) if values else ()

    def gap(self, best: Leg | None) -> Length:
        """Return how much nearer to mid stroke than the best another leg might be [m]."""
        return NO_LENGTH if best is None or self.proven else _gap(best, self.may_be)

    def solve(self, made: Formulation, gap: float) -> tuple[float, ...]:
        """Return the best values found in the time that is left, and note whether they are proven."""
        # The solver takes a fifth of a second to import, which only a search should wait for.
        from app.domain.joint_choice.solver import minimise  # noqa: PLC0415

        solution = minimise(programme_of(made), seconds=self.left_s, gap=gap, on_reached=self._teller(made))
        self.spent_s, self.left_s = self.spent_s + solution.seconds, self.left_s - solution.seconds
        self.proven, self.may_be = solution.proven, made.nearest_possible(solution.bound)
        return solution.values

    def _teller(self, made: Formulation) -> OnReached | None:
        """Return what tells of the best leg as it is found, for whom it is wanted."""
        if self.on_progress is None or made.relaxed or self.is_found:
            return None
        best: Leg | None = None

        def told(reached: Reached) -> None:
            nonlocal best
            if reached.values:
                best = leg_of(self.system, self.wanted, chosen(made, reached.values))
            gap = NO_LENGTH if best is None else _gap(best, made.nearest_possible(reached.bound))
            self.tell(self.spent_s + reached.seconds, best, gap)

        return told

    def tell(self, seconds: float, best: Leg | None, gap: Length) -> None:
        """Tell how far the search is, where somebody wants to know."""
        if self.on_progress is not None:
            self.on_progress(Progress(seconds, best, gap))


def _gap(leg: Leg, may_be: Length) -> Length:
    gap = leg.off - may_be
    return gap if gap > SAME_HEIGHT else NO_LENGTH
