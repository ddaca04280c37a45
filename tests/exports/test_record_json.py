import base64
import json
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from app.domain.install_record import InstallRecord
from app.exports.record_json import seal_record
from app.exports.sealed_json import read_sealed_json
from app.exports.site_keys import SiteKeys
from app.records.canonical import canonical_bytes
from app.records.plain import to_plain
from tests.exports.conftest import SEALED_AT, SealedFiles
from tests.exports.outside_tools import run_tool
from tests.records.install_record_sample import RUN, sample_log, sample_record

ED25519_HEAD = bytes.fromhex("302a300506032b6570032100")  # RFC 8410: the fixed head of such a public key


def test_a_sealed_record_reads_back_whole(files: SealedFiles) -> None:
    read, problems = read_sealed_json(files.sealed.data, "record.json")

    assert problems == []
    assert read == files.sealed


def test_the_file_is_exactly_its_canonical_form(files: SealedFiles) -> None:
    assert canonical_bytes(json.loads(files.sealed.data)) == files.sealed.data


def test_sealing_twice_at_one_time_gives_the_same_bytes(keys: SiteKeys, files: SealedFiles) -> None:
    again = seal_record(files.sealed.record, keys, SEALED_AT)

    assert again.data == files.sealed.data


def test_a_time_without_offset_is_refused(keys: SiteKeys) -> None:
    with pytest.raises(ValueError, match="has no offset"):
        seal_record(sample_record(), keys, SEALED_AT.replace(tzinfo=None))


def test_one_changed_bit_in_any_byte_is_refused(keys: SiteKeys) -> None:
    data = seal_record(_short_record(), keys, SEALED_AT).data

    passed = [place for place in range(len(data)) if not _refused(_flipped(data, place, 1))]

    assert passed == []


def test_a_letter_of_the_seal_turned_into_its_capital_is_refused(keys: SiteKeys) -> None:
    data = seal_record(_short_record(), keys, SEALED_AT).data
    seal = data.index(b'"seal":')
    letters = [place for place in range(seal, len(data)) if data[place : place + 1].isalpha()]

    passed = [place for place in letters if not _refused(_flipped(data, place, 0x20))]

    assert passed == []


def test_a_file_cut_anywhere_is_refused(files: SealedFiles) -> None:
    data = files.sealed.data

    passed = [size for size in range(0, len(data), 97) if not _refused(data[:size])]

    assert passed == []


@pytest.mark.parametrize("extra", [b" ", b"\n", b"\0", b"{}"])
def test_anything_added_before_or_after_is_refused(files: SealedFiles, extra: bytes) -> None:
    assert _refused(files.sealed.data + extra)
    assert _refused(extra + files.sealed.data)


def test_a_seal_moved_to_another_record_is_refused_as_such(keys: SiteKeys, files: SealedFiles) -> None:
    other = seal_record(sample_record(steps=9), keys, SEALED_AT)
    transplanted = canonical_bytes({"record": to_plain(other.record), "seal": to_plain(files.sealed.seal)})

    _, problems = read_sealed_json(transplanted, "record.json")

    assert {problem.rule for problem in problems} == {"seal-hash", "seal-signature"}


def test_a_seal_with_another_key_put_in_is_refused(files: SealedFiles, other_keys: SiteKeys) -> None:
    seal = replace(
        files.sealed.seal, public_key=other_keys.public_key.hex(), key_fingerprint=other_keys.key_fingerprint
    )

    _, problems = read_sealed_json(_file(files.sealed.record, seal), "record.json")

    assert {problem.rule for problem in problems} == {"seal-signature"}


@pytest.mark.parametrize(
    ("member", "value"),
    [
        ("sealed_at", "2031-03-08T18:00:00+03:00"),
        ("site", "Invented Other Site"),
        ("certificate_fingerprint", "0" * 64),
        ("algorithm", "Ed448"),
        ("signature", "0" * 128),
        ("signature", "zz"),
        ("public_key", "0" * 64),
        ("public_key", "zz"),
        ("key_fingerprint", "0" * 64),
    ],
)
def test_no_member_of_the_seal_can_be_changed(files: SealedFiles, member: str, value: str) -> None:
    seal = replace(files.sealed.seal, **{member: value})

    assert _refused(_file(files.sealed.record, seal))


