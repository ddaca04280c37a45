"""The one byte form that is hashed and signed: canonical JSON after RFC 8785."""

import hashlib

import rfc8785


def canonical_bytes(value: object) -> bytes:
    """Return the canonical JSON of a value made of dicts, lists, text, whole numbers, truth and null.

    Raises: rfc8785.CanonicalizationError where a value has no JSON form.
    """
    return rfc8785.dumps(value)  # type: ignore[arg-type]


def fingerprint(value: object) -> str:
    """Return the SHA-256 of the canonical form, as 64 hex digits."""
    return hashlib.sha256(canonical_bytes(value)).hexdigest()
