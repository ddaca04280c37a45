"""A sealed PDF taken apart: the seal over every byte of it, and the sealed JSON inside it."""

import hashlib
import logging
import struct
import zlib
from dataclasses import dataclass
from io import BytesIO

from cryptography.exceptions import UnsupportedAlgorithm
from pyhanko.pdf_utils.misc import PdfError
from pyhanko.pdf_utils.reader import PdfFileReader
from pyhanko.sign.validation import SignatureCoverageLevel, validate_pdf_signature
from pyhanko.sign.validation.pdf_embedded import EmbeddedPdfSignature
from pyhanko_certvalidator import ValidationContext
from pyhanko_certvalidator.errors import PathError, ValidationError

from app.domain.problems import Problem, stop
from app.exports.seal_frame import framed
from app.exports.sealed_json import ALTERED

# The library logs each refusal with a traceback; what a person needs stands in the problems.
logging.getLogger("pyhanko").addHandler(logging.NullHandler())

# What the libraries raise on files and certificates that no program in good order wrote.
UNREADABLE = (
    PdfError,
    PathError,
    ValidationError,
    UnsupportedAlgorithm,
    ArithmeticError,
    AssertionError,
    AttributeError,
    LookupError,
    NotImplementedError,
    OSError,
    RecursionError,
    TypeError,
    ValueError,
    struct.error,
    zlib.error,
)


@dataclass(frozen=True, slots=True)
class SealedPdf:
    """What a sealed PDF carries: the file inside it, and the certificate that sealed its pages."""

    attached: bytes
    certificate_fingerprint: str


def read_sealed_pdf(data: bytes, where: str) -> tuple[SealedPdf | None, list[Problem]]:
    """Return what the PDF carries, and every reason why it is not the file that was sealed."""
    try:
        reader = PdfFileReader(BytesIO(data), strict=True)
        seals = reader.embedded_signatures
        if len(seals) != 1:
            return None, [_wrong_count(len(seals), where)]
        problems = _coverage_problems(data, seals[0], where) + _signature_problems(seals[0], where)
        certificate = hashlib.sha256(seals[0].signer_cert.dump()).hexdigest()
        return SealedPdf(_attached(reader), certificate), problems
    except UNREADABLE as error:
        return None, [
            stop(
                "pdf-file",
                where,
                f"The file cannot be read as a sealed PDF ({error!s:.80}): it was altered or cut. {ALTERED}",
            )
        ]


def _wrong_count(count: int, where: str) -> Problem:
    found = "no seal" if count == 0 else f"{count} seals"
    return stop("pdf-seal", where, f"The PDF carries {found}; a record carries exactly one. {ALTERED}")


def _coverage_problems(data: bytes, seal: EmbeddedPdfSignature, where: str) -> list[Problem]:
    start, before, resume, after = (int(number) for number in seal.byte_range)
    if start != 0 or resume + after != len(data):
        return [
            stop(
                "pdf-coverage",
                where,
                f"The seal covers {before + after} of {len(data)} bytes: "
                f"something was added after it, or cut off. {ALTERED}",
            )
        ]
    # The gap is the one place the seal cannot cover, so it may hold the seal and nothing else.
    if data[before:resume] != _expected_gap(seal, resume - before):
        return [stop("pdf-gap", where, f"Something beside the seal stands in its place. {ALTERED}")]
    return []


def _expected_gap(seal: EmbeddedPdfSignature, size: int) -> bytes:
    digits = framed(seal.signer_cert, seal.signer_info).hex().upper().encode()
    return b"<" + digits.ljust(size - 2, b"0") + b">"


def _signature_problems(seal: EmbeddedPdfSignature, where: str) -> list[Problem]:
    # Whether the key is the right site's is asked by the fingerprints; the library looks at the bytes.
    context = ValidationContext(
        trust_roots=[seal.signer_cert], allow_fetching=False, moment=seal.self_reported_timestamp
    )
    status = validate_pdf_signature(seal, signer_validation_context=context)
    if status.intact and status.valid and status.coverage is SignatureCoverageLevel.ENTIRE_FILE:
        return []
    return [stop("pdf-signature", where, f"The pages are not as they were sealed. {ALTERED}")]


def _attached(reader: PdfFileReader) -> bytes:
    names = reader.root["/Names"]["/EmbeddedFiles"]["/Names"]
    if len(names) != 2:
        raise PdfError(f"it carries {len(names) // 2} files instead of one")
    content = names[1]["/EF"]["/F"].data
    assert isinstance(content, bytes)
    return content
