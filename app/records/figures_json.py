"""Figures as they are shown to other programs: text with its unit, as a person would read it."""

from collections.abc import Iterable

from app.domain.figures.subjects.basis import Figure
from app.domain.results import Result

FIGURES_FORMAT = "twinleg-figures-1"


def figures_to_json(figures: Iterable[Figure], *, title: str) -> dict[str, object]:
    """Return figures with stable keys; `title` is the job's."""
    told = [figure_to_json(figure) for figure in figures]
    outside = sum(bool(item["outside"]) for item in told)
    return {"format": FIGURES_FORMAT, "title": title, "outside": outside, "figures": told}


def figure_to_json(figure: Figure) -> dict[str, object]:
    """Return one figure with its subject, what it is about and its step; a step of 0 is none."""
    return {
        "subject": figure.subject.value,
        "group": figure.group,
        "step": figure.step,
        "about": sorted(figure.about),
        **result_to_json(figure.result),
    }


def result_to_json(result: Result) -> dict[str, object]:
    """Return a result; what it has no limits or margin for is empty."""
    return {
        "name": result.name,
        "value": result.value_text,
        "limits": result.limits_text,
        "margin": result.margin_text,
        "verdict": result.verdict.value,
        "outside": result.is_outside,
        "advice": result.advice,
        "formula": result.formula,
        "inputs": [{"name": item.name, "text": item.text, "origin": item.origin} for item in result.inputs],
        "source": result.source,
    }
