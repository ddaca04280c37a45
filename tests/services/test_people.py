import asyncio
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from app.domain.events.who import Who
from app.domain.refusals import RightsError
from app.services.people import (
    BLOCKED_PINS,
    MOST_FAILURES,
    PersonError,
    PinError,
    SignInError,
    add_first_supervisor,
    add_person,
    check_pin,
    everybody,
    hash_pin,
    needs_first_person,
    sign_in,
    sign_out,
    unlock,
    who_is,
)
from app.services.site import Site
from app.store import people
from app.store.people import NameTakenError, UnknownPersonError
from tests.runner import PINS
from tests.services.camp import now
from tests.services.conftest import Open

PIN = "482915"
WRONG = "739281"


def technician(crew: dict[str, Who]) -> Who:
    return crew["pump technician"]


def refused_pin(site: Site, person: Who, pin: str = WRONG) -> str:
    with pytest.raises(SignInError) as refusal:
        now(check_pin(site, person.person_id, pin))
    return str(refusal.value)


def failures_of(site: Site, person: Who) -> int:
    return next(kept.failures for kept in everybody(site) if kept.id == person.person_id)


# --- who is known


def test_a_new_site_wants_its_first_person(bare: Site) -> None:
    assert needs_first_person(bare)
    assert everybody(bare) == []


def test_the_first_person_is_a_supervisor_who_may_sign_in(bare: Site) -> None:
    first = add_first_supervisor(bare, "  Sam   Sample ", PIN)

    assert (first.name, first.role) == ("Sam Sample", "supervisor")
    assert not needs_first_person(bare)
    assert now(sign_in(bare, first.person_id, PIN)).who == first


def test_the_first_supervisor_is_made_once(bare: Site) -> None:
    add_first_supervisor(bare, "Sam Sample", PIN)

    with pytest.raises(PersonError, match="The first supervisor exists already; ask him to add you"):
        add_first_supervisor(bare, "Somebody Else", PIN)

    assert [person.name for person in everybody(bare)] == ["Sam Sample"]


def test_of_many_who_want_to_be_the_first_supervisor_at_once_one_is(bare: Site) -> None:
    def try_it(number: int) -> bool:
        try:
            add_first_supervisor(bare, f"Person {number}", PIN)
        except PersonError:
            return False
        return True

    with ThreadPoolExecutor(8) as threads:
        made = list(threads.map(try_it, range(8)))

    assert made.count(True) == 1
    assert len(everybody(bare)) == 1


def test_a_supervisor_adds_people(site: Site, crew: dict[str, Who]) -> None:
    added = add_person(site, crew["supervisor"], "New Hand", " driller ", "640287")

    assert (added.name, added.role) == ("New Hand", "driller")
    assert now(sign_in(site, added.person_id, "640287")).who == added


@pytest.mark.parametrize("role", ["driller", "company representative", None])
def test_nobody_else_adds_people(site: Site, crew: dict[str, Who], role: str | None) -> None:
    with pytest.raises(RightsError, match="may not add people: that is for the supervisor"):
        add_person(site, crew[role] if role else None, "New Hand", "driller", "640287")


@pytest.mark.parametrize("name", ["", "   ", "x" * 81, "Half \ud800 letter", "Bell\x07"])
def test_a_name_that_cannot_be_shown_is_refused(site: Site, crew: dict[str, Who], name: str) -> None:
    with pytest.raises(PersonError, match="Give a name of 1 to 80 letters"):
        add_person(site, crew["supervisor"], name, "driller", "640287")


def test_a_person_has_a_role_and_a_name_of_his_own(site: Site, crew: dict[str, Who]) -> None:
    with pytest.raises(PersonError, match="Choose a role"):
        add_person(site, crew["supervisor"], "New Hand", " ", "640287")
    with pytest.raises(NameTakenError, match="There is already a person named Test Driller"):
        add_person(site, crew["supervisor"], "Test  Driller", "driller", "640287")


# --- PINs


@pytest.mark.parametrize(
    "pin", ["", "48291", "4829150362748", "48291a", "482 915", "４８２９１５", "-482915"]
)
def test_a_pin_is_six_to_twelve_digits(site: Site, pin: str) -> None:
    with pytest.raises(PinError, match="A PIN has 6 to 12 digits and nothing else; choose another"):
        hash_pin(site, pin)


