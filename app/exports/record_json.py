"""The record as a sealed JSON file: one byte form, signed by the site with Ed25519.

What is signed is the file itself without its signature: take `,"signature":"<128 hex digits>"` out of
the last bytes of the file, and what is left are the signed bytes.
"""

import hashlib
from dataclasses import asdict, dataclass, replace
from datetime import datetime

from app.domain.install_record import InstallRecord
from app.exports.site_keys import SiteKeys
from app.records.canonical import canonical_bytes
from app.records.install_record_json import record_bytes
from app.records.plain import to_plain

ALGORITHM = "Ed25519"


@dataclass(frozen=True, slots=True)
class Seal:
    """Who sealed a record and when, bound to the record and to the certificate that seals its pages."""

    algorithm: str
    certificate_fingerprint: str
    key_fingerprint: str
    public_key: str
    record_hash: str
    sealed_at: str
    site: str
    signature: str


@dataclass(frozen=True, slots=True)
class SealedRecord:
    """A record, its seal, and the file of both, byte for byte as it must be kept."""

    record: InstallRecord
    seal: Seal
    data: bytes


def seal_record(record: InstallRecord, keys: SiteKeys, sealed_at: datetime) -> SealedRecord:
    """Return the record under the seal of the site.

    Raises: ValueError where the time has no offset or a text of the record is not Unicode text.
    """
    body = record_bytes(record)
    unsigned = Seal(
        algorithm=ALGORITHM,
        certificate_fingerprint=keys.certificate_fingerprint,
        key_fingerprint=keys.key_fingerprint,
        public_key=keys.public_key.hex(),
        record_hash=hashlib.sha256(body).hexdigest(),
        sealed_at=_time_with_offset(sealed_at),
        site=keys.site,
        signature="",
    )
    seal = replace(unsigned, signature=keys.record_key.sign(signed_bytes(body, unsigned)).hex())
    return SealedRecord(record, seal, _file(body, to_plain(seal)))


def signed_bytes(body: bytes, seal: Seal) -> bytes:
    """Return the bytes that the signature is made over: the file without its last member."""
    return _file(body, {name: value for name, value in asdict(seal).items() if name != "signature"})


def _file(body: bytes, seal: object) -> bytes:
    # "record" sorts before "seal", so this is the canonical form of both without writing the record again.
    return b'{"record":' + body + b',"seal":' + canonical_bytes(seal) + b"}"


def _time_with_offset(moment: datetime) -> str:
    if moment.utcoffset() is None:
        raise ValueError(f"The time {moment.isoformat()} has no offset; give the site's time zone with it.")
    return moment.isoformat(timespec="seconds")
