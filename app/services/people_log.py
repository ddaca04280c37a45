"""The log of the site's people: each change of who may do what, written in the commit that makes it."""

import sqlite3

from app.domain.events.who import Who
from app.domain.people import Change, PeopleEntry
from app.records.chain import Entry
from app.records.people_json import VERSION, body_of_change, kind_of_change, read_people_entry
from app.services.recording import UnwritableTextError
from app.services.site import Site
from app.store.event_log import EventDraft
from app.store.people_log import add_to_people_log, read_people_log


def record_change(connection: sqlite3.Connection, change: Change, by: Who, at: str, why: str = "") -> None:
    """Leave a change in the log; the caller is the writer.

    Raises: UnwritableTextError where a text holds half a letter.
    """
    try:
        body = body_of_change(change, by, why)
    except ValueError:  # canonical text holds every letter, but no half of one
        raise UnwritableTextError from None
    draft = EventDraft(kind_of_change(change), VERSION, at, by.person_id, body)
    add_to_people_log(connection, (draft,))


def people_log(site: Site) -> tuple[PeopleEntry, ...]:
    """Return everything that happened to the people of the site, in order.

    Raises: UnreadablePeopleError where a newer program wrote an entry.
    """
    return tuple(read_people_entry(entry) for entry in people_entries(site))


def people_entries(site: Site) -> list[Entry]:
    """Return the entries of the log as they are kept, each chained to the one before."""
    with site.database.reader() as session:
        return read_people_log(session)
