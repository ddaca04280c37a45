"""The log of the site's people: each change of who may do what, written in the commit that makes it."""

import hashlib
import sqlite3

from app.domain.events.who import Who
from app.domain.people import Change, PeopleEntry
from app.domain.site_rights import SiteAct
from app.records.chain import Entry
from app.records.people_json import VERSION, body_of_change, kind_of_change, read_people_entry
from app.services.recording import UnwritableTextError
from app.services.runs import Acted, Intent, Recorded, checked_key
from app.services.site import Site
from app.store.event_log import EventDraft
from app.store.people_log import add_to_people_log, read_people_log


def intent_of(act: SiteAct, by: Who, key: str, person_id: str, *asked: str) -> Intent:
    """Return the intent of one act on a person, or on nobody yet; never is a PIN among what was asked.

    Raises: KeyMissingError.
    """
    body_hash = hashlib.sha256(repr(asked).encode("utf-8", "surrogatepass")).hexdigest()
    return Intent(person_id, by, checked_key(key), act.name.lower().replace("_", "-"), body_hash)


def recorded_change(
    connection: sqlite3.Connection, change: Change, by: Who, at: str, why: str = ""
) -> Recorded:
    """Leave a change in the log and return what came of it: the person, and the number of the entry.

    Raises: UnwritableTextError where a text holds half a letter.
    """
    number = record_change(connection, change, by, at, why)
    return Recorded(Acted(change.person.person_id, number, (kind_of_change(change),)), None)


def record_change(connection: sqlite3.Connection, change: Change, by: Who, at: str, why: str = "") -> int:
    """Leave a change in the log and return the number of its entry; the caller is the writer.

    Raises: UnwritableTextError where a text holds half a letter.
    """
    try:
        body = body_of_change(change, by, why)
    except ValueError:  # canonical text holds every letter, but no half of one
        raise UnwritableTextError from None
    draft = EventDraft(kind_of_change(change), VERSION, at, by.person_id, body)
    return add_to_people_log(connection, (draft,))[-1].sequence


def people_log(site: Site) -> tuple[PeopleEntry, ...]:
    """Return everything that happened to the people of the site, in order.

    Raises: UnreadablePeopleError where a newer program wrote an entry.
    """
    return tuple(read_people_entry(entry) for entry in people_entries(site))


def people_entries(site: Site) -> list[Entry]:
    """Return the entries of the log as they are kept, each chained to the one before."""
    with site.database.reader() as session:
        return read_people_log(session)
