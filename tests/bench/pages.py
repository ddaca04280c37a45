"""How long until the first page, and how much goes over the line for a page."""

import gzip
from collections.abc import Iterator
from contextlib import closing
from html.parser import HTMLParser
from pathlib import Path

from tests.bench.client import Client, signed_in
from tests.bench.measures import Measure
from tests.bench.processes import twinleg
from tests.bench.site import MeasuredSite

MOST_READY_S = 2.0
MOST_FIRST_LOAD_KB = 100.0
MOST_RUN_PAGE_KB = 20.0
STARTS = 3
PACKED = {"Accept-Encoding": "gzip"}


def time_to_the_first_page(site: MeasuredSite, folder: Path) -> Iterator[Measure]:
    """Yield the seconds from the start of the process to its first page, for a new site and a used one."""
    with twinleg("serve", folder / "new") as server:
        yield Measure("start of a new site to its first page", server.ready_s, "s", MOST_READY_S)
    ready_s = []
    for _ in range(STARTS):
        with twinleg("demo", site.data) as server:
            ready_s.append(server.ready_s)
    yield Measure("start of a used site to its first page", sorted(ready_s)[STARTS // 2], "s", MOST_READY_S)


def sizes_of_pages(site: MeasuredSite) -> Iterator[Measure]:
    """Yield how much a first page with all that belongs to it takes, and a run's page alone."""
    with twinleg("demo", site.data) as server:
        with closing(Client(server.port)) as client:
            first = _size(client, "/sign-in") + sum(
                _size(client, path) for path in _parts(client, "/sign-in")
            )
        with closing(Client(server.port)) as client:
            client.headers["Cookie"] = f"twinleg={signed_in(server.port, site.person_id, site.pin)}"
            run = _size(client, f"/runs/{site.runs[0].run_id}")
    yield Measure("first page with all its files, compressed", first / 1000, "kB", MOST_FIRST_LOAD_KB)
    yield Measure("page of a run, compressed", run / 1000, "kB", MOST_RUN_PAGE_KB)


def _size(client: Client, path: str) -> int:
    answer = client.ask("GET", path, headers=PACKED)
    assert answer.status == 200, (path, answer.status)
    return len(answer.body)


def _parts(client: Client, path: str) -> list[str]:
    page = _Parts()
    page.feed(gzip.decompress(client.ask("GET", path, headers=PACKED).body).decode())
    return sorted(page.paths)


class _Parts(HTMLParser):
    """Gathers the files that a page loads by itself."""

    def __init__(self) -> None:
        super().__init__()
        self.paths: set[str] = set()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        wanted = {"script": "src", "link": "href", "img": "src", "use": "href"}.get(tag)
        path = dict(attrs).get(wanted or "")
        if path:
            self.paths.add(path.partition("#")[0])
