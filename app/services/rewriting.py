"""The open part of a run's sheet written anew: a way back, its calling off, a changed plan; signed for."""

import asyncio
import hashlib
import sqlite3
from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import islice

from app.domain.commands import BackOut, BringForward, CallOffBackOut, Command, DeferStep, Replan
from app.domain.decide import decide
from app.domain.events.event import Work
from app.domain.events.rewriting import BackOutCause, Replanned
from app.domain.events.who import Who
from app.domain.problems import Problem, Severity
from app.domain.refusals import BackOutError, NobodyError, ReplanError, SetAsideError
from app.domain.rewriting.backing_out import backed_out
from app.domain.rewriting.bringing_forward import brought_forward
from app.domain.rewriting.putting_off import places_until, put_off, to_put_off
from app.domain.rewriting.replanning import Difference, difference, replanned
from app.domain.rewriting.rewritten import Rewritten
from app.domain.run import Run
from app.domain.sheet import Step
from app.domain.string.account import breaches_in
from app.records.canonical import fingerprint
from app.records.sheet_json import sheet_bytes
from app.services.plans import edits_of, plan_of, proof_of
from app.services.recording import record_events
from app.services.runs import (
    Acted,
    Intent,
    Recorded,
    as_logged,
    checked_key,
    content_of,
    once,
    recorded,
    run_of,
)
from app.services.seen import check_seen
from app.services.signing import ShownChangedError
from app.services.site import Site
from app.services.tries import check_pin
from app.store import photos
from app.store.photos import KeptPhoto
from app.store.plans import KeptPlan

MOST_PLACES = 20  # further than that nobody at the table looks ahead, and each place is proven
BACK_OUT_MEANING = "I have read the way back, step by step, and lead it."
TURN_MEANING = "I have read how it goes on from here, step by step, and lead it."
DEFER_MEANING = "I have looked at the string and at what comes until then, and this step is to be done later."
FORWARD_MEANING = "I have looked at the string and at what comes next, and this step is to be done sooner."
REPLAN_MEANING = "I have read what changes in what remains, and the string is to be run so."


@dataclass(frozen=True, slots=True)
class Proposal:
    """What a run's sheet would become, the run that it was worked out from, and the fingerprint of it."""

    run: Run
    rewritten: Rewritten
    shown: str


@dataclass(frozen=True, slots=True)
class ChangedPlan:
    """What remains by a kept plan, how it differs from before, and whether its own sheet was changed."""

    proposal: Proposal
    kept: KeptPlan
    difference: Difference
    is_edited: bool


@dataclass(frozen=True, slots=True)
class Places:
    """The steps until before which one may be put off, and the first before which a law stops that."""

    step: Step
    until: tuple[Step, ...]
    stopped_at: Step | None
    stopped: Problem | None


@dataclass(frozen=True, slots=True)
class Signer:
    """Who signs, with his PIN, for what was shown under a fingerprint; and the key of the form.

    `seen` is the last event that its page showed, none where it says nothing of that.
    """

    person_id: str
    pin: str
    shown: str
    key: str
    seen: int | None = None


def way_back(run: Run, first: int) -> Proposal:
    """Return the way back to before a step of a run, and forward again, from the string as it hangs.

    Raises: BackOutError where the step is not one to go back to.
    """
    return _proposal(run, backed_out(run, first))


def meaning_of(made: Proposal) -> str:
    """Return what somebody says who signs for a way back, or for the turn of one."""
    return TURN_MEANING if made.rewritten.turns else BACK_OUT_MEANING


def later(run: Run, number: int, until: int) -> Proposal:
    """Return what remains of a run where a step is put off until before another.

    Raises: SetAsideError where it cannot be; UnknownStepError.
    """
    return _proposal(run, put_off(run, number, until))


def sooner(run: Run, number: int) -> Proposal:
    """Return what remains of a run where a step that was put off stands as early as it may.

    Raises: SetAsideError where it cannot; UnknownStepError.
    """
    return _proposal(run, brought_forward(run, number))


def places_for(run: Run, number: int) -> Places:
    """Return until where a step may be put off, nearest first, each proven from the string as it hangs.

    Raises: SetAsideError where it cannot be put off at all; UnknownStepError.
    """
    step = to_put_off(run, number)
    found: list[Step] = []
    for other in islice(places_until(run, step), MOST_PLACES):
        made = put_off(run, number, other.number)
        if not made.may_be_signed:
            stopped = next(item for item in made.problems if item.severity is Severity.STOP)
            return Places(step, tuple(found), other, stopped)
        found.append(other)
    return Places(step, tuple(found), None, None)


