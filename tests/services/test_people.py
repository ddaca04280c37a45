"""People: who belongs to the site, what a supervisor changes of them, and that all of it is kept."""

import shutil
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing, suppress
from dataclasses import replace
from pathlib import Path
from typing import Protocol

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.domain.events.who import Who
from app.domain.people import PersonAdded, PersonCameBack, PersonLeft, PinChosen, RoleChanged, standings
from app.domain.refusals import ReasonMissingError, RefusedError, RightsError
from app.records.chain import broken_links
from app.services.people import (
    PersonError,
    add_first_supervisor,
    add_person,
    change_role,
    everybody,
    let_back,
    let_leave,
    needs_first_person,
    person_of,
    unlock,
)
from app.services.people_log import people_entries, people_log
from app.services.pins import choose_pin, open_pin_choice
from app.services.recording import UnwritableTextError
from app.services.runs import Acted, KeyMissingError, new_key, run_of
from app.services.sign_ins import sign_in
from app.services.signing import shown_at_taking_charge, take_charge
from app.services.site import Site, open_site
from app.services.tries import MOST_FAILURES, Present, SignInError, check_pin
from app.store.answers import KeyReusedError
from app.store.people import NameTakenError, UnknownPersonError
from tests import runner
from tests.runner import PINS
from tests.services.camp import SINGLE, crew_of, now, patient

PIN = "482915"


class Act(Protocol):
    """What a supervisor does to one person."""

    async def __call__(self, site: Site, by: Present, person_id: str, why: str, *, key: str) -> Acted: ...


async def to_technician(site: Site, by: Present, person_id: str, why: str, *, key: str) -> Acted:
    return await change_role(site, by, person_id, "pump technician", why, key=key)


ACTS: dict[str, Act] = {
    "change somebody's role": to_technician,
    "take somebody off the site": let_leave,
    "take somebody back on the site": let_back,
    "unlock people": unlock,
}


def lead(crew: dict[str, Who]) -> Present:
    return Present(crew["supervisor"])


def do(act: Act, site: Site, by: Present, person: Who, why: str = "it is so") -> None:
    async def doing() -> None:
        await act(site, by, person.person_id, why, key=new_key())

    now(doing())


# --- who is known


def test_a_new_site_wants_its_first_person(bare: Site) -> None:
    assert needs_first_person(bare)
    assert everybody(bare) == []


def test_the_first_person_is_a_supervisor_who_may_sign_in(bare: Site) -> None:
    first = add_first_supervisor(bare, "  Sam   Sample ", PIN)

    assert (first.name, first.role) == ("Sam Sample", "supervisor")
    assert not needs_first_person(bare)
    assert now(sign_in(bare, first.person_id, PIN)).who == first
    assert [entry.change for entry in people_log(bare)] == [PersonAdded(first), PinChosen(first)]


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


def test_a_supervisor_adds_people_who_have_no_pin_before_they_choose_one(
    site: Site, crew: dict[str, Who]
) -> None:
    done = now(add_person(site, lead(crew), "New Hand", " driller ", key=new_key()))

    added = person_of(site, done.run_id)
    assert (added.name, added.role, added.has_pin) == ("New Hand", "driller", False)
    last = people_log(site)[-1]
    assert (last.change, last.who, last.number) == (
        PersonAdded(added.who),
        crew["supervisor"],
        done.sequence,
    )


@pytest.mark.parametrize("role", ["driller", "company representative"])
def test_nobody_else_adds_people(site: Site, crew: dict[str, Who], role: str) -> None:
    with pytest.raises(RightsError, match="may not add people: that is for the supervisor"):
        now(add_person(site, Present(crew[role]), "New Hand", "driller", key=new_key()))


@pytest.mark.parametrize("name", ["", "   ", "x" * 81, "Half \ud800 letter", "Bell\x07", "\U0001f600", "12"])
def test_a_name_or_role_that_cannot_be_shown_is_refused(site: Site, crew: dict[str, Who], name: str) -> None:
    with pytest.raises(PersonError, match="Give a name of 1 to 80 letters"):
        now(add_person(site, lead(crew), name, "driller", key=new_key()))
    with pytest.raises(PersonError, match="Give a role of 1 to 80 letters"):
        now(add_person(site, lead(crew), "New Hand", name, key=new_key()))


