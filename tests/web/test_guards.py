"""What is not meant for this site never reaches a page, and every answer keeps to itself."""

import re
from pathlib import Path

import pytest

from app.services.runs import new_key
from app.services.site import open_site
from app.settings import Settings
from app.web.application import create_application
from tests.web.conftest import Rig, Tablet
from tests.web.html_page import read_page

TEMPLATES = Path(__file__).parents[2] / "templates"
NOTE = "<script>alert('x')</script><img src=x onerror=alert(1)>"


def test_every_answer_allows_only_its_own_scripts_and_no_frame(tablet: Tablet) -> None:
    for path in ("/", "/sign-in", "/alive", "/nowhere", "/static/0/nothing.css"):
        policy = tablet.get(path).headers["content-security-policy"]

        assert "default-src 'none'" in policy
        assert "script-src 'self';" in policy
        assert "style-src 'self';" in policy
        assert "frame-ancestors 'none'" in policy
        assert "unsafe" not in policy


def test_every_answer_is_taken_for_what_it_says_it_is(tablet: Tablet) -> None:
    headers = tablet.get("/").headers

    assert headers["x-content-type-options"] == "nosniff"
    assert headers["referrer-policy"] == "same-origin"
    assert headers["cross-origin-opener-policy"] == "same-origin"


@pytest.mark.parametrize(
    "sent_by",
    [
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
        {"Origin": "http://elsewhere.example"},
        {"Origin": "http://127.0.0.1:9999"},
        {"Origin": "null"},
    ],
    ids=str,
)
def test_a_form_that_another_site_sends_is_refused(rig: Rig, tablet: Tablet, sent_by: dict[str, str]) -> None:
    answer = tablet.ask("POST", f"{rig.home}/steps/1/done", {"key": new_key()}, sent_by)

    assert answer.status_code == 403
    assert "sent by another site" in answer.text
    assert not rig.run.done


@pytest.mark.parametrize(
    "sent_by", [{"Sec-Fetch-Site": "same-origin"}, {"Origin": "http://127.0.0.1:8000"}, {}], ids=str
)
def test_a_form_of_our_own_page_is_taken(rig: Rig, tablet: Tablet, sent_by: dict[str, str]) -> None:
    answer = tablet.ask("POST", f"{rig.home}/steps/1/done", {"key": new_key()}, sent_by)

    assert answer.status_code == 303
    assert rig.run.is_done(1)


@pytest.mark.parametrize("host", ["elsewhere.example", "127.0.0.1.elsewhere.example", "", "192.168.7.7"])
def test_another_name_for_this_machine_is_not_answered(tablet: Tablet, host: str) -> None:
    answer = tablet.ask("GET", "/", headers={"Host": host})

    assert answer.status_code == 421
    assert "does not answer to the name" in answer.text


@pytest.mark.parametrize("host", ["localhost:8000", "127.0.0.1", "[::1]:8000", "LOCALHOST"])
def test_the_names_of_this_machine_are_answered(tablet: Tablet, host: str) -> None:
    assert tablet.ask("GET", "/alive", headers={"Host": host}).status_code == 204


@pytest.mark.parametrize(
    ("listening", "host", "status"),
    [
        ("rig-server", "rig-server:8000", 204),
        ("rig-server", "other-server:8000", 421),
        ("0.0.0.0", "192.168.7.7:8000", 204),
        ("0.0.0.0", "elsewhere.example:8000", 421),
    ],
)
def test_a_server_for_other_tablets_answers_to_its_own_name_or_to_numbers(
    tmp_path: Path, listening: str, host: str, status: int
) -> None:
    site = open_site(tmp_path / "data")
    application = create_application(site, Settings(tmp_path / "data", listening, 8000, practice=False))
    tablet = Tablet(application, {})

    answer = tablet.ask("GET", "/alive", headers={"Host": host})

    assert answer.status_code == status
    tablet.close()
    site.close()


def test_a_body_that_is_too_large_is_refused_before_it_is_read(tablet: Tablet) -> None:
    answer = tablet.ask("POST", "/plans", {"key": new_key()}, {"Content-Length": "99000000"})

    assert answer.status_code == 413
    assert "larger than 16 MB, so nothing was recorded" in answer.text
    assert "Send a smaller file" in answer.text


def test_script_in_a_note_is_shown_as_text(rig: Rig, tablet: Tablet) -> None:
    tablet.post(f"{rig.home}/steps/1/notes", {"text": NOTE})

    for path in (f"{rig.home}/steps/1", f"{rig.home}/log"):
        page = tablet.page(path)
        assert NOTE in page.text()
        assert not [script for script in page.all("script") if "src" not in script.attributes]
        assert not page.all("img", src="x")


def test_script_in_a_refused_form_comes_back_as_text(rig: Rig, tablet: Tablet) -> None:
    answer = tablet.post(f"{rig.home}/steps/1/deviations", {"what": NOTE, "proposed": "rework"})

    page = read_page(answer.text)
    assert answer.status_code == 422
    assert page.one("input", id="what").attributes["value"] == NOTE
    assert not page.all("img")


def test_no_template_mentions_an_address_outside() -> None:
    outside = re.compile(r"(?:https?|wss?|ftp):|[\"'(=]\s*//")

    found = [
        f"{path.name}: {match.group()}"
        for path in TEMPLATES.rglob("*.html")
        for match in outside.finditer(path.read_text(encoding="utf-8"))
    ]

    assert found == []
