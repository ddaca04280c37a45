"""The program behind the browser tests answers, ends, and tells why it did not start."""

import socket
import urllib.request
from pathlib import Path

import pytest

from tests.browser.running_program import ProgramDidNotStartError, RunningProgram, free_port, running_program


def test_the_program_answers_on_its_address(server: RunningProgram) -> None:
    opener = urllib.request.build_opener(urllib.request.ProxyHandler({}))

    with opener.open(server.address, timeout=10) as answer:
        status = answer.status

    assert status == 200
    assert server.process.poll() is None


def test_the_program_is_gone_at_the_end(tmp_path: Path) -> None:
    with running_program(tmp_path / "data") as program:
        assert program.process.poll() is None

    assert program.process.poll() is not None


def test_a_program_that_cannot_start_hands_over_its_own_words(tmp_path: Path) -> None:
    not_a_folder = tmp_path / "data"
    not_a_folder.write_text("")

    with pytest.raises(ProgramDidNotStartError, match="--data"), running_program(not_a_folder):
        pass


def test_two_programs_run_side_by_side(tmp_path: Path) -> None:
    with running_program(tmp_path / "one") as one, running_program(tmp_path / "two") as two:
        addresses = {one.address, two.address}

    assert len(addresses) == 2


def test_a_free_port_can_be_listened_on() -> None:
    port = free_port()

    with socket.create_server(("127.0.0.1", port)) as listener:
        assert listener.getsockname() == ("127.0.0.1", port)
