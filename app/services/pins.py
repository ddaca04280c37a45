"""PINs: each is chosen by its owner alone, who may change it, or is handed a tablet to choose another."""

import asyncio
import sqlite3
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta

from app.domain.events.who import Who
from app.domain.people import PinChoiceOpened, PinChosen
from app.domain.refusals import ReasonMissingError, RefusedError
from app.domain.site_rights import SiteAct, check_site_right
from app.services.people_log import intent_of, recorded_change
from app.services.pin_hashes import PinError, hash_pin, token_hash
from app.services.runs import Acted, Intent, Recorded, checked_key, once
from app.services.site import Site, peppered
from app.services.tries import Present, check_pin, present
from app.store import answers, people, pin_choices, sessions
from app.store.people import NO_PIN
from app.store.pin_choices import PinChoice

TIME_TO_CHOOSE = timedelta(minutes=10)
CHOICE = "choose-pin on a tablet"  # what is kept of an answer; who it was comes out of it alone


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


@dataclass(frozen=True, slots=True)
class HandedOver:
    """A tablet in the hands of somebody who may choose a PIN: what was recorded, and the tablet's token."""

    acted: Acted
    token: str


async def change_own_pin(site: Site, who: Who | None, *, pin: str, new: str, key: str) -> Who:
    """Let somebody have another PIN, by the one that he has; he is signed out everywhere.

    Raises: NobodyError; SignInError where the PIN does not fit; PinError; KeyReusedError.
    """
    who = check_site_right(SiteAct.CHANGE_OWN_PIN, who)
    intent = intent_of(SiteAct.CHANGE_OWN_PIN, who, key, who.person_id)
    if _answered_before(site, intent.key, intent.what) is None:
        await present(site, SiteAct.CHANGE_OWN_PIN, who, pin)
    await _keep_once(site, intent, new, lambda _: who.person_id)
    site.admissions.end_person(who.person_id)
    return who


async def open_pin_choice(site: Site, by: Present, person_id: str, why: str, *, key: str) -> HandedOver:
    """Let somebody choose a PIN on the tablet that he is handed; the one that he had is worth nothing more.

    Nobody but him learns the new one: what comes back is a token for the tablet, not for anybody's eyes.
    It is made of the key and the site's pepper, so that the same key brings the same one, and none is kept.

    Raises: RightsError; ReasonMissingError; PinError where it is oneself; UnknownPersonError; KeyReusedError.
    """
    check_site_right(SiteAct.OPEN_PIN_CHOICE, by.who)
    if not why.strip():
        raise ReasonMissingError("let somebody choose a new PIN")
    if person_id == by.who.person_id:
        raise PinError("You know your PIN, so change it yourself, or ask another supervisor.")
    intent, now = intent_of(SiteAct.OPEN_PIN_CHOICE, by.who, key, person_id, why), site.clock()
    token = peppered(site, f"a PIN is chosen under {intent.key}")

    def work(connection: sqlite3.Connection) -> Recorded:
        person = people.person_seen_by_writer(connection, person_id)
        if not person.active:
            raise PinError(f"{person.name} is no longer here; take him back first.")
        choice = PinChoice(person_id, token_hash(token), (now + TIME_TO_CHOOSE).isoformat())
        people.change_pin(connection, person_id, NO_PIN)
        pin_choices.open_choice(connection, choice)
        sessions.end_sessions_of(connection, person_id, now.isoformat())
        opened = PinChoiceOpened(person.who, choice.until)
        return recorded_change(connection, opened, by.who, now.isoformat(), why.strip())

    acted = await once(site, intent, work)
    site.admissions.end_person(person_id)
    return HandedOver(acted, token)


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


async def choose_pin(site: Site, token: str, pin: str, *, key: str) -> Who:
    """Let the person who holds the tablet have the PIN that he chose; a lock of his ends with it.

    Raises: ChoiceOverError; PinError; SignInError where another PIN is sent under a key that was answered.
    """
    who = _answered_before(site, checked_key(key), CHOICE) or choosing(site, token).who

    def chooser(connection: sqlite3.Connection) -> str:
        choice = pin_choices.choice_seen_by_writer(connection, token_hash(token))
        if choice is None or _is_over(choice, site.clock()):
            raise ChoiceOverError
        return choice.person_id

    act, where = CHOICE.split(" ", 1)
    await _keep_once(site, Intent(where, who, key, act, token_hash(token)), pin, chooser)
    return who


def keep_chosen_pin(connection: sqlite3.Connection, person_id: str, pin_hash: str, at: str) -> Recorded:
    """Let a person have the PIN that he chose, no wrong one counted and no sign-in open."""
    people.change_pin(connection, person_id, pin_hash)
    person = people.forget_failures(connection, person_id)
    pin_choices.end_choices_of(connection, person_id)
    sessions.end_sessions_of(connection, person_id, at)
    return recorded_change(connection, PinChosen(person.who), person.who, at)


async def _keep_once(
    site: Site, intent: Intent, pin: str, chooser: Callable[[sqlite3.Connection], str]
) -> None:
    """Keep the PIN that somebody chose, once for each key.

    No fast hash of a PIN is kept with the answer: who sends the same key again must send the PIN that he
    has now, and each such try is counted as any other.
    """
    pin_hash, at = await asyncio.to_thread(hash_pin, site, pin), site.now_text()

    def work(connection: sqlite3.Connection) -> Recorded:
        return keep_chosen_pin(connection, chooser(connection), pin_hash, at)

    if (await once(site, intent, work)).repeated:
        await check_pin(site, intent.who.person_id, pin)


def _answered_before(site: Site, key: str, what: str) -> Who | None:
    """Return who asked for an act that was answered under a key already, or none."""
    with site.database.reader() as session:
        kept = answers.find_answer(session, key)
        asked_by = people.find_person(session, kept.person_id) if kept and kept.act == what else None
    return asked_by.who if asked_by else None


def _is_over(choice: PinChoice, now: datetime) -> bool:
    return now >= datetime.fromisoformat(choice.until)
