"""The end of a run on its pages: load-out list, what is missing, signatures, close, record, log."""

import json
import re

from app.domain.deciding.closing import unsettled_serials
from app.domain.unit_systems import AS_PLANNED
from app.records.event_json import KINDS
from tests import runner
from tests.web.conftest import Rig, Tablet
from tests.web.html_page import read_page

COUNTED = {
    "item": "cross-coupling protector, 2-7/8 in",
    "issued": "12",
    "returned": "3",
    "rejected": "0",
    "reason": "not needed",
}


def test_a_thing_is_added_to_the_load_out_list_with_a_reason(rig: Rig, tablet: Tablet) -> None:
    path = f"{rig.home}/load-out"
    typed = {"serial": "TL-NEW-1", "item": "bypass clamp", "reason": "found in the basket"}

    bare = tablet.send(path, path, typed | {"reason": ""})
    answer = tablet.send(path, path, typed)

    assert bare.status_code == 422
    assert read_page(bare.text).one("input", id="serial").attributes["value"] == "TL-NEW-1"
    assert answer.status_code == 303
    assert "TL-NEW-1, bypass clamp" in tablet.page(path).text()


def test_several_things_are_accounted_for_at_once(finished: Rig) -> None:
    tablet = finished.tablet
    path, left = f"{finished.home}/load-out", list(unsettled_serials(finished.run))

    none = tablet.post(f"{path}/settle", {"settlement": "returned", "reason": "not needed"})
    nowhere = tablet.post(f"{path}/settle", {"serial": left, "reason": "not needed"})
    answer = tablet.post(f"{path}/settle", {"serial": left, "settlement": "returned", "reason": "not needed"})

    assert len(left) > 1
    assert "Choose at least one serial" in none.text
    assert "Choose where they went" in nowhere.text
    assert answer.status_code == 303
    assert "Nothing is left on deck" in tablet.page(path).text()
    assert not unsettled_serials(finished.run)


def test_things_without_serials_are_counted_until_they_add_up(finished: Rig) -> None:
    path, tablet = f"{finished.home}/load-out", finished.tablet

    before = tablet.page(path).one("section", aria_labelledby="by-number").text()
    odd = tablet.send(path, f"{path}/count", {"returned": "two", "reason": "back"})
    many = tablet.send(path, f"{path}/count", {"returned": "9", "reason": "back"})
    answer = tablet.send(path, f"{path}/count", {"returned": "3", "rejected": "0", "reason": "back"})

    assert "12 came, 9 fitted, 0 went back, 0 rejected, 3 on deck" in before
    assert (odd.status_code, many.status_code, answer.status_code) == (422, 422, 303)
    assert "type a whole number" in odd.text
    assert read_page(odd.text).one("input", id="returned-1").attributes["value"] == "two"
    assert "but only 12 came" in many.text
    assert "0 on deck" in tablet.page(path).one("section", aria_labelledby="by-number").text()
    assert "12 came, 3 went back" in tablet.page(f"{finished.home}/log").text()


def test_what_is_missing_stands_with_the_way_to_put_it_right(rig: Rig, tablet: Tablet) -> None:
    page = tablet.page(f"{rig.home}/close-out")

    ways = {way.attributes["href"] for way in page.all("a", class_="button wide")}
    assert {f"{rig.home}/steps/1", f"{rig.home}/load-out#on-deck", f"{rig.home}/load-out#by-number"} <= ways
    assert {
        f"{rig.home}/hold-points/{stage.id}" for stage in rig.run.sheet.stages if stage.hold_point
    } <= ways
    assert "Signing opens when nothing is missing" in page.text()
    assert not page.all("input", name="pin")


def test_a_run_with_something_missing_is_not_closed(rig: Rig, tablet: Tablet) -> None:
    path = f"{rig.home}/close-out"

    answer = tablet.send(path, f"{path}/close", {"note": "done for today"})

    page = read_page(answer.text)
    assert answer.status_code == 409
    assert "cannot be signed yet" in page.text()
    assert page.one("input", id="note").attributes["value"] == "done for today"


