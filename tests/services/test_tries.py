"""Wrong PINs: each is counted before it is looked at, each costs more time, and after ten it is over."""

import asyncio
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta

import pytest

from app.domain.events.who import Who
from app.domain.people import PersonLocked, PersonUnlocked
from app.domain.refusals import NobodyError, RightsError
from app.domain.site_rights import SiteAct
from app.services.people import everybody, let_leave, unlock
from app.services.people_log import people_log
from app.services.pins import change_own_pin
from app.services.runs import new_key
from app.services.site import Site
from app.services.tries import MOST_FAILURES, Present, SignInError, check_pin, present, wait_after
from tests.runner import PINS
from tests.services.camp import START, now, patient, stopped
from tests.services.conftest import Open

WRONG = "739281"
HOUR = timedelta(hours=1)


@pytest.fixture
def patience(site: Site) -> Site:
    """The site with the test crew, seen by somebody who waits as long as he must."""
    site.clock = patient()
    return site


def technician(crew: dict[str, Who]) -> Who:
    return crew["pump technician"]


def lead(crew: dict[str, Who]) -> Present:
    return Present(crew["supervisor"])


def refused_pin(site: Site, person: Who, pin: str = WRONG) -> str:
    with pytest.raises(SignInError) as refusal:
        now(check_pin(site, person.person_id, pin))
    return str(refusal.value)


def failures_of(site: Site, person: Who) -> int:
    return next(kept.failures for kept in everybody(site) if kept.id == person.person_id)


def locked_out(site: Site, person: Who) -> None:
    for _ in range(MOST_FAILURES):
        refused_pin(site, person)


# --- the count


def test_a_wrong_pin_says_how_many_tries_are_left(patience: Site, crew: dict[str, Who]) -> None:
    texts = [refused_pin(patience, technician(crew)) for _ in range(MOST_FAILURES)]

    assert texts[0] == "That is not the PIN of Test Technician. 9 more tries before it is locked."
    assert texts[8] == (
        "That is not the PIN of Test Technician. 1 more tries before it is locked; the next in 320 seconds."
    )
    assert texts[-1] == "That is not the PIN of Test Technician. It is locked now; ask a supervisor."


def test_the_right_pin_clears_the_count(patience: Site, crew: dict[str, Who]) -> None:
    for _ in range(MOST_FAILURES - 1):
        refused_pin(patience, technician(crew))

    now(check_pin(patience, technician(crew).person_id, PINS["Test Technician"]))

    assert failures_of(patience, technician(crew)) == 0
    assert "9 more tries" in refused_pin(patience, technician(crew))


def test_the_right_pin_at_the_tenth_try_is_right_and_the_lock_of_that_try_is_lifted(
    patience: Site, crew: dict[str, Who]
) -> None:
    for _ in range(MOST_FAILURES - 1):
        refused_pin(patience, technician(crew))

    assert now(check_pin(patience, technician(crew).person_id, PINS["Test Technician"])) == technician(crew)

    last_two = [entry.change for entry in people_log(patience)[-2:]]
    assert last_two == [PersonLocked(technician(crew), 10), PersonUnlocked(technician(crew))]


def test_a_locked_person_is_refused_with_the_right_pin_too(patience: Site, crew: dict[str, Who]) -> None:
    locked_out(patience, technician(crew))

    text = refused_pin(patience, technician(crew), PINS["Test Technician"])

    assert text == "Test Technician is locked after 10 wrong PINs; a supervisor can unlock him."
    assert people_log(patience)[-1].change == PersonLocked(technician(crew), 10)


def test_one_locked_person_locks_nobody_else(patience: Site, crew: dict[str, Who]) -> None:
    locked_out(patience, technician(crew))

    assert now(check_pin(patience, crew["driller"].person_id, PINS["Test Driller"])) == crew["driller"]


def test_a_supervisor_unlocks_and_the_count_begins_again(patience: Site, crew: dict[str, Who]) -> None:
    locked_out(patience, technician(crew))

    now(unlock(patience, lead(crew), technician(crew).person_id, "his gloves were wet", key=new_key()))

    assert "9 more tries" in refused_pin(patience, technician(crew))
    assert now(check_pin(patience, technician(crew).person_id, PINS["Test Technician"])) == technician(crew)


def tally_of(results: list[object]) -> Counter[str]:
    """Return how many tries looked at the PIN, and how many were refused before."""
    assert all(isinstance(result, SignInError) for result in results)
    return Counter("looked at" if "That is not the PIN" in str(result) else "refused" for result in results)


def test_two_hundred_tries_at_once_get_three_and_then_wait(site: Site, crew: dict[str, Who]) -> None:
    site.clock = stopped()

    async def all_at_once() -> list[object]:
        tries = (check_pin(site, technician(crew).person_id, f"{number:06}") for number in range(200))
        return list(await asyncio.gather(*tries, return_exceptions=True))

    assert tally_of(now(all_at_once())) == {"looked at": 3, "refused": 197}


def test_two_hundred_patient_tries_at_once_get_ten(patience: Site, crew: dict[str, Who]) -> None:
    async def all_at_once() -> list[object]:
        tries = (check_pin(patience, technician(crew).person_id, f"{number:06}") for number in range(200))
        return list(await asyncio.gather(*tries, return_exceptions=True))

    assert tally_of(now(all_at_once())) == {"looked at": 10, "refused": 190}


def test_two_hundred_patient_tries_from_many_threads_get_at_most_ten(
    patience: Site, crew: dict[str, Who]
) -> None:
    def try_it(number: int) -> object:
        try:
            return now(check_pin(patience, technician(crew).person_id, f"{number:06}"))
        except SignInError as error:
            return error

    with ThreadPoolExecutor(16) as threads:
        results = list(threads.map(try_it, range(200)))

    assert tally_of(results) == {"looked at": 10, "refused": 190}


