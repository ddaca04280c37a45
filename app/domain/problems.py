"""Mistakes in data are values: what is wrong, where, how grave, and how to mend it."""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum


class Severity(StrEnum):
    """How far a problem reaches: a stop blocks release, a caution wants a name, a note informs."""

    STOP = "stop"
    CAUTION = "caution"
    NOTE = "note"


@dataclass(frozen=True, slots=True)
class Problem:
    """One finding: the rule that found it, its place, and a sentence that says what to do."""

    rule: str
    severity: Severity
    where: str
    text: str


def stop(rule: str, where: str, text: str) -> Problem:
    """Return a problem that blocks release."""
    return Problem(rule, Severity.STOP, where, text)


def caution(rule: str, where: str, text: str) -> Problem:
    """Return a problem that somebody must acknowledge by name."""
    return Problem(rule, Severity.CAUTION, where, text)


def note(rule: str, where: str, text: str) -> Problem:
    """Return a problem that only informs."""
    return Problem(rule, Severity.NOTE, where, text)


def accepting(problem: Problem) -> str:
    """Return the text by which a caution is accepted: its rule, place and words."""
    return f"{problem.rule} at {problem.where}: {problem.text}"


def accepted_words(accepted: str) -> str:
    """Return the place and words of a caution from the text by which it was accepted."""
    return accepted.partition(" at ")[2]


def has_stop(problems: Iterable[Problem]) -> bool:
    """Return whether any of the problems blocks release."""
    return any(problem.severity is Severity.STOP for problem in problems)
