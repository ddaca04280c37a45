from dataclasses import dataclass
from datetime import datetime, timedelta, timezone
from pathlib import Path

import pytest

from app.exports.record_json import SealedRecord, seal_record
from app.exports.record_pdf import sealed_record_pdf
from app.exports.site_keys import SiteKeys, create_site_keys
from tests.records.install_record_sample import sample_record

SEALED_AT = datetime(2031, 3, 7, 18, 0, tzinfo=timezone(timedelta(hours=3)))


@dataclass(frozen=True, slots=True)
class SealedFiles:
    """One sealed record as both files."""

    sealed: SealedRecord
    pdf: bytes


@pytest.fixture(scope="session")
def keys(tmp_path_factory: pytest.TempPathFactory) -> SiteKeys:
    return create_site_keys(tmp_path_factory.mktemp("site") / "keys", "Invented Site", now=SEALED_AT)


@pytest.fixture(scope="session")
def other_keys(tmp_path_factory: pytest.TempPathFactory) -> SiteKeys:
    return create_site_keys(tmp_path_factory.mktemp("other") / "keys", "Invented Other Site", now=SEALED_AT)


@pytest.fixture(scope="session")
def files(keys: SiteKeys) -> SealedFiles:
    sealed = seal_record(sample_record(steps=8), keys, SEALED_AT)
    return SealedFiles(sealed, sealed_record_pdf(sealed, keys))


@pytest.fixture
def pdf_path(files: SealedFiles, tmp_path: Path) -> Path:
    path = tmp_path / "record.pdf"
    path.write_bytes(files.pdf)
    return path
