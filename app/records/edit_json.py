"""Changes to a plan's sheet by kind and version, as they are kept in the list of changes of the plan."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from app.domain.edits.kinds import (
    Act,
    AddStep,
    DropStep,
    Edit,
    MoveStep,
    RepeatStep,
    RewordStep,
    TakeBack,
    TakeOver,
)
from app.domain.events.who import Who
from app.records.canonical import quick_canonical_bytes
from app.records.json_text import read_json
from app.records.plain import from_plain, to_plain

VERSION = 1  # of every kind; none has changed yet
KINDS: dict[str, type[Any]] = {
    "step-dropped": DropStep,
    "step-moved": MoveStep,
    "step-reworded": RewordStep,
    "step-added": AddStep,
    "step-repeated": RepeatStep,
    "change-taken-back": TakeBack,
    "changes-taken-over": TakeOver,
}
NAME_OF: dict[type[Any], str] = {kind: name for name, kind in KINDS.items()}
MEMBERS = ("act", "name", "role", "why")  # of the body of an entry


@dataclass(frozen=True, slots=True)
class EditEntry:
    """An entry of a plan's list of changes as it is kept; `body` is its canonical JSON text."""

    plan_id: str
    number: int
    kind: str
    version: int
    at: str
    by: str
    body: str


class UnreadableEditError(ValueError):
    """An entry of a list of changes that this program cannot read."""

    def __init__(self, entry: EditEntry, reason: str) -> None:
        super().__init__(
            f"Change {entry.number} of plan {entry.plan_id} ({entry.kind}, version {entry.version}) cannot "
            f"be read: {reason.rstrip('.')}. Open the plan with the version that wrote it; nothing was "
            f"changed."
        )


def kind_of_act(act: Act) -> str:
    """Return the name of the kind under which a change is kept."""
    return NAME_OF[type(act)]


def entry_of(plan_id: str, edit: Edit) -> EditEntry:
    """Return the entry under which a change is kept.

    The name stands in the entry itself, so that it can be read without the table of people.
    """
    body = {"act": to_plain(edit.act), "name": edit.who.name, "role": edit.who.role, "why": edit.why}
    text = quick_canonical_bytes(body).decode()
    kind, by = kind_of_act(edit.act), edit.who.person_id
    return EditEntry(plan_id, edit.number, kind, VERSION, edit.at.isoformat(), by, text)


def read_entry(entry: EditEntry) -> Edit:
    """Return the change that an entry holds.

    Raises: UnreadableEditError where kind, version or content are not known here.
    """
    if entry.kind not in KINDS or entry.version != VERSION:
        raise UnreadableEditError(entry, "its kind or version is newer than this program")
    body, unreadable = read_json(entry.body.encode(), entry.kind)
    if not isinstance(body, dict) or any(member not in body for member in MEMBERS):
        told = unreadable[0].text if unreadable else f"its body must hold {', '.join(MEMBERS)}"
        raise UnreadableEditError(entry, told)
    act, problems = from_plain(KINDS[entry.kind], body["act"], entry.kind)
    if act is None:
        raise UnreadableEditError(entry, "; ".join(f"{item.where}: {item.text}" for item in problems))
    who = Who(entry.by, body["name"], body["role"])
    return Edit(entry.number, act, who, datetime.fromisoformat(entry.at), body["why"])
