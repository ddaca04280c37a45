"""Signing in and out: a token on one browser for one person, for no longer than a shift."""

import secrets
import sqlite3
from dataclasses import dataclass
from datetime import datetime, timedelta

from app.domain.events.who import Who
from app.services.admissions import Admitted
from app.services.pin_hashes import token_hash
from app.services.site import Site
from app.services.tries import SignInError, check_pin
from app.store import people, sessions

# A twelve-hour shift with its handovers; whoever stays longer types his PIN again.
LONGEST_SHIFT = timedelta(hours=14)


@dataclass(frozen=True, slots=True)
class SignedIn:
    """A fresh sign-in: the token that the browser keeps, and who it is."""

    token: str
    who: Who


async def sign_in(site: Site, person_id: str, pin: str) -> SignedIn:
    """Sign a person in on one browser.

    Raises: SignInError where name and PIN do not fit or the person is locked out.
    """
    return await admit(site, await check_pin(site, person_id, pin))


async def admit(site: Site, who: Who) -> SignedIn:
    """Sign somebody in who has just typed or chosen his PIN.

    Raises: SignInError where he has left in that very moment.
    """
    token, at = secrets.token_urlsafe(32), site.now_text()

    def work(connection: sqlite3.Connection) -> Who:
        person = people.person_seen_by_writer(connection, who.person_id)
        if not person.active or not person.has_pin:
            raise SignInError(f"{person.name} cannot sign in any more; ask a supervisor.")
        sessions.start_session(connection, token_hash(token), person.id, at)
        return person.who

    return SignedIn(token, await site.database.writer.write(work))


async def sign_out(site: Site, token: str) -> None:
    """End a sign-in."""
    hashed, at = token_hash(token), site.now_text()
    await site.database.writer.write(lambda connection: sessions.end_session(connection, hashed, at))
    site.admissions.end_token(hashed)


def who_is(site: Site, token: str | None) -> Who | None:
    """Return who is signed in by a token, or none."""
    if not token:
        return None
    hashed = token_hash(token)
    admitted = site.admissions.of(hashed, lambda: _admitted(site, hashed))
    return admitted.who if admitted is not None and site.clock() < admitted.until else None


def _admitted(site: Site, hashed: str) -> Admitted | None:
    with site.database.reader() as session:
        kept = sessions.find_session(session, hashed)
        if kept is None or kept.ended_at is not None:
            return None
        person = people.find_person(session, kept.person_id)
    if person is None or not person.active:
        return None
    return Admitted(person.who, datetime.fromisoformat(kept.started_at) + LONGEST_SHIFT)
