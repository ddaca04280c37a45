"""`twinleg serve` and `twinleg demo` as real processes: they start, say so, end, and refuse in one line."""

import argparse
import http.client
import os
import signal
import socket
import sqlite3
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from app.demo import DEMO_CREW
from app.services.people import everybody
from app.services.plans import all_plans
from app.services.site import DATABASE, open_site
from app.settings import DEMO_DATA, settings_from
from tests.browser.running_program import free_port
from tests.cli.program import ROOT, SECONDS, is_one_line, twinleg, without_settings


@contextmanager
def started(*arguments: str | Path) -> Iterator[tuple[subprocess.Popen[str], int]]:
    """Give a server that answers, and its port; it is killed at the end if it still runs."""
    port = free_port()
    command = [sys.executable, "-m", "app", *map(str, arguments), "--port", str(port)]
    with subprocess.Popen(
        command, cwd=ROOT, env=without_settings(), stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    ) as process:
        try:
            wait_until_it_answers(process, port)
            yield process, port
        finally:
            process.kill()


def wait_until_it_answers(process: subprocess.Popen[str], port: int) -> None:
    give_up_at = time.monotonic() + SECONDS
    while process.poll() is None and time.monotonic() < give_up_at:
        try:
            status_of(port, "/")
            return
        except OSError:
            time.sleep(0.05)
    raise AssertionError(f"no answer; exit code {process.poll()}")


def status_of(port: int, path: str) -> int:
    with closing(http.client.HTTPConnection("127.0.0.1", port, timeout=SECONDS)) as connection:
        connection.request("GET", path)
        return connection.getresponse().status


def test_the_demonstration_prints_its_address_its_sign_ins_and_that_all_is_invented(tmp_path: Path) -> None:
    with started("demo", "--data", tmp_path / "demo") as (process, port):
        process.send_signal(signal.SIGTERM)
        out, err = process.communicate(timeout=SECONDS)

    assert (process.returncode, err) == (0, "")
    assert "invented; nothing in it is real" in out
    assert f"http://127.0.0.1:{port}" in out
    assert all(person.name in out and f"PIN {person.pin}" in out for person in DEMO_CREW)


def test_the_demonstration_holds_its_crew_and_plans_once_however_often_it_is_started(tmp_path: Path) -> None:
    data = tmp_path / "demo"
    for _ in range(2):
        with started("demo", "--data", data) as (process, _port):
            process.send_signal(signal.SIGINT)
            process.communicate(timeout=SECONDS)

    with closing(open_site(data)) as site:
        people = [(person.name, person.role) for person in everybody(site)]
        plans = [plan.name for plan in all_plans(site)]
    assert sorted(people) == sorted((person.name, person.role) for person in DEMO_CREW)
    assert plans == ["Demonstration: dual pump", "Demonstration: single pump"]


def test_a_new_site_is_served_without_people_and_plans(tmp_path: Path) -> None:
    with started("serve", "--data", tmp_path / "site") as (process, port):
        status = status_of(port, "/static/none")
        process.send_signal(signal.SIGTERM)
        out, err = process.communicate(timeout=SECONDS)

    assert status == 404
    assert (process.returncode, err) == (0, "")
    assert "PIN" not in out
    with closing(open_site(tmp_path / "site")) as site:
        assert everybody(site) == []


def test_a_stopped_server_does_not_wait_for_a_browser_that_holds_its_connection(tmp_path: Path) -> None:
    with (
        started("serve", "--data", tmp_path / "site") as (process, port),
        socket.create_connection(("127.0.0.1", port)) as idle,
    ):
        idle.sendall(b"POST /api/sign-in HTTP/1.1\r\nhost: localhost\r\ncontent-length: 100\r\n\r\n{")
        time.sleep(0.2)
        begun = time.monotonic()
        process.send_signal(signal.SIGTERM)
        process.communicate(timeout=SECONDS)
        took_s = time.monotonic() - begun

    assert process.returncode == 0
    assert took_s < 10


def test_a_port_in_use_is_said_in_one_line(tmp_path: Path) -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]

        ended = twinleg("serve", "--data", tmp_path / "site", "--port", str(port))

    assert (ended.code, ended.out) == (2, "")
    assert is_one_line(ended.err)
    assert f"port {port}: another program listens there" in ended.err
    assert not (tmp_path / "site").exists()


def test_a_host_that_is_no_machine_is_said_in_one_line(tmp_path: Path) -> None:
    ended = twinleg("serve", "--data", tmp_path / "site", "--host", "no.such.machine.invalid")

    assert (ended.code, ended.out) == (2, "")
    assert is_one_line(ended.err)
    assert "no machine of that name is known" in ended.err


