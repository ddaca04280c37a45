"""Signatures: a person, his PIN, what it means, and the fingerprint of what was shown."""

from collections.abc import Callable

from app.domain.at_step.step_times import too_fast_before
from app.domain.commands import AcceptHandover, Command, SignHoldPoint, SignRun, TakeCharge
from app.domain.refusals import RefusedError
from app.domain.run import Run, last_on_floor
from app.domain.standing import next_on_floor, open_items, set_aside_at, to_talk_through
from app.records.canonical import fingerprint
from app.services.runs import Acted, act, checked_key
from app.services.site import Site
from app.services.tries import check_pin

HOLD_MEANING = "I was at this talk, understood it, and am ready for the work ahead."
HANDOVER_MEANING = "I talked this through, know where the run stands, and answer for it from now on."
CHARGE_MEANING = (
    "I have read where the run stands and answer for it from now on. Nobody handed it over to me."
)
RUN_MEANING = "The string was run as this record says."


class ShownChangedError(RefusedError):
    """What is signed is not what was shown."""

    rule = "shown-changed"

    def __init__(self) -> None:
        super().__init__("What stands here has changed since you saw it. Read it again, then sign.")


def shown_at_hold_point(run: Run, stage_id: str) -> str:
    """Return the fingerprint of what a hold point shows: topics, those present, the steps
    ahead, and the ticks behind that came too fast.

    Raises: KeyError where the sheet has no such stage.
    """
    stage, talk = run.sheet.stage(stage_id), run.hold(stage_id).talk
    return fingerprint(
        {
            "run": run.id,
            "title": stage.hold_point.title if stage.hold_point else "",
            "topics": list(talk.topics) if talk else [],
            "attendance": [person.titled for person in talk.attendance] if talk else [],
            "steps": [step.text for step in run.sheet.steps_of(stage_id)],
            "set_aside": [item.text for item in set_aside_at(run, stage_id)],
            "too_fast": [[time.step, str(time.ended_at)] for time in too_fast_before(run, stage_id)],
        }
    )


def shown_at_close(run: Run) -> str:
    """Return the fingerprint of the finished run as it is shown for the final signatures."""
    return fingerprint(
        {
            "run": run.id,
            "steps": [
                [number, done.who.name, [[taken.name, taken.value, taken.unit] for taken in done.readings]]
                for number, done in sorted(run.done.items())
            ],
            "deviations": [item.raised.number for item in run.deviations],
            "not_applicable": [[number, item.reason] for number, item in sorted(run.not_applicable.items())],
        }
    )


def shown_at_handover(run: Run) -> str:
    """Return the fingerprint of what the incoming supervisor sees: draft, open items, cross-check."""
    handover = run.handing_over
    check = handover.last_check if handover is not None else None
    read = (*check.event.readings, check.event.current) if check is not None else ()
    return fingerprint(
        {
            "run": run.id,
            "words": handover.drafted.words if handover is not None else "",
            "open": [item.text for item in open_items(run)],
            "read": [[item.step, item.name, item.typed, item.recorded] for item in read],
            "done": sorted(run.done),
        }
    )


def shown_at_taking_charge(run: Run) -> str:
    """Return the fingerprint of what is shown to who takes charge: who is in charge, the handover that
    goes on, the step done last, the one to be done now, the next, and what is open."""
    handover, in_charge = run.handing_over, run.in_charge
    steps = (last_on_floor(run), run.current(), next_on_floor(run))
    return fingerprint(
        {
            "run": run.id,
            "in_charge": in_charge.titled if in_charge is not None else "",
            "handover": handover.drafted.words if handover is not None else "",
            "steps": [[step.number, step.text] if step is not None else [] for step in steps],
            "open": [item.text for item in open_items(run)],
        }
    )


async def accept_handover(
    site: Site,
    run_id: str,
    *,
    person_id: str,
    pin: str,
    words: str,
    shown: str,
    key: str,
    seen: int | None = None,
) -> Acted:
    """Take a run over for oneself, by one's own PIN.

    Raises: SignInError where the PIN does not fit; ShownChangedError; StaleError;
    RefusedError of decide.
    """

    def is_shown(run: Run) -> bool:
        handover = run.handing_over
        # What came since it was talked through is named by its own refusal.
        return handover is None or bool(to_talk_through(run, handover)) or shown == shown_at_handover(run)

    command = AcceptHandover(words, HANDOVER_MEANING, shown)
    return await _signed(site, run_id, command, is_shown, person_id=person_id, pin=pin, key=key, seen=seen)


async def take_charge(
    site: Site,
    run_id: str,
    *,
    person_id: str,
    pin: str,
    reason: str,
    gone: bool,
    shown: str,
    key: str,
    seen: int | None = None,
) -> Acted:
    """Take charge of a run that nobody hands over, by one's own PIN.

    Raises: SignInError where the PIN does not fit; ShownChangedError; StaleError;
    RefusedError of decide.
    """

    def is_shown(run: Run) -> bool:
        return run.is_closed or shown == shown_at_taking_charge(run)

    command = TakeCharge(reason, gone, CHARGE_MEANING, shown)
    return await _signed(site, run_id, command, is_shown, person_id=person_id, pin=pin, key=key, seen=seen)


async def sign_hold_point(
    site: Site,
    run_id: str,
    stage_id: str,
    *,
    person_id: str,
    pin: str,
    shown: str,
    key: str,
    seen: int | None = None,
) -> Acted:
    """Sign a hold point for oneself, on anybody's tablet.

    Raises: SignInError where the PIN does not fit; ShownChangedError; StaleError;
    RefusedError of decide.
    """

    def is_shown(run: Run) -> bool:
        return stage_id not in run.sheet.by_stage or shown == shown_at_hold_point(run, stage_id)

    command = SignHoldPoint(stage_id, HOLD_MEANING, shown)
    return await _signed(site, run_id, command, is_shown, person_id=person_id, pin=pin, key=key, seen=seen)


async def sign_run(
    site: Site, run_id: str, *, person_id: str, pin: str, shown: str, key: str, seen: int | None = None
) -> Acted:
    """Sign the finished run for oneself.

    Raises: SignInError where the PIN does not fit; ShownChangedError; StaleError;
    RefusedError of decide.
    """

    def is_shown(run: Run) -> bool:
        return shown == shown_at_close(run)

    command = SignRun(RUN_MEANING, shown)
    return await _signed(site, run_id, command, is_shown, person_id=person_id, pin=pin, key=key, seen=seen)


async def _signed(
    site: Site,
    run_id: str,
    command: Command,
    is_shown: Callable[[Run], bool],
    *,
    person_id: str,
    pin: str,
    key: str,
    seen: int | None,
) -> Acted:
    """Act by one's own PIN on what `is_shown` says is still as it was shown."""
    checked_key(key)
    who = await check_pin(site, person_id, pin)

    def as_shown(run: Run) -> None:
        if not is_shown(run):
            raise ShownChangedError

    return await act(site, run_id, command, who, key, seen=seen, supposing=as_shown)