def test_a_name_is_one_persons(site: Site, crew: dict[str, Who]) -> None:
    with pytest.raises(NameTakenError, match="There is already a person named Test Driller"):
        now(add_person(site, lead(crew), "Test  Driller", "driller", key=new_key()))


def test_the_people_of_a_site_are_listed_by_name(site: Site) -> None:
    assert [person.name for person in everybody(site)] == sorted(PINS)


def test_the_same_key_adds_a_person_once(site: Site, crew: dict[str, Who]) -> None:
    key, before = new_key(), len(people_log(site))

    first, again = (now(add_person(site, lead(crew), "New Hand", "driller", key=key)) for _ in range(2))

    assert again == replace(first, repeated=True)
    assert len(people_log(site)) == before + 1
    with pytest.raises(KeyReusedError):
        now(add_person(site, lead(crew), "Other Hand", "driller", key=key))
    with pytest.raises(NameTakenError):
        now(add_person(site, lead(crew), "New Hand", "driller", key=new_key()))


@pytest.mark.parametrize("act", [let_leave, to_technician])
def test_the_same_key_changes_a_person_once(site: Site, crew: dict[str, Who], act: Act) -> None:
    key, driller = new_key(), crew["driller"].person_id

    first, again = (now(act(site, lead(crew), driller, "it is so", key=key)) for _ in range(2))

    assert again == replace(first, repeated=True)
    with pytest.raises(KeyReusedError):
        now(act(site, lead(crew), driller, "for another reason", key=key))
    with pytest.raises(KeyMissingError):
        now(act(site, lead(crew), driller, "it is so", key="short"))


# --- what is changed


def test_a_role_is_changed_with_its_reason(site: Site, crew: dict[str, Who]) -> None:
    driller = crew["driller"]

    now(
        change_role(
            site, lead(crew), driller.person_id, "  cable   splicer ", " changed jobs ", key=new_key()
        )
    )

    assert person_of(site, driller.person_id).role == "cable splicer"
    last = people_log(site)[-1]
    assert (last.change, last.who, last.why) == (
        RoleChanged(driller, "cable splicer"),
        crew["supervisor"],
        "changed jobs",
    )


def test_somebody_leaves_and_comes_back_with_his_pin(site: Site, crew: dict[str, Who]) -> None:
    driller = crew["driller"]

    do(let_leave, site, lead(crew), driller, "end of the hitch")
    assert not person_of(site, driller.person_id).active
    do(let_back, site, lead(crew), driller, "next hitch")

    assert now(check_pin(site, driller.person_id, PINS["Test Driller"])) == driller
    left, back = people_log(site)[-2:]
    assert (left.change, left.why) == (PersonLeft(driller), "end of the hitch")
    assert (back.change, back.why) == (PersonCameBack(driller), "next hitch")


@pytest.mark.parametrize(
    ("act", "role", "text"),
    [
        (to_technician, "pump technician", "Test Technician is pump technician already; nothing was changed"),
        (let_back, "driller", "Test Driller is here; nothing was changed"),
        (unlock, "driller", "Test Driller is not locked; nothing was changed"),
    ],
)
def test_what_is_so_already_is_not_done_again(
    site: Site, crew: dict[str, Who], act: Act, role: str, text: str
) -> None:
    before = people_log(site)

    with pytest.raises(PersonError, match=text):
        do(act, site, lead(crew), crew[role])

    assert people_log(site) == before


@pytest.mark.parametrize("act", [let_leave, to_technician])
def test_who_answers_for_a_run_leaves_once_another_has_taken_charge_of_it(
    site: Site, crew: dict[str, Who], act: Act
) -> None:
    gone = crew["supervisor"]
    other = now(runner.add_one(site, lead(crew), "Test Relief", "supervisor", pin="518264"))
    run_id = now(runner.release(site, SINGLE, gone))

    with pytest.raises(PersonError, match="Test Supervisor is in charge of the run 'Demonstration: one pump"):
        do(act, site, Present(other), gone)
    shown = shown_at_taking_charge(run_of(site, run_id))
    charge = take_charge(
        site,
        run_id,
        person_id=other.person_id,
        pin="518264",
        reason="flown out ill",
        gone=True,
        shown=shown,
        key=new_key(),
    )
    now(charge)
    do(act, site, Present(other), gone)

    assert run_of(site, run_id).in_charge == other
    kept = person_of(site, gone.person_id)
    assert (kept.active, kept.role) != (True, "supervisor")


