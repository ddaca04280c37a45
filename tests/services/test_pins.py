"""PINs: which may be chosen, what is kept of them, and that each is chosen by its owner alone."""

from dataclasses import replace
from datetime import timedelta
from functools import partial
from pathlib import Path

import pytest

from app.domain.events.who import Who
from app.domain.people import PinChoiceOpened, PinChosen
from app.domain.refusals import ReasonMissingError, RightsError
from app.services.people import everybody, let_leave, person_of
from app.services.people_log import people_log
from app.services.pin_hashes import BLOCKED_PINS, PinError, hash_pin
from app.services.pins import (
    TIME_TO_CHOOSE,
    ChoiceOverError,
    change_own_pin,
    choose_pin,
    choosing,
    open_pin_choice,
)
from app.services.runs import new_key
from app.services.sign_ins import sign_in
from app.services.site import Site
from app.services.tries import MOST_FAILURES, Present, SignInError, check_pin
from app.store.answers import KeyReusedError
from app.store.people import UnknownPersonError
from tests.runner import PINS
from tests.services.camp import START, now, stopped
from tests.services.conftest import Open

PIN = "482915"
NEW = "640287"


def lead(crew: dict[str, Who]) -> Present:
    return Present(crew["supervisor"])


def handed_over(site: Site, crew: dict[str, Who], role: str = "driller") -> str:
    """Return the token of a tablet that was handed to the person of a role."""
    return now(open_pin_choice(site, lead(crew), crew[role].person_id, "forgotten", key=new_key())).token


# --- which PIN


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


# --- what is kept


def test_no_pin_and_no_token_lies_in_the_data_as_it_is(site: Site, crew: dict[str, Who]) -> None:
    token = now(sign_in(site, crew["driller"].person_id, PINS["Test Driller"])).token
    choosing_token = handed_over(site, crew, "pump technician")
    now(choose_pin(site, choosing_token, NEW, key=new_key()))
    site.close()

    data = b"".join(path.read_bytes() for path in site.data.rglob("*") if path.is_file())

    assert token.encode() not in data
    assert choosing_token.encode() not in data
    assert not [pin for pin in (*PINS.values(), NEW) if pin.encode() in data]


def test_the_pepper_lies_outside_the_database_and_is_its_owners_alone(site: Site) -> None:
    pepper = site.keys / "pepper"

    assert pepper.stat().st_mode & 0o777 == 0o600
    assert site.keys.stat().st_mode & 0o077 == 0
    assert len(site.pepper) == 32
    site.close()
    assert site.pepper not in (site.data / "twinleg.db").read_bytes()


def test_a_database_without_the_pepper_of_its_site_lets_nobody_in(
    site: Site, crew: dict[str, Who], tmp_path: Path, open_here: Open
) -> None:
    site.close()
    (tmp_path / "stolen").mkdir()
    (site.data / "twinleg.db").rename(tmp_path / "stolen" / "twinleg.db")

    stolen = open_here(tmp_path / "stolen")

    with pytest.raises(SignInError, match="That is not the PIN"):
        now(check_pin(stolen, crew["driller"].person_id, PINS["Test Driller"]))


# --- one's own


def test_somebody_changes_his_own_pin(site: Site, crew: dict[str, Who]) -> None:
    driller = crew["driller"]

    now(change_own_pin(site, driller, pin=PINS["Test Driller"], new=NEW, key=new_key()))

    assert now(check_pin(site, driller.person_id, NEW)) == driller
    with pytest.raises(SignInError):
        now(check_pin(site, driller.person_id, PINS["Test Driller"]))
    last = people_log(site)[-1]
    assert (last.change, last.who) == (PinChosen(driller), driller)


def test_a_pin_that_may_not_be_chosen_leaves_the_old_one(site: Site, crew: dict[str, Who]) -> None:
    with pytest.raises(PinError):
        now(change_own_pin(site, crew["driller"], pin=PINS["Test Driller"], new="111111", key=new_key()))

    assert now(check_pin(site, crew["driller"].person_id, PINS["Test Driller"])) == crew["driller"]


# --- on a tablet that was handed over


