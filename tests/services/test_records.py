"""The whole small job, run by a crew to its end: its record holds everything, and anybody can verify it."""

import asyncio
import shutil
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

import pytest

from app.domain.as_built_work import TESTS
from app.domain.install_record import InstallRecord, Verdict
from app.domain.sheet import ReadingKind, Sheet
from app.exports.sealed_json import read_sealed_json
from app.exports.site_keys import RECORD_KEY
from app.exports.verification import verify_file
from app.records.chain import broken_links
from app.records.install_record_json import chain_entries, logged_events
from app.services.people import everybody
from app.services.records import RecordError, RecordFiles, record_files, site_keys, write_record
from app.services.runs import UnknownRunError, log_of
from app.services.site import Site, open_site
from tests.runner import close, release, run_to_the_end
from tests.services.camp import SINGLE, Job, clock, crew_of, now
from tests.services.conftest import Folder


@dataclass(frozen=True, slots=True)
class Written:
    """The closed job, the files of its record, and the record as it is read from them."""

    job: Job
    files: RecordFiles
    record: InstallRecord

    @property
    def sheet(self) -> Sheet:
        return self.job.run.sheet


@pytest.fixture(scope="module")
def written(closed_folder: Folder, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Written]:
    data, run_id = closed_folder
    site = open_site(shutil.copytree(data, tmp_path_factory.mktemp("written") / "site"), clock=clock())
    files = now(asyncio.to_thread(write_record, site, run_id))
    sealed, problems = read_sealed_json(files.data.read_bytes(), "record")
    assert sealed is not None, problems
    yield Written(Job(site, run_id, crew_of(site)), files, sealed.record)
    site.close()


# --- the files


def test_both_files_lie_in_the_folder_of_records(written: Written) -> None:
    folder = written.job.site.data / "records"

    assert written.files == RecordFiles(
        folder / f"{written.job.run_id}.json", folder / f"{written.job.run_id}.pdf"
    )
    assert written.files.are_written
    assert sorted(path.name for path in folder.iterdir()) == [
        f"{written.job.run_id}.json",
        f"{written.job.run_id}.pdf",
    ]


@pytest.mark.parametrize("which", ["data", "pages"])
def test_each_file_is_verified_by_anybody_who_knows_the_key_of_the_site(written: Written, which: str) -> None:
    path: Path = getattr(written.files, which)

    verification = verify_file(path, trusted=site_keys(written.job.site).key_fingerprint)

    assert verification.problems == ()
    assert verification.is_sound
    assert verification.facts is not None
    assert verification.facts.run_id == written.job.run_id
    assert verification.facts.events == len(log_of(written.job.site, written.job.run_id))
    assert verification.facts.head == log_of(written.job.site, written.job.run_id)[-1].hash


def test_a_record_that_was_altered_is_not_sound(written: Written, tmp_path: Path) -> None:
    data = written.files.data.read_bytes()
    serial = written.record.clamps[0].serial.encode()
    altered = tmp_path / "altered.json"
    altered.write_bytes(data.replace(serial, serial[:-1] + b"9", 1))

    assert not verify_file(altered).is_sound


def test_a_record_written_again_is_left_as_it_is(written: Written) -> None:
    before = [
        (path.read_bytes(), path.stat().st_mtime_ns) for path in (written.files.data, written.files.pages)
    ]

    again = write_record(written.job.site, written.job.run_id)

    after = [(path.read_bytes(), path.stat().st_mtime_ns) for path in (again.data, again.pages)]
    assert after == before


def test_a_lost_half_of_a_record_is_written_again_with_the_same_data(finished: Job) -> None:
    files = write_record(finished.site, finished.run_id)
    data = files.data.read_bytes()
    files.pages.unlink()
    assert not files.are_written

    again = write_record(finished.site, finished.run_id)

    assert again.are_written
    assert again.data.read_bytes() == data


def test_two_who_want_the_record_at_once_get_the_same_whole_one(finished: Job) -> None:
    with ThreadPoolExecutor(4) as threads:
        files = list(threads.map(lambda _: write_record(finished.site, finished.run_id), range(4)))

    assert len(set(files)) == 1
    trusted = site_keys(finished.site).key_fingerprint
    assert verify_file(files[0].data, trusted=trusted).is_sound
    assert verify_file(files[0].pages, trusted=trusted).is_sound


# --- what gives no record


def test_an_open_run_gives_no_record(job: Job) -> None:
    with pytest.raises(RecordError, match="The run is not closed yet; finish the close-out"):
        write_record(job.site, job.run_id)

    assert not record_files(job.site, job.run_id).are_written
    assert not (job.site.keys / RECORD_KEY).exists()


