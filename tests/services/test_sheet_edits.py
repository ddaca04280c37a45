import asyncio

import pytest

from app.domain.as_built import install_record
from app.domain.edits.deciding import EditError
from app.domain.edits.findings import LEFT_OUT, REWORDED
from app.domain.edits.kinds import (
    AddStep,
    Change,
    DropStep,
    MoveStep,
    Place,
    RepeatStep,
    RewordStep,
    standing,
)
from app.domain.events.who import Who
from app.domain.operations import Operation
from app.domain.problems import Severity, accepting
from app.domain.refusals import ReasonMissingError, RightsError
from app.domain.sheet import ChangeKind, Sheet
from app.records.install_record_json import logged_events
from app.services.plans import (
    PlanError,
    SheetChangedError,
    UnknownPlanError,
    edits_of,
    keep_plan,
    plan_of,
    proof_of,
    release,
)
from app.services.proof import Proof
from app.services.runs import Acted, KeyMissingError, log_of, new_key, run_of
from app.services.sheet_edits import change_sheet, take_back, take_over
from app.services.site import Site
from app.store.answers import KeyReusedError
from tests.runner import PINS, close, run_to_the_end
from tests.services.camp import SINGLE, now

SLIPS, TEST, SAFETY = "BP-02/set-slips", "ML-1/electrical-test", "SS-1/fit-safety-clamp"
OWN = AddStep("", Place(after=SLIPS), "Watch the weather.", "driller")
STOPPED = SINGLE.replace('at = "MTR-1"', 'at = "MTR-9"')


@pytest.fixture
def plan_id(site: Site, crew: dict[str, Who]) -> str:
    return keep_plan(site, "the plan", SINGLE, crew["supervisor"]).id


def changed(
    site: Site,
    plan_id: str,
    act: Change,
    by: Who | None,
    *,
    why: str = "site rule",
    key: str = "",
    seen: int | None = None,
) -> Acted:
    return now(change_sheet(site, plan_id, act, why=why, by=by, key=key or new_key(), seen=seen))


def released(site: Site, plan_id: str, by: Who, *, seen: int, key: str = "") -> Acted:
    accepted = tuple(accepting(problem) for problem in proof(site, plan_id).cautions())
    doing = release(site, plan_id, by, pin=PINS[by.name], accepted=accepted, key=key or new_key(), seen=seen)
    return now(doing)


def proof(site: Site, plan_id: str) -> Proof:
    return proof_of(site, plan_of(site, plan_id))


def test_a_change_is_kept_with_who_when_and_why(site: Site, crew: dict[str, Who], plan_id: str) -> None:
    acted = changed(site, plan_id, OWN, crew["supervisor"], why=" the site  asks ")

    (edit,) = edits_of(site, plan_id)
    assert (acted.run_id, acted.sequence, acted.kinds) == (plan_id, 1, ("step-added",))
    assert (edit.number, edit.who, edit.why) == (1, crew["supervisor"], "the site asks")
    assert edit.at.utcoffset() is not None
    assert isinstance(edit.act, AddStep)
    assert edit.act.key == "own-step/1"


def test_every_change_counts_in_the_proof_of_the_plan(site: Site, crew: dict[str, Who], plan_id: str) -> None:
    for act in (DropStep(SLIPS), RewordStep(TEST, "Test it."), MoveStep(TEST, Place(start_of="landing"))):
        changed(site, plan_id, act, crew["supervisor"])

    assert [change.kind for change in _sheet(proof(site, plan_id)).changes] == [
        ChangeKind.LEFT_OUT,
        ChangeKind.REWORDED,
        ChangeKind.MOVED,
    ]


def test_a_change_taken_back_stays_in_the_list_with_both_reasons(
    site: Site, crew: dict[str, Who], plan_id: str
) -> None:
    changed(site, plan_id, DropStep(SLIPS), crew["supervisor"])

    acted = now(take_back(site, plan_id, 1, why="needed", by=crew["supervisor"], key=new_key()))

    history = edits_of(site, plan_id)
    assert (acted.sequence, acted.kinds) == (2, ("change-taken-back",))
    assert [edit.why for edit in history] == ["site rule", "needed"]
    assert standing(history) == ()
    assert proof(site, plan_id).sheet == proof(site, plan_id).compiled


