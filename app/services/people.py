"""People: who belongs to the site and in which role; each change is an event of the site."""

import asyncio
import secrets
import sqlite3
from collections.abc import Callable
from dataclasses import dataclass

from app.domain.crew import SUPERVISOR
from app.domain.events.who import Who
from app.domain.people import Change, PersonAdded, PersonCameBack, PersonLeft, PersonUnlocked, RoleChanged
from app.domain.refusals import ReasonMissingError, RefusedError
from app.domain.site_rights import SiteAct, check_site_right
from app.services.people_log import intent_of, record_change, recorded_change
from app.services.pin_hashes import hash_pin
from app.services.pins import keep_chosen_pin
from app.services.runs import Acted, Recorded, all_runs, as_logged, once, run_of
from app.services.site import Site
from app.services.tries import Present
from app.store import people, pin_choices, sessions
from app.store.people import NO_PIN, KeptPerson, UnknownPersonError

LONGEST_NAME = 80
# What nobody may do of somebody who answers for a run.
GIVES_UP_CHARGE = frozenset({SiteAct.CHANGE_ROLE, SiteAct.LET_LEAVE})

Changing = Callable[[sqlite3.Connection, KeptPerson], Change]


class PersonError(RefusedError):
    """The person cannot be added or changed so."""

    rule = "person"


def needs_first_person(site: Site) -> bool:
    """Return whether nobody is known yet, so that the first supervisor must be made."""
    with site.database.reader() as session:
        return not people.list_people(session)


def everybody(site: Site) -> list[KeptPerson]:
    """Return all people of the site, by name."""
    with site.database.reader() as session:
        return people.list_people(session)


def person_of(site: Site, person_id: str) -> KeptPerson:
    """Return one person.

    Raises: UnknownPersonError.
    """
    with site.database.reader() as session:
        person = people.find_person(session, person_id)
    if person is None:
        raise UnknownPersonError(person_id)
    return person


def add_first_supervisor(site: Site, name: str, pin: str) -> Who:
    """Add the first person of a site, a supervisor who chooses his PIN at once.

    Raises: PersonError where somebody is known already; PinError where the PIN may not be chosen.
    """
    pin_hash, first, at = (
        hash_pin(site, pin),
        Who(_new_id(), _plain(name, "name"), SUPERVISOR),
        site.now_text(),
    )

    def work(connection: sqlite3.Connection) -> Who:
        if people.people_seen_by_writer(connection):
            raise PersonError("The first supervisor exists already; ask him to add you.")
        _add(connection, first)
        record_change(connection, PersonAdded(first), first, at, "The first person of the site.")
        keep_chosen_pin(connection, first.person_id, pin_hash, at)
        return first

    return site.database.writer.run(work)


async def add_person(site: Site, by: Present, name: str, role: str, *, key: str) -> Acted:
    """Add a person, by a supervisor, once for each key; he signs in once he has chosen a PIN.

    What comes back names the person where others name the run, as it does of every act here.

    Raises: RightsError, PersonError, NameTakenError, KeyReusedError.
    """
    check_site_right(SiteAct.ADD_PERSON, by.who)
    new, at = Who(_new_id(), _plain(name, "name"), _plain(role, "role")), site.now_text()

    def work(connection: sqlite3.Connection) -> Recorded:
        _add(connection, new)
        return recorded_change(connection, PersonAdded(new), by.who, at)

    return await once(site, intent_of(SiteAct.ADD_PERSON, by.who, key, "", new.name, new.role), work)


async def change_role(site: Site, by: Present, person_id: str, role: str, why: str, *, key: str) -> Acted:
    """Give somebody another role, by a supervisor; it counts from the next tap.

    Raises: RightsError, ReasonMissingError, PersonError, UnknownPersonError, KeyReusedError.
    """
    wanted = _plain(role, "role")

    def changing(connection: sqlite3.Connection, person: KeptPerson) -> Change:
        if person.role == wanted:
            raise PersonError(f"{person.name} is {wanted} already; nothing was changed.")
        _refuse_the_last_supervisor(connection, person)
        people.change_role(connection, person.id, wanted)
        return RoleChanged(person.who, wanted)

    return await _change(site, by, _Asked(SiteAct.CHANGE_ROLE, person_id, why, key, wanted), changing)


async def let_leave(site: Site, by: Present, person_id: str, why: str, *, key: str) -> Acted:
    """Let somebody sign in no more, by a supervisor; what he did stays under his name.

    Raises: RightsError, ReasonMissingError, PersonError, UnknownPersonError, KeyReusedError.
    """
    at = site.now_text()

    def changing(connection: sqlite3.Connection, person: KeptPerson) -> Change:
        if not person.active:
            raise PersonError(f"{person.name} has left already; nothing was changed.")
        _refuse_the_last_supervisor(connection, person)
        people.change_active(connection, person.id, active=False)
        pin_choices.end_choices_of(connection, person.id)
        sessions.end_sessions_of(connection, person.id, at)
        return PersonLeft(person.who)

    return await _change(site, by, _Asked(SiteAct.LET_LEAVE, person_id, why, key), changing)