def changed_plan(site: Site, run: Run, plan_id: str) -> ChangedPlan:
    """Return what remains of a run by a plan that is kept on the site.

    Raises: UnknownPlanError; ReplanError where the plan cannot be compiled, or a way back is being walked.
    """
    kept = plan_of(site, plan_id)
    proof = proof_of(site, kept)
    if proof.plan is None or proof.sheet is None:
        found = proof.problems[0]
        raise ReplanError(f"The plan '{kept.name}' cannot be compiled: {found.where}: {found.text}")
    made = replanned(run, proof.plan, proof.sheet)
    # What the laws say of the whole sheet is said again of what remains, from the string as it hangs.
    breaches = breaches_in(proof.problems)
    of_plan = tuple(problem for problem in proof.problems if problem not in breaches)
    made = replace(made, problems=(*of_plan, *made.problems))
    return ChangedPlan(_proposal(run, made), kept, difference(run, made), bool(edits_of(site, plan_id)))


def plan_text(site: Site, run: Run) -> str:
    """Return the text of the plan that a run is worked by now."""
    changed = (item.event for item in reversed(run.rewrites) if isinstance(item.event, Replanned))
    named = next(changed, run.release)
    return content_of(site, named.plan_content).decode() if named is not None else ""


async def begin_back_out(
    site: Site, run_id: str, first: int, *, cause: BackOutCause, reason: str, deviation: int, signer: Signer
) -> Acted:
    """Sign for a way back and begin it, or turn the one that is being walked.

    Raises: SignInError; ShownChangedError; StaleError; UnknownRunError; RefusedError of decide.
    """

    def command(made: Proposal, sheet: str) -> Command:
        rewritten, meaning = made.rewritten, meaning_of(made)
        return BackOut(first, cause, reason, deviation, rewritten, sheet, meaning, signer.shown)

    wanted = _Wanted(f"{first} {cause} {reason} {deviation}", lambda run: way_back(run, first), command)
    return await _signed(site, run_id, signer, wanted)


async def replan(
    site: Site, run_id: str, plan_id: str, *, reason: str, accepted: tuple[str, ...], signer: Signer
) -> Acted:
    """Sign for what remains by a changed plan, and go on with it.

    Raises: SignInError; ShownChangedError; StaleError; UnknownRunError; UnknownPlanError;
    RefusedError of decide.
    """
    kept = plan_of(site, plan_id)
    text = photos.photo_of(
        kept.text.encode(), media_type="application/toml", name="plan", at=site.now_text(), by=kept.created_by
    )

    def command(made: Proposal, sheet: str) -> Command:
        return Replan(
            reason=reason,
            plan_name=kept.name,
            plan_fingerprint=kept.fingerprint,
            plan_content=text.hash,
            rewritten=made.rewritten,
            sheet_content=sheet,
            accepted=accepted,
            meaning=REPLAN_MEANING,
            shown=signer.shown,
        )

    asked = f"{plan_id} {kept.fingerprint} {reason} {accepted}"
    wanted = _Wanted(asked, lambda run: changed_plan(site, run, plan_id).proposal, command, (text,))
    return await _signed(site, run_id, signer, wanted)


async def defer(site: Site, run_id: str, number: int, until: int, *, reason: str, signer: Signer) -> Acted:
    """Sign for a step to be done later, and put it off.

    Raises: SignInError; ShownChangedError; StaleError; UnknownRunError; RefusedError of decide.
    """

    def command(made: Proposal, sheet: str) -> Command:
        return DeferStep(number, until, reason, made.rewritten, sheet, DEFER_MEANING, signer.shown)

    wanted = _Wanted(f"{number} {until} {reason}", lambda run: later(run, number, until), command)
    return await _signed(site, run_id, signer, wanted)


async def bring_forward(site: Site, run_id: str, number: int, *, reason: str, signer: Signer) -> Acted:
    """Sign for a step that was put off to be done sooner, and bring it forward.

    Raises: SignInError; ShownChangedError; StaleError; UnknownRunError; RefusedError of decide.
    """

    def command(made: Proposal, sheet: str) -> Command:
        return BringForward(number, reason, made.rewritten, sheet, FORWARD_MEANING, signer.shown)

    wanted = _Wanted(f"forward {number} {reason}", lambda run: sooner(run, number), command)
    return await _signed(site, run_id, signer, wanted)


