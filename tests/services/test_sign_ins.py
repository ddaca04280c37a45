"""Signing in and out: a token for one browser, ended by its owner, a supervisor or the end of the shift."""

import threading
from datetime import timedelta

import pytest

from app.domain.events.who import Who
from app.services.admissions import Admissions, Admitted
from app.services.people import change_role, let_leave
from app.services.pins import change_own_pin, open_pin_choice
from app.services.runs import new_key
from app.services.sign_ins import LONGEST_SHIFT, admit, sign_in, sign_out, who_is
from app.services.site import Site
from app.services.tries import Present, SignInError
from tests.runner import PINS
from tests.services.camp import START, now, stopped
from tests.services.conftest import Open

PIN = "482915"


def lead(crew: dict[str, Who]) -> Present:
    return Present(crew["supervisor"])


def token_of(site: Site, person: Who) -> str:
    return now(sign_in(site, person.person_id, PINS[person.name])).token


def test_a_sign_in_is_known_by_its_token_and_ends_with_it(site: Site, crew: dict[str, Who]) -> None:
    first, second = token_of(site, crew["driller"]), token_of(site, crew["driller"])
    assert who_is(site, first) == crew["driller"]

    now(sign_out(site, first))

    assert who_is(site, first) is None
    assert who_is(site, second) == crew["driller"]


@pytest.mark.parametrize("token", [None, "", "nonsense"])
def test_nobody_is_behind_a_token_that_was_never_given(site: Site, token: str | None) -> None:
    assert who_is(site, token) is None


def test_a_sign_out_of_nobody_does_nothing(site: Site) -> None:
    now(sign_out(site, "nonsense"))

    assert who_is(site, "nonsense") is None


def test_a_person_who_is_not_known_is_not_signed_in(site: Site) -> None:
    with pytest.raises(SignInError, match="Choose your name from the list, then type your PIN"):
        now(sign_in(site, "nobody", PIN))


def test_a_sign_in_outlives_a_restart_and_so_does_its_end(
    site: Site, crew: dict[str, Who], open_here: Open
) -> None:
    kept, ended = token_of(site, crew["driller"]), token_of(site, crew["driller"])
    now(sign_out(site, ended))
    site.close()

    again = open_here(site.data)

    assert who_is(again, kept) == crew["driller"]
    assert who_is(again, ended) is None


def test_a_sign_in_ends_with_the_longest_shift(site: Site, crew: dict[str, Who]) -> None:
    site.clock = stopped()
    token = token_of(site, crew["driller"])
    site.clock = stopped(START + LONGEST_SHIFT - timedelta(seconds=1))
    assert who_is(site, token) == crew["driller"]

    site.clock = stopped(START + LONGEST_SHIFT)

    assert who_is(site, token) is None


def test_who_leaves_is_signed_out_everywhere_at_once(
    site: Site, crew: dict[str, Who], open_here: Open
) -> None:
    token = token_of(site, crew["driller"])
    assert who_is(site, token) == crew["driller"]

    now(let_leave(site, lead(crew), crew["driller"].person_id, "end of shift", key=new_key()))

    assert who_is(site, token) is None
    site.close()
    assert who_is(open_here(site.data), token) is None


def test_a_new_role_counts_from_the_next_look(site: Site, crew: dict[str, Who]) -> None:
    token, driller = token_of(site, crew["driller"]), crew["driller"]
    assert who_is(site, token) == driller

    now(
        change_role(
            site,
            Present(crew["supervisor"]),
            driller.person_id,
            "pump technician",
            "changed jobs",
            key=new_key(),
        )
    )

    assert who_is(site, token) == Who(driller.person_id, driller.name, "pump technician")


def test_another_pin_of_ones_own_ends_every_sign_in(site: Site, crew: dict[str, Who]) -> None:
    token = token_of(site, crew["driller"])

    now(change_own_pin(site, crew["driller"], pin=PINS["Test Driller"], new="640287", key=new_key()))

    assert who_is(site, token) is None


def test_a_tablet_handed_over_ends_every_sign_in_of_the_one_who_chooses(
    site: Site, crew: dict[str, Who]
) -> None:
    token = token_of(site, crew["driller"])
    assert who_is(site, token) == crew["driller"]

    now(
        open_pin_choice(
            site, Present(crew["supervisor"]), crew["driller"].person_id, "forgotten", key=new_key()
        )
    )

    assert who_is(site, token) is None


def test_nobody_is_signed_in_who_left_in_that_very_moment(site: Site, crew: dict[str, Who]) -> None:
    now(let_leave(site, lead(crew), crew["driller"].person_id, "end of shift", key=new_key()))

    with pytest.raises(SignInError, match="cannot sign in any more"):
        now(admit(site, crew["driller"]))


def test_a_sign_in_that_ends_while_it_is_looked_up_is_not_remembered() -> None:
    admissions, reading, ended = Admissions(), threading.Event(), threading.Event()
    driller = Admitted(Who("p-dri", "Dora Dummy", "driller"), START)

    def found_before_the_end() -> Admitted:
        reading.set()
        assert ended.wait(10)
        return driller

    looking = threading.Thread(target=admissions.of, args=("token", found_before_the_end))
    looking.start()
    assert reading.wait(10)
    admissions.end_person("p-dri")
    ended.set()
    looking.join()

    assert admissions.of("token", lambda: None) is None


def test_what_was_looked_up_is_looked_up_once_until_it_ends() -> None:
    admissions, driller = Admissions(), Admitted(Who("p-dri", "Dora Dummy", "driller"), START)

    assert admissions.of("token", lambda: driller) == driller
    assert admissions.of("token", lambda: None) == driller
    admissions.end_token("token")
    assert admissions.of("token", lambda: None) is None
