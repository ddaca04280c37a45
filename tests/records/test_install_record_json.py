import json
from dataclasses import fields, is_dataclass, replace
from itertools import product
from typing import Any, get_args, get_origin, get_type_hints

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.domain.install_record import InstallRecord, Note
from app.records.canonical import canonical_bytes
from app.records.chain import broken_links
from app.records.install_record_json import (
    LATER,
    LATER_OF_ROWS,
    chain_entries,
    read_record,
    record_bytes,
    record_from_plain,
)
from tests.records.install_record_sample import record_with_text, sample_record


def test_a_record_comes_back_exactly_as_it_went_out() -> None:
    record = sample_record(steps=20)

    back, problems = read_record(record_bytes(record))

    assert problems == []
    assert back == record


@given(st.text(st.characters(exclude_categories=["Cs"]), max_size=60))
def test_any_text_a_person_can_type_comes_back_unchanged(text: str) -> None:
    record = record_with_text(text)

    back, problems = read_record(record_bytes(record))

    assert (back, problems) == (record, [])


def test_the_log_comes_back_as_an_unbroken_chain() -> None:
    record = sample_record(steps=12)

    entries = chain_entries(record)

    assert len(entries) == 12
    assert broken_links(entries) == []
    assert entries[-1].hash == record.head


def test_no_field_of_the_record_can_hold_a_float() -> None:
    kinds = _leaf_types(InstallRecord)

    assert float not in kinds
    assert {str, int, bool} <= kinds


def test_every_mistake_is_named_with_its_place() -> None:
    plain = json.loads(record_bytes(sample_record()))
    del plain["well"]["fluid"]
    plain["job"]["invented"] = "yes"
    plain["connections"][0]["attempts"][0]["verdict"] = "good enough"
    plain["steps"][2]["number"] = 3.0
    plain["tally"] = {}
    plain["extra"] = 1

    record, problems = record_from_plain(plain)

    assert record is None
    assert {problem.where for problem in problems} == {
        "record.well.fluid",
        "record.job.invented",
        "record.connections[0].attempts[0].verdict",
        "record.steps[2].number",
        "record.tally",
        "record.extra",
    }
    assert any("in window" in problem.text for problem in problems)


def test_a_record_that_was_sealed_before_later_members_were_thought_of_still_reads() -> None:
    record = sample_record()
    plain = json.loads(record_bytes(record))
    for name in LATER:
        del plain[name]
    for name, later in LATER_OF_ROWS.items():
        for row, member in product(plain.get(name, ()), later):
            del row[member]

    back, problems = record_from_plain(plain)

    assert problems == []
    assert back is not None
    assert all(getattr(back, name) == () for name in LATER)
    assert [photo.name for photo in back.photos] == [photo.name for photo in record.photos]
    assert back.deviations == tuple(replace(item, finding="", proposals=()) for item in record.deviations)


def test_a_handover_that_was_sealed_before_charge_could_be_taken_still_reads() -> None:
    record = sample_record()
    plain = json.loads(record_bytes(record))
    for row in plain["handovers"]:
        del row["charge_taken_by"]

    back, problems = record_from_plain(plain)

    assert problems == []
    assert back is not None
    assert back.handovers == tuple(replace(item, charge_taken_by="") for item in record.handovers)


def test_a_record_of_another_format_is_refused_with_both_names() -> None:
    plain = json.loads(record_bytes(sample_record())) | {"format": "twinleg-install-record-2"}

    record, problems = record_from_plain(plain)

    assert record is None
    assert "twinleg-install-record-2" in problems[0].text
    assert "twinleg-install-record-1" in problems[0].text


@pytest.mark.parametrize("value", [None, [], "text", 7, True, {}])
def test_a_value_that_is_no_record_is_refused(value: object) -> None:
    record, problems = record_from_plain(value)

    assert record is None
    assert problems


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "not a JSON text"),
        (b"\xff\xfe\x00", "not UTF-8"),
        (b"{", "line 1"),
        (b'{"a":NaN}', "NaN"),
        (b'{"a":' + b"9" * 5000 + b"}", "not a JSON text"),
        (b"[" * 100_000, "nested too deeply"),
        (b'{"a":1, "b":2}', "canonical form"),
        (b'{"a":1,"a":1}', "canonical form"),
        (b'{"b":1,"a":2}', "canonical form"),
        (b'{"a":"\\ud800"}', "canonical form"),
        (b'\xef\xbb\xbf{"a":1}', "not a JSON text"),
    ],
)
def test_bytes_with_more_than_one_reading_are_refused(data: bytes, words: str) -> None:
    record, problems = read_record(data)

    assert record is None
    assert words in problems[0].text


def test_a_whole_number_too_large_for_other_readers_is_refused() -> None:
    record = sample_record()
    plain = json.loads(record_bytes(record))
    plain["steps"][0]["number"] = 2**53

    back, problems = record_from_plain(plain)

    assert back is None
    assert problems[0].where == "record.steps[0].number"


def test_two_records_that_differ_in_one_letter_have_different_bytes() -> None:
    record = sample_record()
    changed = replace(record, notes=(Note(0, "x", "y", "z"),))

    assert record_bytes(record) != record_bytes(changed)
    assert record_bytes(record) == canonical_bytes(json.loads(record_bytes(record)))


def _leaf_types(kind: Any) -> set[Any]:
    if is_dataclass(kind) and isinstance(kind, type):
        hints = get_type_hints(kind)
        return set().union(*(_leaf_types(hints[field.name]) for field in fields(kind)))
    if get_origin(kind) is tuple:
        return _leaf_types(get_args(kind)[0])
    return {kind}
