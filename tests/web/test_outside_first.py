"""What is outside its limits stands first, and leaves the way to the subjects in view."""

from dataclasses import replace

from app.domain.figures.subjects.basis import Figure, Subject
from app.domain.figures.subjects.every import every_figure
from app.services.proven_figures import Figures
from app.web.contexts.subject_figures import FEW_OUTSIDE, by_subject
from tests.domain.figures.subjects.figured import planned


def test_what_is_outside_stands_group_by_group_and_few_of_it_at_once() -> None:
    basis = planned()
    outside = replace(
        next(iter(every_figure(basis, (Subject.TALLY,)))).result,
        low=None,
        high=basis.plan.well.setting_depth * 0.1,
    )
    figures = tuple(Figure(Subject.ELECTRICAL, f"tests of MC-{number % 2}", outside) for number in range(6))

    shown = by_subject(Figures(basis, figures), Subject.TALLY)

    assert [figure.group for figure in shown.outside] == ["tests of MC-0"] * 3 + ["tests of MC-1"] * 3
    assert shown.few == FEW_OUTSIDE < len(shown.outside)
