"""Install records: built from a closed run, sealed by the site, written once."""

import os
from dataclasses import dataclass
from pathlib import Path

from app.domain.as_built import install_record, with_other_numbers
from app.domain.events.rewriting import Replanned
from app.domain.refusals import RefusedError
from app.domain.run import Run
from app.exports.record_json import SealedRecord, seal_record
from app.exports.record_pdf import sealed_record_pdf
from app.exports.site_keys import RECORD_KEY, SiteKeys, create_site_keys, load_site_keys
from app.records.event_json import read_entry
from app.records.install_record_json import logged_events
from app.services.runs import content_of, log_of, run_of
from app.services.site import Site

DEMO_SITE = "Twinleg demonstration, all data invented"
SITE = "Twinleg site"


class RecordError(RefusedError):
    """The run gives no record."""

    rule = "record"


@dataclass(frozen=True, slots=True)
class RecordFiles:
    """The two files of an install record: for machines and for people."""

    data: Path
    pages: Path

    @property
    def are_written(self) -> bool:
        """Return whether both files are there."""
        return self.data.exists() and self.pages.exists()


def record_files(site: Site, run_id: str) -> RecordFiles:
    """Return where the record of a run lies, or will lie.

    Raises: UnknownRunError.
    """
    run = run_of(site, run_id)
    return RecordFiles(site.records / f"{run.id}.json", site.records / f"{run.id}.pdf")


def write_record(site: Site, run_id: str) -> RecordFiles:
    """Write the sealed record of a closed run, unless it is written already; two at once write it once.

    Raises: UnknownRunError; RecordError where the run is open or a practice run.
    """
    files = record_files(site, run_id)
    with site.sealing:
        if not files.are_written:
            _write_both(site, run_id, files)
    return files


def sealed_record(site: Site, run_id: str, keys: SiteKeys) -> SealedRecord:
    """Return the record of a closed run under the seal of the site.

    Raises: UnknownRunError; RecordError where the run is open or a practice run.
    """
    run = run_of(site, run_id)
    _refuse_unfinished(run)
    assert run.release is not None, "a run begins with its release"
    text = content_of(site, run.release.plan_content).decode()
    later = {
        item.event.plan_content: content_of(site, item.event.plan_content).decode()
        for item in run.rewrites
        if isinstance(item.event, Replanned)
    }
    log = log_of(site, run_id)
    record = install_record(run, text, logged_events(log), later)
    record = with_other_numbers(record, run, map(read_entry, log))
    assert run.closed_at is not None, "an open run is refused"
    # The time of the close and no later one: the same run always gives the same sealed data.
    return seal_record(record, keys, run.closed_at)


def site_keys(site: Site) -> SiteKeys:
    """Return the keys of the site; the first call makes them.

    Raises: SiteKeyError where they lie open to others or are damaged.
    """
    if not (site.keys / RECORD_KEY).exists():
        return create_site_keys(site.keys, DEMO_SITE if site.demo else SITE, now=site.clock())
    return load_site_keys(site.keys)


def _write_both(site: Site, run_id: str, files: RecordFiles) -> None:
    _refuse_unfinished(run_of(site, run_id))
    keys = site_keys(site)
    sealed = sealed_record(site, run_id, keys)
    site.records.mkdir(exist_ok=True, mode=0o700)
    _write_whole(files.data, sealed.data)
    _write_whole(files.pages, sealed_record_pdf(sealed, keys))


def _refuse_unfinished(run: Run) -> None:
    if run.is_practice:
        raise RecordError(
            "This is a practice run; it gives no install record. Release the plan for a real run."
        )
    if not run.is_closed:
        raise RecordError("The run is not closed yet; finish the close-out, then write the record.")


def _write_whole(path: Path, data: bytes) -> None:
    # A reader never sees half a record, whatever stops the program.
    partial = path.with_suffix(path.suffix + ".part")
    with partial.open("wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())
    partial.replace(path)