@pytest.mark.parametrize("role", ["driller", "pump technician", "company representative"])
def test_nobody_but_a_supervisor_changes_a_sheet(
    site: Site, crew: dict[str, Who], plan_id: str, role: str
) -> None:
    by = crew[role]

    for doing in (
        change_sheet(site, plan_id, OWN, why="why", by=by, key=new_key()),
        take_back(site, plan_id, 1, why="why", by=by, key=new_key()),
        take_over(site, plan_id, plan_id, why="why", by=by, key=new_key()),
    ):
        with pytest.raises(RightsError, match="may not change a sheet before its release"):
            now(doing)
    assert edits_of(site, plan_id) == ()


@pytest.mark.parametrize(
    ("act", "why"),
    [
        (OWN, " "),
        (DropStep("nothing"), "why"),
        (DropStep("half \ud800"), "why"),
        (RewordStep(SLIPS, "\ud800"), "why"),
        (RewordStep(SLIPS, "x"), "\ud800"),
    ],
)
def test_what_is_refused_is_not_kept(
    site: Site, crew: dict[str, Who], plan_id: str, act: Change, why: str
) -> None:
    with pytest.raises((EditError, ReasonMissingError)):
        changed(site, plan_id, act, crew["supervisor"], why=why)

    assert edits_of(site, plan_id) == ()


def test_one_form_makes_one_change(site: Site, crew: dict[str, Who], plan_id: str) -> None:
    key = new_key()
    first = changed(site, plan_id, OWN, crew["supervisor"], key=key)

    again = changed(site, plan_id, OWN, crew["supervisor"], key=key)

    assert (again.sequence, again.repeated, first.repeated) == (1, True, False)
    assert len(edits_of(site, plan_id)) == 1
    with pytest.raises(KeyReusedError):
        changed(site, plan_id, DropStep(SLIPS), crew["supervisor"], key=key)
    with pytest.raises(KeyMissingError):
        changed(site, plan_id, OWN, crew["supervisor"], key="short")


def test_a_change_on_a_sheet_that_changed_since_is_refused(
    site: Site, crew: dict[str, Who], plan_id: str
) -> None:
    changed(site, plan_id, OWN, crew["supervisor"], seen=0)

    with pytest.raises(SheetChangedError, match="changed since you saw it, last by Test Supervisor"):
        changed(site, plan_id, DropStep(SLIPS), crew["supervisor"], seen=0)

    assert changed(site, plan_id, DropStep(SLIPS), crew["supervisor"], seen=1).sequence == 2


def test_changes_at_once_get_numbers_apart(site: Site, crew: dict[str, Who], plan_id: str) -> None:
    async def many() -> None:
        await asyncio.gather(
            *(
                change_sheet(site, plan_id, OWN, why=f"{number}", by=crew["supervisor"], key=new_key())
                for number in range(6)
            )
        )

    now(many())

    assert [edit.number for edit in edits_of(site, plan_id)] == [1, 2, 3, 4, 5, 6]
    assert proof(site, plan_id).edited is not None
    assert len(_sheet(proof(site, plan_id)).changes) == 6


def test_a_plan_without_a_sheet_takes_no_change(site: Site, crew: dict[str, Who]) -> None:
    stopped = keep_plan(site, "", STOPPED, crew["supervisor"]).id

    with pytest.raises(EditError, match=r"The plan has no sheet yet. Mend what stops it"):
        changed(site, stopped, OWN, crew["supervisor"])
    with pytest.raises(UnknownPlanError):
        changed(site, "none", OWN, crew["supervisor"])


def test_a_breach_stands_at_its_step_and_stops_the_release(
    site: Site, crew: dict[str, Who], plan_id: str
) -> None:
    changed(site, plan_id, DropStep(SAFETY), crew["supervisor"])

    found = proof(site, plan_id)
    breaches = [problem for problem in found.problems if problem.severity is Severity.STOP]

    assert not found.is_releasable
    assert all(problem.where.startswith("step ") for problem in breaches)
    with pytest.raises(PlanError, match="stop"):
        released(site, plan_id, crew["supervisor"], seen=1)