async def let_back(site: Site, by: Present, person_id: str, why: str, *, key: str) -> Acted:
    """Let somebody who had left sign in again with the PIN that he had, by a supervisor.

    Raises: RightsError, ReasonMissingError, PersonError, UnknownPersonError, KeyReusedError.
    """

    def changing(connection: sqlite3.Connection, person: KeptPerson) -> Change:
        if person.active:
            raise PersonError(f"{person.name} is here; nothing was changed.")
        people.change_active(connection, person.id, active=True)
        return PersonCameBack(person.who)

    return await _change(site, by, _Asked(SiteAct.LET_BACK, person_id, why, key), changing)


async def unlock(site: Site, by: Present, person_id: str, why: str, *, key: str) -> Acted:
    """Let a locked person sign in again with his own PIN, by a supervisor.

    Raises: RightsError, ReasonMissingError, PersonError, UnknownPersonError, KeyReusedError.
    """

    def changing(connection: sqlite3.Connection, person: KeptPerson) -> Change:
        if not person.locked:
            raise PersonError(f"{person.name} is not locked; nothing was changed.")
        people.forget_failures(connection, person.id)
        return PersonUnlocked(person.who)

    return await _change(site, by, _Asked(SiteAct.UNLOCK, person_id, why, key), changing)


@dataclass(frozen=True, slots=True)
class _Asked:
    """What is asked to be done, to whom, why and under which key; `wanted` is a role, where one is."""

    act: SiteAct
    person_id: str
    why: str
    key: str
    wanted: str = ""


async def _change(site: Site, by: Present, asked: _Asked, changing: Changing) -> Acted:
    """Change one person and leave the change in the log, or neither."""
    check_site_right(asked.act, by.who)
    if not asked.why.strip():
        raise ReasonMissingError(asked.act.value)
    if asked.act in GIVES_UP_CHARGE:
        # Runs that nobody has looked at since the start are read first, which other taps should not wait for.
        await asyncio.to_thread(_read_all_runs, site)
    at = site.now_text()

    def work(connection: sqlite3.Connection) -> Recorded:
        if asked.act in GIVES_UP_CHARGE:
            _refuse_who_is_in_charge(site, connection, asked.person_id)
        change = changing(connection, people.person_seen_by_writer(connection, asked.person_id))
        return recorded_change(connection, change, by.who, at, asked.why.strip())

    intent = intent_of(asked.act, by.who, asked.key, asked.person_id, asked.why, asked.wanted)
    acted = await once(site, intent, work)
    site.admissions.end_person(asked.person_id)
    return acted


def _refuse_the_last_supervisor(connection: sqlite3.Connection, person: KeptPerson) -> None:
    """Pass unless the site would be left without anybody who can sign in and add people."""
    others = [other for other in people.people_seen_by_writer(connection) if other.id != person.id]
    if person.role == SUPERVISOR and not any(
        other.role == SUPERVISOR and other.active and other.has_pin for other in others
    ):
        raise PersonError(
            f"{person.name} is the only supervisor who can sign in; make somebody else one first, so that "
            f"the site is never without."
        )


def _read_all_runs(site: Site) -> None:
    for summary in all_runs(site):
        run_of(site, summary.run_id)


def _refuse_who_is_in_charge(site: Site, connection: sqlite3.Connection, person_id: str) -> None:
    """Pass unless somebody answers for a run that is not closed: no string is left to nobody."""
    for summary in all_runs(site):
        run = as_logged(site, connection, summary.run_id)
        if not run.is_closed and run.in_charge is not None and run.in_charge.person_id == person_id:
            raise PersonError(
                f"{run.in_charge.name} is in charge of the run '{summary.title}'. First he hands it over or, "
                "where he is gone, another supervisor takes charge of it, both on its handover page."
            )


def _add(connection: sqlite3.Connection, new: Who) -> None:
    people.add_person(connection, person_id=new.person_id, name=new.name, role=new.role, pin_hash=NO_PIN)


def _plain(text: str, what: str) -> str:
    plain = " ".join(text.split())
    # Who signs must be told by his name on paper too, where pictures of faces are not printed.
    has_letters = any(letter.isalpha() for letter in plain)
    if not has_letters or len(plain) > LONGEST_NAME or not plain.isprintable():
        raise PersonError(f"Give a {what} of 1 to {LONGEST_NAME} letters.")
    return plain


def _new_id() -> str:
    return secrets.token_hex(6)
