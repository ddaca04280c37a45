"""News of a run for open pages: who listens is woken by a commit, and told who changed what it shows."""

import asyncio
from collections.abc import AsyncGenerator
from contextlib import aclosing
from dataclasses import replace

import pytest

from app.domain.commands import AddNote
from app.services.listeners import MOST_LISTENERS, TooManyListenersError
from app.services.live import SECONDS_BETWEEN_SIGNS, Looking, News, arrive, live, news_for, who_is_at
from app.services.runs import UnknownRunError, act, new_key
from app.services.sign_ins import sign_in, sign_out
from tests.runner import PINS
from tests.services.camp import Job, now


def test_a_page_is_told_who_changed_what_it_shows(job: Job) -> None:
    page = now(looking(job, "supervisor", step=1))
    job.do(AddNote(2, "windy"), by="driller")
    job.do(AddNote(1, "the left one is bent"), by="floor crew")

    news = news_for(job.site, page)

    assert news == News(page.seen + 2, ("Test Driller", "Test Hand"), touched=True)


def test_what_others_did_elsewhere_moves_the_run_on_and_does_not_touch_the_page(job: Job) -> None:
    page = now(looking(job, "supervisor", step=1))
    job.do(AddNote(2, "windy"), by="driller")

    assert not news_for(job.site, page).touched
    assert news_for(job.site, replace(page, step=0)).touched


def test_what_was_told_is_told_on(job: Job) -> None:
    page = now(looking(job, "supervisor", step=1))
    job.do(AddNote(1, "bent"), by="driller")
    told = news_for(job.site, page)
    job.do(AddNote(2, "windy"), by="floor crew")

    news = news_for(job.site, page, told)

    assert news == News(page.seen + 2, ("Test Driller", "Test Hand"), touched=True)


def test_older_and_newer_pages_are_each_told_from_where_they_stand(job: Job) -> None:
    page = now(looking(job, "supervisor", step=0))
    job.do(AddNote(1, "bent"), by="driller")
    newer = replace(page, seen=page.seen + 1)
    job.do(AddNote(2, "windy"), by="floor crew")

    told = [news_for(job.site, one).by for one in (newer, page, newer)]

    assert told == [("Test Hand",), ("Test Driller", "Test Hand"), ("Test Hand",)]


def test_a_page_of_the_newest_has_no_news(job: Job) -> None:
    page = now(looking(job, "supervisor", step=1))

    assert news_for(job.site, page) == News(job.run.sequence)


def test_nobody_is_told_of_a_run_that_is_not_there(job: Job) -> None:
    page = replace(now(looking(job, "supervisor", step=1)), run_id="nowhere")

    with pytest.raises(UnknownRunError):
        news_for(job.site, page)
    with pytest.raises(UnknownRunError):
        who_is_at(job.site, "nowhere")


def test_who_listens_is_woken_by_a_tick(job: Job) -> None:
    async def listening() -> News:
        page = await looking(job, "supervisor", step=1)
        async with aclosing(live(job.site, page)) as coming:
            await anext(coming)
            await act(job.site, job.run_id, job.tick(1), job.supervisor, new_key())
            return await news_in(coming)

    news = now(listening())

    assert (news.sequence, news.by, news.touched) == (job.run.sequence, ("Test Supervisor",), True)


def test_changes_that_come_together_are_told_together(job: Job) -> None:
    async def listening() -> News:
        page = await looking(job, "supervisor", step=1)
        async with aclosing(live(job.site, page)) as coming:
            await anext(coming)
            notes = (act(job.site, job.run_id, AddNote(0, "x"), job.supervisor, new_key()) for _ in range(9))
            await asyncio.gather(*notes)
            return await news_in(coming)

    assert now(listening()).sequence == job.run.sequence == 10


def test_who_listens_is_told_who_comes_to_which_step(job: Job) -> None:
    async def listening() -> list[tuple[str, int]]:
        page = await looking(job, "supervisor", step=1)
        async with aclosing(live(job.site, page)) as coming:
            await anext(coming)
            arrive(job.site, await looking(job, "driller", step=3))
            return [(present.who.name, present.step) for present in (await news_in(coming)).here]

    assert now(listening()) == [("Test Driller", 3)]


def test_so_many_may_listen_and_no_more_until_one_stops(job: Job) -> None:
    async def listening() -> News | None:
        page = await looking(job, "supervisor", step=1)
        crowd = [live(job.site, page) for _ in range(MOST_LISTENERS)]
        for coming in crowd:
            await anext(coming)
        with pytest.raises(TooManyListenersError, match="50 pages are kept up to date"):
            await anext(live(job.site, page))
        for coming in crowd:
            await stop(coming)
        return await first(job, page)

    assert now(listening()) is not None
    assert job.site.listeners.waiting == {}


def test_listening_ends_with_the_sign_in(job: Job) -> None:
    async def listening() -> list[News | None]:
        page = await looking(job, "supervisor", step=1)
        coming = live(job.site, page)
        await anext(coming)
        await sign_out(job.site, page.token)
        job.site.listeners.tell(job.run_id)
        return [news async for news in coming]

    assert now(listening()) == []


def test_listening_ends_with_the_server(job: Job) -> None:
    async def listening() -> list[News | None]:
        coming = live(job.site, await looking(job, "supervisor", step=1))
        await anext(coming)
        job.site.listeners.close()
        return [news async for news in coming]

    assert now(listening()) == []


def test_a_commit_when_the_loop_of_the_listeners_is_gone_is_a_commit(job: Job) -> None:
    async def left_open() -> AsyncGenerator[News | None, None]:
        coming = live(job.site, await looking(job, "supervisor", step=1))
        await anext(coming)
        return coming

    loop = asyncio.new_event_loop()
    coming = loop.run_until_complete(left_open())
    waiting = dict(job.site.listeners.waiting)
    loop.run_until_complete(stop(coming))
    loop.close()
    job.site.listeners.waiting.update(waiting)

    job.do(job.tick(1))

    assert job.run.is_done(1)


async def looking(job: Job, role: str, *, step: int) -> Looking:
    """Return a fresh page at a step, looked at by the person of a role, signed in."""
    who = job.crew[role]
    signed_in = await sign_in(job.site, who.person_id, PINS[who.name])
    return Looking(who, signed_in.token, job.run_id, step, job.run.sequence)


async def news_in(coming: AsyncGenerator[News | None, None]) -> News:
    """Return the next news that is any, before the sign that would have come without it."""
    async with asyncio.timeout(SECONDS_BETWEEN_SIGNS - 1):
        async for news in coming:
            if news is not None:
                return news
    raise AssertionError("listening ended")


async def first(job: Job, page: Looking) -> News | None:
    async with aclosing(live(job.site, page)) as coming:
        return await anext(coming)


async def stop(coming: AsyncGenerator[News | None, None]) -> None:
    await coming.aclose()
