import io
import random
import re
import zipfile
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from pyhanko.pdf_utils.generic import pdf_name, pdf_string
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter

from app.exports.pdf_seal import seal_pages
from app.exports.record_json import seal_record
from app.exports.site_keys import SiteKeys
from app.exports.typesetting import set_pages
from app.exports.verification import LARGEST, Verification, verify_bytes, verify_file
from tests.exports.conftest import SEALED_AT, SealedFiles
from tests.exports.outside_tools import run_tool
from tests.records.install_record_sample import RUN, sample_record

SPREAD = 300
MARKS = (
    b"%PDF-",
    b"/Type/Catalog",
    b"/EmbeddedFile",
    b"<?xpacket",
    b"xref",
    b"trailer",
    b"startxref",
    b"%%EOF",
    b"/ByteRange",
    b"/Contents",
    b"/Rect",
    b"/SubFilter",
    b"/DocMDP",
    b"/ID ",
)


def test_both_files_of_a_site_are_sound_and_say_who_sealed_what(files: SealedFiles, keys: SiteKeys) -> None:
    for data in (files.sealed.data, files.pdf):
        said = verify_bytes(data, "record", trusted=keys.key_fingerprint)

        assert said.problems == ()
        assert said.is_sound
        assert said.facts is not None
        assert said.facts.site == "Invented Site"
        assert said.facts.sealed_at == "2031-03-07T18:00:00+03:00"
        assert said.facts.run_id == RUN
        assert said.facts.events == 8
        assert said.facts.head == files.sealed.record.head
        assert said.facts.key_fingerprint == keys.key_fingerprint


def test_without_a_trusted_key_the_file_is_whole_but_its_maker_is_asked_for(files: SealedFiles) -> None:
    said = verify_bytes(files.pdf, "record.pdf")

    assert said.is_sound
    assert [problem.rule for problem in said.problems] == ["seal-key-not-compared"]


def test_a_key_that_this_site_does_not_know_is_refused(files: SealedFiles, other_keys: SiteKeys) -> None:
    for data in (files.sealed.data, files.pdf):
        said = verify_bytes(data, "record", trusted=other_keys.key_fingerprint)

        assert not said.is_sound
        assert "sealed by a key that this site does not know" in said.problems[0].text


def test_a_fingerprint_read_out_in_capitals_is_the_same_key(files: SealedFiles, keys: SiteKeys) -> None:
    assert verify_bytes(files.sealed.data, "record", trusted=f" {keys.key_fingerprint.upper()} ").is_sound


def test_one_changed_byte_anywhere_in_the_pdf_is_refused(files: SealedFiles) -> None:
    step = len(files.pdf) // SPREAD
    places = [*range(0, len(files.pdf), step), *_structural_places(files.pdf)]

    passed = [place for place in places if verify_bytes(_flipped(files.pdf, place), "record.pdf").is_sound]

    assert len(places) > SPREAD
    assert passed == []


def test_one_changed_byte_anywhere_inside_the_seal_is_refused(files: SealedFiles) -> None:
    # The seal cannot cover itself: its frame, the padding behind it and its brackets are looked at apart.
    start, end = _gap(files.pdf)
    written = len(files.pdf[start:end].rstrip(b"0>"))
    places = [*range(start, start + written + 8, 5), end - 2, end - 1]

    passed = [place for place in places if verify_bytes(_next_digit(files.pdf, place), "record.pdf").is_sound]

    assert passed == []


def test_the_frame_of_the_seal_is_refused_in_every_byte(files: SealedFiles) -> None:
    # Without the comparison with the one written form, changes here would pass: the signature skips them.
    start, _ = _gap(files.pdf)
    places = range(start + 1, start + 1 + 2 * 60)

    passed = [place for place in places if verify_bytes(_next_digit(files.pdf, place), "record.pdf").is_sound]

    assert passed == []


def test_a_digit_of_the_seal_in_small_letters_is_refused(files: SealedFiles) -> None:
    start, end = _gap(files.pdf)
    small = files.pdf[:start] + files.pdf[start:end].lower() + files.pdf[end:]

    assert not verify_bytes(small, "record.pdf").is_sound


