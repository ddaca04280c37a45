"""Seals and prints one long record in a fresh process, and prints the seconds of work it took."""

import sys
import tempfile
import time
from datetime import UTC, datetime
from pathlib import Path

from app.exports.record_json import seal_record
from app.exports.record_pdf import sealed_record_pdf
from app.exports.site_keys import create_site_keys
from app.exports.verification import verify_bytes
from tests.records.install_record_sample import sample_record

NOW = datetime(2031, 3, 7, 18, 0, tzinfo=UTC)


def work_s(steps: int, folder: Path) -> float:
    """Return the seconds of work for a record of that many steps, from values to both sealed files."""
    keys = create_site_keys(folder / "keys", "Invented Site", now=NOW)
    record = sample_record(steps=steps, joints=steps // 8)
    sealed_record_pdf(seal_record(sample_record(), keys, NOW), keys)  # the libraries are loaded once
    started = time.process_time()
    pdf = sealed_record_pdf(seal_record(record, keys, NOW), keys)
    spent_s = time.process_time() - started
    assert verify_bytes(pdf, "record.pdf", trusted=keys.key_fingerprint).is_sound
    return spent_s


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as folder:
        sys.stdout.write(f"{work_s(int(sys.argv[1]), Path(folder))}\n")
