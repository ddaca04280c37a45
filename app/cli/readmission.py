"""The command that lets a supervisor in again where no other can: on the machine, the server stopped."""

import argparse
import getpass
import sys
import warnings
from contextlib import ExitStack

from app.cli.opened import known_data_folder, opened_site
from app.cli.outcome import GOOD, StoppedError, UnreadableError
from app.domain.refusals import RefusedError
from app.services import at_the_machine
from app.services.data_folder import DataFolderError, held
from app.services.site import Site
from app.store.people import KeptPerson
from app.store.writer import NotRecordedError


def readmit(asked: argparse.Namespace) -> int:
    """Unlock a supervisor, or let him choose a new PIN at the terminal.

    Raises: StoppedError where he or his PIN is refused; UnreadableError where the folder cannot be used or
    nobody sits at a terminal.
    """
    data = known_data_folder(asked, "people")
    try:
        with ExitStack() as opened:
            opened.enter_context(held(data))
            print(_let_in(opened.enter_context(opened_site(data)), asked))
    except (DataFolderError, NotRecordedError) as error:
        raise UnreadableError(str(error)) from None
    except RefusedError as error:
        raise StoppedError(str(error)) from None
    return GOOD


def _let_in(site: Site, asked: argparse.Namespace) -> str:
    person = at_the_machine.supervisor_named(site, asked.name)
    if not asked.choose_pin:
        at_the_machine.unlock(site, person.id, asked.why)
        return f"{person.name} is unlocked and signs in with the PIN that he has."
    at_the_machine.choose_pin(site, person.id, _typed_twice(person), asked.why)
    return f"{person.name} has the PIN that he chose; the one before is worth nothing any more."


def _typed_twice(person: KeptPerson) -> str:
    print(f"{person.name} types the new PIN himself, and nobody looks on. It is not shown.", flush=True)
    first = _typed(f"New PIN of {person.name}: ")
    if _typed("The same PIN again: ") != first:
        raise StoppedError("The two PINs are not the same; nothing was changed. Start once more.")
    return first


def _typed(question: str) -> str:
    if not sys.stdin.isatty():
        raise UnreadableError(
            "A PIN is typed at a terminal, by its owner, and comes from no file or program."
        )
    with warnings.catch_warnings():
        # A terminal that cannot hide what is typed would show the PIN.
        warnings.simplefilter("error", getpass.GetPassWarning)
        try:
            return getpass.getpass(question)
        except (getpass.GetPassWarning, EOFError):
            raise UnreadableError(
                "No PIN could be typed unseen at this terminal; nothing was changed."
            ) from None
