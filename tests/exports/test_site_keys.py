import stat
from datetime import UTC, datetime
from pathlib import Path

import pytest
from cryptography.hazmat.primitives import serialization
from cryptography.hazmat.primitives.asymmetric import ec

from app.exports.site_keys import FILES, PAGE_KEY, RECORD_KEY, SiteKeyError, create_site_keys, load_site_keys

NOW = datetime(2031, 3, 1, tzinfo=UTC)


def test_keys_made_once_are_read_back_as_the_same_site(tmp_path: Path) -> None:
    made = create_site_keys(tmp_path / "keys", "Invented Site", now=NOW)

    read = load_site_keys(tmp_path / "keys")

    assert read.key_fingerprint == made.key_fingerprint
    assert read.certificate_fingerprint == made.certificate_fingerprint
    assert read.site == "Invented Site"


def test_only_the_owner_can_read_the_keys(tmp_path: Path) -> None:
    create_site_keys(tmp_path / "keys", "Invented Site", now=NOW)

    modes = {path.name: stat.S_IMODE(path.stat().st_mode) for path in (tmp_path / "keys").iterdir()}

    assert modes == dict.fromkeys(FILES, 0o600)
    assert stat.S_IMODE((tmp_path / "keys").stat().st_mode) == 0o700


@pytest.mark.parametrize("name", FILES)
@pytest.mark.parametrize("mode", [0o640, 0o604, 0o620, 0o601])
def test_a_key_open_to_others_is_refused_with_the_command_that_closes_it(
    tmp_path: Path, name: str, mode: int
) -> None:
    create_site_keys(tmp_path / "keys", "Invented Site", now=NOW)
    (tmp_path / "keys" / name).chmod(mode)

    with pytest.raises(SiteKeyError, match="chmod 600 .*" + name):
        load_site_keys(tmp_path / "keys")


def test_a_folder_where_others_can_write_is_refused(tmp_path: Path) -> None:
    create_site_keys(tmp_path / "keys", "Invented Site", now=NOW)
    (tmp_path / "keys").chmod(0o777)

    with pytest.raises(SiteKeyError, match="chmod 700"):
        load_site_keys(tmp_path / "keys")


@pytest.mark.parametrize("name", FILES)
def test_a_missing_key_is_named(tmp_path: Path, name: str) -> None:
    create_site_keys(tmp_path / "keys", "Invented Site", now=NOW)
    (tmp_path / "keys" / name).unlink()

    with pytest.raises(SiteKeyError, match=name):
        load_site_keys(tmp_path / "keys")


@pytest.mark.parametrize("name", FILES)
def test_a_spoilt_key_is_named(tmp_path: Path, name: str) -> None:
    create_site_keys(tmp_path / "keys", "Invented Site", now=NOW)
    (tmp_path / "keys" / name).write_bytes(b"not a key")

    with pytest.raises(SiteKeyError, match=f"{name}: this is not a"):
        load_site_keys(tmp_path / "keys")


@pytest.mark.parametrize("name", FILES)
def test_one_file_of_another_site_is_refused(tmp_path: Path, name: str) -> None:
    create_site_keys(tmp_path / "keys", "Invented Site", now=NOW)
    create_site_keys(tmp_path / "other", "Invented Other Site", now=NOW)
    (tmp_path / "keys" / name).write_bytes((tmp_path / "other" / name).read_bytes())

    with pytest.raises(SiteKeyError, match="it belongs to another"):
        load_site_keys(tmp_path / "keys")


def test_keys_of_the_wrong_kind_are_refused(tmp_path: Path) -> None:
    create_site_keys(tmp_path / "keys", "Invented Site", now=NOW)
    folder = tmp_path / "keys"
    record_key, page_key = (folder / RECORD_KEY).read_bytes(), (folder / PAGE_KEY).read_bytes()
    wide = ec.generate_private_key(ec.SECP384R1()).private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )

    for name, content, words in (
        (RECORD_KEY, page_key, "not an Ed25519 key"),
        (PAGE_KEY, record_key, "not a P-256 key"),
        (PAGE_KEY, wide, "not a P-256 key"),
    ):
        (folder / RECORD_KEY).write_bytes(record_key)
        (folder / PAGE_KEY).write_bytes(page_key)
        (folder / name).write_bytes(content)
        with pytest.raises(SiteKeyError, match=words):
            load_site_keys(folder)


def test_existing_keys_are_never_overwritten(tmp_path: Path) -> None:
    made = create_site_keys(tmp_path / "keys", "Invented Site", now=NOW)

    with pytest.raises(SiteKeyError, match="here lies a key already"):
        create_site_keys(tmp_path / "keys", "Invented Site", now=NOW)

    assert load_site_keys(tmp_path / "keys").key_fingerprint == made.key_fingerprint


def test_a_missing_folder_is_named(tmp_path: Path) -> None:
    with pytest.raises(SiteKeyError, match="nowhere"):
        load_site_keys(tmp_path / "nowhere")


@pytest.mark.parametrize("site", ["", "x" * 65, "two\nlines"])
def test_a_site_name_that_no_certificate_can_carry_is_refused(tmp_path: Path, site: str) -> None:
    with pytest.raises(SiteKeyError, match="1 to 64"):
        create_site_keys(tmp_path / "keys", site, now=NOW)


def test_private_keys_do_not_show_when_the_value_is_printed(tmp_path: Path) -> None:
    keys = create_site_keys(tmp_path / "keys", "Invented Site", now=NOW)

    assert "record_key" not in repr(keys)
    assert "page_key" not in repr(keys)
