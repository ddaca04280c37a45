import re
from dataclasses import fields, replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pyhanko.pdf_utils.writer import BasePdfFileWriter

from app.exports.record_json import seal_record
from app.exports.record_pdf import OtherSiteError, sealed_record_pdf
from app.exports.site_keys import SiteKeys
from app.exports.typesetting import set_pages
from app.exports.verification import verify_bytes
from tests.exports.conftest import SEALED_AT, SealedFiles
from tests.exports.outside_tools import run_tool
from tests.records.install_record_sample import RUN, record_with_text, sample_record


def test_the_pages_before_the_seal_are_the_same_bytes_each_time(files: SealedFiles) -> None:
    first, second = set_pages(files.sealed), set_pages(files.sealed)

    assert first == second
    assert files.pdf.startswith(first)


def test_pdfsig_finds_one_valid_seal_over_the_whole_file(pdf_path: Path) -> None:
    said = run_tool("pdfsig", "-nocert", pdf_path).stdout

    assert said.count("Signature #") == 1
    assert "Signature is Valid" in said
    assert "Total document signed" in said
    assert "ETSI.CAdES.detached" in said


def test_qpdf_finds_nothing_wrong_with_the_file(pdf_path: Path) -> None:
    checked = run_tool("qpdf", "--check", pdf_path)

    assert checked.returncode == 0, checked.stdout + checked.stderr
    assert "No syntax or stream encoding errors found" in checked.stdout


def test_the_sealed_json_comes_out_of_the_pdf_byte_for_byte(
    files: SealedFiles, pdf_path: Path, tmp_path: Path
) -> None:
    out = tmp_path / "out.json"

    listed = run_tool("pdfdetach", "-list", pdf_path).stdout
    run_tool("pdfdetach", "-save", "1", "-o", out, pdf_path)

    assert "1 embedded files" in listed
    assert "install-record.json" in listed
    assert out.read_bytes() == files.sealed.data


def test_the_sealed_file_still_says_what_it_conforms_to(pdf_path: Path) -> None:
    metadata = run_tool("pdfinfo", "-meta", pdf_path).stdout
    info = run_tool("pdfinfo", pdf_path).stdout

    assert re.search(r"pdfaid:part>3<", metadata)
    assert re.search(r"pdfaid:conformance>B<", metadata)
    assert re.search(r"pdfuaid:part>1<", metadata)
    assert re.search(r"PDF version: +1\.7", info)
    assert re.search(r"Tagged: +yes", info)


def test_sealing_leaves_the_metadata_as_the_layout_wrote_it(files: SealedFiles) -> None:
    # The library offers no public switch for this; the name is private and may go without notice.
    assert hasattr(BasePdfFileWriter, "_update_meta")
    pages = set_pages(files.sealed)

    appended = files.pdf[len(pages) :]

    assert appended.startswith(b"\n")
    assert b"/Metadata" not in re.sub(rb"/Metadata \d+ 0 R", b"", appended)
    assert b"/ModDate" not in appended
    assert b"<?xpacket" not in appended


def test_each_page_names_the_run_and_counts_the_pages(pdf_path: Path) -> None:
    pages = _pages(pdf_path)

    assert len(pages) >= 4
    for number, page in enumerate(pages, start=1):
        assert f"Run {RUN}" in page
        assert f"Page {number} of {len(pages)}" in page


def test_invented_data_says_so_on_each_page_and_real_data_does_not(
    keys: SiteKeys, pdf_path: Path, tmp_path: Path
) -> None:
    record = sample_record()
    real = replace(record, job=replace(record.job, invented=False, notice=""))
    real_path = tmp_path / "real.pdf"
    real_path.write_bytes(sealed_record_pdf(seal_record(real, keys, SEALED_AT), keys))

    words = "Invented demo data: no real well, equipment or people"
    assert all(words in page for page in _pages(pdf_path))
    assert not any(words in page for page in _pages(real_path))


def test_the_pages_show_what_an_auditor_asks_for(files: SealedFiles, pdf_path: Path) -> None:
    text = " ".join("\n".join(_pages(pdf_path)).split())

    for words in (
        "It does not replace local rules, the instructions of the makers of the equipment",
        "1980 lbf ft, below the window",
        "2575 lbf ft, in window",
        "tong 2, TG-0088",
        "flown out, ill",
        "Charge taken without a handover",
        "1 time: the supervisor before did not hand over",
        "above the window",
        "open: nobody accepted it",
        "25600 lbf ft",
        "Changes to the compiled sheet before release",
        "two sizes on deck",
        "serviced at the shop",
        "CL-101",
        "suspended load: nobody under it",
        "the string is landed as recorded here",
        'title = "Dual-pump bypass string"',
        files.sealed.record.head[:16],
        _short(files),
    ):
        assert words in text, words


def test_table_headings_repeat_on_the_next_page(keys: SiteKeys, tmp_path: Path) -> None:
    path = tmp_path / "long.pdf"
    path.write_bytes(set_pages(seal_record(sample_record(steps=6, joints=80), keys, SEALED_AT)))

    headed = [page for page in _pages(path) if "Length so far" in page]

    assert len(headed) >= 3


def test_markup_typed_by_a_person_is_printed_as_typed(keys: SiteKeys, tmp_path: Path) -> None:
    typed = '#panic("x") *bold* $y$ @ref <l> = head // gone /* too */ \\u{41}'
    path = tmp_path / "markup.pdf"

    path.write_bytes(set_pages(seal_record(record_with_text(typed), keys, SEALED_AT)))

    assert typed in "\n".join(_pages(path))


