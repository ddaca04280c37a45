"""What all figures have in common, whatever they are of."""

from collections import Counter
from collections.abc import Callable

import pytest

from app.domain.figures.subjects.basis import Basis, Subject, basis_of_plan
from app.domain.figures.subjects.every import every_figure, figures_outside, needed_at
from app.records.figures_json import figures_to_json
from app.records.figures_text import figures_to_text
from tests.domain import job
from tests.domain.figures.subjects.figured import going, planned

BASES: dict[str, Callable[[], Basis]] = {
    "plan": planned,
    "run": lambda: going(job.after(120)),
    "done": lambda: going(job.all_done()),
}


@pytest.fixture(params=BASES)
def basis(request: pytest.FixtureRequest) -> Basis:
    make: Callable[[], Basis] = BASES[request.param]
    return make()


def test_every_subject_has_figures_and_each_can_be_opened(basis: Basis) -> None:
    figures = every_figure(basis)

    assert {figure.subject for figure in figures} == set(Subject)
    for figure in figures:
        result = figure.result
        assert result.formula, result.name
        assert result.inputs, result.name
        assert result.source, result.name
        assert result.advice, result.name
        assert result.value_text, result.name
        assert all(item.text and item.origin for item in result.inputs), result.name


def test_no_two_figures_of_a_group_have_one_name(basis: Basis) -> None:
    names = Counter(
        (figure.subject, figure.group, figure.step, figure.result.name) for figure in every_figure(basis)
    )

    assert [name for name, count in names.items() if count > 1] == []


def test_the_demonstration_is_inside_all_its_limits(basis: Basis) -> None:
    assert [figure.result.name for figure in figures_outside(every_figure(basis))] == []


def test_without_a_sheet_the_string_is_worked_out_all_the_same() -> None:
    figures = every_figure(basis_of_plan(job.plan(), None, job.START))

    assert {figure.subject for figure in figures} == set(Subject) - {Subject.COUNTS, Subject.FORECAST}


def test_a_step_depends_on_figures_about_its_own_station() -> None:
    figures = every_figure(planned(), (Subject.FIT, Subject.STATIONS))
    dressing = job.step(job.FIRST_CLAMP)
    assert dressing.dressed is not None

    names = {figure.result.name for figure in needed_at(dressing, figures)}

    assert "room round the bypass clamp at the base of MTR-1" in names
    assert "bypass clamp at the base of MTR-1: to the next coupling or upset" in names
    assert "room round YB-1" not in names


def test_text_and_json_hold_every_figure(basis: Basis) -> None:
    figures = every_figure(basis)

    text, told = figures_to_text(figures), figures_to_json(figures, title="A job")

    assert text.count("        formula: ") == len(figures)
    assert told["outside"] == 0
    assert isinstance(told["figures"], list)
    assert len(told["figures"]) == len(figures)
    assert set(told["figures"][0]) == {
        "subject",
        "group",
        "step",
        "about",
        "name",
        "value",
        "limits",
        "margin",
        "verdict",
        "outside",
        "advice",
        "formula",
        "inputs",
        "source",
    }
