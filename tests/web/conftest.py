"""A real site with a real database, a released run of one pump, and a tablet that talks to it."""

import asyncio
import shutil
from collections.abc import Coroutine, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime, timedelta, timezone
from pathlib import Path
from typing import TypeVar

import pytest
from fastapi import FastAPI
from httpx import ASGITransport, AsyncClient, Response

from app.demo import demo_plan_text
from app.domain.events.who import Who
from app.domain.run import Run
from app.domain.sheet import Lane
from app.services.people import everybody
from app.services.runs import all_runs, new_key, run_of
from app.services.site import Site, open_site
from app.settings import Settings
from app.web.application import create_application
from tests import runner
from tests.web.html_page import Element, form_to, read_page

T = TypeVar("T")
HTMX = {"HX-Request": "true"}
Values = Mapping[str, str | list[str]]
NOTHING: Values = {}
ADDRESS = "http://127.0.0.1:8000"
START = datetime(2026, 3, 1, 8, 0, tzinfo=timezone(timedelta(hours=1)))


@dataclass(slots=True)
class Clock:
    """A clock that a test moves."""

    now: datetime = START

    def __call__(self) -> datetime:
        return self.now

    def pass_by(self, seconds: float) -> None:
        """Let time pass."""
        self.now += timedelta(seconds=seconds)


class Tablet:
    """A browser on the site: it keeps its cookies and sends the forms that it was shown."""

    def __init__(self, application: FastAPI, crew: dict[str, Who]) -> None:
        self.application = application
        self.crew = crew
        self._loop = asyncio.Runner()
        self.client = AsyncClient(transport=ASGITransport(application), base_url=ADDRESS)

    def close(self) -> None:
        """Put the tablet away."""
        self._loop.run(self.client.aclose())
        self._loop.close()

    def ask(
        self,
        method: str,
        path: str,
        data: Values = NOTHING,
        headers: dict[str, str] | None = None,
        files: dict[str, tuple[str, bytes, str]] | None = None,
    ) -> Response:
        """Return the answer to a request; redirects are not followed."""
        return self._loop.run(
            self.client.request(method, path, data=dict(data), headers=headers, files=files)
        )

    def do(self, doing: Coroutine[object, object, T]) -> T:
        """Return what a use case returns, done without the pages."""
        return self._loop.run(doing)

    def sign_in(self, role: str) -> Response:
        """Sign in the person of a role."""
        person = self.crew[role]
        return self.post(f"/sign-in/{person.person_id}", {"pin": runner.PINS[person.name]})

    def sign_out(self) -> None:
        """Leave nobody signed in here."""
        self.client.cookies.clear()

    def get(self, path: str, *, htmx: bool = False) -> Response:
        """Open a page; redirects are not followed."""
        return self.ask("GET", path, headers=HTMX if htmx else {})

    def page(self, path: str) -> Element:
        """Return a page that opens."""
        answer = self.get(path)
        assert answer.status_code == 200, answer.text
        return read_page(answer.text)

    def post(
        self, path: str, values: Values = NOTHING, *, htmx: bool = False, key: str | None = None
    ) -> Response:
        """Send a form with a fresh key, or with one that is given."""
        sent = {"key": new_key() if key is None else key, **values}
        return self.ask("POST", path, sent, HTMX if htmx else {})

    def send(self, page_path: str, action: str, typed: Values = NOTHING, *, htmx: bool = False) -> Response:
        """Send a form as it stands on a page, with what is typed over it."""
        form = form_to(self.page(page_path), action)
        return self.ask("POST", action, {**form.values, **typed}, HTMX if htmx else {})


