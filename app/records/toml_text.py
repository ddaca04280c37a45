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
        if not _stands_apart(value):
            yield f"{key} = {_value(value)}"
    for key, value in table.items():
        below = f"{path}.{key}" if path else key
        if not _stands_apart(value):
            continue
        if isinstance(value, Mapping):
            yield from ("", f"[{below}]", *_lines(value, below))
        elif isinstance(value, list):
            for row in value:
                yield from ("", f"[[{below}]]", *_lines(row, below))


def _stands_apart(value: object) -> bool:
    """Return whether a value is written under a header of its own."""
    if isinstance(value, Mapping):
        return True
    rows = value if isinstance(value, list) else []
    return any(isinstance(row, Mapping) and len(_inline(row)) > WIDEST_ROW for row in rows)


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