def test_a_reordered_log_is_refused_with_its_place_even_when_sealed(keys: SiteKeys) -> None:
    record = sample_record(steps=6)
    log = (*record.log[:2], record.log[3], record.log[2], *record.log[4:])

    problems = _sealed_problems(replace(record, log=log), keys)

    assert ("chain-order", "event 4") in problems


def test_a_log_with_its_tail_cut_is_refused_even_when_sealed(keys: SiteKeys) -> None:
    record = sample_record(steps=6)

    problems = _sealed_problems(replace(record, log=record.log[:-1]), keys)

    assert problems == {("log-head", "record.head")}


def test_a_log_of_another_run_is_refused_even_when_sealed(keys: SiteKeys) -> None:
    log = sample_log(RUN + "-x", 4)
    record = replace(sample_record(), log=log, head=log[-1].hash)

    problems = _sealed_problems(record, keys)

    assert problems == {("log-run", f"event {number}") for number in range(1, 5)}


def test_an_altered_event_is_refused_with_its_place_even_when_sealed(keys: SiteKeys) -> None:
    record = sample_record(steps=6)
    log = (*record.log[:3], replace(record.log[3], by="person-9"), *record.log[4:])

    problems = _sealed_problems(replace(record, log=log), keys)

    assert problems == {("chain-hash", "event 4")}


def test_openssl_accepts_the_signature_over_the_bytes_without_it(files: SealedFiles, tmp_path: Path) -> None:
    # Nothing of ours is used from here on: text surgery on the file, and a program from outside.
    signed, signature, key = _taken_apart(files.sealed.data, tmp_path)

    accepted = run_tool(
        "openssl",
        "pkeyutl",
        "-verify",
        "-pubin",
        "-inkey",
        key,
        "-rawin",
        "-in",
        signed,
        "-sigfile",
        signature,
    )

    assert accepted.returncode == 0, accepted.stderr
    assert "Signature Verified Successfully" in accepted.stdout


def test_openssl_refuses_one_changed_byte(files: SealedFiles, tmp_path: Path) -> None:
    signed, signature, key = _taken_apart(files.sealed.data, tmp_path)
    signed.write_bytes(_flipped(signed.read_bytes(), 4000, 1))

    refused = run_tool(
        "openssl",
        "pkeyutl",
        "-verify",
        "-pubin",
        "-inkey",
        key,
        "-rawin",
        "-in",
        signed,
        "-sigfile",
        signature,
    )

    assert refused.returncode != 0


def test_the_time_of_the_seal_keeps_its_offset(keys: SiteKeys) -> None:
    sealed = seal_record(sample_record(), keys, SEALED_AT)

    assert sealed.seal.sealed_at == "2031-03-07T18:00:00+03:00"
    assert datetime.fromisoformat(sealed.seal.sealed_at).utcoffset() == timedelta(hours=3)


def _short_record() -> InstallRecord:
    record = sample_record(steps=1, joints=1)
    return replace(
        record,
        well=replace(record.well, casing=()),
        parts=(),
        connections=(),
        tally=(),
        notes=(),
        photos=(),
        undone_ticks=(),
        clamps=(),
        tests=(),
        hold_points=(),
        deviations=(),
        corrections=(),
    )


def _taken_apart(data: bytes, folder: Path) -> tuple[Path, Path, Path]:
    head, _, tail = data.rpartition(b',"signature":"')
    seal = json.loads(data)["seal"]
    public = base64.encodebytes(ED25519_HEAD + bytes.fromhex(seal["public_key"])).decode()
    signed, signature, key = folder / "signed.json", folder / "signature", folder / "key.pem"
    signed.write_bytes(head + tail[len(seal["signature"]) + 1 :])
    signature.write_bytes(bytes.fromhex(seal["signature"]))
    key.write_text(f"-----BEGIN PUBLIC KEY-----\n{public}-----END PUBLIC KEY-----\n")
    return signed, signature, key


def _sealed_problems(record: InstallRecord, keys: SiteKeys) -> set[tuple[str, str]]:
    _, problems = read_sealed_json(seal_record(record, keys, SEALED_AT).data, "record.json")
    return {(problem.rule, problem.where) for problem in problems}


def _file(record: InstallRecord, seal: object) -> bytes:
    return canonical_bytes({"record": to_plain(record), "seal": to_plain(seal)})


def _flipped(data: bytes, place: int, bits: int) -> bytes:
    return data[:place] + bytes([data[place] ^ bits]) + data[place + 1 :]


def _refused(data: bytes) -> bool:
    _, problems = read_sealed_json(data, "record.json")
    return bool(problems)