@pytest.mark.parametrize("size", [0, 1, 4, 5, 9, 100, 1000, 10_000])
def test_a_cut_head_is_refused_in_a_sentence(files: SealedFiles, size: int) -> None:
    said = verify_bytes(files.pdf[:size], "record.pdf")

    _refused_in_a_sentence(said)


@pytest.mark.parametrize("size", [1, 2, 6, 100, 700, 5000])
def test_a_cut_tail_is_refused_in_a_sentence(files: SealedFiles, size: int) -> None:
    said = verify_bytes(files.pdf[:-size], "record.pdf")

    _refused_in_a_sentence(said)


@pytest.mark.parametrize("extra", [b"\n", b" ", b"%", b"% a comment\n", b"\0" * 10])
def test_bytes_added_after_the_end_are_refused(files: SealedFiles, extra: bytes) -> None:
    _refused_in_a_sentence(verify_bytes(files.pdf + extra, "record.pdf"))


def test_an_update_that_readers_still_call_valid_is_refused(files: SealedFiles, tmp_path: Path) -> None:
    writer = IncrementalPdfFileWriter(io.BytesIO(files.pdf))
    writer.root[pdf_name("/Lang")] = pdf_string("xx")
    writer.update_root()  # type: ignore[no-untyped-call]
    output = io.BytesIO()
    writer.write(output)  # type: ignore[no-untyped-call]
    path = tmp_path / "updated.pdf"
    path.write_bytes(output.getvalue())

    said = verify_file(path)

    assert "Signature is Valid" in run_tool("pdfsig", "-nocert", path).stdout
    assert not said.is_sound
    assert "pdf-coverage" in {problem.rule for problem in said.problems}


def test_a_second_seal_is_refused(files: SealedFiles, other_keys: SiteKeys) -> None:
    unsealed = set_pages(files.sealed)
    once = seal_pages(unsealed, other_keys, files.sealed.seal.sealed_at)

    twice = once.replace(b"(SiteSeal)", b"(SiteSea2)")
    said = verify_bytes(twice + files.pdf[len(unsealed) :], "record.pdf")

    _refused_in_a_sentence(said)


def test_pages_without_a_seal_are_refused(files: SealedFiles) -> None:
    said = verify_bytes(set_pages(files.sealed), "record.pdf")

    assert not said.is_sound
    assert "carries no seal" in said.problems[0].text


def test_pages_sealed_by_another_site_around_a_true_record_are_refused(
    files: SealedFiles, keys: SiteKeys, other_keys: SiteKeys
) -> None:
    forged = seal_pages(set_pages(files.sealed), other_keys, files.sealed.seal.sealed_at)

    said = verify_bytes(forged, "record.pdf", trusted=keys.key_fingerprint)

    assert not said.is_sound
    assert {problem.rule for problem in said.problems} == {"pdf-site"}


def test_the_seal_of_one_pdf_does_not_fit_another(files: SealedFiles, keys: SiteKeys) -> None:
    other = seal_record(sample_record(steps=9), keys, SEALED_AT)
    target = seal_pages(set_pages(other), keys, other.seal.sealed_at)
    (start, end), (from_start, from_end) = _gap(target), _gap(files.pdf)
    written = files.pdf[from_start:from_end].rstrip(b"0>")

    moved = target[:start] + written.ljust(end - start - 1, b"0") + b">" + target[end:]

    assert verify_bytes(target, "record.pdf").is_sound
    _refused_in_a_sentence(verify_bytes(moved, "record.pdf"))


def test_a_pdf_whose_inner_record_has_a_broken_log_is_refused_with_the_place(keys: SiteKeys) -> None:
    record = sample_record(steps=6)
    broken = replace(record, log=(*record.log[:2], *record.log[3:]))
    sealed = seal_record(broken, keys, SEALED_AT)

    said = verify_bytes(seal_pages(set_pages(sealed), keys, sealed.seal.sealed_at), "record.pdf")

    assert ("chain-order", "event 4") in {(problem.rule, problem.where) for problem in said.problems}


