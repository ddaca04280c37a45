"""The guide says who may do what; every combination of role, command and state is held against it."""

from collections.abc import Callable, Mapping
from dataclasses import is_dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from functools import cache
from itertools import product
from types import UnionType
from typing import Any, Union, cast, get_args, get_origin, get_type_hints

import pytest

from app.domain.apply import apply
from app.domain.commands import (
    AcceptDeviation,
    AddNote,
    AddPhoto,
    AddToLoadOut,
    BeginHold,
    BringForward,
    CloseRun,
    Command,
    CorrectReading,
    DeferStep,
    DraftHandover,
    FinishStep,
    HoldTalk,
    ProposeDisposition,
    RaiseDeviation,
    ReadAgain,
    SayApplicable,
    SayNotApplicable,
    SettleItems,
    SignHoldPoint,
    SignRun,
    SwapItem,
    TakeCharge,
    UndoStep,
)
from app.domain.crew import ROLES
from app.domain.decide import decide
from app.domain.deciding.closing import uncounted, unsettled_serials
from app.domain.events.closing import RunClosed
from app.domain.events.deviations import Disposition
from app.domain.events.event import Happened, Work
from app.domain.events.holds import Cause
from app.domain.events.load_out import Settlement
from app.domain.events.who import Who
from app.domain.plan import Plan
from app.domain.refusals import ClosedRunError, NobodyError, RefusedError, RightsError, RunStateError
from app.domain.rewriting.bringing_forward import brought_forward
from app.domain.rewriting.putting_off import put_off
from app.domain.rights import RIGHTS, check_right
from app.domain.run import Run, RunState
from app.domain.sheet import Sheet
from app.domain.site_rights import SITE_RIGHTS, SiteAct, check_site_right, may_on_site
from tests.domain import job, own_steps
from tests.rights_guide import ANOTHER, AS_PLANNED, BEGIN, COLUMNS, END, GUIDE, NOBODY, with_rights
from tests.runner import good_readings, read_again, send_back

TEXT = GUIDE.read_text(encoding="utf-8")
COMMANDS: tuple[type[Any], ...] = get_args(Command)
PEOPLE = {
    **{person.role: person for person in job.CREW},
    ANOTHER: Who("p-oth", "Ned Nonesuch", "cable splicer"),
}
BY_TABLE = "refused for the role"
BY_STATE = "refused for the state"
NOT_BY_TABLE = "left to the command's own rules"


# What brings a run in the middle of its work into each state.
INTO: dict[RunState, Callable[[Run], Run]] = {
    RunState.RUNNING: lambda run: run,
    RunState.ON_HOLD: lambda run: job.do(run, BeginHold(Cause.WEATHER)),
    RunState.HANDING_OVER: lambda run: job.do(run, DraftHandover("Slips sit deep.")),
    RunState.CLOSED: lambda run: job.happened(run, RunClosed("")),
}


@cache
def run_at(state: RunState) -> Run:
    """Return the run in the middle of its work, brought into a state."""
    run = INTO[state](job.before(job.TORQUE))
    assert run.state is state
    return run


def rows(first_cell: str) -> dict[str, list[str]]:
    """Return the cells behind the first of each row of one of the guide's tables of rights."""
    part = TEXT.partition(BEGIN)[2].partition(END)[0]
    table = next(table for table in part.split("\n\n") if table.startswith(f"| {first_cell}"))
    lines = [[cell.strip() for cell in line[1:-1].split("|")] for line in table.splitlines()]
    return {cells[0].strip("`"): cells[1:] for cells in lines[2:]}


def allowed_states(command: type[Any], role: str) -> set[str]:
    """Return the states in which the guide lets a role give a command."""
    cell = rows("command")[command.__name__][1 + COLUMNS.index(role)]
    return set() if cell == NOBODY else set(cell.split(", "))


# --- the guide is what the tables say


def test_the_guide_shows_the_rights_as_they_are_now() -> None:
    assert with_rights(TEXT) == TEXT, "write it anew with: python -m tests.rights_guide"


def test_the_guide_has_one_place_for_the_rights() -> None:
    assert (TEXT.count(BEGIN), TEXT.count(END)) == (1, 1)


def test_every_command_and_every_act_has_one_row() -> None:
    assert list(rows("command")) == [command.__name__ for command in RIGHTS]
    assert set(COMMANDS) == set(RIGHTS)
    assert list(rows("on the site")) == [act.value for act in SiteAct]
    assert set(SITE_RIGHTS) == set(SiteAct)


def test_the_guide_says_where_a_plan_names_the_roles() -> None:
    planned = {name for name, cells in rows("command").items() if cells[0].endswith(AS_PLANNED)}

    assert {AcceptDeviation.__name__, SignRun.__name__} <= planned
    assert not planned & {HoldTalk.__name__, FinishStep.__name__}


# --- every combination


