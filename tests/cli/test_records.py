"""`twinleg record` and `twinleg verify` on a run that was really done and closed."""

import asyncio
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

import pytest

from app.demo import demo_plan_text
from app.services.site import open_site
from tests import runner
from tests.cli.program import is_one_line, twinleg


@dataclass(frozen=True, slots=True)
class ClosedSite:
    """A data folder with one run that is closed and one that is not."""

    data: Path
    closed: str
    open: str


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> ClosedSite:
    """Return a data folder that no server works with."""
    data = tmp_path_factory.mktemp("site") / "data"
    with closing(open_site(data)) as opened:
        crew = runner.add_crew(opened)
        text = demo_plan_text("single")
        closed = asyncio.run(runner.release(opened, text, crew["supervisor"]))
        asyncio.run(runner.run_to_the_end(opened, closed, crew))
        asyncio.run(runner.close(opened, closed, crew))
        still_open = asyncio.run(runner.release(opened, text, crew["supervisor"]))
    return ClosedSite(data, closed, still_open)


@pytest.fixture(scope="module")
def files(site: ClosedSite, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder with both files of the closed run's record."""
    out = tmp_path_factory.mktemp("out") / "records"

    ended = twinleg("record", site.closed, "--data", site.data, "--out", out)

    assert (ended.code, ended.err) == (0, "")
    assert ended.out == f"{out / f'{site.closed}.pdf'}\n{out / f'{site.closed}.json'}\n"
    return out


@pytest.mark.parametrize("kind", ["pdf", "json"])
def test_a_written_record_is_sound(site: ClosedSite, files: Path, kind: str) -> None:
    ended = twinleg("verify", files / f"{site.closed}.{kind}")

    assert (ended.code, ended.err) == (0, "")
    assert f"Sound. Run {site.closed} of " in ended.out
    assert "Fingerprint of the site's key: " in ended.out


def test_a_record_is_held_against_the_key_that_is_trusted(site: ClosedSite, files: Path) -> None:
    said = twinleg("verify", files / f"{site.closed}.json").out
    ours = said.rpartition("key: ")[2].rstrip(".\n")

    right = twinleg("verify", files / f"{site.closed}.json", "--trusted", ours)
    wrong = twinleg("verify", files / f"{site.closed}.json", "--trusted", "0" * 64)

    assert (right.code, right.err) == (0, "")
    assert wrong.code == 1
    assert is_one_line(wrong.err)
    assert "sealed by a key that this site does not know" in wrong.out


@pytest.mark.parametrize("kind", ["pdf", "json"])
def test_an_altered_record_is_told_with_exit_code_1(
    site: ClosedSite, files: Path, tmp_path: Path, kind: str
) -> None:
    record = (files / f"{site.closed}.{kind}").read_bytes()
    middle = len(record) // 2
    altered = tmp_path / f"altered.{kind}"
    altered.write_bytes(record[:middle] + bytes([record[middle] ^ 1]) + record[middle + 1 :])

    ended = twinleg("verify", altered)

    assert ended.code == 1
    assert is_one_line(ended.err)
    assert "is not the record as it was sealed. Do not rely on it." in ended.err
    assert ended.out.startswith("STOP    ")


def test_a_file_that_is_no_record_is_told_with_exit_code_2(tmp_path: Path) -> None:
    other = tmp_path / "other.txt"
    other.write_text("something else")

    ended = twinleg("verify", other)

    assert (ended.code, ended.out) == (2, "")
    assert is_one_line(ended.err)
    assert "neither a sealed PDF nor a sealed JSON file" in ended.err


@pytest.mark.parametrize("name", ["none.pdf", "."])
def test_a_record_that_cannot_be_read_is_told_with_exit_code_2(tmp_path: Path, name: str) -> None:
    ended = twinleg("verify", tmp_path / name)

    assert (ended.code, ended.out) == (2, "")
    assert is_one_line(ended.err)
    assert "cannot be read" in ended.err


def test_an_open_run_gives_no_record(site: ClosedSite, tmp_path: Path) -> None:
    ended = twinleg("record", site.open, "--data", site.data, "--out", tmp_path)

    assert (ended.code, ended.out) == (1, "")
    assert is_one_line(ended.err)
    assert "The run is not closed yet" in ended.err
    assert list(tmp_path.iterdir()) == []


def test_a_run_that_is_not_there_gives_no_record(site: ClosedSite, tmp_path: Path) -> None:
    ended = twinleg("record", "20000101-abcdef", "--data", site.data, "--out", tmp_path)

    assert (ended.code, ended.out) == (2, "")
    assert is_one_line(ended.err)
    assert "There is no run '20000101-abcdef' here." in ended.err


def test_a_folder_without_runs_stays_without_them(tmp_path: Path) -> None:
    ended = twinleg("record", "20000101-abcdef", "--data", tmp_path / "mistyped")

    assert (ended.code, ended.out) == (2, "")
    assert is_one_line(ended.err)
    assert "holds no runs. Name the server's data folder with --data." in ended.err
    assert not (tmp_path / "mistyped").exists()


def test_a_folder_that_cannot_be_written_to_is_told_in_one_line(site: ClosedSite, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")

    ended = twinleg("record", site.closed, "--data", site.data, "--out", tmp_path / "file")

    assert (ended.code, ended.out) == (2, "")
    assert is_one_line(ended.err)
    assert "Name another folder with --out." in ended.err
