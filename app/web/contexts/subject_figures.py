"""Every figure of a plan or a run by subject: what is outside first, then one subject in groups."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby
from typing import ClassVar

from app.domain.figures.subjects.basis import Figure, Subject
from app.domain.run import Run
from app.domain.sheet import Lane
from app.services.proven_figures import Figures
from app.store.plans import KeptPlan
from app.web.contexts.frame import Frame
from app.web.contexts.runs import RunBar, run_bar

FEW = 12  # a longer group is opened by a tap
FEW_OUTSIDE = 4  # more than these push the way to the subjects off the screen
BY_STEP = frozenset({Subject.TALLY, Subject.LOADS, Subject.COUNTS})  # what a step of the floor changes


@dataclass(frozen=True, slots=True)
class SubjectTab:
    """A subject, how many figures it has, and how many of them are outside."""

    subject: Subject
    figures: int
    outside: int


@dataclass(frozen=True, slots=True)
class FigureGroup:
    """Figures under one heading; `is_open` says that they are shown at once."""

    title: str
    figures: tuple[Figure, ...]
    outside: int
    is_open: bool


@dataclass(frozen=True, slots=True)
class BySubject:
    """The figures as they are shown: what is outside, all subjects, and the chosen one in groups.

    `few` of what is outside are shown at once, the rest by a tap.
    `at` is the step up to which all counts as done, 0 for the run as it stands; `before` and `after` are
    the floor steps beside it, 0 where there is none or where no step changes the chosen subject.
    """

    at: int
    before: int
    after: int
    outside: tuple[Figure, ...]
    few: int
    tabs: tuple[SubjectTab, ...]
    chosen: Subject
    groups: tuple[FigureGroup, ...]


@dataclass(frozen=True, slots=True)
class RunFiguresPage:
    """The figures of a run as it stands, and the way to its cables and steps."""

    PAGE: ClassVar[str] = "figures/run.html"
    PART: ClassVar[str] = "figures/_run.html"

    frame: Frame
    bar: RunBar
    shown: BySubject


@dataclass(frozen=True, slots=True)
class PlanFiguresPage:
    """The figures of a plan before its run; without a sheet those of its steps are left out."""

    PAGE: ClassVar[str] = "figures/plan.html"
    PART: ClassVar[str] = "figures/_plan.html"

    frame: Frame
    plan: KeptPlan
    title: str
    has_sheet: bool
    shown: BySubject


def subject_of(name: str) -> Subject:
    """Return the subject of that name; any other name means the first one."""
    return next((subject for subject in Subject if subject == name), Subject.TALLY)


def run_figures_page(frame: Frame, run: Run, found: Figures, subject: str) -> RunFiguresPage:
    """Return the figures of a run, one subject of them in groups."""
    return RunFiguresPage(frame, run_bar(run), by_subject(found, subject_of(subject)))


def plan_figures_page(frame: Frame, kept: KeptPlan, found: Figures, subject: str) -> PlanFiguresPage:
    """Return the figures of a plan, one subject of them in groups."""
    title, has_sheet = found.basis.plan.job.title, found.basis.run is not None
    return PlanFiguresPage(frame, kept, title, has_sheet, by_subject(found, subject_of(subject)))


def by_subject(found: Figures, chosen: Subject) -> BySubject:
    """Return figures as they are shown, one subject of them in groups."""
    figures, at = found.figures, found.basis.at
    of_chosen = [figure for figure in figures if figure.subject is chosen]
    return BySubject(
        at=at,
        before=_beside(found, chosen, -1),
        after=_beside(found, chosen, 1),
        outside=_together([figure for figure in figures if figure.result.is_outside]),
        few=FEW_OUTSIDE,
        tabs=tuple(_tabs(figures)),
        chosen=chosen,
        groups=tuple(_groups(of_chosen)),
    )


def _beside(found: Figures, chosen: Subject, way: int) -> int:
    """Return the floor step before (-1) or after (1) the moment that is shown."""
    run = found.basis.run
    if run is None or chosen not in BY_STEP:
        return 0
    at = found.basis.at or max((number for number in run.done if _is_floor(run, number)), default=0)
    floor = (step.number for step in run.sheet.lane(Lane.FLOOR) if (step.number - at) * way > 0)
    return min(floor, key=lambda number: abs(number - at), default=0)


def _is_floor(run: Run, number: int) -> bool:
    return run.sheet.steps[number - 1].lane is Lane.FLOOR


def _tabs(figures: tuple[Figure, ...]) -> Iterator[SubjectTab]:
    for subject in Subject:
        of_subject = [figure for figure in figures if figure.subject is subject]
        yield SubjectTab(subject, len(of_subject), _outside(of_subject))


def _groups(figures: list[Figure]) -> Iterator[FigureGroup]:
    for title, members in groupby(_together(figures), key=lambda figure: figure.group):
        group = tuple(members)
        outside = _outside(group)
        yield FigureGroup(title, group, outside, bool(outside) or len(group) <= FEW)


def _together(figures: list[Figure]) -> tuple[Figure, ...]:
    """Return figures so that each group stands once, where its first figure does."""
    order = list(dict.fromkeys((figure.subject, figure.group) for figure in figures))
    return tuple(sorted(figures, key=lambda figure: order.index((figure.subject, figure.group))))


def _outside(figures: Iterable[Figure]) -> int:
    return sum(figure.result.is_outside for figure in figures)
