"""Notes, photos and deviations of a step, and the page of all deviations."""

import pytest

from app.services.photos import LARGEST_PHOTO
from app.services.runs import new_key
from tests.photo_files import jpeg
from tests.web.conftest import Rig, Tablet
from tests.web.html_page import read_page

JPEG = jpeg()


def test_a_note_is_shown_with_who_and_when(rig: Rig, tablet: Tablet) -> None:
    path = f"{rig.home}/steps/1"

    answer = tablet.send(path, f"{path}/notes", {"text": "tag hard to read"})

    assert answer.status_code == 303
    assert "tag hard to read Test Supervisor, 2026-03-01 08:00:00 +0100" in tablet.page(path).text()


def test_an_empty_note_is_refused(rig: Rig, tablet: Tablet) -> None:
    path = f"{rig.home}/steps/1"

    answer = tablet.send(path, f"{path}/notes", {"text": "  "})

    assert answer.status_code == 422
    assert "Say why" in answer.text


def test_a_photo_is_shown_on_its_step(rig: Rig, tablet: Tablet) -> None:
    path = f"{rig.home}/steps/1"

    answer = _send_photo(tablet, path, JPEG)

    assert answer == 303
    image = tablet.page(path).one("img")
    assert tablet.get(image.attributes["src"]).content == JPEG


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "Choose a photo or take one first"),
        (b"<svg onload=alert(1)>", "no JPEG, PNG or WebP photo"),
        (b"RIFF0000WAVE", "no JPEG, PNG or WebP photo"),
        (JPEG + b"0" * LARGEST_PHOTO, "larger than 12 MB"),
        (JPEG[:-1], "The end of the photo is missing"),
    ],
    ids=["none", "svg", "sound", "too large", "cut off"],
)
def test_what_is_no_photo_is_refused_and_not_kept(
    rig: Rig, tablet: Tablet, content: bytes, words: str
) -> None:
    files = {"photo": ("p.jpg", content, "image/jpeg")}

    answer = tablet.ask("POST", f"{rig.home}/steps/1/photos", {"key": new_key()}, files=files)

    assert answer.status_code == 422
    assert answer.text.count(words) == 1
    form = read_page(answer.text).one("form", action=f"{rig.home}/steps/1/photos")
    assert words in form.text()
    assert "autofocus" in form.one("p", class_="refused").attributes, "it is looked at without JavaScript too"
    assert not rig.run.remarks


@pytest.mark.parametrize("where", ["deviations/1", "hold-points/first-lift-pump"])
def test_what_is_no_photo_of_a_deviation_or_hold_point_is_said_once(
    rig: Rig, tablet: Tablet, where: str
) -> None:
    step = f"{rig.home}/steps/1"
    raised = {"what": "tag missing", "why": "torn off", "proposed": "use as is"}
    tablet.send(step, f"{step}/deviations", raised)

    answer = tablet.ask(
        "POST",
        f"{rig.home}/{where}/photos",
        {"key": new_key()},
        files={"photo": ("p.jpg", b"<svg onload=alert(1)>", "image/jpeg")},
    )

    assert answer.status_code == 422
    assert answer.text.count("no JPEG, PNG or WebP photo") == 1
    form = read_page(answer.text).one("form", action=f"{rig.home}/{where}/photos")
    assert "no JPEG, PNG or WebP photo" in form.text()


@pytest.mark.parametrize(
    ("form", "words"), [("notes", "before you save a note"), ("deviations", "Say what departs from the plan")]
)
def test_a_note_or_deviation_without_words_is_refused_once_beside_its_field(
    rig: Rig, tablet: Tablet, form: str, words: str
) -> None:
    path = f"{rig.home}/steps/1"

    answer = tablet.send(path, f"{path}/{form}", {"proposed": "use as is", "why": "torn off"})

    assert answer.status_code == 422
    assert answer.text.count(words) == 1
    assert words in read_page(answer.text).one("form", action=f"{path}/{form}").text()


def test_a_deviation_is_raised_at_a_step_and_settled_with_a_reason(rig: Rig, tablet: Tablet) -> None:
    path, page = f"{rig.home}/steps/1", f"{rig.home}/deviations"
    raised = {"what": "tag missing", "why": "torn off", "proposed": "use as is"}

    answer = tablet.send(path, f"{path}/deviations", raised)
    shown = tablet.page(page).text()
    bare = tablet.send(page, f"{page}/1/settle", {"disposition": "use as is"})
    settled = tablet.send(
        page, f"{page}/1/settle", {"disposition": "use as is", "reason": "serial is stamped"}
    )

    assert answer.status_code == 303
    assert "Deviation 1, open" in shown
    assert bare.status_code == 422
    assert settled.status_code == 303
    assert "serial is stamped" in tablet.page(page).text()
    assert not rig.run.open_deviations()


