"""A day on which little goes by the plan, by touch on two tablets, to a record that tells the truth."""

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

from playwright.sync_api import Page, expect

from app.domain.operations import Operation
from tests.browser.conftest import PORTRAIT, OpenTablet
from tests.browser.crew import SLOW, Crew
from tests.browser.running_program import running_program
from tests.browser.shift import RELIEF, SUPERVISOR, Shift, at_camp, released_until, run_out
from tests.domain import job
from tests.services.camp import SINGLE

A_PUP_MORE = SINGLE.replace(
    '    { tag = "P-008", length = "29.64 ft" },',
    '    { tag = "P-008", length = "29.64 ft" },\n    { tag = "PUP-1", length = "6.10 ft", pup = true },',
)
SEAL_TO_MOTOR = next(step.number for step in job.sheet().steps if step.key == "SEAL-1/MTR-1/bolt")
LEAD_TEST = next(step.number for step in job.sheet().steps if step.key == "ML-1/electrical-test")
LIFT_OF_MOTOR = job.first(Operation.FIT_LIFTING_CLAMP, "MTR-1")
REJECTED, FITTED = "TL-BC-0401", "TL-BC-0405"


def test_a_bad_day_comes_to_a_record_that_tells_the_truth(open_tablet: OpenTablet, tmp_path: Path) -> None:
    data = tmp_path / "data"
    run_id = at_camp(data, lambda site: released_until(site, SINGLE, job.FIRST_CLAMP))

    with running_program(data) as server:
        flat = Shift(open_tablet(base_url=server.address).new_page(), data, run_id)
        tall = Shift(open_tablet(size=PORTRAIT, base_url=server.address).new_page(), data, run_id)
        flat.sign_in(SUPERVISOR)
        reject_a_clamp(flat)
        make_a_connection_twice(flat)
        fail_a_cable_test_and_go_back_for_another_lead(flat)
        flat.hand_over("The second seal sits well; the slips sit deep.")
        flat.replan(A_PUP_MORE, "the tally is short of setting depth")
        tick_on_two_tablets_at_once(flat, tall)

    at_camp(data, lambda site: run_out(site, run_id))

    with running_program(data) as server:
        page = open_tablet(base_url=server.address).new_page()
        record = closed_and_written(Shift(page, data, run_id), tmp_path)
    told_as_it_was(record)


def reject_a_clamp(shift: Shift) -> None:
    """The clamp that was laid out for the first station is cracked: another takes its place."""
    shift.swap("MTR-1 base", new=FITTED, old=REJECTED, reason="cracked at the hinge")
    shift.tick(serial=REJECTED)
    expect(shift.page.get_by_text(f"Serial {REJECTED} is accounted for as rejected").first).to_be_visible()
    shift.tick(serial=FITTED)
    shift.stands_at(job.FIRST_CLAMP + 1)


def make_a_connection_twice(shift: Shift) -> None:
    """The seal is bolted to its motor with too little torque, and then well."""
    shift.walk(SEAL_TO_MOTOR)
    shift.tick(torque="55")
    expect(shift.page.get_by_text("Attempt 1 is outside").first).to_be_visible(timeout=SLOW)
    shift.tick()
    shift.stands_at(SEAL_TO_MOTOR + 1)


def fail_a_cable_test_and_go_back_for_another_lead(shift: Shift) -> None:
    """The motor lead fails its test: seal and motor come out again, and another lead goes in."""
    shift.walk(LEAD_TEST)
    shift.tick(insulation_to_ground="2")
    expect(shift.page.get_by_text("Attempt 1 is outside").first).to_be_visible(timeout=SLOW)
    shift.raise_deviation(LEAD_TEST, "The lead reads 2 megohm", "water in its pothead", "back out")
    shift.go_back(LIFT_OF_MOTOR, "A test failed", "the lead is to be changed", deviation=1)
    expect(shift.page.get_by_text("On the way back")).to_be_visible(timeout=SLOW)
    shift.walk_back()
    shift.swap("ML-1", new="TL-ML-0099", old="TL-ML-0011", reason="water in its pothead", deviation=1)
    shift.do_deck_work()
    shift.accept_deviation(1, "back out", "another lead is in, and it tests well")
    again = next(
        step.number for step in shift.run.sheet.steps if step.key == f"{job.step(LEAD_TEST - 1).key}~2"
    )
    shift.walk(again + 2)
    assert shift.run.backed_out == frozenset(range(LIFT_OF_MOTOR, LEAD_TEST))


def tick_on_two_tablets_at_once(flat: Shift, tall: Shift) -> None:
    """Two people stand before the same step; one ticks it, and the other is told who did."""
    flat.do_deck_work()
    tall.sign_in("Test Technician")
    step = tall.open_current()
    flat.tick()
    flat.stands_at(step + 1)
    tall.page.locator("#done").tap()
    expect(tall.page.get_by_text(RELIEF).first).to_be_visible(timeout=SLOW)
    assert flat.run.done[step].who.name == RELIEF


def closed_and_written(shift: Shift, folder: Path) -> dict[str, Any]:
    """Close the run by touch, have its record written, and return it once a stranger has verified it."""
    shift.sign_in(RELIEF)
    crew = Crew(shift.page, shift.run)
    crew.close(shift.home)
    crew.write_record()
    for kind in ("pdf", "json"):
        kept = downloaded(shift.page, f"{shift.home}/record", kind, folder)
        told = subprocess.run(
            [sys.executable, "-m", "app", "verify", str(kept)], capture_output=True, text=True, check=False
        )
        assert told.returncode == 0, told.stdout + told.stderr
    sealed: dict[str, Any] = json.loads(kept.read_text(encoding="utf-8"))
    record: dict[str, Any] = sealed["record"]
    return record


def downloaded(page: Page, address: str, kind: str, folder: Path) -> Path:
    page.goto(address)
    with page.expect_download() as started:
        page.locator(f'a[href$="/record/{kind}"]').tap()
    kept = folder / f"record.{kind}"
    started.value.save_as(kept)
    return kept


def told_as_it_was(record: dict[str, Any]) -> None:
    """Everything that went wrong stands in the record, and what hangs in the well is what was fitted last."""
    serials = {clamp["serial"] for clamp in record["clamps"]}
    back, changed = record["rewritings"]
    parts = {part["tag"]: part["serial"] for part in record["parts"]}
    tries = [item for item in record["connections"] if item["step"] == SEAL_TO_MOTOR]
    notes = " ".join(note["text"] for note in record["notes"])

    assert REJECTED not in serials
    assert next(attempt["applied"]["value"] for attempt in tries[0]["attempts"]) == "55"
    assert tries[0]["stage"].endswith("taken back later")
    assert (back["first"], back["kind"]) == (LIFT_OF_MOTOR, "way back: a test failed")
    assert back["undone"] == list(range(LIFT_OF_MOTOR, LEAD_TEST))
    assert "PUP-1" in changed["plan"]["text"]
    assert "PUP-1" in {line["tag"] for line in record["tally"]}
    assert parts["MTR-1"] == "TL-MTR-0011"
    assert any(test["verdict"] == "failed" and test["item"] == "ML-1" for test in record["tests"])
    assert record["deviations"][0]["disposition"] == "back out"
    assert RELIEF in json.dumps(record["handovers"])
    assert SUPERVISOR in json.dumps(record["handovers"])
    assert "TL-ML-0099" in notes + json.dumps(record["swaps"])