def test_what_no_law_misses_is_accepted_by_name(site: Site, crew: dict[str, Who], plan_id: str) -> None:
    changed(site, plan_id, RepeatStep("", TEST, Place(after=TEST)), crew["supervisor"])
    changed(site, plan_id, DropStep(TEST), crew["supervisor"])
    changed(site, plan_id, RewordStep("repeat/1", "Test the lead."), crew["supervisor"])

    asked = proof(site, plan_id).cautions()

    assert [problem.rule for problem in asked] == [LEFT_OUT, REWORDED]
    pin = PINS["Test Supervisor"]
    with pytest.raises(PlanError, match="cautions are not accepted yet"):
        now(release(site, plan_id, crew["supervisor"], pin=pin, accepted=(), key=new_key(), seen=3))


def test_the_frozen_sheet_is_the_changed_one_and_the_record_lists_the_changes(
    site: Site, crew: dict[str, Who], plan_id: str
) -> None:
    changed(site, plan_id, OWN, crew["supervisor"], why="gusts at noon")
    changed(site, plan_id, RepeatStep("", TEST, Place(after=TEST)), crew["supervisor"])
    run_id = released(site, plan_id, crew["supervisor"], seen=2).run_id
    site.runs.clear()
    now(run_to_the_end(site, run_id, crew))
    now(close(site, run_id, crew))

    run = run_of(site, run_id)
    record = install_record(run, SINGLE, logged_events(log_of(site, run_id)))

    assert run.sheet == _sheet(proof(site, plan_id))
    own = next(step for step in run.sheet.steps if step.operation is Operation.OWN_STEP)
    assert run.is_done(own.number)
    assert [(item.number, item.step, item.kind, item.why) for item in record.sheet_changes] == [
        (1, own.number, "added", "gusts at noon"),
        (2, record.sheet_changes[1].step, "repeated", "site rule"),
    ]
    assert record.sheet_changes[0].by == "Test Supervisor (supervisor)"
    assert record.sheet_changes[0].at.startswith("2031-05-04T06:")
    assert "Watch the weather." in record.sheet_changes[0].what


def test_a_release_of_a_sheet_that_changed_since_is_refused(
    site: Site, crew: dict[str, Who], plan_id: str
) -> None:
    changed(site, plan_id, OWN, crew["supervisor"])

    for seen in (0, 2):
        with pytest.raises(SheetChangedError):
            released(site, plan_id, crew["supervisor"], seen=seen)


def test_a_release_sent_again_is_answered_as_before_though_the_sheet_changed(
    site: Site, crew: dict[str, Who], plan_id: str
) -> None:
    key = new_key()
    first = released(site, plan_id, crew["supervisor"], seen=0, key=key)
    changed(site, plan_id, OWN, crew["supervisor"])

    again = released(site, plan_id, crew["supervisor"], seen=0, key=key)

    assert (again.run_id, again.repeated) == (first.run_id, True)
    assert run_of(site, first.run_id).sheet.changes == ()


def test_changes_are_taken_over_into_the_mended_plan(site: Site, crew: dict[str, Who], plan_id: str) -> None:
    by = crew["supervisor"]
    changed(site, plan_id, OWN, by, why="gusts")
    mended = keep_plan(site, "mended", SINGLE.replace('"303 ft"', '"303.5 ft"'), by).id

    acted = now(take_over(site, mended, plan_id, why="the plan was mended", by=by, key=new_key()))

    assert (acted.sequence, acted.kinds) == (2, ("changes-taken-over",))
    assert edits_of(site, mended)[0] == edits_of(site, plan_id)[0]
    assert [change.why for change in _sheet(proof(site, mended)).changes] == ["gusts"]
    with pytest.raises(EditError, match="This plan has changes of its own"):
        now(take_over(site, mended, plan_id, why="again", by=by, key=new_key()))
    with pytest.raises(UnknownPlanError):
        now(take_over(site, mended, "none", why="again", by=by, key=new_key()))


def _sheet(found: Proof) -> Sheet:
    assert found.sheet is not None
    return found.sheet
