from dataclasses import replace
from typing import Any

from app.domain.install_record import Verdict
from app.domain.record_values import Amount
from app.exports.record_json import seal_record
from app.exports.record_layout import page_data
from app.exports.site_keys import SiteKeys
from app.exports.typesetting import face_coverage
from tests.exports.conftest import SEALED_AT
from tests.records.install_record_sample import record_with_text, sample_record


def test_the_summary_counts_how_everything_ended(keys: SiteKeys) -> None:
    summary = {row["subject"]: row for row in _page(sample_record(steps=50), keys)["summary"]}

    assert summary["Steps"]["verdicts"] == "49 done, 1 not applicable"
    assert summary["Connections"] == {
        "subject": "Connections",
        "count": "9",
        "verdicts": "9 passed",
        "attention": "2 attempts: out of window",
    }
    assert summary["Tests"]["attention"] == "1 reading: out of limits"
    assert summary["Deviations"]["verdicts"] == "1 accepted"
    assert summary["Deviations"]["attention"] == "1 deviation: still open"
    assert summary["Temporary gear, items"]["attention"] == "1 item: on and off differ"
    assert summary["Hold points"]["attention"] == ""


def test_a_connection_that_is_not_proven_stands_out(keys: SiteKeys) -> None:
    record = sample_record()
    failed = replace(record.connections[0], verdict=Verdict.FAILED)

    summary = _page(replace(record, connections=(failed,)), keys)["summary"]

    assert "1 connection: not proven" in [row["attention"] for row in summary]


def test_a_hold_point_nobody_released_or_signed_stands_out(keys: SiteKeys) -> None:
    record = sample_record()
    held = replace(record.hold_points[0], released_at="", signatures=())

    summary = _page(replace(record, hold_points=(held,)), keys)["summary"]

    assert "1 hold point: not released, 1 hold point: without a signature" in [
        row["attention"] for row in summary
    ]


def test_a_value_and_its_unit_become_one_text_and_a_time_does_not_break(keys: SiteKeys) -> None:
    record = _page(sample_record(), keys)["record"]

    assert record["well"]["setting_depth"] == "1850 m"
    assert record["run"]["closed_at"] == "2031-03-07\u00a017:25:00\u00a0+03:00"


def test_the_step_that_was_looked_at_after_a_hold_stays_a_number_and_is_no_time(keys: SiteKeys) -> None:
    record = sample_record()
    unasked = replace(record.standstills[0], look="not asked for", looked_at=0)

    standstills = _page(replace(record, standstills=(*record.standstills, unasked)), keys)["record"][
        "standstills"
    ]

    assert [item["looked_at"] for item in standstills] == [2, 0]


def test_readings_of_two_people_that_differ_stand_out(keys: SiteKeys) -> None:
    record = sample_record()
    differing = replace(record.taken_twice[0], second=Amount("9.5", "in"), agreed=False)

    summary = _page(replace(record, taken_twice=(differing, *record.taken_twice)), keys)["summary"]

    row = next(row for row in summary if row["subject"] == "Readings of two people")
    assert (row["count"], row["attention"]) == ("2", "1 time: the two did not agree")


def test_a_weight_that_was_not_what_should_hang_stands_out(keys: SiteKeys) -> None:
    record = sample_record()
    light = replace(record.weights[0], read=Amount("20000", "lb"), verdict="below the window")

    page = _page(replace(record, weights=(*record.weights, light)), keys)

    row = next(row for row in page["summary"] if row["subject"] == "Readings of the weight indicator")
    assert (row["count"], row["attention"]) == ("2", "1 reading: off what should hang")
    assert page["record"]["weights"][1]["read"] == "20000 lb"


def test_a_long_title_leaves_the_running_head_one_line(keys: SiteKeys) -> None:
    head = _page(record_with_text("many words\n" * 40), keys)["running"]

    assert "\n" not in head
    assert len(head) <= 90


def test_steps_are_grouped_by_stage_in_the_order_they_were_run(keys: SiteKeys) -> None:
    stages = _page(sample_record(steps=10), keys)["stages"]

    numbers = [row[0] for group in stages for row in group["steps"]]
    assert numbers == [str(number) for number in range(1, 11)]
    assert [group["stage"] for group in stages][:2] == ["Deck work", "Lower bypass leg"]


def test_a_step_whose_reading_was_put_right_says_by_whom_when_and_by_which_correction(
    keys: SiteKeys,
) -> None:
    record = sample_record(steps=10)
    (first,) = record.corrections
    again = replace(first, old=first.new, new=Amount("2550", "lbf ft"), by="Invented Driller")

    page = _page(replace(record, corrections=(first, again)), keys)

    once, twice = page["corrected"]["3"]
    when = first.at.replace("T", "\u00a0").replace("+", "\u00a0+")
    assert once == (
        f"make-up torque corrected from 25600 lbf ft to 2560 lbf ft by Invented Supervisor, {when}: "
        "correction 1"
    )
    assert "from 2560 lbf ft to 2550 lbf ft by Invented Driller" in twice
    assert twice.endswith("correction 2")
    rows = {row[0]: row for group in page["stages"] for row in group["steps"]}
    assert rows["3"][3].endswith(f"{once}\n{twice}")
    assert "corrected" not in rows["4"][3]


def _page(record: Any, keys: SiteKeys) -> Any:
    sealed = seal_record(record, keys, SEALED_AT)
    return page_data(sealed.record, sealed.seal, face_coverage())