async def call_off(
    site: Site, run_id: str, who: Who | None, reason: str, key: str, *, seen: int | None = None
) -> Acted:
    """Call a way back off, or the turn of one, that nobody has begun to walk.

    Raises: NobodyError; UnknownRunError; StaleError; RefusedError of decide.
    """
    if who is None:
        raise NobodyError
    intent = Intent(run_id, who, checked_key(key), CallOffBackOut.__name__, _hash(reason))
    run_of(site, run_id)

    def decided(connection: sqlite3.Connection) -> Recorded:
        run = as_logged(site, connection, run_id)
        command = CallOffBackOut(reason, _content_before(run))
        check_seen(connection, run, command, seen)
        events = decide(run, command, now=site.clock(), who=who)
        work = Work(run.plan, run.way_back()[-1].before)
        return recorded(record_events(site, connection, run, events, who, work=work), events)

    return await once(site, intent, decided)


@dataclass(frozen=True, slots=True)
class _Wanted:
    """What is asked for, how it is worked out from a run, and the command that it comes to."""

    asked: str
    made_of: Callable[[Run], Proposal]
    command: Callable[[Proposal, str], Command]
    contents: tuple[KeptPhoto, ...] = ()


@dataclass(frozen=True, slots=True)
class _Frozen:
    proposal: Proposal
    sheet: KeptPhoto


async def _signed(site: Site, run_id: str, signer: Signer, wanted: _Wanted) -> Acted:
    checked_key(signer.key)
    who = await check_pin(site, signer.person_id, signer.pin)
    intent = Intent(run_id, who, signer.key, "rewrite", _hash(wanted.asked))
    # Working it out and freezing it take a while, which other people's taps should not wait for.
    early = await asyncio.to_thread(_worked_out_early, site, run_id, wanted, who)

    def decided(connection: sqlite3.Connection) -> Recorded:
        run = as_logged(site, connection, run_id)
        frozen = early if early is not None and early.proposal.run.sequence == run.sequence else None
        frozen = frozen or _frozen(site, wanted.made_of(run), who)
        command = wanted.command(frozen.proposal, frozen.sheet.hash)
        check_seen(connection, run, command, signer.seen)
        if frozen.proposal.shown != signer.shown:
            raise ShownChangedError
        made = frozen.proposal.rewritten
        events = decide(run, command, now=site.clock(), who=who)
        for content in (*wanted.contents, frozen.sheet):
            photos.add_photo(connection, content)
        work = Work(made.plan, made.sheet)
        return recorded(record_events(site, connection, run, events, who, work=work), events)

    return await once(site, intent, decided)


def _worked_out_early(site: Site, run_id: str, wanted: _Wanted, who: Who) -> _Frozen | None:
    try:
        return _frozen(site, wanted.made_of(run_of(site, run_id)), who)
    except (BackOutError, ReplanError, SetAsideError):
        return None  # only the writer knows whether this was answered before


def _frozen(site: Site, made: Proposal, who: Who) -> _Frozen:
    sheet = photos.photo_of(
        sheet_bytes(made.rewritten.sheet),
        media_type="application/json",
        name="sheet",
        at=site.now_text(),
        by=who.name,
    )
    return _Frozen(made, sheet)


def _proposal(run: Run, made: Rewritten) -> Proposal:
    shown = fingerprint(
        {
            "run": run.id,
            "kept": made.kept,
            "undone": list(made.undone),
            "back": list(made.back),
            "turns": made.turns,
            "dropped": list(made.dropped),
            "steps": [[step.key, step.text] for step in made.ahead()],
            "found": [[problem.rule, problem.where, problem.text] for problem in made.problems],
        }
    )
    return Proposal(run, made, shown)


def _content_before(run: Run) -> str:
    """Return the content of the sheet that was worked from before the rewriting by which it is worked now."""
    released = run.release.sheet_content if run.release else ""
    contents = [released, *(item.event.sheet_content for item in run.rewrites if not item.called_off)]
    return contents[-2] if len(contents) > 1 else ""


def _hash(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()
