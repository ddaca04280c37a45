"""`twinleg readmit` as a real process, on the data folder of a site whose only supervisor cannot sign in."""

import asyncio
import os
import pty
import select
import signal
import sys
import time
from contextlib import closing
from pathlib import Path

import pytest

from app.domain.people import PersonUnlocked, PinChoiceOpened, PinChosen
from app.services.at_the_machine import AT_THE_MACHINE
from app.services.people import add_first_supervisor, add_person, everybody
from app.services.people_log import people_log
from app.services.runs import new_key
from app.services.site import open_site
from app.services.tries import MOST_FAILURES, Present, SignInError, check_pin
from app.store import people
from tests.cli.program import ROOT, SECONDS, is_one_line, twinleg, without_settings
from tests.cli.test_server import started

NAME, PIN, NEW = "Only Supervisor", "582913", "710428"
WHY = "forgot it on leave"


@pytest.fixture
def data(tmp_path: Path) -> Path:
    """Return the folder of a site whose only supervisor is locked."""
    with closing(open_site(tmp_path / "data")) as site:
        only = add_first_supervisor(site, NAME, PIN)
        asyncio.run(add_person(site, Present(only), "Some Driller", "driller", key=new_key()))
        at = site.now_text()
        for _ in range(MOST_FAILURES):
            site.database.writer.run(
                lambda connection: people.count_failure(connection, only.person_id, at, lock_at=MOST_FAILURES)
            )
    return tmp_path / "data"


def at_terminal(data: Path, *lines: str) -> tuple[int, str]:
    """Return the exit code of the command at a terminal of its own, and all that stood there."""
    command = ["-m", "app", "readmit", NAME, "--why", WHY, "--choose-pin", "--data", str(data)]
    child, terminal = pty.fork()
    if child == 0:
        os.chdir(ROOT)
        os.execve(sys.executable, [sys.executable, *command], without_settings())
    seen, left, give_up_at = "", list(lines), time.monotonic() + SECONDS
    while time.monotonic() < give_up_at:
        if not select.select([terminal], [], [], 0.2)[0]:
            continue
        try:
            seen += os.read(terminal, 4096).decode()
        except OSError:  # the other end of a terminal is gone with the process
            break
        if left and seen.endswith(": "):
            os.write(terminal, f"{left.pop(0)}\n".encode())
            seen += "\n"
    else:
        os.kill(child, signal.SIGKILL)
    os.close(terminal)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]), seen


def signs_in(data: Path, pin: str) -> bool:
    with closing(open_site(data)) as site:
        only = next(person for person in everybody(site) if person.name == NAME)
        try:
            asyncio.run(check_pin(site, only.id, pin))
        except SignInError:
            return False
        return True


def test_a_locked_supervisor_is_unlocked_and_keeps_his_pin(data: Path) -> None:
    assert not signs_in(data, PIN)

    ended = twinleg("readmit", NAME.lower(), "--why", WHY, "--data", data)

    assert (ended.code, ended.err) == (0, "")
    assert ended.out == f"{NAME} is unlocked and signs in with the PIN that he has.\n"
    assert signs_in(data, PIN)
    with closing(open_site(data)) as site:
        last = people_log(site)[-1]
    assert isinstance(last.change, PersonUnlocked)
    assert (last.who, last.why) == (AT_THE_MACHINE, WHY)


def test_he_chooses_a_new_pin_himself_which_the_terminal_does_not_show(data: Path) -> None:
    code, seen = at_terminal(data, NEW, NEW)

    assert code == 0, seen
    assert "nobody looks on" in seen
    assert NEW not in seen
    assert signs_in(data, NEW)
    assert not signs_in(data, PIN)
    with closing(open_site(data)) as site:
        opened, chosen = people_log(site)[-2:]
    assert isinstance(opened.change, PinChoiceOpened)
    assert (opened.who, opened.why) == (AT_THE_MACHINE, WHY)
    assert isinstance(chosen.change, PinChosen)


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ((NEW, "710429"), "The two PINs are not the same; nothing was changed."),
        (("123456", "123456"), "one of the first that anybody would try"),
        (("71042", "71042"), "A PIN has 6 to 12 digits"),
    ],
)
def test_a_pin_that_may_not_be_chosen_changes_nothing(data: Path, typed: tuple[str, str], words: str) -> None:
    code, seen = at_terminal(data, *typed)

    assert code == 1
    assert words in " ".join(seen.split())
    with closing(open_site(data)) as site:
        assert next(person for person in everybody(site) if person.name == NAME).locked
        assert not any(isinstance(entry.change, PinChoiceOpened) for entry in people_log(site))


def test_no_pin_comes_from_a_pipe(data: Path) -> None:
    ended = twinleg("readmit", NAME, "--why", WHY, "--choose-pin", "--data", data)

    assert ended.code == 2
    assert is_one_line(ended.err)
    assert "typed at a terminal, by its owner" in ended.err


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("Some Driller", "--why", WHY), f"Its supervisors: {NAME}"),
        ((NAME, "--why", " "), "Say why"),
    ],
)
def test_who_is_no_supervisor_and_what_has_no_reason_is_refused(
    data: Path, arguments: tuple[str, ...], words: str
) -> None:
    ended = twinleg("readmit", *arguments, "--data", data)

    assert ended.code == 1
    assert is_one_line(ended.err)
    assert words in ended.err


def test_who_is_not_locked_is_not_unlocked(data: Path) -> None:
    twinleg("readmit", NAME, "--why", WHY, "--data", data)

    again = twinleg("readmit", NAME, "--why", WHY, "--data", data)

    assert again.code == 1
    assert "is not locked; nothing was changed" in again.err


def test_while_the_server_runs_it_says_so_and_changes_nothing(data: Path) -> None:
    with started("serve", "--data", data):
        ended = twinleg("readmit", NAME, "--why", WHY, "--data", data)

    assert ended.code == 2
    assert is_one_line(ended.err)
    assert "Another Twinleg works with the data folder" in ended.err
    assert not signs_in(data, PIN)


def test_a_folder_without_a_site_is_not_made_one(tmp_path: Path) -> None:
    ended = twinleg("readmit", NAME, "--why", WHY, "--data", tmp_path / "nothing")

    assert ended.code == 2
    assert "holds no people" in ended.err
    assert not (tmp_path / "nothing").exists()