def test_the_pages_say_each_unit_once_and_no_step_that_was_not_looked_at(
    keys: SiteKeys, tmp_path: Path
) -> None:
    record = sample_record()
    unasked = replace(record.standstills[0], look="not asked for", looked_at=0, ended_words="")
    differing = replace(record.taken_twice[0], agreed=False)
    path = tmp_path / "units.pdf"

    told = replace(record, standstills=(unasked,), taken_twice=(differing,))
    path.write_bytes(set_pages(seal_record(told, keys, SEALED_AT)))

    words = " ".join("\n".join(_pages(path)).split())
    assert "2.30 ohm to 2.52 ohm" in words
    assert "at least 500 Mohm" in words
    assert not re.search(r"\b(ohm ohm|Mohm Mohm|psi psi|min min)\b", words)
    assert "No look back was asked for." in words
    assert "Step 0" not in words
    assert "6.05 in, does" in words


def test_a_plan_that_was_changed_on_the_way_stands_behind_the_plan_as_written(
    keys: SiteKeys, tmp_path: Path
) -> None:
    path = tmp_path / "plans.pdf"
    path.write_bytes(set_pages(seal_record(sample_record(), keys, SEALED_AT)))

    words = "\n".join(_pages(path))

    assert words.index("The plan as written\n") < words.index("Plan from rewriting 2 on")
    assert words.index("What was proposed") < words.index("Plan from rewriting 2 on")


def test_a_handover_says_when_it_was_talked_through(keys: SiteKeys, tmp_path: Path) -> None:
    record = sample_record()
    silent = replace(record.handovers[0], talked_at="")
    path = tmp_path / "talked.pdf"

    path.write_bytes(
        set_pages(seal_record(replace(record, handovers=(*record.handovers, silent)), keys, SEALED_AT))
    )

    words = " ".join("\n".join(_pages(path)).split())
    assert words.count("Talked through: 2031-03") == sum(bool(it.talked_at) for it in record.handovers)
    assert "Not talked through." in words


def test_a_character_no_face_can_draw_is_printed_as_a_mark(keys: SiteKeys, tmp_path: Path) -> None:
    path = tmp_path / "marks.pdf"

    path.write_bytes(set_pages(seal_record(record_with_text("seen \U0001f600 \x07 \u202e"), keys, SEALED_AT)))

    assert "seen [U+1F600] [U+0007] [U+202E]" in "\n".join(_pages(path))


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.text(st.characters(exclude_categories=["Cs"]), max_size=200))
def test_no_text_a_person_can_type_loses_the_record(keys: SiteKeys, text: str) -> None:
    sealed = seal_record(record_with_text(text), keys, SEALED_AT)

    pdf = sealed_record_pdf(sealed, keys)

    assert verify_bytes(pdf, "record.pdf", trusted=keys.key_fingerprint).is_sound


def test_a_record_with_nothing_in_it_still_prints(keys: SiteKeys) -> None:
    record = sample_record(steps=0, joints=0)
    lists: dict[str, Any] = {
        field.name: () for field in fields(record) if isinstance(getattr(record, field.name), tuple)
    }
    empty = replace(record, **lists, well=replace(record.well, casing=()))

    pdf = sealed_record_pdf(seal_record(empty, keys, SEALED_AT), keys)

    assert verify_bytes(pdf, "record.pdf", trusted=keys.key_fingerprint).is_sound


def test_pages_of_another_site_are_never_put_around_a_record(
    files: SealedFiles, other_keys: SiteKeys
) -> None:
    with pytest.raises(OtherSiteError, match="Invented Other Site"):
        sealed_record_pdf(files.sealed, other_keys)


def _pages(path: Path) -> list[str]:
    return run_tool("pdftotext", "-layout", path, "-").stdout.split("\f")[:-1]


def _short(files: SealedFiles) -> str:
    head = files.sealed.record.head
    return "-".join(head[start : start + 4] for start in (0, 4, 8, 12))


def test_a_connection_and_a_test_that_were_put_right_say_so_where_they_stand(
    keys: SiteKeys, tmp_path: Path
) -> None:
    record, path = sample_record(steps=8), tmp_path / "corrected.pdf"
    torque = replace(record.corrections[0], step=record.connections[0].step, reading="torque")
    phase = replace(record.corrections[0], step=record.tests[0].step + 1, reading="phase A to B")
    test = replace(record.tests[0], step=phase.step)

    path.write_bytes(
        set_pages(seal_record(replace(record, corrections=(torque, phase), tests=(test,)), keys, SEALED_AT))
    )

    text = " ".join(run_tool("pdftotext", path, "-").stdout.split())
    made, tested = (
        _between(text, "Connections", "Clamps"),
        _between(text, "Electrical and pressure tests", "Hold points"),
    )
    assert "torque corrected from 25600 lbf ft to 2560 lbf ft by Invented Supervisor" in made
    assert "correction 1" in made
    assert "phase A to B corrected from 25600 lbf ft to 2560 lbf ft by Invented Supervisor" in tested
    assert "correction 2" in tested
    assert "torque corrected" not in tested


def _between(text: str, title: str, following: str) -> str:
    """Return what stands under a numbered heading, up to another one."""
    behind = re.split(rf" \d+ {title} ", text, maxsplit=1)[1]
    return re.split(rf" \d+ {following} ", behind, maxsplit=1)[0]