@dataclass(slots=True)
class Rig:
    """A site with its crew and one run, and ways to bring the run on without the pages."""

    site: Site
    clock: Clock
    crew: dict[str, Who]
    run_id: str
    tablet: Tablet = field(init=False)

    @property
    def run(self) -> Run:
        """Return the run as it stands."""
        return run_of(self.site, self.run_id)

    @property
    def home(self) -> str:
        """Return the address of the run."""
        return f"/runs/{self.run_id}"

    def do_deck_work(self) -> None:
        """Finish all deck work that is open."""
        for step in self.run.open_deck_steps():
            asyncio.run(runner.finish(self.site, self.run_id, step, self.crew))

    def do_floor_until(self, number: int) -> None:
        """Finish the floor steps before one, signing what stands in the way; open its hold point too."""
        for step in self.run.sheet.lane(Lane.FLOOR):
            if step.number >= number:
                break
            if self.run.is_done(step.number):
                continue
            asyncio.run(runner.finish(self.site, self.run_id, step, self.crew))
        step = self.run.sheet.steps[number - 1]
        held = self.run.holding(step)
        if held is not None:
            asyncio.run(runner.hold_and_sign(self.site, self.run_id, held.id, self.crew))

    def good_values(self, number: int) -> dict[str, str]:
        """Return values for the form of a step that it passes with."""
        step = self.run.sheet.steps[number - 1]
        values: dict[str, str] = {}
        for at, entered in enumerate(runner.good_readings(self.run, step)):
            values |= {
                f"value-{at}": entered.value,
                f"unit-{at}": entered.unit,
                f"tool-{at}": entered.tool,
            }
        return values


@pytest.fixture(scope="session")
def released_data(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a data folder with the crew and one released run, to be copied."""
    data = tmp_path_factory.mktemp("released") / "data"
    site = open_site(data, clock=Clock())
    crew = runner.add_crew(site)
    asyncio.run(runner.release(site, demo_plan_text("single"), crew["supervisor"]))
    site.close()
    return data


@pytest.fixture(scope="session")
def finished_data(released_data: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a data folder with a run of which every step is done, to be copied."""
    data = tmp_path_factory.mktemp("finished") / "data"
    with rig_on(released_data, data) as made:
        asyncio.run(runner.run_to_the_end(made.site, made.run_id, made.crew))
    return data


@pytest.fixture
def rig(released_data: Path, tmp_path: Path) -> Iterator[Rig]:
    """Return a site of its own with one released run, and a tablet on it that nobody is signed in on."""
    with rig_on(released_data, tmp_path / "data") as made:
        yield made


@pytest.fixture
def finished(finished_data: Path, tmp_path: Path) -> Iterator[Rig]:
    """Return a run of which every step is done and nothing else, the supervisor signed in."""
    with rig_on(finished_data, tmp_path / "data") as made:
        made.tablet.sign_in("supervisor")
        yield made


@contextmanager
def rig_on(kept: Path, data: Path) -> Iterator[Rig]:
    """Hand over a site on a copy of a kept data folder, and close it afterwards."""
    shutil.copytree(kept, data)
    clock = Clock()
    site = open_site(data, clock=clock)
    crew = {person.role: Who(person.id, person.name, person.role) for person in everybody(site)}
    made = Rig(site, clock, crew, all_runs(site)[0].run_id)
    made.tablet = Tablet(create_application(site, settings_of(data)), crew)
    yield made
    made.tablet.close()
    site.close()


@pytest.fixture
def tablet(rig: Rig) -> Tablet:
    """Return a tablet on which the supervisor is signed in."""
    assert rig.tablet.sign_in("supervisor").status_code == 303
    return rig.tablet


@pytest.fixture
def fresh_tablet(tmp_path: Path) -> Iterator[Tablet]:
    """Return a tablet on a site where nobody is known yet."""
    site = open_site(tmp_path / "data", clock=Clock())
    tablet = Tablet(create_application(site, settings_of(tmp_path / "data")), {})
    yield tablet
    tablet.close()
    site.close()


def settings_of(data: Path) -> Settings:
    """Return the settings of a server on this machine alone."""
    return Settings(data, "127.0.0.1", 8000, practice=False)
