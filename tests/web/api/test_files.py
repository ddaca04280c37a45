"""Photos, plans and records go in and out as the bytes they are."""

import asyncio
import json
import zlib

import pytest

from app.demo import demo_plan_text
from app.exports.verification import verify_bytes
from app.services.plans import all_plans
from app.services.runs import new_key
from tests import runner
from tests.photo_files import jpeg, png, webp
from tests.web.api.conftest import Program, Starting, assert_problem
from tests.web.conftest import Rig

PHOTOS = "/api/runs/{run_id}/photos"
PNG, JPEG, WEBP = png(), jpeg(), webp()
SVG = b'<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>'
NO_PHOTOS = (SVG, b"GIF89a" + bytes(32), b"%PDF-1.7", b"RIFF\x24\x00\x00\x00WAVE", b"x")


@pytest.mark.parametrize(
    ("content", "media_type"), [(PNG, "image/png"), (JPEG, "image/jpeg"), (WEBP, "image/webp")]
)
def test_a_photo_comes_back_as_what_its_bytes_are(program: Program, content: bytes, media_type: str) -> None:
    at = {"run_id": program.rig.run_id}
    program.client.headers["Content-Type"] = "text/html"

    sent = program.post(PHOTOS, at=at, content=content)

    added = json.loads(program.log()[-1].body)["event"]
    shown = program.get(f"{PHOTOS}/{{content}}", at | {"content": added["content"]})
    assert (sent.status_code, added["media_type"]) == (200, media_type)
    assert (shown.content, shown.headers["content-type"]) == (content, media_type)
    assert shown.headers["x-content-type-options"] == "nosniff"


@pytest.mark.parametrize(
    "content", [SVG, b"GIF89a" + bytes(32), b"%PDF-1.7", b"RIFF\x24\x00\x00\x00WAVE", b"x"]
)
def test_what_is_no_photo_is_refused_and_not_kept(program: Program, content: bytes) -> None:
    before = program.log()
    program.client.headers["Content-Type"] = "image/png"

    answer = program.post(PHOTOS + "?name=hook.png", at={"run_id": program.rig.run_id}, content=content)

    assert_problem(answer, 422, "photo", "no JPEG, PNG or WebP photo")
    assert program.log() == before


@pytest.mark.parametrize("content", [PNG, JPEG, WEBP], ids=["png", "jpeg", "webp"])
def test_a_photo_that_is_cut_off_is_refused_and_taken_under_the_same_key(
    program: Program, content: bytes
) -> None:
    before, key, at = program.log(), new_key(), {"run_id": program.rig.run_id}

    answer = program.post(PHOTOS, at=at, content=content[:-3], key=key)

    assert_problem(answer, 422, "photo", "The end of the photo is missing")
    assert program.log() == before
    assert program.post(PHOTOS, at=at, content=content, key=key).json()["events"] == ["photo-added"]


def test_a_photo_over_its_size_is_refused(program: Program) -> None:
    before = program.log()

    answer = program.post(PHOTOS, at={"run_id": program.rig.run_id}, content=PNG + bytes(12_000_000))

    assert_problem(answer, 422, "photo", "larger than 12 MB")
    assert program.log() == before


def test_a_body_that_no_photo_has_is_refused_before_it_is_read(program: Program) -> None:
    answer = program.post(PHOTOS, at={"run_id": program.rig.run_id}, content=bytes(17_000_000))

    assert_problem(answer, 413, "request-entity-too-large", "Send a smaller file.")


def test_a_photo_of_another_run_is_not_shown(program: Program) -> None:
    at = {"run_id": program.rig.run_id, "content": "0" * 64}

    answer = program.get(f"{PHOTOS}/{{content}}", at)

    assert_problem(answer, 404, "unknown-photo", "has no photo")


def test_a_plan_is_kept_once_for_a_key(program: Program) -> None:
    text = demo_plan_text("single").encode()
    first = program.post("/api/plans?name=Mine", content=text, key="one-plan-of-mine")

    again = program.post("/api/plans?name=Mine", content=text, key="one-plan-of-mine")

    names = [kept.name for kept in all_plans(program.rig.site)]
    assert first.status_code == 200
    assert first.content == again.content
    assert again.headers["idempotency-repeated"] == "true"
    assert names.count("Mine") == 1


