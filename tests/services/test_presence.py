"""Who is at which step: told while a page is open, fading soon after."""

from datetime import timedelta

from app.services.presence import FADES_AFTER, Onlooker, Presence
from tests.domain.job import DRILLER, HAND, START

SOON, LATE = START + FADES_AFTER, START + FADES_AFTER + timedelta(seconds=1)


def test_those_at_a_run_are_told_by_name_without_the_tablet_that_asks() -> None:
    presence = Presence()
    presence.arrive("tablet-1", "run-1", Onlooker(HAND, 41, START))
    presence.arrive("tablet-2", "run-1", Onlooker(DRILLER, 42, START))
    presence.arrive("tablet-3", "run-2", Onlooker(HAND, 7, START))

    others = presence.at_run("run-1", START, but="tablet-1")

    assert others == (Onlooker(DRILLER, 42, START),)
    assert [present.who for present in presence.at_run("run-1", START)] == [DRILLER, HAND]


def test_a_tablet_is_at_one_place_at_a_time() -> None:
    presence = Presence()
    presence.arrive("tablet-1", "run-1", Onlooker(HAND, 41, START))

    presence.arrive("tablet-1", "run-2", Onlooker(HAND, 1, START))

    assert presence.at_run("run-1", START) == ()


def test_somebody_fades_who_is_not_seen_again() -> None:
    presence = Presence()
    presence.arrive("tablet-1", "run-1", Onlooker(HAND, 41, START))

    assert presence.at_run("run-1", SOON) != ()
    assert presence.at_run("run-1", LATE) == ()


def test_a_register_forgets_those_who_have_faded() -> None:
    presence = Presence()
    presence.arrive("tablet-1", "run-1", Onlooker(HAND, 41, START))

    presence.arrive("tablet-2", "run-1", Onlooker(DRILLER, 41, LATE))

    assert list(presence.seen) == ["tablet-2"]


def test_it_is_news_to_come_to_go_elsewhere_and_to_come_back_but_not_to_stay() -> None:
    presence = Presence()
    places = [("run-1", 41, START), ("run-1", 41, SOON), ("run-1", 42, SOON), ("run-2", 42, SOON)]
    back = SOON + FADES_AFTER + timedelta(seconds=1)

    news = [presence.arrive("tablet-1", run, Onlooker(HAND, step, at)) for run, step, at in places]

    assert news == [True, False, True, True]
    assert presence.arrive("tablet-1", "run-2", Onlooker(HAND, 42, back))
