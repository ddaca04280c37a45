"""A sealed JSON file taken apart and held against its own seal."""

import hashlib
import re
from dataclasses import dataclass

from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

from app.domain.install_record import InstallRecord
from app.domain.problems import Problem, stop
from app.exports.record_json import ALGORITHM, Seal, SealedRecord, signed_bytes
from app.records.canonical import canonical_bytes
from app.records.chain import GENESIS, broken_links
from app.records.install_record_json import chain_entries, record_from_plain
from app.records.json_text import read_canonical
from app.records.plain import from_plain

MEMBERS = {"record", "seal"}
HEX_32 = re.compile(r"[0-9a-f]{64}")  # one spelling only: capitals would be other bytes for the same key
HEX_64 = re.compile(r"[0-9a-f]{128}")
ALTERED = "Do not rely on this file; ask the site for the one it sealed."


def read_sealed_json(data: bytes, where: str) -> tuple[SealedRecord | None, list[Problem]]:
    """Return the sealed record, and every reason why the file is not what the site sealed."""
    value, problems = read_canonical(data, where)
    if problems:
        return None, problems
    if not isinstance(value, dict) or value.keys() != MEMBERS:
        return None, [
            stop("sealed-file", where, 'This is not a sealed record: it must hold "record" and "seal" alone.')
        ]
    seal, seal_problems = from_plain(Seal, value["seal"], "seal")
    record, record_problems = record_from_plain(value["record"])
    if seal is None or record is None:
        return None, seal_problems + record_problems
    body = canonical_bytes(value["record"])
    return SealedRecord(record, seal, data), _seal_problems(seal, body) + log_problems(record)


def log_problems(record: InstallRecord) -> list[Problem]:
    """Return a problem for each event of the record's log that is altered, missing, or of another run."""
    entries = chain_entries(record)
    strangers = [entry for entry in entries if entry.run_id != record.run.id]
    problems = [
        stop(
            "log-run",
            f"event {entry.sequence}",
            f"It belongs to run {entry.run_id!r}, the record to run {record.run.id!r}. {ALTERED}",
        )
        for entry in strangers
    ]
    problems += broken_links(entries)
    head = entries[-1].hash if entries else GENESIS
    if head != record.head:
        problems.append(
            stop(
                "log-head",
                "record.head",
                f"The log does not end where the record says: it was cut. {ALTERED}",
            )
        )
    return problems


@dataclass(frozen=True, slots=True)
class _Question:
    rule: str
    where: str
    holds: bool
    text: str


def _seal_problems(seal: Seal, body: bytes) -> list[Problem]:
    questions = (
        _Question(
            "seal-algorithm", "seal.algorithm", seal.algorithm == ALGORITHM, f"It must be {ALGORITHM}."
        ),
        _Question(
            "seal-key",
            "seal.key_fingerprint",
            _is_fingerprint_of(seal),
            "The fingerprint is not that of the key beside it.",
        ),
        _Question(
            "seal-hash",
            "seal.record_hash",
            hashlib.sha256(body).hexdigest() == seal.record_hash,
            "The record is not the one that was sealed: it was altered, or the seal is from another record.",
        ),
        _Question(
            "seal-signature",
            "seal.signature",
            _is_signed(seal, body),
            "The signature does not belong to this record and this key: one of them was altered.",
        ),
    )
    return [
        stop(question.rule, question.where, f"{question.text} {ALTERED}")
        for question in questions
        if not question.holds
    ]


def _is_fingerprint_of(seal: Seal) -> bool:
    if not HEX_32.fullmatch(seal.public_key):
        return False
    return hashlib.sha256(bytes.fromhex(seal.public_key)).hexdigest() == seal.key_fingerprint


def _is_signed(seal: Seal, body: bytes) -> bool:
    if not HEX_32.fullmatch(seal.public_key) or not HEX_64.fullmatch(seal.signature):
        return False
    try:
        key = Ed25519PublicKey.from_public_bytes(bytes.fromhex(seal.public_key))
        key.verify(bytes.fromhex(seal.signature), signed_bytes(body, seal))
    except (InvalidSignature, ValueError):
        return False
    return True
