"""What happened to the people of a site, by kind and version, as it is kept in their log."""

from datetime import datetime
from typing import Any

from app.domain.events.who import Who
from app.domain.people import (
    Change,
    PeopleEntry,
    PersonAdded,
    PersonCameBack,
    PersonLeft,
    PersonLocked,
    PersonUnlocked,
    PinChoiceOpened,
    PinChosen,
    RoleChanged,
)
from app.records.canonical import quick_canonical_bytes
from app.records.chain import Entry
from app.records.json_text import read_json
from app.records.plain import from_plain, to_plain

LOG = "people"  # what stands in its chain where a run's log has the id of the run
VERSION = 1  # of every kind; none has changed yet
KINDS: dict[str, type[Any]] = {
    "person-added": PersonAdded,
    "role-changed": RoleChanged,
    "person-left": PersonLeft,
    "person-came-back": PersonCameBack,
    "pin-choice-opened": PinChoiceOpened,
    "pin-chosen": PinChosen,
    "person-locked": PersonLocked,
    "person-unlocked": PersonUnlocked,
}
NAME_OF: dict[type[Any], str] = {kind: name for name, kind in KINDS.items()}
MEMBERS = ("change", "name", "role", "why")  # of the body of an entry


class UnreadablePeopleError(ValueError):
    """An entry of the log of the people that this program cannot read."""

    def __init__(self, entry: Entry, reason: str) -> None:
        super().__init__(
            f"Entry {entry.sequence} of the log of the people ({entry.kind}, version {entry.version}) cannot "
            f"be read: {reason.rstrip('.')}. Open the site with the version that wrote it; nothing was "
            f"changed."
        )


def kind_of_change(change: Change) -> str:
    """Return the name of the kind under which a change is kept."""
    return NAME_OF[type(change)]


def body_of_change(change: Change, who: Who, why: str) -> str:
    """Return the canonical text of a change, of the name and role behind it, and of the reason.

    Raises: ValueError where a text holds half a letter.
    """
    body = {"change": to_plain(change), "name": who.name, "role": who.role, "why": why}
    return quick_canonical_bytes(body).decode()


def read_people_entry(entry: Entry) -> PeopleEntry:
    """Return the change that an entry holds.

    Raises: UnreadablePeopleError where kind, version or content are not known here.
    """
    if entry.kind not in KINDS or entry.version != VERSION:
        raise UnreadablePeopleError(entry, "its kind or version is newer than this program")
    body, unreadable = read_json(entry.body.encode(), entry.kind)
    if not isinstance(body, dict) or any(member not in body for member in MEMBERS):
        told = unreadable[0].text if unreadable else f"its body must hold {', '.join(MEMBERS)}"
        raise UnreadablePeopleError(entry, told)
    change, problems = from_plain(KINDS[entry.kind], body["change"], entry.kind)
    if change is None:
        raise UnreadablePeopleError(entry, "; ".join(f"{item.where}: {item.text}" for item in problems))
    who = Who(entry.by, body["name"], body["role"])
    return PeopleEntry(entry.sequence, change, who, datetime.fromisoformat(entry.at), body["why"])
