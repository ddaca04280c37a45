"""The two keys of a site: one seals the record's JSON, one seals its pages."""

import hashlib
import os
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey
from cryptography.x509.oid import NameOID

RECORD_KEY = "record-key.pem"
PAGE_KEY = "page-key.pem"
PAGE_CERTIFICATE = "page-certificate.pem"
FILES = (RECORD_KEY, PAGE_KEY, PAGE_CERTIFICATE)

LIFETIME = timedelta(days=365 * 30)  # a record is read for as long as the well stands
LONGEST_NAME = 64  # X.520, the upper bound of a common name
OTHERS = 0o077
OTHERS_MAY_WRITE = 0o022


class SiteKeyError(RuntimeError):
    """The keys of a site cannot be used as they lie."""

    def __init__(self, path: Path, what: str, mend: str) -> None:
        super().__init__(f"{path}: {what}. {mend}")


@dataclass(frozen=True, slots=True)
class SiteKeys:
    """The keys of one site, which name each other: neither can be swapped alone."""

    record_key: Ed25519PrivateKey = field(repr=False)
    page_key: ec.EllipticCurvePrivateKey = field(repr=False)
    certificate: x509.Certificate

    @property
    def site(self) -> str:
        """Return the name of the site as its certificate gives it."""
        return _attribute(self.certificate, NameOID.COMMON_NAME)

    @property
    def public_key(self) -> bytes:
        """Return the 32 bytes that check the seal of the JSON."""
        return self.record_key.public_key().public_bytes_raw()

    @property
    def key_fingerprint(self) -> str:
        """Return the fingerprint by which the site is known."""
        return key_fingerprint(self.record_key.public_key())

    @property
    def certificate_fingerprint(self) -> str:
        """Return the SHA-256 of the certificate that seals the pages."""
        return self.certificate.fingerprint(hashes.SHA256()).hex()


def key_fingerprint(key: Ed25519PublicKey) -> str:
    """Return the SHA-256 of a public key as 64 hex digits."""
    return hashlib.sha256(key.public_bytes_raw()).hexdigest()


def create_site_keys(folder: Path, site: str, *, now: datetime) -> SiteKeys:
    """Make the keys of a site and write them where only this account can read them.

    Raises: SiteKeyError where keys already lie there (a new key would make every older record unknown)
        or the site's name does not fit a certificate.
    """
    if not 1 <= len(site) <= LONGEST_NAME or not site.isprintable():
        raise SiteKeyError(
            folder, f"the name of the site must have 1 to {LONGEST_NAME} letters", "Shorten it."
        )
    taken = next((folder / name for name in FILES if (folder / name).exists()), None)
    if taken is not None:
        raise SiteKeyError(
            taken, "here lies a key already", "Use it, or move the folder away and keep it safe."
        )
    keys = _new_keys(site, now)
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    for name, content in _as_files(keys).items():
        _write_private(folder / name, content)
    return keys


def load_site_keys(folder: Path) -> SiteKeys:
    """Return the keys of the site that lie in the folder.

    Raises: SiteKeyError where one is missing, open to others, unreadable, or of another site.
    """
    _refuse_open_folder(folder)
    record_text, page_text, certificate_text = (_read_private(folder / name) for name in FILES)
    record_key = _private_key(folder / RECORD_KEY, record_text)
    page_key = _private_key(folder / PAGE_KEY, page_text)
    certificate = _certificate(folder / PAGE_CERTIFICATE, certificate_text)
    if not isinstance(record_key, Ed25519PrivateKey):
        raise SiteKeyError(folder / RECORD_KEY, "this is not an Ed25519 key", _RESTORE)
    if not isinstance(page_key, ec.EllipticCurvePrivateKey) or not isinstance(page_key.curve, ec.SECP256R1):
        raise SiteKeyError(folder / PAGE_KEY, "this is not a P-256 key", _RESTORE)
    keys = SiteKeys(record_key, page_key, certificate)
    _refuse_mixed_sites(folder, keys)
    return keys


_RESTORE = "Put back the three files of this site from its own safe copy."


def _new_keys(site: str, now: datetime) -> SiteKeys:
    record_key = Ed25519PrivateKey.generate()
    page_key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name(
        [
            x509.NameAttribute(NameOID.COMMON_NAME, site),
            x509.NameAttribute(NameOID.SERIAL_NUMBER, key_fingerprint(record_key.public_key())),
        ]
    )
    usage = x509.KeyUsage(
        digital_signature=True,
        content_commitment=True,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        key_cert_sign=False,
        crl_sign=False,
        encipher_only=False,
        decipher_only=False,
    )
    certificate = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(page_key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - timedelta(days=1))  # a tablet's clock may run a little behind
        .not_valid_after(now + LIFETIME)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(usage, critical=True)
        .sign(page_key, hashes.SHA256())
    )
    return SiteKeys(record_key, page_key, certificate)


def _as_files(keys: SiteKeys) -> dict[str, bytes]:
    return {
        RECORD_KEY: _private_text(keys.record_key),
        PAGE_KEY: _private_text(keys.page_key),
        PAGE_CERTIFICATE: keys.certificate.public_bytes(serialization.Encoding.PEM),
    }


def _private_text(key: Ed25519PrivateKey | ec.EllipticCurvePrivateKey) -> bytes:
    return key.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )


def _write_private(path: Path, content: bytes) -> None:
    # O_EXCL with the mode at birth: there is no moment at which another account could open it.
    descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(descriptor, "wb") as file:
        file.write(content)
        file.flush()
        os.fsync(descriptor)


def _refuse_open_folder(folder: Path) -> None:
    if not folder.is_dir():
        raise SiteKeyError(folder, "the folder of the site's keys is missing", _RESTORE)
    if folder.stat().st_mode & OTHERS_MAY_WRITE:
        raise SiteKeyError(folder, "other accounts can write in this folder", f"Close it: chmod 700 {folder}")


def _read_private(path: Path) -> bytes:
    try:
        if path.stat().st_mode & OTHERS:
            raise SiteKeyError(path, "other accounts can read this file", f"Close it: chmod 600 {path}")
        return path.read_bytes()
    except OSError as error:
        raise SiteKeyError(path, f"the file cannot be read ({error.strerror})", _RESTORE) from error


def _private_key(path: Path, text: bytes) -> object:
    try:
        return serialization.load_pem_private_key(text, password=None)
    except (ValueError, TypeError) as error:
        raise SiteKeyError(path, "this is not a private key in PEM form", _RESTORE) from error


def _certificate(path: Path, text: bytes) -> x509.Certificate:
    try:
        return x509.load_pem_x509_certificate(text)
    except ValueError as error:
        raise SiteKeyError(path, "this is not a certificate in PEM form", _RESTORE) from error


def _refuse_mixed_sites(folder: Path, keys: SiteKeys) -> None:
    if keys.certificate.public_key() != keys.page_key.public_key():
        raise SiteKeyError(folder / PAGE_CERTIFICATE, "it belongs to another page key", _RESTORE)
    if _attribute(keys.certificate, NameOID.SERIAL_NUMBER) != keys.key_fingerprint:
        raise SiteKeyError(folder / RECORD_KEY, "it belongs to another site's certificate", _RESTORE)


def _attribute(certificate: x509.Certificate, kind: x509.ObjectIdentifier) -> str:
    found = certificate.subject.get_attributes_for_oid(kind)
    return str(found[0].value) if found else ""
