"""Runs a plan for real through the services, as a crew would: talks, ticks, readings, signatures."""

import asyncio

from app.domain.at_step.counts import ItemCount
from app.domain.commands import CloseRun, CountItems, Entered, FinishStep, HoldTalk, ReadAgain, SettleItems
from app.domain.deciding.closing import closing_roles, uncounted, unsettled_serials
from app.domain.edits.kinds import last_number
from app.domain.events.load_out import Settlement
from app.domain.events.who import Who
from app.domain.operations import COMES_BACK_BY_SERIAL
from app.domain.problems import accepting
from app.domain.quantities import Quantity, in_unit
from app.domain.run import Run, fitted_at
from app.domain.second_readings import asked_twice
from app.domain.sheet import ReadingKind, ReadingWanted, Step
from app.services import people, pins, plans, signing
from app.services.runs import Acted, act, new_key, run_of
from app.services.site import Site
from app.services.tries import Present
from app.store.plans import KeptPlan

CREW: tuple[tuple[str, str, str], ...] = (
    ("Test Supervisor", "supervisor", "482915"),
    ("Test Technician", "pump technician", "739164"),
    ("Test Driller", "driller", "518273"),
    ("Test Hand", "floor crew", "627481"),
    ("Test Splicer", "cable splicer", "395172"),
    ("Test Representative", "company representative", "846203"),
)
PINS = {name: pin for name, _, pin in CREW}
ORDINARY: dict[ReadingKind, str] = {ReadingKind.TEMPERATURE: "25"}


def add_crew(site: Site) -> dict[str, Who]:
    """Return the test crew by role, added to a new site; each has chosen his PIN."""
    name, role, pin = CREW[0]
    supervisor = people.add_first_supervisor(site, name, pin)
    return {role: supervisor} | asyncio.run(_add_others(site, Present(supervisor)))


async def _add_others(site: Site, by: Present) -> dict[str, Who]:
    return {role: await add_one(site, by, name, role, pin=pin) for name, role, pin in CREW[1:]}


async def add_one(site: Site, by: Present, name: str, role: str, *, pin: str) -> Who:
    """Return somebody added to a site who has chosen his PIN."""
    added = await people.add_person(site, by, name, role, key=new_key())
    handed_over = await pins.open_pin_choice(site, by, added.run_id, "new here", key=new_key())
    return await pins.choose_pin(site, handed_over.token, pin, key=new_key())


async def release(site: Site, text: str, by: Who) -> str:
    """Return the id of the run of a plan, released with every caution accepted."""
    return await release_kept(site, plans.keep_plan(site, "", text, by), by)


async def release_kept(site: Site, kept: KeptPlan, by: Who) -> str:
    """Return the id of the run of a plan that is kept, released with every caution accepted."""
    accepted = tuple(accepting(problem) for problem in plans.proof_of(site, kept).cautions())
    seen, pin = last_number(plans.edits_of(site, kept.id)), PINS[by.name]
    doing = plans.release(site, kept.id, by, pin=pin, accepted=accepted, key=new_key(), seen=seen)
    return (await doing).run_id


async def hold_and_sign(site: Site, run_id: str, stage_id: str, crew: dict[str, Who]) -> None:
    """Hold the talk before a stage with the whole crew and let each sign for himself."""
    point = run_of(site, run_id).sheet.stage(stage_id).hold_point
    assert point is not None
    talk = HoldTalk(stage_id, point.topics, tuple(crew.values()))
    await act(site, run_id, talk, crew["supervisor"], new_key())
    for person in crew.values():
        shown = signing.shown_at_hold_point(run_of(site, run_id), stage_id)
        await signing.sign_hold_point(
            site,
            run_id,
            stage_id,
            person_id=person.person_id,
            pin=PINS[person.name],
            shown=shown,
            key=new_key(),
        )


async def run_to_the_end(site: Site, run_id: str, crew: dict[str, Who]) -> None:
    """Do every step of a run in order, holding each talk when its stage comes."""
    for step in run_of(site, run_id).sheet.steps:
        await finish(site, run_id, step, crew)