def test_a_pin_is_chosen_on_the_tablet_that_was_handed_over(site: Site, crew: dict[str, Who]) -> None:
    driller = crew["driller"]
    opened = now(open_pin_choice(site, lead(crew), driller.person_id, "  forgotten  ", key=new_key()))
    choice = choosing(site, opened.token)

    chosen = now(choose_pin(site, opened.token, NEW, key=new_key()))

    assert chosen == driller
    assert now(check_pin(site, driller.person_id, NEW)) == driller
    asked, kept = people_log(site)[-2:]
    assert (asked.change, asked.who) == (
        PinChoiceOpened(driller, choice.until.isoformat()),
        crew["supervisor"],
    )
    assert asked.why == "forgotten"
    assert (kept.change, kept.who, kept.why) == (PinChosen(driller), driller, "")


def test_the_old_pin_is_worth_nothing_once_the_tablet_is_handed_over(
    site: Site, crew: dict[str, Who]
) -> None:
    handed_over(site, crew)

    with pytest.raises(SignInError, match=r"Test Driller has no PIN yet\. A supervisor opens his page"):
        now(check_pin(site, crew["driller"].person_id, PINS["Test Driller"]))

    assert person_of(site, crew["driller"].person_id).failures == 0


def test_the_one_who_resets_a_pin_is_given_nothing_to_sign_in_with(site: Site, crew: dict[str, Who]) -> None:
    opened = now(open_pin_choice(site, lead(crew), crew["driller"].person_id, "forgotten", key=new_key()))

    for guess in (opened.token, PINS["Test Supervisor"], ""):
        with pytest.raises(SignInError):
            now(check_pin(site, crew["driller"].person_id, guess))


def test_a_pin_is_chosen_once(site: Site, crew: dict[str, Who]) -> None:
    token = handed_over(site, crew)
    now(choose_pin(site, token, NEW, key=new_key()))

    with pytest.raises(ChoiceOverError, match="it is chosen already, or the 10 minutes for it are over"):
        now(choose_pin(site, token, "735192", key=new_key()))
    with pytest.raises(ChoiceOverError):
        choosing(site, token)

    assert now(check_pin(site, crew["driller"].person_id, NEW)) == crew["driller"]


def test_the_same_key_hands_the_same_tablet_over_once(site: Site, crew: dict[str, Who]) -> None:
    key, driller, before = new_key(), crew["driller"].person_id, len(people_log(site))

    first, again = (now(open_pin_choice(site, lead(crew), driller, "forgotten", key=key)) for _ in range(2))

    assert (again.token, again.acted) == (first.token, replace(first.acted, repeated=True))
    assert len(people_log(site)) == before + 1
    assert now(choose_pin(site, again.token, NEW, key=new_key())) == crew["driller"]
    kept = b"".join(path.read_bytes() for path in site.data.glob("twinleg.db*"))
    assert first.token.encode() not in kept


def test_a_pin_sent_again_under_its_key_is_chosen_once(site: Site, crew: dict[str, Who]) -> None:
    token, key = handed_over(site, crew), new_key()
    now(choose_pin(site, token, NEW, key=key))
    told = people_log(site)

    assert now(choose_pin(site, token, NEW, key=key)) == crew["driller"]
    with pytest.raises(SignInError, match="That is not the PIN of Test Driller"):
        now(choose_pin(site, token, "735192", key=key))

    assert people_log(site) == told
    assert person_of(site, crew["driller"].person_id).failures == 1


def test_ones_own_pin_sent_again_under_its_key_is_changed_once(site: Site, crew: dict[str, Who]) -> None:
    driller, key = crew["driller"], new_key()
    asked = partial(change_own_pin, site, driller, pin=PINS["Test Driller"], key=key)
    now(asked(new=NEW))
    told = people_log(site)

    assert now(asked(new=NEW)) == driller
    with pytest.raises(SignInError):
        now(asked(new="735192"))

    assert people_log(site) == told


