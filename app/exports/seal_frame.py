"""The one byte form in which the seal of a page is written.

A signature does not cover the frame that carries it: the lists of algorithms, the versions, the issuer
written beside the signature. Held against the one form this program writes, that frame cannot change.
"""

from typing import Any

from asn1crypto.algos import DigestAlgorithm, SignedDigestAlgorithm
from asn1crypto.cms import (
    CertificateChoices,
    ContentInfo,
    IssuerAndSerialNumber,
    SignedData,
    SignerIdentifier,
    SignerInfo,
)
from asn1crypto.x509 import Certificate


def framed(certificate: Certificate, signer: SignerInfo) -> bytes:
    """Return the seal as this program writes it around a certificate and what it signed."""
    digest = _made(DigestAlgorithm, {"algorithm": "sha256"})
    content = _made(
        SignedData,
        {
            "version": "v1",
            "digest_algorithms": [digest],
            "encap_content_info": _made(ContentInfo, {"content_type": "data"}),
            "certificates": [_made(CertificateChoices, {"certificate": certificate})],
            "signer_infos": [_signer(certificate, signer, digest)],
        },
    )
    written = _made(ContentInfo, {"content_type": "signed_data", "content": content}).dump()
    assert isinstance(written, bytes)
    return written


def _signer(certificate: Certificate, signer: SignerInfo, digest: DigestAlgorithm) -> Any:
    issuer = {"issuer": certificate.issuer, "serial_number": certificate.serial_number}
    named = {"issuer_and_serial_number": _made(IssuerAndSerialNumber, issuer)}
    return _made(
        SignerInfo,
        {
            "version": "v1",
            "sid": _made(SignerIdentifier, named),
            "digest_algorithm": digest,
            "signed_attrs": signer["signed_attrs"],
            "signature_algorithm": _made(SignedDigestAlgorithm, {"algorithm": "sha256_ecdsa"}),
            "signature": signer["signature"],
        },
    )


def _made(kind: Any, members: object) -> Any:
    # The library has no types; this is the one door to it.
    return kind(members)
