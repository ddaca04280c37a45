"""People: the first supervisor, signing in and out, PINs and their throttle."""

import asyncio
import hashlib
import secrets
import sqlite3
from dataclasses import dataclass
from itertools import pairwise

from argon2 import PasswordHasher
from argon2.exceptions import VerifyMismatchError

from app.domain.crew import SUPERVISOR
from app.domain.events.who import Who
from app.domain.refusals import RefusedError, RightsError
from app.services.site import Site, peppered
from app.store import people, sessions
from app.store.people import KeptPerson

LONGEST_NAME = 80
SHORTEST_PIN = 6
LONGEST_PIN = 12
MOST_FAILURES = 10
# Anybody's first guesses; runs and repeats of digits are refused by rule.
BLOCKED_PINS = frozenset(
    {"112233", "121212", "123123", "101010", "131313", "159753", "147258", "696969", "112358"}
)
HASHER = PasswordHasher(time_cost=2, memory_cost=19_456, parallelism=1)  # OWASP's lower argon2id setting


class SignInError(RefusedError):
    """Name and PIN do not fit, or the person is locked out."""

    rule = "sign-in"


class PinError(RefusedError):
    """The PIN may not be chosen."""

    rule = "pin"


class PersonError(RefusedError):
    """The person cannot be added or changed so."""

    rule = "person"


@dataclass(frozen=True, slots=True)
class SignedIn:
    """A fresh sign-in: the token that the browser keeps, and who it is."""

    token: str
    who: Who


def needs_first_person(site: Site) -> bool:
    """Return whether nobody is known yet, so that the first supervisor must be made."""
    with site.database.reader() as session:
        return not people.list_people(session)


def everybody(site: Site) -> list[KeptPerson]:
    """Return all people of the site, by name."""
    with site.database.reader() as session:
        return people.list_people(session)


def add_first_supervisor(site: Site, name: str, pin: str) -> Who:
    """Add the first person of a site, a supervisor.

    Raises: PersonError where somebody is known already; PinError where the PIN may not be chosen.
    """
    pin_hash, person_id = hash_pin(site, pin), _new_id()
    checked = _name(name)

    def work(connection: sqlite3.Connection) -> KeptPerson:
        if connection.execute("SELECT 1 FROM person LIMIT 1").fetchone():
            raise PersonError("The first supervisor exists already; ask him to add you.")
        return people.add_person(
            connection, person_id=person_id, name=checked, role=SUPERVISOR, pin_hash=pin_hash
        )

    return _who(site.database.writer.run(work))


def add_person(site: Site, by: Who | None, name: str, role: str, pin: str) -> Who:
    """Add a person, by a supervisor.

    Raises: RightsError, PersonError, PinError, NameTakenError.
    """
    _supervisor(by, "add people")
    if not role.strip():
        raise PersonError("Choose a role for the new person.")
    pin_hash, person_id, checked = hash_pin(site, pin), _new_id(), _name(name)
    return _who(
        site.database.writer.run(
            lambda connection: people.add_person(
                connection, person_id=person_id, name=checked, role=role.strip(), pin_hash=pin_hash
            )
        )
    )


def unlock(site: Site, by: Who | None, person_id: str) -> None:
    """Let a locked person sign in again, by a supervisor.

    Raises: RightsError; UnknownPersonError where there is no such person.
    """
    _supervisor(by, "unlock people")
    site.database.writer.run(lambda connection: people.forget_failures(connection, person_id))


async def sign_in(site: Site, person_id: str, pin: str) -> SignedIn:
    """Sign a person in on one browser.

    Raises: SignInError where name and PIN do not fit or the person is locked out.
    """
    who = await check_pin(site, person_id, pin)
    token = secrets.token_urlsafe(32)
    token_hash, at = _token_hash(token), site.now_text()
    await site.database.writer.write(
        lambda connection: sessions.start_session(connection, token_hash, who.person_id, at)
    )
    site.signed_in[token_hash] = who
    return SignedIn(token, who)


