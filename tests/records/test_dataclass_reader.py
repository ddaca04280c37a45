"""The reader follows the hints of any frozen dataclass, and the writer is its inverse."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

import pytest

from app.domain import quantities
from app.domain.quantities import Angle, Length, Quantity, Ratio, Resistance, Temperature
from app.records.dataclass_reader import read_record
from app.records.dataclass_writer import write_record

# Degrees and percent have no factor of one to SI: the last place of the number may go.
LAST_PLACE_RATIO = 1e-14


class Colour(StrEnum):
    RED = "red"
    DEEP_BLUE = "deep blue"


@dataclass(frozen=True, slots=True)
class Row:
    tag: str
    depth: Length


@dataclass(frozen=True, slots=True)
class Sample:
    name: str
    rows: tuple[Row, ...]
    colour: Colour = Colour.RED
    due: date | None = None
    limit: Length | None = None
    only: Row | None = None
    words: tuple[str, ...] = ("first",)
    count: int = 3
    is_new: bool = True
    note: str = ""


WHOLE = Sample(
    name="whole",
    rows=(Row("a", Length(1.0, "1 m")), Row("b", Length(0.25, "25 cm"))),
    colour=Colour.DEEP_BLUE,
    due=date(2090, 6, 30),
    limit=Length(0.0, "0 in"),
    only=Row("c", Length(2.0, "2 m")),
    words=("x", "y"),
    count=0,
    is_new=False,
    note="a note",
)


def test_a_record_with_every_kind_of_field_comes_back_from_its_table() -> None:
    table = write_record(WHOLE)

    assert read_record(Sample, table, "sample") == (WHOLE, ())


def test_fields_with_defaults_may_be_left_out_and_are_left_out_when_written() -> None:
    table: dict[str, object] = {"name": "small", "rows": []}

    sample, problems = read_record(Sample, table, "sample")

    assert problems == ()
    assert sample == Sample("small", ())
    assert write_record(sample) == table


def test_a_row_with_neither_tag_nor_name_is_placed_by_its_number() -> None:
    table = {
        "name": "small",
        "rows": [{"tag": "a", "depth": "1 m"}, {"depth": "x"}, {"tag": "c", "depth": 1}],
    }

    _, problems = read_record(Sample, table, "sample")

    assert [problem.where for problem in problems] == [
        "rows[1] . tag",
        "rows[1] . depth",
        'rows[2] "c" . depth',
    ]


def test_what_is_no_table_at_all_is_placed_at_the_whole() -> None:
    _, problems = read_record(Sample, ["a"], "sample")

    assert [(problem.rule, problem.where) for problem in problems] == [("wrong-type", "sample")]


def test_a_missing_list_or_table_is_asked_for_in_words() -> None:
    @dataclass(frozen=True, slots=True)
    class Wants:
        rows: tuple[Row, ...]
        words: tuple[str, ...]
        row: Row
        colour: Colour
        is_new: bool
        count: int
        due: date

    _, problems = read_record(Wants, {}, "wants")

    assert [problem.text for problem in problems] == [
        '"rows" is missing; add a list [ ] of tables.',
        '"words" is missing; add a list [ ].',
        '"row" is missing; add a table with tag, depth.',
        '"colour" is missing; add it, written like "red".',
        '"is_new" is missing; add it, written like true.',
        '"count" is missing; add it, written like 4.',
        '"due" is missing; add it, written like 2090-06-30.',
    ]


def test_long_and_unprintable_names_are_shortened_in_a_place() -> None:
    table = {"name": "n", "rows": [{"tag": "x" * 100 + "\n", "depth": 1}], "no\x1bkey": 2}

    _, problems = read_record(Sample, table, "sample")

    assert [problem.where for problem in problems] == ["no?key", f'rows[0] "{"x" * 40}…" . depth']


@pytest.mark.parametrize("kind", quantities.SI_NAMES)
def test_a_computed_quantity_is_written_with_a_unit_that_gives_it_back(kind: type[Quantity]) -> None:
    @dataclass(frozen=True, slots=True)
    class Holder:
        value: Length

    Holder.__annotations__["value"] = kind
    value = kind(311.1 / 7.0)

    again, problems = read_record(Holder, write_record(Holder(value)), "holder")  # type: ignore[arg-type]

    assert problems == ()
    assert again is not None
    assert again.value.si == pytest.approx(value.si, rel=LAST_PLACE_RATIO)


@pytest.mark.parametrize(
    ("kind", "typed", "sentence"),
    [
        (Length, "-1 m", "a length cannot be negative"),
        (Angle, "-1 deg", "an angle cannot be negative"),
        (quantities.LinearMass, "-1 kg/m", "a linear mass cannot be negative"),
        (Resistance, "-1 ohm", "a resistance cannot be negative"),
        (Ratio, "-1 %", "a ratio cannot be negative"),
        (Temperature, "-274 degC", "a temperature cannot be below absolute zero"),
    ],
)
def test_what_cannot_be_negative_is_named(kind: type[Quantity], typed: str, sentence: str) -> None:
    @dataclass(frozen=True, slots=True)
    class Holder:
        value: Length

    Holder.__annotations__["value"] = kind

    _, problems = read_record(Holder, {"value": typed}, "holder")

    assert [problem.rule for problem in problems] == ["negative"]
    assert sentence in problems[0].text
