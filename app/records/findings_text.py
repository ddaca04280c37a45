"""A finding as one line of plain text."""

from app.domain.problems import Problem


def finding_line(problem: Problem) -> str:
    """Return how grave it is, its place, its sentence and its rule, on one line."""
    text = " ".join(problem.text.split())
    return f"{problem.severity.value.upper():8}{problem.where}: {text} [{problem.rule}]"