def test_another_plan_under_the_same_key_is_refused(program: Program) -> None:
    program.post("/api/plans", content=demo_plan_text("single").encode(), key="one-plan-of-mine")
    before = all_plans(program.rig.site)

    answer = program.post("/api/plans", content=demo_plan_text("dual").encode(), key="one-plan-of-mine")

    assert_problem(answer, 422, "key-reused", "differs in body")
    assert all_plans(program.rig.site) == before


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (b"crew = [", "cannot be read as TOML"),
        (b"\xff\xfe", "is not UTF-8 text"),
        (demo_plan_text("single").replace('"16.20 ft"', '"-16.20 ft"').encode(), "cannot be negative"),
        (demo_plan_text("single").replace('"16.20 ft"', '"16.20 lb"').encode(), "is a mass"),
    ],
)
def test_a_plan_that_cannot_be_read_is_not_kept(program: Program, text: bytes, words: str) -> None:
    before = all_plans(program.rig.site)

    answer = program.post("/api/plans", content=text)

    told = assert_problem(answer, 422, "plan", "and send it again")
    assert words in told["findings"][0]["text"]
    assert told["findings"][0]["where"]
    assert all_plans(program.rig.site) == before


def test_a_plan_with_mistakes_is_checked_and_not_kept(program: Program) -> None:
    text = demo_plan_text("single").replace('at = "MTR-1"', 'at = "MTR-9"')
    before = all_plans(program.rig.site)

    answer = program.post("/api/plans/check", content=text.encode(), key="")

    told = answer.json()
    assert (answer.status_code, told["releasable"]) == (200, False)
    assert any("MTR-9" in finding["text"] for finding in told["findings"])
    assert all_plans(program.rig.site) == before


def test_a_plan_that_a_finding_stops_is_not_released(program: Program) -> None:
    text = demo_plan_text("single").replace('at = "MTR-1"', 'at = "MTR-9"')
    kept = program.post("/api/plans", content=text.encode()).json()

    answer = program.post(
        "/api/plans/{plan_id}/release", {"pin": runner.PINS["Test Supervisor"]}, {"plan_id": kept["id"]}
    )

    told = assert_problem(answer, 422, "plan", "stop the release")
    assert told["findings"][0]["severity"] == "stop"
    assert len(program.get("/api/runs").json()) == 1


def test_only_a_supervisor_releases_a_plan(start: Starting, program: Program) -> None:
    kept = program.post("/api/plans", content=demo_plan_text("single").encode()).json()
    driller = start("driller")

    answer = driller.post(
        "/api/plans/{plan_id}/release", {"pin": runner.PINS["Test Driller"]}, {"plan_id": kept["id"]}
    )

    assert_problem(answer, 403, "role", "may not release a plan")


def test_an_altered_record_is_not_sound(rig: Rig, program: Program) -> None:
    asyncio.run(runner.run_to_the_end(rig.site, rig.run_id, rig.crew))
    asyncio.run(runner.close(rig.site, rig.run_id, rig.crew))
    record = program.get("/api/runs/{run_id}/record.json", {"run_id": rig.run_id}).content
    altered = record.replace(b"Test Driller", b"Best Driller", 1)

    answer = program.post("/api/verify?name=record.json", content=altered, key="")

    told = answer.json()
    assert altered != record
    assert verify_bytes(record, "record.json").is_sound
    assert (answer.status_code, told["sound"]) == (200, False)
    assert any(problem["severity"] == "stop" for problem in told["problems"])


def test_a_file_that_is_no_record_is_said_to_be_none(program: Program) -> None:
    answer = program.post("/api/verify", content=zlib.compress(b"something else"), key="")

    told = answer.json()
    assert (answer.status_code, told["sound"], told["facts"]) == (200, False, None)
    assert "neither a sealed PDF nor a sealed JSON file" in told["problems"][0]["text"]
