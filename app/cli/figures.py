"""The figures of a plan's file, beside what `twinleg check` finds."""

from datetime import datetime

from app.domain.figures.subjects.basis import Figure
from app.records.figures_json import figure_to_json
from app.records.figures_text import figures_to_text
from app.services.proof import Proof
from app.services.proven_figures import NoFiguresError, figures_of_proof


def figures_lines(proof: Proof, now: datetime) -> str:
    """Return every figure of a plan as text; nothing where its shape is not whole, as the findings say."""
    figures = _figures(proof, now)
    return figures_to_text(figures) if figures else ""


def figures_member(proof: Proof, now: datetime) -> dict[str, object]:
    """Return every figure of a plan as the member of the answer that holds them."""
    return {"figures": [figure_to_json(figure) for figure in _figures(proof, now)]}


def _figures(proof: Proof, now: datetime) -> tuple[Figure, ...]:
    try:
        return figures_of_proof(proof, now).figures
    except NoFiguresError:
        return ()