@pytest.mark.parametrize("command", COMMANDS, ids=lambda command: str(command.__name__))
def test_a_role_may_give_a_command_in_the_states_that_the_guide_says_and_in_no_other(
    command: type[Any],
) -> None:
    wanted = {
        (role, state): NOT_BY_TABLE
        if state in allowed_states(command, role)
        else BY_STATE
        if allowed_states(command, role) or state is RunState.CLOSED
        else BY_TABLE
        for role, state in product(COLUMNS, RunState)
    }

    found = {(role, state): outcome(command, role, state) for role, state in wanted}

    assert found == wanted


def outcome(command: type[Any], role: str, state: RunState) -> str:
    """Return what became of a command: refused by the table of rights, or left to its own rules."""
    run = run_at(state)
    try:
        decide(run, plausible(command), now=job.START + timedelta(days=2), who=PEOPLE[role])
    except (ClosedRunError, RunStateError):
        return BY_STATE
    except RightsError as refusal:
        return BY_TABLE if refusal.act == RIGHTS[command].to else NOT_BY_TABLE
    except RefusedError:
        return NOT_BY_TABLE
    return NOT_BY_TABLE


MADE: dict[Any, Callable[[], Any]] = {Plan: job.plan, Sheet: job.sheet, datetime: lambda: job.START}


def plausible(kind: Any) -> Any:
    """Return some value of a type: rights look at who asks for what, and at nothing in it."""
    if kind in MADE:
        return MADE[kind]()
    if is_dataclass(kind) and isinstance(kind, type):
        return kind(**{name: plausible(hint) for name, hint in get_type_hints(kind).items()})
    if get_origin(kind) in (Union, UnionType):
        return plausible(get_args(kind)[0])
    if get_origin(kind) is not None:
        return {} if get_origin(kind) is Mapping else ()
    if isinstance(kind, type) and issubclass(kind, StrEnum):
        return next(iter(kind))
    return kind(1)


@pytest.mark.parametrize("state", [state for state in RunState if state is not RunState.CLOSED])
def test_what_has_no_row_nobody_may_do(state: RunState) -> None:
    for person in PEOPLE.values():
        with pytest.raises(RightsError, match="nobody may"):
            check_right(run_at(state), Who, person)


def test_nobody_may_do_anything_without_a_name() -> None:
    for command, who in product(COMMANDS, (None, Who("", "", "supervisor"))):
        with pytest.raises(NobodyError):
            decide(run_at(RunState.RUNNING), plausible(command), now=job.START, who=who)


# --- what is allowed is obeyed

Suitable = Callable[[], tuple[Run, Any]]


def _talk() -> tuple[Run, Any]:
    stage = job.step(job.FIRST_LIFT).stage
    point = job.sheet().stage(stage).hold_point
    assert point is not None
    return job.begun(), HoldTalk(stage, point.topics, tuple(PEOPLE.values()))


def _signature() -> tuple[Run, Any]:
    run, talk = _talk()
    return job.do(run, talk), SignHoldPoint(talk.stage, "I was there.", "a" * 64)


def _tick() -> tuple[Run, Any]:
    run = job.before(job.TORQUE)
    return run, FinishStep(job.TORQUE, good_readings(run, job.step(job.TORQUE)))


def _correction() -> tuple[Run, Any]:
    return job.after(job.TORQUE), CorrectReading(job.TORQUE, job.torqued("501").readings[0], "misread")


def _raised() -> tuple[Run, Any]:
    run, raising = job.before(job.TORQUE), RaiseDeviation(job.TORQUE, "worn", "age", Disposition.USE_AS_IS)
    return job.do(run, raising), AcceptDeviation(1, Disposition.USE_AS_IS, "looked at it")


def _proposal() -> tuple[Run, Any]:
    run, _ = _raised()
    return run, ProposeDisposition(1, Disposition.REPLACE, "there is a spare")


def _second_reading() -> tuple[Run, Any]:
    run, step = job.before(job.MEET_SWIVEL), job.step(job.MEET_SWIVEL)
    somebody = Who("p-first", "Ida Invented", "supervisor")
    run = job.do(run, FinishStep(step.number, good_readings(run, step)), somebody)
    return run, read_again(run, step)


def _left_out() -> tuple[Run, Any]:
    number = own_steps.number_of(own_steps.WEATHER)
    run = job.do(own_steps.before(own_steps.WEATHER), SayNotApplicable(number, "no crane"))
    return run, SayApplicable(number, "there is one")


def _put_off() -> tuple[Run, Any]:
    run = job.before(job.LINE_TEST)
    made = put_off(run, job.LINE_TEST, job.LINE_TEST + 2)
    return run, DeferStep(job.LINE_TEST, job.LINE_TEST + 2, "no pump", made, "c" * 64, "later", "a" * 64)


