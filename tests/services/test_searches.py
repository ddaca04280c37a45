"""Searches that go on while people look at other things."""

import asyncio
import threading
from collections.abc import Callable

import pytest

from app.services.searches import KEPT_SEARCHES, Searches, Tell

A_MOMENT_S, LONG_S = 0.01, 20.0


def waiting(gate: threading.Event, news: str) -> Callable[[Tell], str]:
    """Return work that tells something and then waits until it may go on."""

    def work(tell: Tell) -> str:
        tell(news)
        assert gate.wait(LONG_S)
        return f"{news}, done"

    return work


def test_a_search_tells_how_far_it_is_and_goes_on_until_it_ends() -> None:
    async def watched() -> tuple[bool, str, bool, str]:
        gate = threading.Event()
        search = Searches().begun("rack", waiting(gate, "half"))
        early = await search.has_ended(1.0)
        told = search.told
        gate.set()
        return early, told, await search.has_ended(LONG_S), await search.ending()

    assert asyncio.run(watched()) == (False, "half", True, "half, done")


def test_who_asks_again_gets_the_same_search_and_another_waits_for_its_turn() -> None:
    async def asked() -> tuple[bool, bool, str]:
        searches, gate = Searches(), threading.Event()
        first = searches.begun("rack", waiting(gate, "first"))
        again = searches.begun("rack", waiting(gate, "again"))
        other = searches.begun("other", waiting(gate, "other"))
        await other.has_ended(A_MOMENT_S)
        waits = other.told == ""
        gate.set()
        await first.ending()
        return first is again, waits, await other.ending()

    assert asyncio.run(asked()) == (True, True, "other, done")


def test_who_goes_away_does_not_stop_a_search() -> None:
    async def left() -> str:
        gate = threading.Event()
        search = Searches().begun("rack", waiting(gate, "kept"))
        with pytest.raises(TimeoutError):
            await asyncio.wait_for(search.ending(), A_MOMENT_S)
        gate.set()
        return await search.ending()

    assert asyncio.run(left()) == "kept, done"


def test_a_search_that_failed_is_begun_anew() -> None:
    def failing(_tell: Tell) -> str:
        raise ValueError("no plan")

    async def asked() -> str:
        searches = Searches()
        with pytest.raises(ValueError, match="no plan"):
            await searches.begun("rack", failing).ending()
        return await searches.begun("rack", lambda _tell: "found").ending()

    assert asyncio.run(asked()) == "found"


def test_only_the_newest_searches_are_kept() -> None:
    async def many() -> tuple[int, bool]:
        searches = Searches()
        for number in range(KEPT_SEARCHES + 3):
            await searches.begun(number, lambda _tell: "found").ending()
        return len(searches.kept), 0 in searches.kept

    assert asyncio.run(many()) == (KEPT_SEARCHES, False)
