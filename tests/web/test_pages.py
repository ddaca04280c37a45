"""Every page opens on a run in the middle of its work, and keeps the promises that all pages make."""

import gzip
import re
from collections.abc import Callable
from dataclasses import dataclass

import pytest
from fastapi.routing import APIRoute

from app.domain.cautions import GENERAL
from app.domain.commands import RaiseDeviation
from app.domain.events.deviations import Disposition
from app.domain.operations import Operation
from app.domain.sheet import ReadingKind
from app.services.photos import PhotoOf, attach_photo
from app.services.plans import all_plans
from app.services.rewriting import Signer, defer, later
from app.services.runs import act, new_key
from app.web.application import PAGES
from tests import runner
from tests.domain import job
from tests.photo_files import png
from tests.web.conftest import Rig, Tablet
from tests.web.html_page import Element, forms_of, read_page

PHOTO = png()
ROUTES = [route for subject in PAGES for route in subject.routes.routes if isinstance(route, APIRoute)]
ROUTES_READ = sorted({route.path for route in ROUTES if route.methods and "GET" in route.methods})
ROUTES_SENT = sorted({route.path for route in ROUTES if route.methods and "POST" in route.methods})
STEP = 60
LINE_TEST, LATE = job.LINE_TEST, job.LINE_TEST + 1  # put off until before the next but one
# The pages that open the camera, and so run a reader of codes.
CAMERA = {
    "/runs/{run_id}/steps/{number}/scan/{at}",
    "/runs/{run_id}/steps/{number}/correct/{at}/scan",
    "/runs/{run_id}/swaps/scan/{place:path}",
    "/runs/{run_id}/swaps/scan-rejected/{place:path}",
}
# Answers that are no page, and pages that open for nobody who is signed in.
BARE = {
    "/alive",
    "/choose-pin",
    "/first-start",
    "/runs/{run_id}/at-step/hook-load",
    "/runs/{run_id}/at-step/stages",
    "/runs/{run_id}/cables/{tag}/chart",
    "/runs/{run_id}/handover/pdf",
    "/runs/{run_id}/paper/pdf",
    "/runs/{run_id}/photos/{content_hash}",
    "/runs/{run_id}/picture",
    "/runs/{run_id}/record/{kind}",
}


@dataclass(frozen=True, slots=True)
class Busy:
    """A run in the middle of its work, and what its addresses are filled with."""

    rig: Rig
    tablet: Tablet
    names: dict[str, str]
    own: dict[str, str]

    def path(self, template: str) -> str:
        """Return the address of a route, filled with what its page can be opened for."""
        return re.sub(r"\{(\w+)\}", lambda found: self.names[found[1]], self.own.get(template, template))


@pytest.fixture
def busy(rig: Rig, tablet: Tablet) -> Busy:
    """Return a run with work done, a photo, an open deviation, and a step that is put off."""
    rig.do_deck_work()
    rig.do_floor_until(STEP)
    supervisor = rig.crew["supervisor"]
    raised = RaiseDeviation(STEP, "collar scratched", "dropped on deck", Disposition.USE_AS_IS)
    tablet.do(act(rig.site, rig.run_id, raised, supervisor, new_key()))
    attaching = attach_photo(
        rig.site, rig.run_id, PhotoOf(STEP), content=PHOTO, name="collar.png", who=supervisor, key=new_key()
    )
    tablet.do(attaching)
    shown = later(rig.run, LINE_TEST, LINE_TEST + 2).shown
    signer = Signer(supervisor.person_id, runner.PINS[supervisor.name], shown, new_key())
    tablet.do(defer(rig.site, rig.run_id, LINE_TEST, LINE_TEST + 2, reason="no pump yet", signer=signer))
    names = {
        "run_id": rig.run_id,
        "number": str(STEP),
        "first": str(STEP - 1),
        "until": str(STEP + 2),
        "stage_id": next(stage.id for stage in rig.run.sheet.stages if stage.hold_point),
        "plan_id": all_plans(rig.site)[0].id,
        "person_id": supervisor.person_id,
        "content_hash": _photo_hash(rig),
        "kind": "pdf",
        "at": "0",
        "act": "drop",
        "tag": "ML-1",
    }
    clamp = next(step for step in rig.run.sheet.steps[STEP:] if step.operation is Operation.DRESS_STATION)
    inspected = next(step for step in rig.run.sheet.steps if step.operation is Operation.INSPECT_PART)
    serial = next(at for at, item in enumerate(inspected.readings) if item.kind is ReadingKind.SERIAL)
    own = {
        "/runs/{run_id}/steps/{number}/correct/{at}/scan": (
            f"/runs/{{run_id}}/steps/{inspected.number}/correct/{serial}/scan"
        ),
        "/runs/{run_id}/swaps/scan-rejected/{place:path}": "/runs/{run_id}/swaps/scan-rejected/PMP-1",
        "/runs/{run_id}/steps/{number}/scan/{at}": f"/runs/{{run_id}}/steps/{clamp.number}/scan/{{at}}",
        "/runs/{run_id}/swaps/scan/{place:path}": "/runs/{run_id}/swaps/scan/PMP-1",
        "/runs/{run_id}/steps/{number}/bring-forward": f"/runs/{{run_id}}/steps/{LATE}/bring-forward",
    }
    return Busy(rig, tablet, names, own)