def test_a_setting_that_cannot_be_used_is_said_in_one_line(tmp_path: Path) -> None:
    ended = twinleg("serve", "--data", tmp_path, TWINLEG_PORT="eighty")

    assert (ended.code, ended.out) == (2, "")
    assert is_one_line(ended.err)
    assert "TWINLEG_PORT is 'eighty'" in ended.err


def test_a_data_folder_below_a_file_is_said_in_one_line(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")

    ended = twinleg("serve", "--data", tmp_path / "file" / "site", "--port", str(free_port()))

    assert (ended.code, ended.out) == (2, "")
    assert is_one_line(ended.err)
    assert "cannot be written (Not a directory)" in ended.err


def test_a_data_folder_that_may_not_be_written_is_said_in_one_line(tmp_path: Path) -> None:
    # The system lets its owner write anywhere, but not into a folder of its own making such as this one.
    folder = Path("/proc/self/fdinfo") if os.geteuid() == 0 else tmp_path / "locked"
    if os.geteuid() != 0:
        folder.mkdir(mode=0o500)

    ended = twinleg("serve", "--data", folder, "--port", str(free_port()))

    assert (ended.code, ended.out) == (2, "")
    assert is_one_line(ended.err)
    assert "cannot be written" in ended.err


def test_a_database_of_a_newer_version_is_left_untouched_and_said_in_one_line(tmp_path: Path) -> None:
    data = tmp_path / "site"
    open_site(data).close()
    with closing(sqlite3.connect(data / DATABASE)) as connection, connection:
        connection.execute("UPDATE alembic_version SET version_num = '9999'")
    before = (data / DATABASE).read_bytes()

    ended = twinleg("serve", "--data", data, "--port", str(free_port()))

    assert (ended.code, ended.out) == (2, "")
    assert is_one_line(ended.err)
    assert "has revision 9999" in ended.err
    assert (data / DATABASE).read_bytes() == before


def test_a_file_of_another_program_is_left_untouched_and_said_in_one_line(tmp_path: Path) -> None:
    database = tmp_path / DATABASE
    database.write_bytes(b"something else" * 100)

    ended = twinleg("serve", "--data", tmp_path, "--port", str(free_port()))

    assert (ended.code, ended.out) == (2, "")
    assert is_one_line(ended.err)
    assert "is not a Twinleg database" in ended.err
    assert database.read_bytes() == b"something else" * 100


def test_two_servers_do_not_share_a_data_folder(tmp_path: Path) -> None:
    with started("serve", "--data", tmp_path / "site"):
        ended = twinleg("serve", "--data", tmp_path / "site", "--port", str(free_port()))

    assert (ended.code, ended.out) == (2, "")
    assert is_one_line(ended.err)
    assert "Another Twinleg works with the data folder" in ended.err


def test_a_killed_server_leaves_a_folder_that_the_next_one_can_take(tmp_path: Path) -> None:
    with started("serve", "--data", tmp_path / "site") as (process, _):
        process.kill()
        process.communicate(timeout=SECONDS)

    with started("serve", "--data", tmp_path / "site") as (_, port):
        status = status_of(port, "/static/none")

    assert status == 404


def test_no_demonstration_is_put_among_the_runs_of_a_real_site(tmp_path: Path) -> None:
    with closing(open_site(tmp_path)):
        pass

    ended = twinleg("demo", "--data", tmp_path, "--port", str(free_port()))

    assert (ended.code, ended.out) == (2, "")
    assert is_one_line(ended.err)
    assert "holds the runs of a real site" in ended.err
    with closing(open_site(tmp_path)) as site:
        assert everybody(site) == []


def test_the_folder_of_real_runs_that_a_variable_names_is_never_the_demonstrations(tmp_path: Path) -> None:
    environment = {"TWINLEG_DATA": str(tmp_path / "real")}

    settings = settings_from(argparse.Namespace(), environment, data=DEMO_DATA)

    assert settings.data == Path(DEMO_DATA.default).expanduser()


def test_a_demonstration_is_not_served_as_a_site_since_its_pins_are_public(tmp_path: Path) -> None:
    with started("demo", "--data", tmp_path) as (process, _):
        process.kill()
        process.communicate(timeout=SECONDS)

    ended = twinleg("serve", "--data", tmp_path, "--port", str(free_port()))

    assert (ended.code, ended.out) == (2, "")
    assert is_one_line(ended.err)
    assert "whose PINs are public" in ended.err
