"""What whoever has the machine and its data folder may do where no supervisor can: let one in again.

Nobody's PIN is shown or asked for, and the supervisor alone types the new one.
"""

import sqlite3

from app.domain.crew import SUPERVISOR
from app.domain.events.who import Who
from app.domain.people import PersonUnlocked, PinChoiceOpened
from app.domain.refusals import ReasonMissingError
from app.services.people import PersonError, everybody
from app.services.people_log import record_change
from app.services.pin_hashes import hash_pin
from app.services.pins import keep_chosen_pin
from app.services.site import Site
from app.store import people
from app.store.people import KeptPerson

# Stands in the log of the people where nobody showed with a PIN who he is.
AT_THE_MACHINE = Who("at-the-machine", "Somebody at the machine", "with its data folder, without a PIN")


def supervisor_named(site: Site, name: str) -> KeptPerson:
    """Return the supervisor of a name, who is still on the site.

    Raises: PersonError that names those there are.
    """
    known = [person for person in everybody(site) if person.role == SUPERVISOR and person.active]
    found = next((person for person in known if person.name.casefold() == name.strip().casefold()), None)
    if found is None:
        names = ", ".join(person.name for person in known) or "none"
        raise PersonError(
            f"No supervisor of this site is called '{name}'. Its supervisors: {names}. Everybody else is "
            "unlocked by a supervisor, on the page of people."
        )
    return found


def unlock(site: Site, person_id: str, why: str) -> Who:
    """Let a locked supervisor sign in again with the PIN that he has.

    Raises: ReasonMissingError; PersonError where he is not locked.
    """
    reason, at = _reason(why, "unlock people"), site.now_text()

    def work(connection: sqlite3.Connection) -> Who:
        person = people.person_seen_by_writer(connection, person_id)
        if not person.locked:
            raise PersonError(f"{person.name} is not locked; nothing was changed.")
        people.forget_failures(connection, person.id)
        record_change(connection, PersonUnlocked(person.who), AT_THE_MACHINE, at, reason)
        return person.who

    return site.database.writer.run(work)


def choose_pin(site: Site, person_id: str, pin: str, why: str) -> Who:
    """Let a supervisor have the PIN that he typed at the machine; a lock of his ends with it.

    Raises: ReasonMissingError; PinError where it may not be chosen.
    """
    reason, at = _reason(why, "let somebody choose a new PIN"), site.now_text()
    pin_hash = hash_pin(site, pin)

    def work(connection: sqlite3.Connection) -> Who:
        person = people.person_seen_by_writer(connection, person_id)
        record_change(connection, PinChoiceOpened(person.who, at), AT_THE_MACHINE, at, reason)
        keep_chosen_pin(connection, person_id, pin_hash, at)
        return person.who

    return site.database.writer.run(work)


def _reason(why: str, act: str) -> str:
    if not why.strip():
        raise ReasonMissingError(act)
    return why.strip()