def test_the_count_survives_closing_and_opening_the_site(
    patience: Site, crew: dict[str, Who], open_here: Open
) -> None:
    for _ in range(MOST_FAILURES - 1):
        refused_pin(patience, technician(crew))
    patience.close()

    again = open_here(patience.data)
    again.clock = stopped(START + 100 * HOUR)

    assert "It is locked now" in refused_pin(again, technician(crew))
    again.close()
    assert "is locked after" in refused_pin(
        open_here(patience.data), technician(crew), PINS["Test Technician"]
    )


def test_a_try_that_is_given_up_counts(site: Site, crew: dict[str, Who]) -> None:
    async def give_up() -> None:
        trying = asyncio.ensure_future(check_pin(site, technician(crew).person_id, WRONG))
        while failures_of(site, technician(crew)) == 0:
            await asyncio.sleep(0)
        trying.cancel()
        await asyncio.gather(trying, return_exceptions=True)

    now(give_up())

    assert failures_of(site, technician(crew)) == 1


# --- the wait


def test_each_wrong_pin_after_the_third_doubles_the_wait() -> None:
    waits = [wait_after(failures).total_seconds() for failures in range(MOST_FAILURES)]

    assert waits == [0, 0, 0, 5, 10, 20, 40, 80, 160, 320]


def test_a_try_before_the_wait_is_over_is_refused_without_looking_or_counting(
    site: Site, crew: dict[str, Who]
) -> None:
    site.clock = stopped()
    for _ in range(3):
        refused_pin(site, technician(crew))

    site.clock = stopped(START + timedelta(seconds=1.5))
    text = refused_pin(site, technician(crew), PINS["Test Technician"])

    assert text == (
        "Wait 4 seconds before the next PIN of Test Technician: the last 3 were wrong. Nothing was looked at "
        "or counted."
    )
    assert failures_of(site, technician(crew)) == 3
    site.clock = stopped(START + timedelta(seconds=5))
    assert now(check_pin(site, technician(crew).person_id, PINS["Test Technician"])) == technician(crew)


def test_a_clock_that_was_turned_back_locks_nobody_out(site: Site, crew: dict[str, Who]) -> None:
    for hour in range(5):
        site.clock = stopped(START + hour * HOUR)
        refused_pin(site, technician(crew))

    site.clock = stopped(START - timedelta(days=400))

    assert "4 more tries" in refused_pin(site, technician(crew))


def test_the_wait_survives_a_restart(site: Site, crew: dict[str, Who], open_here: Open) -> None:
    site.clock = stopped()
    for _ in range(3):
        refused_pin(site, technician(crew))
    site.close()

    again = open_here(site.data)
    again.clock = stopped()

    assert "Wait 5 seconds" in refused_pin(again, technician(crew), PINS["Test Technician"])


# --- whose PIN


@pytest.mark.parametrize("pin", ["４８２９１５", "\ud800", "", "x" * 10_000])
def test_a_pin_of_strange_letters_is_a_wrong_pin(site: Site, crew: dict[str, Who], pin: str) -> None:
    assert "That is not the PIN" in refused_pin(site, technician(crew), pin)


def test_a_person_who_is_not_known_is_not_let_in(site: Site) -> None:
    with pytest.raises(SignInError, match="Choose your name from the list, then type your PIN"):
        now(check_pin(site, "nobody", WRONG))


def test_a_person_who_has_left_is_not_let_in(site: Site, crew: dict[str, Who]) -> None:
    now(let_leave(site, lead(crew), technician(crew).person_id, "shift change", key=new_key()))

    assert "Choose your name" in refused_pin(site, technician(crew), PINS["Test Technician"])


def test_a_pin_that_was_changed_while_it_was_looked_at_counts_no_more(
    site: Site, crew: dict[str, Who]
) -> None:
    driller = crew["driller"]

    async def meanwhile() -> list[object]:
        trying = asyncio.ensure_future(check_pin(site, driller.person_id, PINS["Test Driller"]))
        while failures_of(site, driller) == 0:
            await asyncio.sleep(0)
        # The hash of the old PIN is being looked at in a thread; the change is committed before it is done
        # or after: either way what was the PIN then is what counts.
        changed = await change_own_pin(site, driller, pin=PINS["Test Driller"], new="640287", key=new_key())
        return [changed, *await asyncio.gather(trying, return_exceptions=True)]

    changed, tried = now(meanwhile())

    assert changed == driller
    assert tried == driller or "has been changed meanwhile" in str(tried)
    assert now(check_pin(site, driller.person_id, "640287")) == driller


def test_who_asks_for_an_act_shows_with_his_pin_that_it_is_he(site: Site, crew: dict[str, Who]) -> None:
    by = now(present(site, SiteAct.UNLOCK, crew["supervisor"], PINS["Test Supervisor"]))

    assert by == Present(crew["supervisor"])
    with pytest.raises(SignInError):
        now(present(site, SiteAct.UNLOCK, crew["supervisor"], WRONG))
    with pytest.raises(NobodyError):
        now(present(site, SiteAct.UNLOCK, None, WRONG))


def test_whoever_may_not_do_an_act_is_told_before_his_pin_is_looked_at(
    site: Site, crew: dict[str, Who]
) -> None:
    with pytest.raises(RightsError, match="may not unlock people: that is for the supervisor"):
        now(present(site, SiteAct.UNLOCK, technician(crew), WRONG))

    assert failures_of(site, technician(crew)) == 0