def test_a_run_is_signed_closed_and_recorded_on_its_pages(finished: Rig) -> None:
    tablet = finished.tablet
    path, record = f"{finished.home}/close-out", f"{finished.home}/record"
    left = list(unsettled_serials(finished.run))
    tablet.post(f"{finished.home}/load-out/settle", {"serial": left, "settlement": "returned", "reason": "x"})
    tablet.post(f"{finished.home}/load-out/count", COUNTED)
    early = tablet.send(path, f"{path}/close")
    for role in ("supervisor", "company representative"):
        person = finished.crew[role]
        typed = {"person": person.person_id, "pin": runner.PINS[person.name]}
        assert tablet.send(path, f"{path}/sign", typed).status_code == 303

    closed = tablet.send(path, f"{path}/close")
    written = tablet.send(record, record)

    assert "Not signed yet by the supervisor and the company representative" in early.text
    assert closed.headers["location"] == record
    assert written.status_code == 303
    page = tablet.page(record)
    hashes = re.findall(r"SHA-256 ([0-9a-f]{64})", page.text())
    assert len(hashes) == 2
    assert tablet.get(f"{record}/pdf").content.startswith(b"%PDF-")
    assert json.loads(tablet.get(f"{record}/json").content)
    after = tablet.post(f"{finished.home}/steps/1/notes", {"text": "too late"})
    assert after.status_code == 409
    assert "The run is closed and signed" in after.text


def test_an_open_run_gives_no_record(rig: Rig, tablet: Tablet) -> None:
    record = f"{rig.home}/record"

    answer = tablet.post(record)

    assert answer.status_code == 409
    assert "not closed yet" in answer.text
    assert tablet.get(f"{record}/pdf").status_code == 404
    assert tablet.get(f"{record}/exe").status_code == 404


def test_a_finished_floor_leads_to_the_close_out(finished: Rig) -> None:
    tablet = finished.tablet
    page = tablet.page(finished.home)

    assert page.one("h1").text() == "All floor steps are done"
    assert page.all("a", href=f"{finished.home}/close-out", class_="button main-act")


def test_the_log_tells_every_event_in_words_a_hundred_a_page(finished: Rig) -> None:
    tablet = finished.tablet
    path, seen, where = f"{finished.home}/log", [], f"{finished.home}/log"
    while where:
        page = tablet.page(where)
        seen += [int(line.attributes["value"]) for line in page.one("ol", class_="log").children]
        earlier = [way for way in page.all("a") if way.text() == "Earlier"]
        where = earlier[0].attributes["href"] if earlier else ""

    assert seen == list(range(finished.run.sequence, 0, -1))
    assert "Signed the hold point before “Pump system: bypass leg”" in tablet.page(f"{path}?up_to=100").text()


def test_each_kind_of_event_has_its_words(rig: Rig, tablet: Tablet) -> None:
    environment = tablet.application.state.pages[AS_PLANNED.name]

    words = environment.get_template("log/_words.html").module

    for kind in KINDS:
        assert callable(getattr(words, kind.name.replace("-", "_"))), kind.name


def test_the_sheet_shows_one_stage_with_states_in_words(rig: Rig, tablet: Tablet) -> None:
    tablet.post(f"{rig.home}/steps/1/done")

    page = tablet.page(f"{rig.home}/sheet?stage=deck-work")

    rows = page.one("ol", class_="rows").children
    assert len(rows) == len(rig.run.sheet.steps_of("deck-work"))
    assert "done by Test Supervisor" in rows[0].text()
    assert "to do" in rows[1].text()


def test_deck_work_is_listed_by_part(rig: Rig, tablet: Tablet) -> None:
    page = tablet.page(f"{rig.home}/deck")

    names = [heading.text() for heading in page.all("h2")]
    assert names[0] == "Gear, tools and counts"
    assert "MTR-1" in names
    assert len(page.all("li")) >= 47
