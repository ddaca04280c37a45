"""Commands on install records: write the one of a run, and verify a file."""

import argparse
import shutil
from pathlib import Path

from app.cli.opened import known_data_folder, opened_site
from app.cli.outcome import GOOD, StoppedError, UnreadableError
from app.domain.refusals import RefusedError
from app.exports.site_keys import SiteKeyError
from app.exports.verification import SealFacts, verify_file
from app.records.findings_text import finding_line
from app.services.records import RecordFiles, write_record
from app.services.runs import UnknownRunError
from app.services.site import Site

NO_RECORD_RULE = "record-file"


def record(asked: argparse.Namespace) -> int:
    """Write both files of a closed run's install record into a folder.

    Raises: StoppedError where the run gives no record; UnreadableError where run or folder cannot be used.
    """
    with opened_site(known_data_folder(asked, "runs")) as site:
        files = _written(site, asked.run)
    for file in (files.pages, files.data):
        print(_copied(file, Path(asked.out)))
    return GOOD


def verify(asked: argparse.Namespace) -> int:
    """Print what an install record says about itself and what speaks against it.

    Raises: StoppedError where it was altered; UnreadableError where it is no record.
    """
    found = verify_file(Path(asked.file), trusted=asked.trusted)
    if any(problem.rule == NO_RECORD_RULE for problem in found.problems):
        raise UnreadableError(f"{asked.file}: {found.problems[0].text}")
    for problem in found.problems:
        print(finding_line(problem))
    if found.facts is None or not found.is_sound:
        raise StoppedError(f"{asked.file} is not the record as it was sealed. Do not rely on it.")
    print(_facts(found.facts))
    return GOOD


def _written(site: Site, run_id: str) -> RecordFiles:
    try:
        return write_record(site, run_id)
    except UnknownRunError as error:
        raise UnreadableError(str(error)) from None
    except RefusedError as error:
        raise StoppedError(str(error)) from None
    except (SiteKeyError, OSError) as error:
        raise UnreadableError(f"The record cannot be written: {error}") from None


def _copied(file: Path, out: Path) -> Path:
    try:
        out.mkdir(parents=True, exist_ok=True)
        return Path(shutil.copyfile(file, out / file.name))
    except OSError as error:
        raise UnreadableError(
            f"Nothing can be written to {out} ({error.strerror}). Name another folder with --out."
        ) from None


def _facts(facts: SealFacts) -> str:
    return (
        f"Sound. Run {facts.run_id} of {facts.events} events, sealed {facts.sealed_at} by {facts.site}.\n"
        f"Code of its log: {facts.short_code}. Fingerprint of the site's key: {facts.key_fingerprint}."
    )