@given(st.binary(max_size=400))
@example(b"")
@example(b"%PDF-")
@example(b"%PDF-1.7\nstartxref\n0\n%%EOF")
@example(b"%PDF-1.7\nxref\n0 0\ntrailer\n<</Root 1 0 R>>\nstartxref\n9\n%%EOF")
@example(b"{" * 100_000)
@example(b"{}")
@example(b'{"record":{},"seal":{}}')
@example(b'{"record":null,"seal":null}')
def test_garbage_is_refused_in_a_sentence(data: bytes) -> None:
    for garbage in (data, b"%PDF-1.7\n" + data, b"{" + data):
        _refused_in_a_sentence(verify_bytes(garbage, "garbage"))


def test_a_pdf_with_its_structure_rewritten_is_refused_in_a_sentence(files: SealedFiles) -> None:
    # Every piece keeps its length, so that the tables of places still lead the reader deep into the file.
    chance = random.Random(20310307)
    for _ in range(120):
        data = bytearray(files.pdf)
        for _ in range(chance.randint(1, 6)):
            at = (
                chance.randrange(len(data) - 7000, len(data))
                if chance.random() < 0.7
                else chance.randrange(9, len(data))
            )
            piece = chance.choice(
                (b"<<", b">>", b"[", b"]", b"null", b"1 0 R", b"(", b"/", b"-1", b"\xff" * 3)
            )
            data[at : at + len(piece)] = piece
        # What falls on the same letters rewrites nothing.
        if data != files.pdf:
            _refused_in_a_sentence(verify_bytes(bytes(data), "record.pdf"))


def test_a_zip_archive_is_refused_in_a_sentence(files: SealedFiles) -> None:
    archive = io.BytesIO()
    with zipfile.ZipFile(archive, "w") as bundle:
        bundle.writestr("record.json", files.sealed.data)

    said = verify_bytes(archive.getvalue(), "record.json")

    assert "neither a sealed PDF nor a sealed JSON file" in said.problems[0].text


def test_the_content_of_a_file_counts_and_not_its_name(files: SealedFiles, tmp_path: Path) -> None:
    path = tmp_path / "record.json"
    path.write_bytes(files.pdf)

    assert verify_file(path).is_sound


def test_a_missing_file_and_a_folder_are_refused_in_a_sentence(tmp_path: Path) -> None:
    for path in (tmp_path / "nowhere.json", tmp_path):
        _refused_in_a_sentence(verify_file(path))


def test_a_file_far_larger_than_any_record_is_not_read(tmp_path: Path) -> None:
    path = tmp_path / "large.json"
    with path.open("wb") as file:
        file.truncate(LARGEST + 1)

    said = verify_file(path)

    assert "no record is" in said.problems[0].text


def _refused_in_a_sentence(said: Verification) -> None:
    assert not said.is_sound
    assert said.problems
    for problem in said.problems:
        assert problem.where
        assert problem.text.endswith(".")
        assert "Traceback" not in problem.text


def _structural_places(pdf: bytes) -> list[int]:
    return [found.start() + 1 for mark in MARKS for found in re.finditer(re.escape(mark), pdf)][:200]


def _gap(pdf: bytes) -> tuple[int, int]:
    start = pdf.rindex(b"/Contents <") + len(b"/Contents ")
    return start, pdf.index(b">", start) + 1


def _flipped(data: bytes, place: int) -> bytes:
    return data[:place] + bytes([data[place] ^ 1]) + data[place + 1 :]


def _next_digit(pdf: bytes, place: int) -> bytes:
    # Another hex digit: the seal still reads as hex, so only its meaning can give the change away.
    digits = b"0123456789ABCDEF"
    found = digits.find(pdf[place : place + 1])
    return pdf[:place] + digits[found + 1 :][:1].ljust(1, b"0") + pdf[place + 1 :]