async def sign_out(site: Site, token: str) -> None:
    """End a sign-in."""
    token_hash, at = _token_hash(token), site.now_text()
    await site.database.writer.write(lambda connection: sessions.end_session(connection, token_hash, at))
    site.signed_in.pop(token_hash, None)


def who_is(site: Site, token: str | None) -> Who | None:
    """Return who is signed in by a token, or none."""
    if not token:
        return None
    token_hash = _token_hash(token)
    if token_hash not in site.signed_in:
        found = _signed_in(site, token_hash)
        if found is None:
            return None
        site.signed_in[token_hash] = found
    return site.signed_in[token_hash]


async def check_pin(site: Site, person_id: str, pin: str) -> Who:
    """Return the person whose PIN this is.

    The try is counted before the PIN is looked at: neither many tries at once nor a killed server
    gives anybody more than MOST_FAILURES of them.

    Raises: SignInError where they do not fit or the person is locked out.
    """
    at = site.now_text()
    with site.database.reader() as session:
        known = people.find_person(session, person_id)
    if known is None or not known.active:
        raise SignInError("Choose your name from the list, then type your PIN.")
    person = await site.database.writer.write(lambda connection: _claim_try(connection, person_id, at))
    if not await asyncio.to_thread(_fits, site, person.pin_hash, pin):
        left = MOST_FAILURES - person.failures
        more = (
            f"{left} more tries before it is locked." if left > 0 else "It is locked now; ask a supervisor."
        )
        raise SignInError(f"That is not the PIN of {person.name}. {more}")
    await site.database.writer.write(lambda connection: people.forget_failures(connection, person_id))
    return _who(person)


def hash_pin(site: Site, pin: str) -> str:
    """Return the hash of a PIN that may be chosen.

    Raises: PinError that says what a PIN must be.
    """
    plain = pin.strip()
    if not (plain.isascii() and plain.isdigit() and SHORTEST_PIN <= len(plain) <= LONGEST_PIN):
        raise PinError(f"A PIN has {SHORTEST_PIN} to {LONGEST_PIN} digits and nothing else; choose another.")
    steps = {(int(after) - int(before)) % 10 for before, after in pairwise(plain)}
    if plain in BLOCKED_PINS or steps in ({0}, {1}, {9}):
        raise PinError("That PIN is one of the first that anybody would try; choose another.")
    return HASHER.hash(peppered(site, plain))


def _claim_try(connection: sqlite3.Connection, person_id: str, at: str) -> KeptPerson:
    row = connection.execute(
        "SELECT failures, locked, name FROM person WHERE id = ?", (person_id,)
    ).fetchone()
    if row is not None and (row[1] or row[0] >= MOST_FAILURES):
        raise SignInError(
            f"{row[2]} is locked after {MOST_FAILURES} wrong PINs; a supervisor can unlock him."
        )
    return people.count_failure(connection, person_id, at, lock_at=MOST_FAILURES)


def _fits(site: Site, pin_hash: str, pin: str) -> bool:
    if not pin.isascii():
        return False
    try:
        return HASHER.verify(pin_hash, peppered(site, pin.strip()))
    except VerifyMismatchError:
        return False


def _signed_in(site: Site, token_hash: str) -> Who | None:
    with site.database.reader() as session:
        kept = sessions.find_session(session, token_hash)
        if kept is None or kept.ended_at is not None:
            return None
        person = people.find_person(session, kept.person_id)
    return _who(person) if person is not None and person.active else None


def _supervisor(by: Who | None, act: str) -> None:
    if by is None or by.role != SUPERVISOR:
        name, role = (by.name, by.role) if by else ("Nobody", "not signed in")
        raise RightsError(name, role, act, (SUPERVISOR,))


def _name(name: str) -> str:
    plain = " ".join(name.split())
    if not plain or len(plain) > LONGEST_NAME or not plain.isprintable():
        raise PersonError(f"Give a name of 1 to {LONGEST_NAME} letters.")
    return plain


def _who(person: KeptPerson) -> Who:
    return Who(person.id, person.name, person.role)


def _new_id() -> str:
    return secrets.token_hex(6)


def _token_hash(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()
