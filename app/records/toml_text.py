"""Writes tables, lists and values as TOML: short rows on one line each, long ones as tables."""

import json
from collections.abc import Iterator, Mapping

WIDEST_ROW = 108


def toml_text(tables: Mapping[str, object]) -> str:
    """Return the TOML text of tables made of text, whole numbers, truth, lists and tables."""
    return "\n".join(_lines(tables, "")).strip("\n") + "\n"


def _lines(table: Mapping[str, object], path: str) -> Iterator[str]:
    # TOML wants a table's own values before its first sub-table.
    for key, value in table.items():
        if not _rows_apart(value):
            yield f"{key} = {_value(value)}"
    for key, value in table.items():
        below = f"{path}.{key}" if path else key
        header = f"[{below}]" if isinstance(value, Mapping) else f"[[{below}]]"
        for row in _rows_apart(value):
            yield from ("", header, *_lines(row, below))


def _rows_apart(value: object) -> tuple[Mapping[str, object], ...]:
    """Return the tables in a value that are written under headers of their own."""
    if isinstance(value, Mapping):
        return (value,)
    rows = tuple(row for row in value if isinstance(row, Mapping)) if isinstance(value, list) else ()
    return rows if any(len(_inline(row)) > WIDEST_ROW for row in rows) else ()


def _value(value: object) -> str:
    if not isinstance(value, list):
        return _inline(value)
    on_one_line = "[" + ", ".join(_inline(row) for row in value) + "]"
    if len(on_one_line) <= WIDEST_ROW and not any(isinstance(row, Mapping) for row in value):
        return on_one_line
    return "\n".join(("[", *(f"    {_inline(row)}," for row in value), "]"))


def _inline(value: object) -> str:
    match value:
        case Mapping():
            return "{ " + ", ".join(f"{key} = {_inline(inner)}" for key, inner in value.items()) + " }"
        case list():
            return "[" + ", ".join(_inline(row) for row in value) + "]"
        case bool():
            return "true" if value else "false"
        case int():
            return str(value)
    # A JSON string is a TOML string but for one character, which only TOML wants escaped.
    return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
