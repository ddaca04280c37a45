"""The findings on a plan as they are shown to other programs."""

from collections.abc import Sequence

from app.domain.problems import Problem, Severity

FINDINGS_FORMAT = "twinleg-findings-1"


def findings_to_json(problems: Sequence[Problem], *, title: str, releasable: bool) -> dict[str, object]:
    """Return the findings with stable keys; `title` is the job's, empty where the plan cannot be read."""
    return {
        "format": FINDINGS_FORMAT,
        "title": title,
        "releasable": releasable,
        "stops": _count(problems, Severity.STOP),
        "cautions": _count(problems, Severity.CAUTION),
        "notes": _count(problems, Severity.NOTE),
        "findings": [finding_to_json(problem) for problem in problems],
    }


def finding_to_json(problem: Problem) -> dict[str, object]:
    """Return one finding for other programs."""
    return {
        "rule": problem.rule,
        "severity": problem.severity.value,
        "where": problem.where,
        "text": problem.text,
    }


def _count(problems: Sequence[Problem], severity: Severity) -> int:
    return sum(problem.severity is severity for problem in problems)