def test_a_key_of_somebody_else_chooses_no_pin(site: Site, crew: dict[str, Who]) -> None:
    key = new_key()
    now(choose_pin(site, handed_over(site, crew), NEW, key=key))

    with pytest.raises(KeyReusedError):
        now(choose_pin(site, handed_over(site, crew, "floor crew"), NEW, key=key))
    with pytest.raises(KeyReusedError):
        now(change_own_pin(site, crew["pump technician"], pin=PINS["Test Technician"], new=NEW, key=key))


def test_the_time_to_choose_ends(site: Site, crew: dict[str, Who]) -> None:
    site.clock = stopped()
    token = handed_over(site, crew)
    site.clock = stopped(START + TIME_TO_CHOOSE - timedelta(seconds=1))
    assert choosing(site, token).who == crew["driller"]

    site.clock = stopped(START + TIME_TO_CHOOSE)

    with pytest.raises(ChoiceOverError):
        choosing(site, token)
    with pytest.raises(ChoiceOverError):
        now(choose_pin(site, token, NEW, key=new_key()))


def test_of_two_tablets_handed_over_to_one_person_the_later_one_counts(
    site: Site, crew: dict[str, Who]
) -> None:
    first, second = handed_over(site, crew), handed_over(site, crew)

    with pytest.raises(ChoiceOverError):
        now(choose_pin(site, first, NEW, key=new_key()))

    assert now(choose_pin(site, second, NEW, key=new_key())) == crew["driller"]


def test_the_choice_outlives_a_restart(site: Site, crew: dict[str, Who], open_here: Open) -> None:
    token = handed_over(site, crew)
    site.close()

    assert now(choose_pin(open_here(site.data), token, NEW, key=new_key())) == crew["driller"]


def test_a_token_that_was_never_given_chooses_for_nobody(site: Site) -> None:
    with pytest.raises(ChoiceOverError):
        now(choose_pin(site, "nonsense", NEW, key=new_key()))
    with pytest.raises(ChoiceOverError):
        choosing(site, "")


def test_a_lock_ends_with_a_pin_that_was_chosen_anew(site: Site, crew: dict[str, Who]) -> None:
    driller = crew["driller"]
    for hour in range(MOST_FAILURES):
        site.clock = stopped(START + timedelta(hours=hour))
        with pytest.raises(SignInError):
            now(check_pin(site, driller.person_id, "000001"))
    assert person_of(site, driller.person_id).locked

    now(choose_pin(site, handed_over(site, crew), NEW, key=new_key()))

    assert now(check_pin(site, driller.person_id, NEW)) == driller


def test_nobody_but_a_supervisor_hands_a_tablet_over(site: Site, crew: dict[str, Who]) -> None:
    with pytest.raises(
        RightsError, match="may not let somebody choose a new PIN: that is for the supervisor"
    ):
        now(
            open_pin_choice(
                site, Present(crew["driller"]), crew["floor crew"].person_id, "he asked me to", key=new_key()
            )
        )

    assert all(person.has_pin for person in everybody(site))


def test_a_tablet_is_handed_over_for_a_reason_to_somebody_else_who_is_here(
    site: Site, crew: dict[str, Who]
) -> None:
    driller = crew["driller"].person_id
    with pytest.raises(ReasonMissingError):
        now(open_pin_choice(site, lead(crew), driller, "  ", key=new_key()))
    with pytest.raises(PinError, match="change it yourself"):
        now(open_pin_choice(site, lead(crew), crew["supervisor"].person_id, "forgotten", key=new_key()))
    with pytest.raises(UnknownPersonError):
        now(open_pin_choice(site, lead(crew), "nobody", "forgotten", key=new_key()))
    now(let_leave(site, lead(crew), driller, "end of shift", key=new_key()))
    with pytest.raises(PinError, match="Test Driller is no longer here; take him back first"):
        now(open_pin_choice(site, lead(crew), driller, "forgotten", key=new_key()))


def test_who_leaves_can_no_longer_choose_a_pin(site: Site, crew: dict[str, Who]) -> None:
    token = handed_over(site, crew)
    now(let_leave(site, lead(crew), crew["driller"].person_id, "end of shift", key=new_key()))

    with pytest.raises(ChoiceOverError):
        now(choose_pin(site, token, NEW, key=new_key()))
