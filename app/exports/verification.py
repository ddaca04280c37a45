"""Whether a file is the record that a site sealed, said in facts and in problems."""

from dataclasses import dataclass
from pathlib import Path

from app.domain.problems import Problem, has_stop, note, stop
from app.exports.record_json import SealedRecord
from app.exports.sealed_json import ALTERED, read_sealed_json
from app.records.short_code import short_code

PDF_MARK = b"%PDF-"
JSON_MARK = b"{"
LARGEST = 256 * 1024 * 1024  # far above any record; a larger file is not read at all
INSIDE = "the JSON inside"


@dataclass(frozen=True, slots=True)
class SealFacts:
    """What a sealed record says about itself; true only where the verification is sound."""

    site: str
    sealed_at: str
    key_fingerprint: str
    certificate_fingerprint: str
    run_id: str
    events: int
    head: str
    short_code: str


@dataclass(frozen=True, slots=True)
class Verification:
    """What was looked at, what it says, and every reason not to rely on it."""

    file: str
    facts: SealFacts | None
    problems: tuple[Problem, ...]

    @property
    def is_sound(self) -> bool:
        """Return whether nothing speaks against the file."""
        return self.facts is not None and not has_stop(self.problems)


def verify_file(path: Path, *, trusted: str | None = None) -> Verification:
    """Return what the file says and what speaks against it; `trusted` is the key's fingerprint."""
    try:
        if path.stat().st_size > LARGEST:
            return _refused(path.name, f"The file is larger than {LARGEST} bytes; no record is.")
        data = path.read_bytes()
    except OSError as error:
        return _refused(
            path.name, f"The file cannot be read ({error.strerror}). Check its name and its rights."
        )
    return verify_bytes(data, path.name, trusted=trusted)


def verify_bytes(data: bytes, name: str, *, trusted: str | None = None) -> Verification:
    """Return the same for a file already read; its content says what it is, not its name."""
    if data.startswith(PDF_MARK):
        sealed, problems = _read_pdf(data, name)
    elif data.startswith(JSON_MARK):
        sealed, problems = read_sealed_json(data, name)
    else:
        return _refused(
            name, "This is neither a sealed PDF nor a sealed JSON file. Choose an exported record."
        )
    if sealed is None:
        return Verification(name, None, tuple(problems))
    return Verification(name, _facts(sealed), (*problems, *_trust_problems(sealed, trusted)))


def _read_pdf(data: bytes, name: str) -> tuple[SealedRecord | None, list[Problem]]:
    from app.exports.sealed_pdf import read_sealed_pdf  # noqa: PLC0415 - half a second only a PDF pays for

    pdf, problems = read_sealed_pdf(data, name)
    if pdf is None:
        return None, problems
    sealed, inner = read_sealed_json(pdf.attached, INSIDE)
    problems += inner
    if sealed is not None and sealed.seal.certificate_fingerprint != pdf.certificate_fingerprint:
        problems.append(
            stop(
                "pdf-site",
                name,
                f"The pages were sealed with another key than the record inside names. {ALTERED}",
            )
        )
    return sealed, problems


def _trust_problems(sealed: SealedRecord, trusted: str | None) -> list[Problem]:
    found = sealed.seal.key_fingerprint
    if trusted is None:
        return [
            note(
                "seal-key-not-compared",
                "seal.key_fingerprint",
                "Nobody said which key to trust. "
                f"Compare {found} with the fingerprint that the site gave you.",
            )
        ]
    if trusted.strip().lower() != found:
        return [
            stop(
                "seal-key-unknown",
                "seal.key_fingerprint",
                f"The record was sealed by a key that this site does not know: {found}, not {trusted}. "
                "Ask the site that it names for the fingerprint of its key.",
            )
        ]
    return []


def _facts(sealed: SealedRecord) -> SealFacts:
    return SealFacts(
        site=sealed.seal.site,
        sealed_at=sealed.seal.sealed_at,
        key_fingerprint=sealed.seal.key_fingerprint,
        certificate_fingerprint=sealed.seal.certificate_fingerprint,
        run_id=sealed.record.run.id,
        events=len(sealed.record.log),
        head=sealed.record.head,
        short_code=short_code(sealed.record.head),
    )


def _refused(name: str, text: str) -> Verification:
    return Verification(name, None, (stop("record-file", name, text),))
