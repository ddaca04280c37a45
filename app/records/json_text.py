"""Bytes that should be JSON, read strictly: one meaning or none."""

import json

import rfc8785

from app.domain.problems import Problem, stop
from app.records.canonical import canonical_bytes


def read_canonical(data: bytes, where: str) -> tuple[object, list[Problem]]:
    """Return the value that the bytes spell, or why they are not the one canonical form of a value."""
    value, problems = read_json(data, where)
    if problems:
        return None, problems
    if not is_canonical(data, value):
        return None, [
            stop(
                "canonical-form",
                where,
                "The text is not in its canonical form, so it was changed after it was written. "
                "Use the file as it was exported.",
            )
        ]
    return value, []


def read_json(data: bytes, where: str) -> tuple[object, list[Problem]]:
    """Return the value that the bytes spell, or the problem that keeps them from being JSON."""
    try:
        return json.loads(data.decode("utf-8"), parse_constant=_refuse_constant), []
    except UnicodeDecodeError as error:
        reason = f"byte {error.start} is not UTF-8 text"
    except json.JSONDecodeError as error:
        reason = f"line {error.lineno}, character {error.colno}: {error.msg}"
    except RecursionError:
        reason = "it is nested too deeply"
    except ValueError as error:  # a number too long to read, or one such as NaN
        reason = str(error)
    return None, [
        stop("json-text", where, f"This is not a JSON text ({reason}). Use the file as it was exported.")
    ]


def is_canonical(data: bytes, value: object) -> bool:
    """Return whether the bytes are exactly the canonical form of the value."""
    try:
        return canonical_bytes(value) == data
    except (rfc8785.CanonicalizationError, UnicodeEncodeError, RecursionError):
        return False


def _refuse_constant(name: str) -> None:
    raise ValueError(f"{name} is not a number that JSON knows")
