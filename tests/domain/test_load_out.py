from dataclasses import replace

import pytest

from app.demo import demo_plan_text
from app.domain.load_out import check_serial, listed_serials
from app.domain.parts import Part
from app.domain.plan import Plan
from app.domain.refusals import ReadingError
from app.domain.sheet import ReadingKind, ReadingWanted
from app.records.plan_toml import read_plan
from tests.domain import job

CLAMP = ReadingWanted("serial", ReadingKind.SERIAL, "bypass clamp")
LIST = {"C-1": "bypass clamp", "C-2": "bypass clamp", "M-1": "MTR-1"}


def refused(serial: str, *, used: dict[str, int] | None = None, settled: dict[str, str] | None = None) -> str:
    """Return the rule and text with which a serial is refused as a clamp."""
    with pytest.raises(ReadingError) as refusal:
        check_serial(CLAMP, serial, load_out=LIST, used=used or {}, settled=settled or {})
    assert refusal.value.field == "serial"
    return f"{refusal.value.rule}: {refusal.value}"


def test_a_listed_serial_of_the_right_kind_passes() -> None:
    check_serial(CLAMP, "C-1", load_out=LIST, used={"C-2": 74}, settled={"M-1": "returned"})


def test_a_serial_that_nobody_listed_is_refused_and_may_be_added() -> None:
    text = refused("C-9")

    assert text.startswith("serial-unknown: Serial C-9 is not on the load-out list")
    assert "add it to the list with a reason" in text


@pytest.mark.parametrize("typed", ["c-1", "C - 1", "c -1"])
def test_a_serial_in_small_letters_or_with_blanks_is_refused_with_the_one_on_the_list(typed: str) -> None:
    assert f"Serial {typed} is not on the load-out list. C-1 is: type it so" in refused(typed)


def test_a_serial_of_another_kind_is_refused_with_what_is_wanted() -> None:
    assert refused("M-1").startswith(
        "serial-wrong-kind: Serial M-1 is a MTR-1; here a bypass clamp is wanted."
    )


def test_a_clamp_for_another_number_of_cables_is_refused() -> None:
    plan, _ = read_plan(demo_plan_text("dual"))
    assert plan is not None
    load_out = listed_serials(plan)
    wanted = replace(CLAMP, item="bypass clamp, two cables")

    with pytest.raises(ReadingError) as refusal:
        check_serial(wanted, "TL-BC-0101", load_out=load_out, used={}, settled={})

    assert str(refusal.value).startswith(
        "Serial TL-BC-0101 is a bypass clamp, one cable; here a bypass clamp, two cables is wanted."
    )


def test_a_serial_is_not_used_twice() -> None:
    assert refused("C-1", used={"C-1": 74}).startswith(
        "serial-used-twice: Serial C-1 was used already, at step 74."
    )


def test_a_serial_that_was_rejected_is_not_fitted() -> None:
    text = refused("C-1", settled={"C-1": "rejected"})

    assert text.startswith("serial-settled: Serial C-1 is accounted for as rejected.")
    assert "add it to the load-out list again" in text


def test_everything_with_a_serial_in_the_plan_is_listed_by_what_it_is(plan: Plan) -> None:
    listed = listed_serials(plan)

    assert listed["TL-BC-0401"] == "bypass clamp"
    assert listed["TL-MTR-0011"] == "MTR-1"
    assert listed["TL-ML-0011"] == "ML-1"
    assert listed["TL-MC-0011"] == "MC-1"
    assert listed["TL-YB-0011"] == "YB-1"
    assert listed["TL-TH-0001"] == "TH-1"
    assert listed["TL-HS-0011"] == "HS-1"
    assert listed["TL-SEAL-0019"] == "spare seal"
    assert "" not in listed


def test_a_crossover_of_the_production_tubing_is_listed_too(plan: Plan) -> None:
    crossover: Part = replace(plan.production.hanger, tag="XO-1", serial="TL-XO-0001")

    listed = listed_serials(replace(plan, production=replace(plan.production, crossover=crossover)))

    assert listed == listed_serials(plan) | {"TL-XO-0001": "XO-1"}


def test_every_serial_that_the_sheet_asks_for_can_be_given() -> None:
    wanted = [
        item.item for step in job.sheet().steps for item in step.readings if item.kind is ReadingKind.SERIAL
    ]

    listed = list(listed_serials(job.plan()).values())

    for item in set(wanted):
        assert listed.count(item) >= wanted.count(item), item