@pytest.mark.parametrize(
    "pin", ["111111", "000000", "123456", "654321", "890123", "210987", "012345678901", *sorted(BLOCKED_PINS)]
)
def test_a_pin_that_anybody_would_try_first_is_refused(site: Site, pin: str) -> None:
    with pytest.raises(PinError, match="one of the first that anybody would try; choose another"):
        hash_pin(site, pin)


@pytest.mark.parametrize("pin", ["482915", " 482915 ", "135791", "482915036274"])
def test_another_pin_may_be_chosen(site: Site, pin: str) -> None:
    assert hash_pin(site, pin).startswith("$argon2id$")


def test_the_same_pin_of_two_people_does_not_look_the_same(site: Site) -> None:
    assert hash_pin(site, PIN) != hash_pin(site, PIN)


def test_no_pin_and_no_token_lies_in_the_data_as_it_is(site: Site, crew: dict[str, Who]) -> None:
    token = now(sign_in(site, crew["driller"].person_id, PINS["Test Driller"])).token
    site.close()

    data = b"".join(path.read_bytes() for path in site.data.rglob("*") if path.is_file())

    assert token.encode() not in data
    assert not [pin for pin in PINS.values() if pin.encode() in data]


def test_a_database_without_the_pepper_of_its_site_lets_nobody_in(
    site: Site, crew: dict[str, Who], tmp_path: Path, open_here: Open
) -> None:
    site.close()
    (tmp_path / "stolen").mkdir()
    (site.data / "twinleg.db").rename(tmp_path / "stolen" / "twinleg.db")

    stolen = open_here(tmp_path / "stolen")

    assert "That is not the PIN" in refused_pin(stolen, crew["driller"], PINS["Test Driller"])


# --- wrong PINs


def test_a_wrong_pin_says_how_many_tries_are_left(site: Site, crew: dict[str, Who]) -> None:
    texts = [refused_pin(site, technician(crew)) for _ in range(MOST_FAILURES)]

    assert texts[0] == "That is not the PIN of Test Technician. 9 more tries before it is locked."
    assert texts[-1] == "That is not the PIN of Test Technician. It is locked now; ask a supervisor."


def test_the_right_pin_clears_the_count(site: Site, crew: dict[str, Who]) -> None:
    for _ in range(MOST_FAILURES - 1):
        refused_pin(site, technician(crew))

    now(check_pin(site, technician(crew).person_id, PINS["Test Technician"]))

    assert failures_of(site, technician(crew)) == 0
    assert "9 more tries" in refused_pin(site, technician(crew))


def locked_out(site: Site, person: Who) -> None:
    for _ in range(MOST_FAILURES):
        refused_pin(site, person)


def test_a_locked_person_is_refused_with_the_right_pin_too(site: Site, crew: dict[str, Who]) -> None:
    locked_out(site, technician(crew))

    text = refused_pin(site, technician(crew), PINS["Test Technician"])

    assert text == "Test Technician is locked after 10 wrong PINs; a supervisor can unlock him."


def test_one_locked_person_locks_nobody_else(site: Site, crew: dict[str, Who]) -> None:
    locked_out(site, technician(crew))

    assert now(check_pin(site, crew["driller"].person_id, PINS["Test Driller"])) == crew["driller"]


def test_a_supervisor_unlocks(site: Site, crew: dict[str, Who]) -> None:
    locked_out(site, technician(crew))

    unlock(site, crew["supervisor"], technician(crew).person_id)

    assert now(check_pin(site, technician(crew).person_id, PINS["Test Technician"])) == technician(crew)


@pytest.mark.parametrize("role", ["driller", "pump technician", None])
def test_nobody_else_unlocks(site: Site, crew: dict[str, Who], role: str | None) -> None:
    locked_out(site, technician(crew))

    with pytest.raises(RightsError, match="may not unlock people"):
        unlock(site, crew[role] if role else None, technician(crew).person_id)

    assert "is locked" in refused_pin(site, technician(crew), PINS["Test Technician"])


def test_nobody_is_unlocked_who_is_not_known(site: Site, crew: dict[str, Who]) -> None:
    with pytest.raises(UnknownPersonError):
        unlock(site, crew["supervisor"], "nobody")


def tally_of(results: list[object]) -> Counter[str]:
    """Return how many tries looked at the PIN and how many found the person locked."""
    assert all(isinstance(result, SignInError) for result in results)
    return Counter("locked" if "is locked after" in str(result) else "looked at" for result in results)


