"""Vendored files are what their README says they are, byte for byte."""

import hashlib
from dataclasses import dataclass
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
VENDOR_FOLDERS = (ROOT / "static/vendor", ROOT / "tests/browser/vendor")


@dataclass(frozen=True, slots=True)
class VendoredFile:
    """One row of a vendor README: where a file came from, under which licence, and its checksum."""

    name: str
    package: str
    path_in_package: str
    licence: str
    sha256: str


@pytest.mark.parametrize("folder", VENDOR_FOLDERS, ids=lambda folder: str(folder.relative_to(ROOT)))
def test_each_vendored_file_has_the_checksum_that_its_readme_states(folder: Path) -> None:
    stated = {row.name: row.sha256 for row in _rows(folder)}

    found = {path.name: _sha256(path) for path in folder.iterdir() if path.name != "README.md"}

    assert found == stated


@pytest.mark.parametrize("folder", VENDOR_FOLDERS, ids=lambda folder: str(folder.relative_to(ROOT)))
def test_each_vendored_file_names_its_package_with_a_version_and_a_licence(folder: Path) -> None:
    rows = _rows(folder)

    assert rows
    for row in rows:
        assert any(character.isdigit() for character in row.package), row
        assert row.licence, row


def test_a_changed_byte_is_seen(tmp_path: Path) -> None:
    original = VENDOR_FOLDERS[0] / _rows(VENDOR_FOLDERS[0])[0].name
    changed = tmp_path / original.name

    changed.write_bytes(original.read_bytes() + b" ")

    assert _sha256(changed) != _sha256(original)


def _rows(folder: Path) -> list[VendoredFile]:
    lines = (folder / "README.md").read_text(encoding="utf-8").splitlines()
    table = [line for line in lines if line.startswith("|")]
    return [VendoredFile(*(cell.strip() for cell in line.strip("|").split("|"))) for line in table[2:]]


def _sha256(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()
