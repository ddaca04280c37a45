"""The install record as JSON: an exact round trip, and the log's entries in and out."""

from collections.abc import Iterable
from dataclasses import fields

from app.domain.install_record import FORMAT, InstallRecord, LoggedEvent
from app.domain.problems import Problem, stop
from app.records.canonical import canonical_bytes
from app.records.chain import Entry
from app.records.json_text import read_canonical
from app.records.plain import from_plain, to_plain

WHERE = "record"
# What a record that was sealed before they were thought of does not have.
LATER = (
    "sheet_changes",
    "rewritings",
    "standstills",
    "lost_time",
    "handovers",
    "items",
    "times",
    "clock_moves",
    "swaps",
    "taken_twice",
    "earlier_readings",
    "set_aside",
    "charges",
    "weights",
    "other_numbers",
)
LATER_OF_ROWS: dict[str, dict[str, object]] = {
    "deviations": {"finding": "", "proposals": []},
    "handovers": {"charge_taken_by": ""},
    "photos": {"deviation": "", "hold_point": ""},
    "taken_twice": {"agreed": True},
}


def record_bytes(record: InstallRecord) -> bytes:
    """Return the canonical JSON of the record, the form that is hashed and signed.

    Raises: rfc8785.CanonicalizationError, UnicodeEncodeError where a text is not Unicode text.
    """
    return canonical_bytes(to_plain(record))


def read_record(data: bytes) -> tuple[InstallRecord | None, list[Problem]]:
    """Return the record that canonical bytes spell, or every reason why they spell none."""
    value, problems = read_canonical(data, WHERE)
    return (None, problems) if problems else record_from_plain(value)


def record_from_plain(value: object) -> tuple[InstallRecord | None, list[Problem]]:
    """Return the record that a plain JSON value spells, or every reason why it spells none."""
    if isinstance(value, dict) and value.get("format", FORMAT) != FORMAT:
        return None, [_other_format(value["format"])]
    if isinstance(value, dict):
        value = {member: [] for member in LATER} | value | _with_later(value)
    return from_plain(InstallRecord, value, WHERE)


def logged_events(entries: Iterable[Entry]) -> tuple[LoggedEvent, ...]:
    """Return the log's entries as the record carries them."""
    return tuple(LoggedEvent(*(getattr(entry, field.name) for field in fields(Entry))) for entry in entries)


def chain_entries(record: InstallRecord) -> tuple[Entry, ...]:
    """Return the record's log as entries of the chain."""
    return tuple(Entry(*(getattr(event, field.name) for field in fields(Entry))) for event in record.log)


def _with_later(value: dict[str, object]) -> dict[str, object]:
    return {
        name: [later | row if isinstance(row, dict) else row for row in rows]
        for name, later in LATER_OF_ROWS.items()
        if isinstance(rows := value.get(name), list)
    }


def _other_format(found: object) -> Problem:
    return stop(
        "record-format",
        f"{WHERE}.format",
        f"The format is {found!r:.60}; this program reads {FORMAT!r}. "
        "Open it with the version that wrote it.",
    )
