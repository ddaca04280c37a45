"""Sites for the tests of the use cases; what is slow to make is made once and copied."""

import shutil
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path

import pytest

from app.domain.events.who import Who
from app.services.site import Site, open_site
from tests.runner import add_crew, release
from tests.services.camp import SINGLE, Job, clock, crew_of, now, run_and_close

Open = Callable[[Path], Site]
Folder = tuple[Path, str]


@pytest.fixture
def open_here() -> Iterator[Open]:
    """Open sites that are closed when the test ends."""
    with ExitStack() as opened:

        def open_one(data: Path) -> Site:
            site = open_site(data, clock=clock())
            opened.callback(site.close)
            return site

        yield open_one


@pytest.fixture(scope="session")
def crew_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The data of a site that the test crew may sign in to."""
    data = tmp_path_factory.mktemp("crew") / "site"
    site = open_site(data, clock=clock())
    add_crew(site)
    site.close()
    return data


@pytest.fixture(scope="session")
def released_folder(crew_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Folder:
    """The data of a site with one released run."""
    data = shutil.copytree(crew_folder, tmp_path_factory.mktemp("released") / "site")
    site = open_site(data, clock=clock())
    run_id = now(release(site, SINGLE, crew_of(site)["supervisor"]))
    site.close()
    return data, run_id


@pytest.fixture(scope="session")
def closed_folder(released_folder: Folder, tmp_path_factory: pytest.TempPathFactory) -> Folder:
    """The data of a site where the whole job was run, signed and closed."""
    data, run_id = released_folder
    copy = shutil.copytree(data, tmp_path_factory.mktemp("closed") / "site")
    site = open_site(copy, clock=clock())
    now(run_and_close(Job(site, run_id, crew_of(site))))
    site.close()
    return copy, run_id


@pytest.fixture
def bare(tmp_path: Path, open_here: Open) -> Site:
    """A new site that nobody has used yet."""
    return open_here(tmp_path / "bare")


@pytest.fixture
def site(crew_folder: Path, tmp_path: Path, open_here: Open) -> Site:
    """A site with the test crew."""
    return open_here(shutil.copytree(crew_folder, tmp_path / "site"))


@pytest.fixture
def crew(site: Site) -> dict[str, Who]:
    return crew_of(site)


@pytest.fixture
def job(released_folder: Folder, tmp_path: Path, open_here: Open) -> Job:
    """A released run that nobody has begun."""
    return _job(released_folder, tmp_path / "job", open_here)


@pytest.fixture
def finished(closed_folder: Folder, tmp_path: Path, open_here: Open) -> Job:
    """The same job after its run was closed."""
    return _job(closed_folder, tmp_path / "finished", open_here)


def _job(folder: Folder, where: Path, open_here: Open) -> Job:
    data, run_id = folder
    site = open_here(shutil.copytree(data, where))
    return Job(site, run_id, crew_of(site))