def test_every_page_opens_and_keeps_the_promises_of_all_pages(busy: Busy) -> None:
    paths = [busy.path(route) for route in ROUTES_READ if route not in BARE]

    answers = {path: busy.tablet.get(path) for path in paths}

    assert len(paths) > 15
    for path, answer in answers.items():
        assert answer.status_code == 200, path
        assert answer.headers["cache-control"] == "no-store", path
        page = read_page(answer.text)
        for promise in PROMISES:
            promise(path, page)


def test_only_a_page_of_the_camera_may_open_it_and_run_a_reader(busy: Busy) -> None:
    headers = {route: busy.tablet.get(busy.path(route)).headers for route in ROUTES_READ}

    may_run = {route for route, said in headers.items() if "unsafe" in said["content-security-policy"]}
    may_see = {route for route, said in headers.items() if "camera=()" not in said["permissions-policy"]}
    assert may_run == may_see == CAMERA
    for route in CAMERA:
        policy = headers[route]["content-security-policy"]
        assert policy.startswith(
            "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self';"
        )
        assert "camera=(self)" in headers[route]["permissions-policy"]


def test_every_page_is_only_for_those_who_are_signed_in(busy: Busy) -> None:
    open_to_all = {"/alive", "/first-start", "/sign-in", "/sign-in/{person_id}", "/display", "/choose-pin"}
    busy.tablet.sign_out()

    answers = {route: busy.tablet.get(busy.path(route)) for route in ROUTES_READ if route not in open_to_all}

    assert answers
    for route, answer in answers.items():
        assert answer.status_code == 303, route
        assert answer.headers["location"] == f"/sign-in?next={busy.path(route)}", route


def test_every_form_without_its_key_is_refused(busy: Busy) -> None:
    before = busy.rig.run.sequence

    answers = {route: busy.tablet.post(busy.path(route), key="") for route in ROUTES_SENT}

    assert len(answers) > 15
    for route, answer in answers.items():
        assert answer.status_code == 422, route
        assert "without its key" in answer.text, route
    assert busy.rig.run.sequence == before


def test_nobody_can_send_a_form_that_changes_anything(busy: Busy) -> None:
    for_all = {"/display", "/first-start", "/sign-in/{person_id}", "/sign-out", "/choose-pin"}
    busy.tablet.sign_out()
    before = busy.rig.run

    answers = {
        route: busy.tablet.post(busy.path(route), {"text": "x"})
        for route in ROUTES_SENT
        if route not in for_all
    }

    for route, answer in answers.items():
        sent_away = answer.status_code == 303 and answer.headers["location"].startswith("/sign-in")
        assert answer.status_code in (401, 422) or sent_away, route
    assert busy.rig.run == before


def test_a_photo_is_shown_as_what_it_is_and_to_its_run_alone(busy: Busy) -> None:
    address = busy.path("/runs/{run_id}/photos/{content_hash}")

    answer = busy.tablet.get(address)
    release = busy.rig.run.release
    assert release is not None
    other = busy.tablet.get(f"{busy.rig.home}/photos/{release.plan_content}")

    assert (answer.status_code, answer.content) == (200, PHOTO)
    assert answer.headers["content-type"] == "image/png"
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert other.status_code == 404


