"""Words that people type: no more of them than a page can show and somebody reads later."""

from collections.abc import Iterator
from dataclasses import fields
from typing import Any

from app.domain.commands import Entered
from app.domain.refusals import TooLongError

# By the name of a command's field: what people call it, and the most letters. 4000 fill a page of a record.
LONGEST: dict[str, tuple[str, int]] = {
    "what": ("what departs from the plan", 500),
    "why": ("the reason", 4_000),
    "reason": ("the reason", 4_000),
    "words": ("the text", 4_000),
    "text": ("the note", 4_000),
    "note": ("the note", 4_000),
    "serial": ("the serial", 100),
    "old_serial": ("the serial", 100),
    "new_serial": ("the serial", 100),
    "item": ("the item", 300),
}
LONGEST_READING = 100


def check_length(command: Any) -> None:
    """Pass where nothing that somebody typed into a command is too long.

    Raises: TooLongError that says what is, and how long it may be.
    """
    for what, text, most in _typed(command):
        if len(text) > most:
            raise TooLongError(what, len(text), most)


def _typed(command: Any) -> Iterator[tuple[str, str, int]]:
    for field in fields(command):
        value = getattr(command, field.name)
        if isinstance(value, str) and field.name in LONGEST:
            what, most = LONGEST[field.name]
            yield what, value, most
        elif isinstance(value, Entered):
            yield value.name, value.value, LONGEST_READING
        elif isinstance(value, tuple):
            yield from (
                (item.name, item.value, LONGEST_READING) for item in value if isinstance(item, Entered)
            )
