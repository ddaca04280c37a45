from datetime import date

import pytest

from app.domain.events.release import PlanReleased
from app.domain.events.who import Who
from app.domain.problems import Severity, accepting
from app.domain.refusals import NobodyError, RightsError
from app.records.event_json import read_entry
from app.records.plan_json import plan_fingerprint
from app.records.sheet_json import sheet_bytes
from app.services import plans
from app.services.plans import (
    LONGEST_PLAN,
    MEANING,
    PlanError,
    UnknownPlanError,
    all_plans,
    keep_plan,
    keep_plan_once,
    plan_of,
    release,
)
from app.services.proof import prove
from app.services.runs import Acted, KeyMissingError, all_runs, content_of, log_of, new_key, run_of
from app.services.site import Site
from app.services.tries import SignInError
from app.store.answers import KeyReusedError
from tests.runner import PINS
from tests.services.camp import SINGLE, Job, now

# A test that the string cannot do without, and a limit that proves little.
STOPPED = SINGLE.replace('moment = "after landing"', 'moment = "along intermediate tubing"\nevery = 1')
CAUTIONED = SINGLE.replace('resistance_imbalance = "3 %"', 'resistance_imbalance = "50 %"')
TODAY = date(2031, 5, 4)


def released(
    site: Site,
    plan_id: str,
    by: Who | None,
    *,
    pin: str = PINS["Test Supervisor"],
    accepted: tuple[str, ...] = (),
    key: str | None = None,
) -> Acted:
    return now(release(site, plan_id, by, pin=pin, accepted=accepted, key=new_key() if key is None else key))


def kept(site: Site, crew: dict[str, Who], text: str = SINGLE) -> str:
    return keep_plan(site, "the plan", text, crew["supervisor"]).id


# --- keeping


def test_a_plan_is_kept_letter_by_letter(site: Site, crew: dict[str, Who]) -> None:
    text = "# with lines of another system\r\n" + SINGLE.replace("\n", "\r\n") + "# Größe: ½ in"

    plan_id = keep_plan(site, " My plan ", text, crew["driller"]).id

    found = plan_of(site, plan_id)
    assert found.text == text
    assert (found.name, found.created_by) == ("My plan", "Test Driller")


def test_a_plan_without_a_name_is_called_after_its_job(site: Site, crew: dict[str, Who]) -> None:
    plan = keep_plan(site, "  ", SINGLE, crew["supervisor"])

    assert plan.name == "Demonstration: one pump with a bypass, small enough to run by hand"


def test_the_fingerprint_of_a_plan_is_of_what_it_says_and_not_of_its_blanks(
    site: Site, crew: dict[str, Who]
) -> None:
    first = keep_plan(site, "", SINGLE, crew["supervisor"])
    second = keep_plan(site, "", "# a remark\n" + SINGLE, crew["supervisor"])

    plan = prove(SINGLE, TODAY).plan
    assert plan is not None
    assert first.fingerprint == second.fingerprint == plan_fingerprint(plan)
    assert first.id != second.id


@pytest.mark.parametrize(
    "text", ["", "format = ", SINGLE.replace('"303 ft"', '"303 lb"'), SINGLE.replace("[rig]", "[ring]")]
)
def test_an_unreadable_plan_is_refused_with_every_mistake_and_not_kept(
    site: Site, crew: dict[str, Who], text: str
) -> None:
    with pytest.raises(PlanError, match=r"mistakes?; mend (it|them) and send it again") as refusal:
        keep_plan(site, "broken", text, crew["supervisor"])

    assert refusal.value.problems
    assert all(problem.text for problem in refusal.value.problems)
    assert all_plans(site) == []


def test_a_plan_longer_than_any_run_needs_is_refused_unread(site: Site, crew: dict[str, Who]) -> None:
    with pytest.raises(PlanError, match="longer than 4000000 characters"):
        keep_plan(site, "long", SINGLE + "#" * LONGEST_PLAN, crew["supervisor"])

    assert all_plans(site) == []


def test_plans_are_listed_by_name_and_then_by_age(site: Site, crew: dict[str, Who]) -> None:
    ids = [keep_plan(site, name, SINGLE, crew["supervisor"]).id for name in ("b", "a", "b")]

    assert [plan.id for plan in all_plans(site)] == [ids[1], ids[0], ids[2]]


def test_a_plan_that_is_not_there_is_refused(site: Site) -> None:
    with pytest.raises(UnknownPlanError, match="There is no plan 'nothing' here"):
        plan_of(site, "nothing")


def test_a_plan_sent_twice_is_kept_once(site: Site, crew: dict[str, Who]) -> None:
    key = new_key()

    acted = [
        now(keep_plan_once(site, "the plan", SINGLE.encode(), crew["driller"], key=key)) for _ in range(2)
    ]

    assert [item.repeated for item in acted] == [False, True]
    assert [plan.id for plan in all_plans(site)] == [acted[0].run_id] == [acted[1].run_id]
    with pytest.raises(KeyReusedError):
        now(keep_plan_once(site, "another name", SINGLE, crew["driller"], key=key))
    with pytest.raises(KeyMissingError):
        now(keep_plan_once(site, "the plan", SINGLE, crew["driller"], key=""))


# --- releasing


