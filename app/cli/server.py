"""Commands that serve: the server of a site, and the demonstration."""

import argparse
import os
import socket
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path

from app.cli.opened import opened_site
from app.cli.outcome import GOOD, UnreadableError
from app.demo import DEMO_CREW
from app.services.data_folder import DataFolderError, held, mark_demonstration, refuse_demonstration
from app.services.demonstration import prepare_demonstration
from app.services.site import Site
from app.settings import DATA, DEMO_DATA, Setting, SettingError, Settings, settings_from
from app.store.writer import NotRecordedError
from app.web.application import create_application
from app.web.server import CannotListenError, listen
from app.web.server import serve as serve_until_stopped

STOPPED_WORDS = "Stopped. What was recorded is on the disk."


def serve(asked: argparse.Namespace) -> int:
    """Serve a site until somebody stops it.

    Raises: UnreadableError where settings, address or data folder cannot be used.
    """
    settings = _settings(asked, DATA)
    with _ready(settings, refuse_demonstration) as (site, listener):
        _say(f"Twinleg serves {settings.data} at {settings.address}")
        _say("Open this address in a browser. Stop with Ctrl-C.")
        serve_until_stopped(create_application(site, settings), listener, site.listeners.close)
    _say(STOPPED_WORDS)
    return GOOD


def demo(asked: argparse.Namespace) -> int:
    """Serve the demonstration until somebody stops it.

    Raises: UnreadableError where settings, address or data folder cannot be used.
    """
    settings = _settings(asked, DEMO_DATA)
    with _ready(settings, mark_demonstration) as (site, listener):
        prepare_demonstration(site)
        _say_how_to_sign_in(settings)
        serve_until_stopped(create_application(site, settings), listener, site.listeners.close)
    _say(STOPPED_WORDS)
    return GOOD


@contextmanager
def _ready(settings: Settings, mark: Callable[[Path], None]) -> Iterator[tuple[Site, socket.socket]]:
    """Give the open site and the address it will be served at; `mark` says what kind of folder it may be."""
    try:
        with ExitStack() as opened:
            listener = opened.enter_context(listen(settings.host, settings.port))
            opened.enter_context(held(settings.data))
            mark(settings.data)
            yield opened.enter_context(opened_site(settings.data, practice=settings.practice)), listener
    except (CannotListenError, DataFolderError, NotRecordedError) as error:
        raise UnreadableError(str(error)) from None


def _settings(asked: argparse.Namespace, data: Setting) -> Settings:
    try:
        return settings_from(asked, os.environ, data=data)
    except SettingError as error:
        raise UnreadableError(str(error)) from None


def _say_how_to_sign_in(settings: Settings) -> None:
    _say("This is a demonstration. Crew, wells, rigs and equipment are invented; nothing in it is real.")
    _say(f"Open {settings.address} in a browser on this machine. Sign in as one of:")
    for person in DEMO_CREW:
        _say(f"  {person.name:18}{person.role:26}PIN {person.pin}")
    _say(f"Its runs are kept in {settings.data}. Stop with Ctrl-C.")


def _say(line: str) -> None:
    # A program that waits for the address reads a pipe, which would hold the line back.
    print(line, flush=True)
