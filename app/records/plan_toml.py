"""The run plan as TOML: the text that a person writes, and the same text written back."""

import re
import tomllib

from app.domain.plan import Plan
from app.domain.problems import Problem, stop
from app.records.plan_json import WHOLE, plan_from_json, plan_to_json
from app.records.toml_text import toml_text

LONGEST_TEXT = 500_000  # twenty times a plan of two systems
MOST_DOTS = 150  # a key of many dots, a.a.a.a, costs the parser the square of their number in time

PLACE = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)$")

# What the parser says, and what a person does about it.
ADVICE: tuple[tuple[str, str], ...] = (
    ("Cannot overwrite", "the same key or table stands twice; keep one of them."),
    (
        "Cannot declare",
        "the same table is opened twice; put its lines together, or use [[ ]] for one more row.",
    ),
    (
        "Cannot mutate",
        "a table written in { } or a list cannot be added to further down; write it in one place.",
    ),
    ("Cannot redefine", "the same table is opened twice; put its lines together."),
    ("Duplicate inline", "a key stands twice in one row; keep one of them."),
    ("Expected '='", 'a line is a key, an equals sign and a value, like length = "31.40 ft".'),
    ("Expected newline", "one value stands on a line; text and numbers with a unit are put in quotes."),
    ("Expected ']", "a table starts with [name], a row of a list of tables with [[name]]."),
    ("Unclosed array", "a list ends with ], and a comma stands between its rows."),
    ("Unclosed inline", "a row ends with } on the line where it began, and a comma stands between its keys."),
    ("Unterminated string", "a quote is opened and not closed."),
    ("Illegal character", "a quote is not closed on its line, or a character there does not print."),
    ("Unescaped", "a backslash in quotes is written twice."),
    ("Invalid hex", "a backslash in quotes is written twice."),
    ("Escaped character", "a backslash in quotes is written twice."),
    ("Invalid date", "a day is written year-month-day, like 2090-06-30."),
    ("Invalid value", "text and numbers with a unit are put in quotes, and a list above is closed with ]."),
    ("Invalid statement", "a line begins with a key, a [table] or a # remark."),
    ("Invalid initial", "a key is made of letters, digits, - and _."),
)
OTHER_ADVICE = "look at the quotes, brackets and commas there."


def read_plan(text: str | bytes) -> tuple[Plan | None, tuple[Problem, ...]]:
    """Return the plan that a TOML text holds, or none and every mistake in it."""
    decoded, problems = _decoded(text)
    problems = problems or _unfit(decoded)
    if problems:
        return None, problems
    try:
        tables = tomllib.loads(decoded)
    except ValueError as error:
        return None, (_unreadable(str(error)),)
    except RecursionError:
        return None, (
            _broken(WHOLE, "Brackets stand in brackets too deep; a plan has lists of rows, no deeper."),
        )
    return plan_from_json(tables)


def write_plan_toml(plan: Plan) -> str:
    """Return the plan as TOML; reading it gives the same plan, each value as typed."""
    return toml_text(plan_to_json(plan))


def _decoded(text: str | bytes) -> tuple[str, tuple[Problem, ...]]:
    if isinstance(text, str):
        return text.removeprefix("\ufeff"), ()
    try:
        return text.decode("utf-8-sig"), ()
    except UnicodeDecodeError as error:
        line = text.count(b"\n", 0, error.start) + 1
        advice = "This is not UTF-8 text; save the plan again with the encoding UTF-8."
        return "", (_broken(f"line {line}", advice),)


def _unfit(text: str) -> tuple[Problem, ...]:
    """Return what keeps the text from being parsed at all."""
    if len(text) > LONGEST_TEXT:
        return (_broken(WHOLE, f"The text has more than {LONGEST_TEXT} characters; is it a plan?"),)
    for number, line in enumerate(text.split("\n"), start=1):
        if "\0" in line:
            return (_broken(f"line {number}", "A NUL stands here; this is no text file, or it was damaged."),)
        if line.count(".") > MOST_DOTS:
            advice = f"This line has more than {MOST_DOTS} dots; break it after a comma."
            return (_broken(f"line {number}", advice),)
    return ()


def _unreadable(message: str) -> Problem:
    place = PLACE.search(message)
    where = "end of the text"
    if place is None:
        where = WHOLE
    elif place[1]:
        where = f"line {place[1]}, column {place[2]}"
    advice = next((advice for start, advice in ADVICE if message.startswith(start)), OTHER_ADVICE)
    return _broken(where, f"The text cannot be read as TOML here: {advice}")


def _broken(where: str, text: str) -> Problem:
    return stop("plan-unreadable", where, text)