def test_somebody_who_has_left_does_not_leave_again(site: Site, crew: dict[str, Who]) -> None:
    do(let_leave, site, lead(crew), crew["driller"])

    with pytest.raises(PersonError, match="Test Driller has left already"):
        do(let_leave, site, lead(crew), crew["driller"])


@pytest.mark.parametrize("words", ACTS)
@pytest.mark.parametrize("role", ["driller", "pump technician", "company representative"])
def test_nobody_but_a_supervisor_changes_people(
    site: Site, crew: dict[str, Who], words: str, role: str
) -> None:
    before = everybody(site)

    with pytest.raises(RightsError, match=f"may not {words}: that is for the supervisor"):
        do(ACTS[words], site, Present(crew[role]), crew["floor crew"])

    assert everybody(site) == before


@pytest.mark.parametrize("words", ACTS)
def test_every_change_has_a_reason_and_somebody_whom_it_is_about(
    site: Site, crew: dict[str, Who], words: str
) -> None:
    with pytest.raises(ReasonMissingError, match=f"Say why, in a few words, before you {words}"):
        do(ACTS[words], site, lead(crew), crew["driller"], "  ")
    with pytest.raises(UnknownPersonError):
        do(ACTS[words], site, lead(crew), Who("nobody", "", ""))


def test_a_reason_of_half_a_letter_changes_nothing(site: Site, crew: dict[str, Who]) -> None:
    with pytest.raises(UnwritableTextError):
        do(let_leave, site, lead(crew), crew["driller"], "half \ud800")

    assert person_of(site, crew["driller"].person_id).active


@pytest.mark.parametrize("act", [to_technician, let_leave])
def test_a_site_is_never_without_a_supervisor_who_can_sign_in(
    site: Site, crew: dict[str, Who], act: Act
) -> None:
    added = now(add_person(site, lead(crew), "Second Supervisor", "supervisor", key=new_key()))

    with pytest.raises(PersonError, match="Test Supervisor is the only supervisor who can sign in"):
        do(act, site, lead(crew), crew["supervisor"])

    opened = now(open_pin_choice(site, lead(crew), added.run_id, "new here", key=new_key()))
    second = now(choose_pin(site, opened.token, "640287", key=new_key()))
    do(act, site, lead(crew), crew["supervisor"])
    with pytest.raises(PersonError, match="Second Supervisor is the only supervisor"):
        do(act, site, Present(second), second)


# --- all of it is kept


STEPS = st.lists(
    st.tuples(
        st.sampled_from([*ACTS, "hand over", "guess"]),
        st.sampled_from(["supervisor", "supervisor", "driller"]),
        st.sampled_from(["supervisor", "driller", "floor crew"]),
    ),
    min_size=3,
    max_size=10,
)


@settings(max_examples=10, deadline=None)
@given(steps=STEPS)
def test_the_log_of_the_people_tells_all_that_the_table_says_of_them(
    crew_folder: Path, tmp_path_factory: pytest.TempPathFactory, steps: list[tuple[str, str, str]]
) -> None:
    data = shutil.copytree(crew_folder, tmp_path_factory.mktemp("log") / "site")
    with closing(open_site(data, clock=patient())) as site:
        crew = crew_of(site)
        for act, by, of in steps:
            with suppress(RefusedError):
                ask(site, act, Present(crew[by]), crew[of])

        told, kept = standings(people_log(site)), {person.id: person for person in everybody(site)}
        assert broken_links(people_entries(site)) == []

    assert {key: (item.who, item.active, item.has_pin, item.locked) for key, item in told.items()} == {
        key: (person.who, person.active, person.has_pin, person.locked) for key, person in kept.items()
    }


def ask(site: Site, act: str, by: Present, person: Who) -> None:
    """Ask for one act, or guess at a PIN until it is locked."""
    if act == "hand over":
        now(open_pin_choice(site, by, person.person_id, "forgotten", key=new_key()))
    elif act == "guess":
        for _ in range(MOST_FAILURES):
            with suppress(SignInError):
                now(check_pin(site, person.person_id, "000001"))
    else:
        do(ACTS[act], site, by, person)