def _forward() -> tuple[Run, Any]:
    run, command = _put_off()
    work = Work(command.rewritten.plan, command.rewritten.sheet)
    for event in job.asked(run, command):
        run = apply(run, Happened(run.sequence + 1, job.START, job.SUPERVISOR, event, work))
    number = job.LINE_TEST + 1
    made = brought_forward(run, number)
    return run, BringForward(number, "the pump came", made, "c" * 64, "sooner", "a" * 64)


def _settling() -> tuple[Run, Any]:
    run = job.all_done()
    return run, SettleItems(unsettled_serials(run), Settlement.RETURNED, "not needed")


def _last_signature() -> tuple[Run, Any]:
    run = job.do(*_settling())
    for count in uncounted(run):
        run = job.do(run, send_back(count))
    return run, SignRun("The string was run as this record says.", "b" * 64)


def _close() -> tuple[Run, Any]:
    run, signature = _last_signature()
    return job.do(job.do(run, signature), signature, job.REPRESENTATIVE), CloseRun()


def _charge() -> tuple[Run, Any]:
    taking = TakeCharge("flown out", False, "I answer for it.", "a" * 64)
    return job.do(job.before(job.TORQUE), taking, Who("p-rel", "Rita Relief", "supervisor")), taking


OBEYED: dict[type[Any], Suitable] = {
    HoldTalk: _talk,
    SignHoldPoint: _signature,
    FinishStep: _tick,
    UndoStep: lambda: (job.after(job.TORQUE), UndoStep(job.TORQUE, "slip")),
    CorrectReading: _correction,
    RaiseDeviation: lambda: (
        job.before(job.TORQUE),
        RaiseDeviation(job.TORQUE, "worn", "age", Disposition.REWORK),
    ),
    ReadAgain: _second_reading,
    ProposeDisposition: _proposal,
    AcceptDeviation: _raised,
    SayNotApplicable: lambda: (
        own_steps.before(own_steps.WEATHER),
        SayNotApplicable(own_steps.number_of(own_steps.WEATHER), "no crane"),
    ),
    SayApplicable: _left_out,
    DeferStep: _put_off,
    BringForward: _forward,
    SwapItem: lambda: (job.begun(), SwapItem("SEAL-1", "TL-SEAL-0011", "S-77", "leaks")),
    AddNote: lambda: (job.begun(), AddNote(1, "rain")),
    AddPhoto: lambda: (job.begun(), AddPhoto(1, "c" * 64, "rain.png", "image/png")),
    AddToLoadOut: lambda: (job.begun(), AddToLoadOut("X-77", "bypass clamp", "sent later")),
    SettleItems: _settling,
    TakeCharge: _charge,
    SignRun: _last_signature,
    CloseRun: _close,
}
# What the rows leave to the command's own rules: the step's own role, or the one who did it.
BESIDES = {FinishStep, UndoStep, CorrectReading}


@pytest.mark.parametrize("command", OBEYED, ids=lambda command: str(command.__name__))
def test_a_suitable_command_is_obeyed_by_the_roles_that_the_guide_names_and_by_no_other(
    command: type[Any],
) -> None:
    run, asked = OBEYED[command]()
    wanted = {role for role in COLUMNS if RunState.RUNNING in allowed_states(command, role)}
    if command in BESIDES:
        wanted = {"supervisor", job.step(job.TORQUE).role} if command is FinishStep else {"supervisor"}

    obeyed = {role for role, person in PEOPLE.items() if is_obeyed(run, asked, person)}

    assert obeyed == wanted


def is_obeyed(run: Run, command: Any, who: Who) -> bool:
    """Return whether a command leads to events; one that is refused for another reason fails the test."""
    try:
        return bool(job.asked(run, command, who))
    except RightsError:
        return False


# --- on the site


@pytest.mark.parametrize("act", SiteAct)
def test_a_role_may_do_on_the_site_what_the_guide_says_and_nothing_else(act: SiteAct) -> None:
    cells = rows("on the site")[act.value]

    for role, person in PEOPLE.items():
        allowed = cells[COLUMNS.index(role)] == "yes"
        assert may_on_site(act, person) is allowed, role
        if allowed:
            assert check_site_right(act, person) == person
        else:
            with pytest.raises(RightsError, match=f"may not {act.value}: that is for the"):
                check_site_right(act, person)


def test_nobody_may_do_anything_on_the_site_without_a_name() -> None:
    for act in SiteAct:
        with pytest.raises(NobodyError):
            check_site_right(act, None)


def test_what_has_no_row_nobody_may_do_on_the_site() -> None:
    unheard_of = cast(SiteAct, "sell the rig")

    for person in PEOPLE.values():
        assert not may_on_site(unheard_of, person)
        with pytest.raises(RightsError, match="may not sell the rig: nobody may"):
            check_site_right(unheard_of, person)


def test_every_role_of_the_trade_has_its_column() -> None:
    assert (*ROLES, ANOTHER) == COLUMNS
    assert set(PEOPLE) == set(COLUMNS)