async def finish(site: Site, run_id: str, step: Step, crew: dict[str, Who]) -> Acted:
    """Do one step with good readings, after the hold point that stands before it."""
    run = run_of(site, run_id)
    held = run.holding(step)
    if held is not None:
        await hold_and_sign(site, run_id, held.id, crew)
        run = run_of(site, run_id)
    done = FinishStep(step.number, good_readings(run, step))
    acted = await act(site, run_id, done, crew["supervisor"], new_key())
    run = run_of(site, run_id)
    if step.number not in run.waiting:
        return acted
    return await act(site, run_id, read_again(run, step), crew["driller"], new_key())


async def close(site: Site, run_id: str, crew: dict[str, Who]) -> None:
    """Account for what is left, take the final signatures and close the run."""
    run = run_of(site, run_id)
    left = unsettled_serials(run)
    if left:
        settle = SettleItems(left, Settlement.RETURNED, "not needed")
        await act(site, run_id, settle, crew["supervisor"], new_key())
    for count in uncounted(run_of(site, run_id)):
        await act(site, run_id, send_back(count), crew["supervisor"], new_key())
    for role in closing_roles(run):
        person = crew[role]
        shown = signing.shown_at_close(run_of(site, run_id))
        await signing.sign_run(
            site, run_id, person_id=person.person_id, pin=PINS[person.name], shown=shown, key=new_key()
        )
    await act(site, run_id, CloseRun(), crew["supervisor"], new_key())


def send_back(count: ItemCount) -> CountItems:
    """Return the count of an item of which all that is left on deck went back."""
    assert count.issued is not None, "only what came in a known number is asked for"
    assert count.on_deck is not None, "so that the rest is known too"
    back = count.returned + count.on_deck
    return CountItems(count.item, count.issued, back, count.rejected, "not needed")


def read_again(run: Run, step: Step) -> ReadAgain:
    """Return the second reading that a step waits for, as good as the first."""
    twice = asked_twice(run.plan, step)
    return ReadAgain(step.number, tuple(item for item in good_readings(run, step) if item.name in twice))


def good_readings(run: Run, step: Step) -> tuple[Entered, ...]:
    """Return the readings that a step must have: targets, or what lies just inside the limits."""
    return tuple(_good(run, step, wanted) for wanted in step.readings if not wanted.is_optional)


def _good(run: Run, step: Step, wanted: ReadingWanted) -> Entered:
    if wanted.kind is ReadingKind.SERIAL:
        return Entered(wanted.name, _serial(run, step, wanted.item))
    tool = next((tool.tag for tool in run.plan.tools if tool.kind is wanted.tool), "")
    value = _inside(wanted)
    number = f"{in_unit(value, wanted.unit):.4f}" if value is not None else ORDINARY.get(wanted.kind, "1.0")
    return Entered(wanted.name, number, wanted.unit, tool)


def _serial(run: Run, step: Step, item: str) -> str:
    if step.operation in COMES_BACK_BY_SERIAL:
        fitted = fitted_at(run, step)
        return next(serial for serial, at in run.used_serials.items() if at == fitted)
    return free_serial(run, item)


def free_serial(run: Run, item: str) -> str:
    """Return a serial of the load-out list that is of the item, not used yet and still on site."""
    gone = {**run.used_serials, **run.settled}
    return next(serial for serial, kind in run.load_out.items() if kind == item and serial not in gone)


def _inside(wanted: ReadingWanted) -> Quantity | None:
    if wanted.target is not None:
        return wanted.target
    if wanted.kind is ReadingKind.PRESSURE and wanted.low is not None:
        # The end of a hold: a little over the lowest, for a rise is a fault too.
        return wanted.low * 1.01
    if wanted.low is not None and wanted.high is not None:
        return (wanted.low + wanted.high) * 0.5
    return wanted.low * 1.5 if wanted.low is not None else None
