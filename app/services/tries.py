"""Tries of a PIN: each is counted before it is looked at, so that nobody gets more than ten."""

import asyncio
import sqlite3
from dataclasses import dataclass
from datetime import datetime, timedelta

from app.domain.events.who import Who
from app.domain.people import PersonLocked, PersonUnlocked
from app.domain.refusals import RefusedError
from app.domain.site_rights import SiteAct, check_site_right
from app.services.people_log import record_change
from app.services.pin_hashes import fits
from app.services.site import Site
from app.store import people
from app.store.people import KeptPerson, UnknownPersonError

MOST_FAILURES = 10
FREE_FAILURES = 3  # gloves slip; after these each wrong PIN doubles the wait
FIRST_WAIT = timedelta(seconds=5)


class SignInError(RefusedError):
    """Name and PIN do not fit, or the person is locked out."""

    rule = "sign-in"


@dataclass(frozen=True, slots=True)
class Present:
    """Somebody who has just shown, with his PIN, that it is he who asks for an act."""

    who: Who


async def present(site: Site, act: SiteAct, by: Who | None, pin: str) -> Present:
    """Return the person who may do an act and has just typed his PIN for it.

    Raises: NobodyError; RightsError, before the PIN is looked at; SignInError.
    """
    who = check_site_right(act, by)
    return Present(await check_pin(site, who.person_id, pin))


async def check_pin(site: Site, person_id: str, pin: str) -> Who:
    """Return the person whose PIN this is.

    The try is counted before the PIN is looked at: neither many tries at once nor a killed server
    gives anybody more than MOST_FAILURES of them.

    Raises: SignInError where they do not fit, the wait is not over, or the person is locked out.
    """
    now = site.clock()
    person = await site.database.writer.write(lambda connection: _claim_try(connection, person_id, now))
    if not await asyncio.to_thread(fits, site, person.pin_hash, pin):
        raise SignInError(f"That is not the PIN of {person.name}. {_what_is_left(person.failures)}")
    return await site.database.writer.write(lambda connection: _forgive(connection, person, now.isoformat()))


def wait_after(failures: int) -> timedelta:
    """Return how long nobody may try another PIN after so many wrong ones."""
    return FIRST_WAIT * 2 ** (failures - FREE_FAILURES) if failures >= FREE_FAILURES else timedelta(0)


def _claim_try(connection: sqlite3.Connection, person_id: str, now: datetime) -> KeptPerson:
    """Return the person with one more try counted, as though it were wrong."""
    person = _to_try(connection, person_id)
    if person.locked or person.failures >= MOST_FAILURES:
        raise SignInError(
            f"{person.name} is locked after {MOST_FAILURES} wrong PINs; a supervisor can unlock him."
        )
    left = _left_to_wait(person, now)
    if left > timedelta(0):
        seconds = -(-left // timedelta(seconds=1))
        raise SignInError(
            f"Wait {seconds} seconds before the next PIN of {person.name}: the last {person.failures} were "
            f"wrong. Nothing was looked at or counted."
        )
    counted = people.count_failure(connection, person_id, now.isoformat(), lock_at=MOST_FAILURES)
    if counted.locked:
        locked = PersonLocked(counted.who, counted.failures)
        record_change(connection, locked, counted.who, now.isoformat(), "Tries under this name.")
    return counted


def _to_try(connection: sqlite3.Connection, person_id: str) -> KeptPerson:
    try:
        person = people.person_seen_by_writer(connection, person_id)
    except UnknownPersonError:
        person = None
    if person is None or not person.active:
        raise SignInError("Choose your name from the list, then type your PIN.")
    if not person.has_pin:
        raise SignInError(
            f"{person.name} has no PIN yet. A supervisor opens his page under People and hands him "
            "the tablet."
        )
    return person


def _left_to_wait(person: KeptPerson, now: datetime) -> timedelta:
    if person.last_failure_at is None:
        return timedelta(0)
    passed = now - datetime.fromisoformat(person.last_failure_at)
    # A clock that was turned back must lock nobody out; the count still stands.
    return wait_after(person.failures) - passed if passed >= timedelta(0) else timedelta(0)


def _forgive(connection: sqlite3.Connection, tried: KeptPerson, at: str) -> Who:
    """Return the person whose PIN was right, the count of wrong ones at none again."""
    person = people.person_seen_by_writer(connection, tried.id)
    if not person.active or person.pin_hash != tried.pin_hash:
        raise SignInError(f"The PIN of {person.name} has been changed meanwhile. Type the new one.")
    if person.locked:
        record_change(connection, PersonUnlocked(person.who), person.who, at, "The last PIN was right.")
    return people.forget_failures(connection, person.id).who


def _what_is_left(failures: int) -> str:
    left = MOST_FAILURES - failures
    if left <= 0:
        return "It is locked now; ask a supervisor."
    wait = wait_after(failures) // timedelta(seconds=1)
    return f"{left} more tries before it is locked{f'; the next in {wait} seconds' if wait else ''}."