def test_a_practice_run_gives_no_record_even_when_it_is_closed(site: Site) -> None:
    site.practice = True
    crew = crew_of(site)

    async def practise() -> str:
        run_id = await release(site, SINGLE, crew["supervisor"])
        await run_to_the_end(site, run_id, crew)
        await close(site, run_id, crew)
        return run_id

    run_id = now(practise())

    with pytest.raises(RecordError, match="This is a practice run; it gives no install record"):
        write_record(site, run_id)
    assert not site.records.exists()


def test_a_run_that_is_not_there_gives_no_record(site: Site) -> None:
    with pytest.raises(UnknownRunError):
        write_record(site, "../../etc/passwd")


def test_a_demonstration_says_so_in_the_name_of_its_site(finished: Job) -> None:
    finished.site.demo = True

    files = write_record(finished.site, finished.run_id)

    facts = verify_file(files.data).facts
    assert facts is not None
    assert facts.site == "Twinleg demonstration, all data invented"


# --- what the record holds


def test_the_record_holds_the_plan_as_it_was_written(written: Written) -> None:
    run = written.job.run
    assert run.release is not None

    assert written.record.plan.text == SINGLE
    assert written.record.plan.fingerprint == run.release.plan_fingerprint
    assert written.record.sheet_fingerprint == run.release.sheet_content


def test_the_record_holds_the_whole_log_and_its_chain(written: Written) -> None:
    log = log_of(written.job.site, written.job.run_id)

    assert written.record.log == logged_events(log)
    assert written.record.head == log[-1].hash
    assert broken_links(chain_entries(written.record)) == []


def test_every_connection_of_the_sheet_is_in_the_record(written: Written) -> None:
    made = {
        (item.step, item.joins, item.connection_type): item.verdict for item in written.record.connections
    }

    wanted = {
        (step.number, f"{step.joined.upper} to {step.joined.lower}", step.joined.connection)
        for step in written.sheet.steps
        if step.joined is not None
    }
    assert set(made) == wanted
    assert set(made.values()) == {Verdict.PASSED}


def test_every_station_of_the_sheet_has_its_clamp_in_the_record(written: Written) -> None:
    fitted = [(item.station, item.clamp_type) for item in written.record.clamps]

    assert fitted == [
        (step.dressed.station, step.dressed.clamp_type)
        for step in written.sheet.steps
        if step.dressed is not None
    ]
    assert len({item.serial for item in written.record.clamps}) == len(fitted)


def test_every_part_of_the_plan_is_in_the_record_with_the_serial_that_was_read(written: Written) -> None:
    plan = written.job.run.plan
    tags = {part.tag for system in plan.systems for part in system.every_part()}
    tags |= {system.y_block.tag for system in plan.systems} | {plan.production.hanger.tag}

    serials = {item.tag: item.serial for item in written.record.parts}

    assert set(serials) == tags
    read = {
        wanted.item: taken.value
        for step in written.sheet.steps
        for wanted in step.readings
        for taken in written.job.run.done[step.number].readings
        if wanted.kind is ReadingKind.SERIAL and taken.name == wanted.name and wanted.item in tags
    }
    assert serials == serials | read


def test_every_joint_of_the_plan_is_in_the_tally(written: Written) -> None:
    plan = written.job.run.plan
    joints = [joint.tag for system in plan.systems for joint in system.every_joint()]

    assert {line.tag for line in written.record.tally} == {
        *joints,
        *(joint.tag for joint in plan.production.tubing.joints),
    }


def test_every_test_of_the_sheet_is_in_the_record(written: Written) -> None:
    made = [(item.step, item.verdict) for item in written.record.tests]

    assert made == [(step.number, Verdict.PASSED) for step in written.sheet.steps if step.operation in TESTS]


def test_every_hold_point_of_the_sheet_is_in_the_record_signed_by_all(written: Written) -> None:
    crew = {person.name for person in everybody(written.job.site)}

    held = written.record.hold_points

    points = [stage.hold_point for stage in written.sheet.stages if stage.hold_point is not None]
    assert [item.topics for item in held] == [point.topics for point in points]
    assert [{signed.name for signed in item.signatures} for item in held] == [crew] * len(points)


def test_every_step_of_the_sheet_is_in_the_record_done(written: Written) -> None:
    steps = written.record.steps

    assert [(item.number, item.text) for item in steps] == [
        (step.number, step.text) for step in written.sheet.steps
    ]
    assert {item.outcome for item in steps} == {"done", "passed"}


def test_the_record_is_signed_by_those_who_close(written: Written) -> None:
    signed = [(item.name, item.role) for item in written.record.signatures]

    assert signed == [
        ("Test Supervisor", "supervisor"),
        ("Test Supervisor", "supervisor"),
        ("Test Representative", "company representative"),
    ]