def test_a_release_freezes_plan_and_sheet_byte_by_byte(site: Site, crew: dict[str, Who]) -> None:
    text = SINGLE.replace("\n", "\r\n")

    acted = released(site, kept(site, crew, text), crew["supervisor"])

    run = run_of(site, acted.run_id)
    sheet = prove(text, TODAY).sheet
    assert sheet is not None
    assert run.release is not None
    assert content_of(site, run.release.plan_content) == text.encode()
    assert content_of(site, run.release.sheet_content) == sheet_bytes(sheet)
    assert run.sheet == sheet


def test_the_release_is_the_first_event_of_the_run_signed_by_whoever_released(
    site: Site, crew: dict[str, Who]
) -> None:
    acted = released(site, kept(site, crew), crew["supervisor"])

    (entry,) = log_of(site, acted.run_id)
    happened = read_entry(entry)
    assert isinstance(happened.event, PlanReleased)
    assert (happened.who, happened.event.meaning) == (crew["supervisor"], MEANING)
    assert (acted.sequence, acted.kinds, acted.repeated) == (1, ("plan-released",), False)
    assert [run.run_id for run in all_runs(site)] == [acted.run_id]
    assert not run_of(site, acted.run_id).is_practice


def test_a_site_for_practice_releases_practice_runs(site: Site, crew: dict[str, Who]) -> None:
    site.practice = True

    acted = released(site, kept(site, crew), crew["supervisor"])

    assert run_of(site, acted.run_id).is_practice
    assert all_runs(site)[0].state == "practice"


@pytest.mark.parametrize("role", ["driller", "company representative"])
def test_only_a_supervisor_releases(site: Site, crew: dict[str, Who], role: str) -> None:
    plan_id = kept(site, crew)

    with pytest.raises(RightsError, match="may not release a plan"):
        released(site, plan_id, crew[role])
    with pytest.raises(NobodyError):
        released(site, plan_id, None)

    assert all_runs(site) == []


def test_a_release_is_signed_with_ones_own_pin(site: Site, crew: dict[str, Who]) -> None:
    plan_id = kept(site, crew)

    with pytest.raises(SignInError, match="That is not the PIN of Test Supervisor"):
        released(site, plan_id, crew["supervisor"], pin=PINS["Test Driller"])

    assert all_runs(site) == []


def test_a_release_without_a_key_is_refused_before_the_pin_is_looked_at(
    site: Site, crew: dict[str, Who]
) -> None:
    plan_id = kept(site, crew)

    with pytest.raises(KeyMissingError):
        released(site, plan_id, crew["supervisor"], pin="000000", key="")

    with pytest.raises(SignInError, match="9 more tries"):
        released(site, plan_id, crew["supervisor"], pin="000000")


def test_a_plan_with_a_stop_is_not_released(site: Site, crew: dict[str, Who]) -> None:
    plan_id = kept(site, crew, STOPPED)

    with pytest.raises(
        PlanError, match="1 findings stop the release; mend the plan and check it again"
    ) as no:
        released(site, plan_id, crew["supervisor"])

    assert [(problem.rule, problem.severity) for problem in no.value.problems] == [
        ("electrical-test-missing", Severity.STOP)
    ]
    assert all_runs(site) == []


def test_a_caution_must_be_accepted_in_its_own_words(site: Site, crew: dict[str, Who]) -> None:
    plan_id = kept(site, crew, CAUTIONED)
    (caution,) = prove(CAUTIONED, TODAY).cautions()

    for accepted in ((), ("imbalance-limit-unlikely",)):
        with pytest.raises(PlanError, match="1 cautions are not accepted yet") as refusal:
            released(site, plan_id, crew["supervisor"], accepted=accepted)
        assert refusal.value.problems == (caution,)
    acted = released(site, plan_id, crew["supervisor"], accepted=(accepting(caution), "a caution of my own"))

    release_event = run_of(site, acted.run_id).release
    assert release_event is not None
    assert release_event.accepted == (accepting(caution),)


def test_a_release_sent_twice_makes_one_run(site: Site, crew: dict[str, Who]) -> None:
    plan_id, key = kept(site, crew), new_key()

    first = released(site, plan_id, crew["supervisor"], key=key)
    second = released(site, plan_id, crew["supervisor"], key=key)

    assert second == Acted(first.run_id, 1, ("plan-released",), repeated=True)
    assert len(all_runs(site)) == 1


def test_a_key_of_one_release_is_not_taken_for_another_plan(site: Site, crew: dict[str, Who]) -> None:
    key = new_key()
    released(site, kept(site, crew), crew["supervisor"], key=key)

    with pytest.raises(KeyReusedError):
        released(site, kept(site, crew), crew["supervisor"], key=key)

    assert len(all_runs(site)) == 1


def test_one_plan_may_be_run_twice_and_what_is_frozen_is_kept_once(site: Site, crew: dict[str, Who]) -> None:
    plan_id = kept(site, crew)

    runs = [run_of(site, released(site, plan_id, crew["supervisor"]).run_id) for _ in range(2)]

    assert runs[0].id != runs[1].id
    contents = [(run.release.plan_content, run.release.sheet_content) for run in runs if run.release]
    assert contents[0] == contents[1]


def test_a_plan_sent_again_changes_no_released_run(job: Job) -> None:
    release_event = job.run.release
    assert release_event is not None

    plans.keep_plan(job.site, "again", CAUTIONED, job.supervisor)

    assert content_of(job.site, release_event.plan_content) == SINGLE.encode()
