"""Figures as plain text: what is outside first, then subject by subject, each opened."""

from collections.abc import Iterator, Sequence
from itertools import groupby

from app.domain.figures.subjects.basis import Figure, Subject
from app.domain.figures.subjects.every import figures_outside
from app.domain.results import Result


def figures_to_text(figures: Sequence[Figure]) -> str:
    """Return all figures with formula, inputs, limits and source."""
    return "\n".join(_lines(figures)) + "\n"


def _lines(figures: Sequence[Figure]) -> Iterator[str]:
    outside = figures_outside(figures)
    if outside:
        yield "OUTSIDE THEIR LIMITS"
        yield from (f"  {figure.subject}: {_line(figure)}" for figure in outside)
        yield ""
    for subject in Subject:
        of_subject = [figure for figure in figures if figure.subject is subject]
        yield (
            f"{subject.upper()}: {len(of_subject)} figures"
            if of_subject
            else f"{subject.upper()}: no figures"
        )
        for group, members in groupby(of_subject, key=lambda figure: figure.group):
            yield f"  {group}"
            for figure in members:
                yield f"    {_line(figure)}"
                yield from (f"        {line}" for line in _opened(figure.result))
        yield ""


def _line(figure: Figure) -> str:
    result = figure.result
    at = f" (step {figure.step})" if figure.step else ""
    limits = f"; {result.limits_text}" if result.limits_text else ""
    margin = f", margin {result.margin_text}" if result.margin_text else ""
    return f"{result.name}{at}: {result.value_text}{limits}{margin}; {result.verdict.value}"


def _opened(result: Result) -> Iterator[str]:
    yield f"formula: {result.formula}"
    yield from (f"{item.name}: {item.text} ({item.origin})" for item in result.inputs)
    yield f"source: {result.source}"
    yield f"advice: {result.advice}"