def test_the_page_of_a_run_is_light(busy: Busy) -> None:
    page = busy.tablet.get(busy.rig.home)
    root = read_page(page.text)
    linked = [link.attributes["href"] for link in root.all("link", rel="stylesheet")]
    loaded = [script.attributes["src"] for script in root.all("script")]

    first_load = [busy.tablet.get(address).text.encode() for address in (*linked, *loaded)]

    page_size = len(gzip.compress(page.content, 3))
    assert page.headers["content-encoding"] == "gzip"
    assert page_size < 20_000
    assert page_size + sum(len(gzip.compress(file, 9)) for file in first_load) < 100_000


def test_open_deviations_are_in_view_on_every_page_of_the_run(busy: Busy) -> None:
    pages = [route for route in ROUTES_READ if route.startswith("/runs/{run_id}") and route not in BARE]

    for route in pages:
        text = busy.tablet.page(busy.path(route)).text()
        assert "Deviation 1 is open, at step 60: collar scratched" in text, route


def test_many_open_deviations_take_no_more_room_than_one(rig: Rig, tablet: Tablet) -> None:
    for what in ("tag missing", "seal scratched", "collar bent"):
        raised = {"what": what, "why": "dropped", "proposed": "rework"}
        tablet.post(f"{rig.home}/steps/1/deviations", raised)

    (shown,) = tablet.page(rig.home).one("nav", class_="open-deviations").all("a")

    assert (
        shown.text() == "3 deviations are open: 1 at step 1, 2 at step 1, 3 at step 1. The last: collar bent"
    )
    assert shown.attributes["href"] == f"{rig.home}/deviations"


def _has_one_heading(path: str, page: Element) -> None:
    assert len(page.all("h1")) == 1, path


def _has_a_language_and_a_title(path: str, page: Element) -> None:
    assert page.one("html").attributes["lang"] == "en", path
    assert len(page.one("title").text()) > len(" · Twinleg"), path


def _says_whose_rules_come_first(path: str, page: Element) -> None:
    assert GENERAL in page.one("footer").text(), path


def _has_each_id_once(path: str, page: Element) -> None:
    ids = [element.attributes["id"] for element in page.all() if "id" in element.attributes]
    assert sorted(set(ids)) == sorted(ids), path


def _gives_each_form_a_key_of_its_own(path: str, page: Element) -> None:
    keys = [form.values["key"] for form in forms_of(page)]
    assert len(set(keys)) == len(keys), path
    for form in page.all("form"):
        assert form.attributes["method"] == "post", path
        assert form.attributes["hx-post"] == form.attributes["action"], path


def _labels_every_field(path: str, page: Element) -> None:
    labelled = {label.attributes["for"] for label in page.all("label")}
    for field in (*page.all("input"), *page.all("select"), *page.all("textarea")):
        if field.attributes.get("type") != "hidden":
            assert field.attributes.get("id") in labelled, (path, field)


def _links_only_inside(path: str, page: Element) -> None:
    for element in page.all():
        for name in ("href", "src", "action", "hx-post"):
            target = element.attributes.get(name, "/")
            assert target.startswith(("/", "#")), (path, target)
            assert not target.startswith("//"), (path, target)


def _marks_states_with_words(path: str, page: Element) -> None:
    for element in page.all("span"):
        if element.attributes.get("class", "").startswith("state "):
            assert element.text(), path
            assert element.all("svg"), path


PROMISES: tuple[Callable[[str, Element], None], ...] = (
    _has_one_heading,
    _has_a_language_and_a_title,
    _says_whose_rules_come_first,
    _has_each_id_once,
    _gives_each_form_a_key_of_its_own,
    _labels_every_field,
    _links_only_inside,
    _marks_states_with_words,
)


def _photo_hash(rig: Rig) -> str:
    return next(
        item.event.content
        for item in rig.run.remarks
        if hasattr(item.event, "content") and isinstance(item.event.content, str)
    )
