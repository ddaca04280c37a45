"""Every figure of a plan or a run, worked out once for each state of it."""

from dataclasses import dataclass, field, replace
from datetime import date, datetime
from functools import lru_cache

from app.domain.at_step.counts import items_of
from app.domain.edits.kinds import History
from app.domain.figures.subjects.basis import Basis, Figure, Subject, basis_at, basis_of_run
from app.domain.figures.subjects.counts import ITEMS, item_result
from app.domain.figures.subjects.every import every_figure, figures_outside, needed_at
from app.domain.measured import Measured, measured_in, with_measured
from app.domain.refusals import NoLegsError
from app.domain.run import Run
from app.domain.sheet import Measurand, Step
from app.services.plans import edits_of
from app.services.proof import prove
from app.services.proven_figures import Figures, basis_of_proof
from app.services.site import Site
from app.store.plans import KeptPlan

KEPT_PLANS, KEPT_RUNS = 4, 8
# These change with every tick or with the clock; the others only with what is measured.
MOVING = (Subject.TORQUE, Subject.ELECTRICAL, Subject.PRESSURE, Subject.COUNTS, Subject.FORECAST)
STANDING = tuple(subject for subject in Subject if subject not in MOVING)
TIMELESS = tuple(subject for subject in Subject if subject is not Subject.FORECAST)


@dataclass(frozen=True, slots=True, eq=False)
class _Same:
    """Holds a frozen value that is equal to itself alone: comparing what is in it would take too long."""

    value: object

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and self.value is other.value

    def __hash__(self) -> int:
        return id(self.value)


@dataclass(frozen=True, slots=True)
class _RunState:
    """A run after one event, on a day; a site hands out each such state as one value."""

    state: _Same
    day: date
    run: Run = field(compare=False)
    now: datetime = field(compare=False)


@dataclass(frozen=True, slots=True)
class _MeasuredState:
    """The plan of a run by what was measured in it; ticks that measure nothing change nothing here."""

    plan: _Same
    day: date
    values: frozenset[tuple[Measurand, float]]
    run: Run = field(compare=False)
    measured: Measured = field(compare=False)
    now: datetime = field(compare=False)


def figures_of_plan(site: Site, kept: KeptPlan) -> Figures:
    """Return every figure of a kept plan, as it stands with the changes to its sheet.

    Raises: NoFiguresError with the first finding that stands in the way.
    """
    now = site.clock()
    found = _of_text(kept.text, edits_of(site, kept.id), now.date())
    return _at(found, now)


async def chosen_joints_of(site: Site, found: Figures, kept: KeptPlan) -> tuple[Figure, ...]:
    """Return what a search for joints comes to, system by system; nothing where no leg can be worked out."""
    # The search and its solver are loaded where a choice is asked for.
    from app.domain.figures.subjects.chosen_joints import choice_figures  # noqa: PLC0415
    from app.services.closing_legs import chosen_once  # noqa: PLC0415

    figures: list[Figure] = []
    for system in found.basis.plan.systems:
        try:
            chosen = await chosen_once(site, kept.text, system.name, site.clock().date())
        except NoLegsError:
            return ()
        figures += choice_figures(system, chosen.choice)
    return tuple(figures)


def figures_of_run(run: Run, now: datetime) -> Figures:
    """Return every figure of a run as it stands, by what was measured and read so far."""
    found = _of_run(_RunState(_Same(run), now.date(), run, now))
    return _at(found, now)


def outside_now(run: Run, now: datetime) -> tuple[Figure, ...]:
    """Return the figures outside their limits that the current step of a run depends on."""
    step, measured = run.current(), measured_in(run)
    if step is None:
        return ()
    values = frozenset((of, value.si) for of, value in measured.values.items())
    standing = _standing(_MeasuredState(_Same(run.plan), now.date(), values, run, measured, now))
    return needed_at(step, (*standing, *_items_short(run, step)))


def _items_short(run: Run, step: Step) -> tuple[Figure, ...]:
    if step.dressed is None:
        return ()
    kind = step.dressed.clamp_type
    counts = (item for item in items_of(run) if item.item == kind)
    figures = (Figure(Subject.COUNTS, ITEMS, item_result(item), frozenset({kind})) for item in counts)
    return figures_outside(figures)


def figures_at(found: Figures, number: int) -> Figures:
    """Return figures with those that a step changes as they will be once every step up to it is done.

    Raises: UnknownStepError where the sheet has no such step.
    """
    if number == 0:
        return found
    basis = basis_at(found.basis, number)
    return _in_order(found, basis, (Subject.TALLY, Subject.LOADS, Subject.COUNTS))


def _at(found: Figures, now: datetime) -> Figures:
    """Return figures with the forecast, which every minute changes, as it is at a time."""
    return _in_order(found, replace(found.basis, now=now), (Subject.FORECAST,))


def _in_order(found: Figures, basis: Basis, anew: tuple[Subject, ...]) -> Figures:
    """Return figures with some subjects worked out anew, in the order of the subjects."""
    kept = (figure for figure in found.figures if figure.subject not in anew)
    order = list(Subject)
    figures = sorted((*kept, *every_figure(basis, anew)), key=lambda figure: order.index(figure.subject))
    return Figures(basis, tuple(figures))


@lru_cache(maxsize=KEPT_PLANS)
def _of_text(text: str, history: History, day: date) -> Figures:
    now = datetime.combine(day, datetime.min.time())
    basis = basis_of_proof(prove(text, day, history), now)
    return Figures(basis, every_figure(basis, TIMELESS))


@lru_cache(maxsize=KEPT_RUNS)
def _of_run(state: _RunState) -> Figures:
    basis = basis_of_run(state.run, state.now)
    return Figures(basis, every_figure(basis, TIMELESS))


@lru_cache(maxsize=KEPT_RUNS)
def _standing(state: _MeasuredState) -> tuple[Figure, ...]:
    plan = with_measured(state.run.plan, state.measured)
    basis = Basis(plan, state.now, state.run, state.measured)
    return figures_outside(every_figure(basis, STANDING))
