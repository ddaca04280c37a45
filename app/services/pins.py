"""PINs: each is chosen by its owner alone, who may change it, or is handed a tablet to choose another."""

import asyncio
import secrets
import sqlite3
from dataclasses import dataclass
from datetime import datetime, timedelta

from app.domain.events.who import Who
from app.domain.people import PinChoiceOpened, PinChosen
from app.domain.refusals import ReasonMissingError, RefusedError
from app.domain.site_rights import SiteAct, check_site_right
from app.services.people_log import record_change
from app.services.pin_hashes import PinError, hash_pin, token_hash
from app.services.site import Site
from app.services.tries import Present
from app.store import people, pin_choices, sessions
from app.store.people import NO_PIN
from app.store.pin_choices import PinChoice

TIME_TO_CHOOSE = timedelta(minutes=10)


class ChoiceOverError(RefusedError):
    """Nobody may choose a PIN on this tablet now."""

    rule = "pin-choice"

    def __init__(self) -> None:
        super().__init__(
            f"Nobody may choose a PIN on this tablet now: it is chosen already, or the "
            f"{TIME_TO_CHOOSE // timedelta(minutes=1)} minutes for it are over. Ask a supervisor to hand you "
            f"the tablet once more."
        )


@dataclass(frozen=True, slots=True)
class Choosing:
    """Somebody who may choose a PIN until a time; the token stays on the tablet that he is handed."""

    token: str
    who: Who
    until: datetime


async def change_own_pin(site: Site, by: Present, pin: str) -> Who:
    """Let somebody have another PIN; he is signed out everywhere.

    Raises: PinError.
    """
    check_site_right(SiteAct.CHANGE_OWN_PIN, by.who)
    pin_hash, at = await asyncio.to_thread(hash_pin, site, pin), site.now_text()
    await site.database.writer.write(
        lambda connection: keep_chosen_pin(connection, by.who.person_id, pin_hash, at)
    )
    site.admissions.end_person(by.who.person_id)
    return by.who


async def open_pin_choice(site: Site, by: Present, person_id: str, why: str) -> Choosing:
    """Let somebody choose a PIN on the tablet that he is handed; the one that he had is worth nothing more.

    Nobody but him learns the new one: what comes back is a token for the tablet, not for anybody's eyes.

    Raises: RightsError; ReasonMissingError; PinError where it is oneself; UnknownPersonError.
    """
    check_site_right(SiteAct.OPEN_PIN_CHOICE, by.who)
    if not why.strip():
        raise ReasonMissingError("let somebody choose a new PIN")
    if person_id == by.who.person_id:
        raise PinError("You know your PIN, so change it yourself, or ask another supervisor.")
    token, now = secrets.token_urlsafe(32), site.clock()
    until = now + TIME_TO_CHOOSE

    def work(connection: sqlite3.Connection) -> Who:
        person = people.person_seen_by_writer(connection, person_id)
        if not person.active:
            raise PinError(f"{person.name} is no longer here; take him back first.")
        choice = PinChoice(person_id, token_hash(token), until.isoformat())
        people.change_pin(connection, person_id, NO_PIN)
        pin_choices.open_choice(connection, choice)
        sessions.end_sessions_of(connection, person_id, now.isoformat())
        opened = PinChoiceOpened(person.who, choice.until)
        record_change(connection, opened, by.who, now.isoformat(), why.strip())
        return person.who

    who = await site.database.writer.write(work)
    site.admissions.end_person(person_id)
    return Choosing(token, who, until)


def choosing(site: Site, token: str) -> Choosing:
    """Return who may choose a PIN on the tablet that keeps a token.

    Raises: ChoiceOverError.
    """
    with site.database.reader() as session:
        choice = pin_choices.find_choice(session, token_hash(token))
        person = people.find_person(session, choice.person_id) if choice else None
    if choice is None or person is None or _is_over(choice, site.clock()):
        raise ChoiceOverError
    return Choosing(token, person.who, datetime.fromisoformat(choice.until))


async def choose_pin(site: Site, token: str, pin: str) -> Who:
    """Let the person who holds the tablet have the PIN that he chose; a lock of his ends with it.

    Raises: ChoiceOverError; PinError.
    """
    choosing(site, token)
    pin_hash, now = await asyncio.to_thread(hash_pin, site, pin), site.clock()

    def work(connection: sqlite3.Connection) -> Who:
        choice = pin_choices.choice_seen_by_writer(connection, token_hash(token))
        if choice is None or _is_over(choice, now):
            raise ChoiceOverError
        return keep_chosen_pin(connection, choice.person_id, pin_hash, now.isoformat())

    return await site.database.writer.write(work)


def keep_chosen_pin(connection: sqlite3.Connection, person_id: str, pin_hash: str, at: str) -> Who:
    """Return the person who now has the PIN that he chose, no wrong one counted and no sign-in open."""
    people.change_pin(connection, person_id, pin_hash)
    person = people.forget_failures(connection, person_id)
    pin_choices.end_choices_of(connection, person_id)
    sessions.end_sessions_of(connection, person_id, at)
    record_change(connection, PinChosen(person.who), person.who, at)
    return person.who


def _is_over(choice: PinChoice, now: datetime) -> bool:
    return now >= datetime.fromisoformat(choice.until)