def test_two_hundred_tries_at_once_get_ten(site: Site, crew: dict[str, Who]) -> None:
    async def all_at_once() -> list[object]:
        tries = (check_pin(site, technician(crew).person_id, f"{number:06}") for number in range(200))
        return list(await asyncio.gather(*tries, return_exceptions=True))

    results = now(all_at_once())

    assert tally_of(results) == {"looked at": 10, "locked": 190}


def test_two_hundred_tries_from_many_threads_get_ten(site: Site, crew: dict[str, Who]) -> None:
    def try_it(number: int) -> object:
        try:
            return now(check_pin(site, technician(crew).person_id, f"{number:06}"))
        except SignInError as error:
            return error

    with ThreadPoolExecutor(16) as threads:
        results = list(threads.map(try_it, range(200)))

    assert tally_of(results) == {"looked at": 10, "locked": 190}


def test_the_count_survives_closing_and_opening_the_site(
    site: Site, crew: dict[str, Who], open_here: Open
) -> None:
    for _ in range(MOST_FAILURES - 1):
        refused_pin(site, technician(crew))
    site.close()

    again = open_here(site.data)

    assert "It is locked now" in refused_pin(again, technician(crew))
    again.close()
    assert "is locked after" in refused_pin(open_here(site.data), technician(crew), PINS["Test Technician"])


def test_a_try_that_is_given_up_counts(site: Site, crew: dict[str, Who]) -> None:
    async def give_up() -> None:
        trying = asyncio.ensure_future(check_pin(site, technician(crew).person_id, WRONG))
        while failures_of(site, technician(crew)) == 0:
            await asyncio.sleep(0)
        trying.cancel()
        await asyncio.gather(trying, return_exceptions=True)

    now(give_up())

    assert failures_of(site, technician(crew)) == 1


@pytest.mark.parametrize("pin", ["４８２９１５", "\ud800", "", "x" * 10_000])
def test_a_pin_of_strange_letters_is_a_wrong_pin(site: Site, crew: dict[str, Who], pin: str) -> None:
    assert "That is not the PIN" in refused_pin(site, technician(crew), pin)


def test_a_person_who_is_not_known_is_not_let_in(site: Site) -> None:
    with pytest.raises(SignInError, match="Choose your name from the list, then type your PIN"):
        now(sign_in(site, "nobody", PIN))


def test_a_person_who_has_left_is_not_let_in(site: Site, crew: dict[str, Who]) -> None:
    site.database.writer.run(
        lambda connection: people.change_active(connection, technician(crew).person_id, active=False)
    )

    assert "Choose your name" in refused_pin(site, technician(crew), PINS["Test Technician"])


# --- signing in and out


def test_a_sign_in_is_known_by_its_token_and_ends_with_it(site: Site, crew: dict[str, Who]) -> None:
    first = now(sign_in(site, crew["driller"].person_id, PINS["Test Driller"]))
    second = now(sign_in(site, crew["driller"].person_id, PINS["Test Driller"]))
    assert who_is(site, first.token) == crew["driller"]

    now(sign_out(site, first.token))

    assert who_is(site, first.token) is None
    assert who_is(site, second.token) == crew["driller"]


@pytest.mark.parametrize("token", [None, "", "nonsense"])
def test_nobody_is_behind_a_token_that_was_never_given(site: Site, token: str | None) -> None:
    assert who_is(site, token) is None


def test_a_sign_out_of_nobody_does_nothing(site: Site) -> None:
    now(sign_out(site, "nonsense"))

    assert who_is(site, "nonsense") is None


def test_a_sign_in_outlives_a_restart_and_so_does_its_end(
    site: Site, crew: dict[str, Who], open_here: Open
) -> None:
    kept = now(sign_in(site, crew["driller"].person_id, PINS["Test Driller"])).token
    ended = now(sign_in(site, crew["driller"].person_id, PINS["Test Driller"])).token
    now(sign_out(site, ended))
    site.close()

    again = open_here(site.data)

    assert who_is(again, kept) == crew["driller"]
    assert who_is(again, ended) is None


def test_somebody_who_has_left_is_signed_in_no_more_after_a_restart(
    site: Site, crew: dict[str, Who], open_here: Open
) -> None:
    token = now(sign_in(site, crew["driller"].person_id, PINS["Test Driller"])).token
    site.database.writer.run(
        lambda connection: people.change_active(connection, crew["driller"].person_id, active=False)
    )
    site.close()

    assert who_is(open_here(site.data), token) is None


def test_the_people_of_a_site_are_listed_by_name(site: Site) -> None:
    assert [person.name for person in everybody(site)] == sorted(PINS)