def test_a_deviation_without_a_choice_is_refused_and_the_words_are_kept(rig: Rig, tablet: Tablet) -> None:
    path = f"{rig.home}/deviations"

    answer = tablet.send(path, path, {"what": "tag missing", "why": "torn off"})

    page = read_page(answer.text)
    assert answer.status_code == 422
    assert "Choose what is to be done about it" in page.text()
    assert page.one("input", id="what").attributes["value"] == "tag missing"
    assert page.one("input", id="why").attributes["value"] == "torn off"


@pytest.mark.parametrize(("step", "status"), [("1", 303), ("one", 422), ("9999", 404), ("9" * 5_000, 422)])
def test_a_deviation_names_its_step(rig: Rig, tablet: Tablet, step: str, status: int) -> None:
    path = f"{rig.home}/deviations"
    typed = {"step": step, "what": "tag missing", "why": "torn off", "proposed": "rework"}

    assert tablet.send(path, path, typed).status_code == status


def test_a_deviation_settled_as_use_as_is_lets_the_reading_stand(rig: Rig, tablet: Tablet) -> None:
    rig.do_deck_work()
    number = next(
        step.number
        for step in rig.run.sheet.steps
        if step.lane.value == "floor" and step.readings and step.readings[0].kind.value == "torque"
    )
    rig.do_floor_until(number)
    path = f"{rig.home}/steps/{number}"
    values = rig.good_values(number) | {"value-0": "1", "confirmed-0": "yes"}
    tablet.post(f"{path}/done", values)
    tried = tablet.page(path).text()
    tablet.post(f"{path}/deviations", {"what": "under-torqued", "why": "box worn", "proposed": "use as is"})
    raised = tablet.page(path).text()
    tablet.post(f"{rig.home}/deviations/1/settle", {"disposition": "use as is", "reason": "engineer agrees"})
    settled = tablet.page(path).text()

    tablet.post(f"{path}/done", values | {"value-0": "0.5"})
    worse = tablet.page(path).text()

    assert rig.run.is_open(number)
    assert "Deviation 1 was settled on what had been tried by then, and this is further outside" in worse

    tablet.post(f"{path}/done", values)

    assert "There are two ways out" in tried
    assert "Once deviation 1 is settled as “use as is”, enter the reading as it stands" in raised
    assert "Deviation 1 is settled as “use as is”: enter the reading as it stands and tap Done." in settled
    assert not any("There are two ways out" in words for words in (raised, settled))

    assert rig.run.done[number].deviation == 1
    assert "under deviation 1" in tablet.page(path).text()
    assert "It stands so under deviation 1." in tablet.page(rig.home).text()
    # What was accepted as it is, nobody is told to make again.
    assert "is below the window" not in tablet.page(rig.home).text()


def _send_photo(tablet: Tablet, path: str, content: bytes) -> int:
    files = {"photo": ("collar.jpg", content, "image/jpeg")}
    return tablet.ask("POST", f"{path}/photos", {"key": new_key()}, files=files).status_code


def test_what_was_proposed_first_stays_in_view_and_the_last_is_accepted(rig: Rig, tablet: Tablet) -> None:
    page = f"{rig.home}/deviations"
    raised = {"step": "1", "what": "tag missing", "why": "torn off", "proposed": "use as is"}
    tablet.send(page, page, raised)

    proposed = tablet.send(
        page, f"{page}/1/propose", {"disposition": "replace", "reason": "a new one is there"}
    )
    stale = tablet.post(f"{page}/1/settle", {"disposition": "use as is", "reason": "fine"})
    settled = tablet.send(page, f"{page}/1/settle", {"reason": "fitted and read"})

    text = tablet.page(page).text()
    assert (proposed.status_code, stale.status_code, settled.status_code) == (303, 422, 303)
    assert "is proposed as replace, not use as is" in stale.text
    assert "Proposed before: Use as is, because: torn off." in text
    assert "Proposed: Replace, because: a new one is there." in text
    assert "Accepted by Test Supervisor" in text


@pytest.mark.parametrize("where", ["deviations/1", "hold-points/first-lift-pump"])
def test_a_photo_is_shown_on_its_deviation_and_on_its_hold_point(
    rig: Rig, tablet: Tablet, where: str
) -> None:
    page = f"{rig.home}/deviations"
    tablet.send(page, page, {"step": "1", "what": "tag missing", "why": "torn off", "proposed": "rework"})
    shown = page if where.startswith("deviations") else f"{rig.home}/{where}"

    status = _send_photo(tablet, f"{rig.home}/{where}", JPEG)

    image = tablet.page(shown).one("img")
    assert status == 303
    assert tablet.get(image.attributes["src"]).content == JPEG
