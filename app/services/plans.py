"""Plans: read, proven, kept, and released as a run."""

import asyncio
import hashlib
import secrets
import sqlite3

from app.domain.edits.kinds import Edit, History, last_number
from app.domain.events.release import PlanReleased
from app.domain.events.who import Who
from app.domain.plan import Plan
from app.domain.problems import Problem, Severity, accepting
from app.domain.refusals import RefusedError
from app.domain.run import new_run
from app.domain.sheet import Sheet
from app.domain.site_rights import SiteAct
from app.records.edit_json import read_entry
from app.records.plan_json import plan_fingerprint
from app.records.plan_toml import read_plan
from app.records.sheet_json import sheet_bytes
from app.services.proof import Proof, prove
from app.services.recording import record_events
from app.services.runs import Acted, Intent, Recorded, checked_key, once, recorded
from app.services.site import Site
from app.services.tries import present
from app.store import photos, plans, sheet_edits
from app.store.plans import KeptPlan

MEANING = "I have checked this plan and release it to be run."
LONGEST_PLAN = 4_000_000  # characters; the largest plan that anybody writes is a tenth of it


class PlanError(RefusedError):
    """The plan cannot be kept or released."""

    rule = "plan"

    def __init__(self, text: str, problems: tuple[Problem, ...] = ()) -> None:
        super().__init__(text)
        self.problems = problems


class UnknownPlanError(RefusedError):
    """There is no such plan."""

    rule = "unknown-plan"

    def __init__(self, plan_id: str) -> None:
        super().__init__(f"There is no plan '{plan_id}' here. Choose one from the list of plans.")


class SheetChangedError(RefusedError):
    """The sheet is not as it was shown."""

    rule = "sheet-changed"

    def __init__(self, history: History) -> None:
        by = f", last by {history[-1].who.name}" if history else ""
        super().__init__(f"The sheet has been changed since you saw it{by}. Look at it again, then decide.")


def keep_plan(site: Site, name: str, text: str, by: Who) -> KeptPlan:
    """Keep a plan's text, where it can be read.

    Raises: PlanError with every mistake where it cannot; nothing is kept then.
    """
    kept = _to_keep(site, name, text, by)
    site.database.writer.run(lambda connection: plans.add_plan(connection, kept))
    return kept


async def keep_plan_once(site: Site, name: str, text: str | bytes, by: Who, *, key: str) -> Acted:
    """Keep a plan's text once for each key; what comes back names the plan where others name the run.

    Raises: PlanError with every mistake where it cannot be read; KeyReusedError.
    """
    checked_key(key)
    # Reading a plan takes a while, which other people's taps should not wait for.
    kept = await asyncio.to_thread(_to_keep, site, name, text, by)
    asked = hashlib.sha256(repr((name, kept.text)).encode()).hexdigest()

    def added(connection: sqlite3.Connection) -> Recorded:
        plans.add_plan(connection, kept)
        return Recorded(Acted(kept.id, 0, ("plan-kept",)), None)

    return await once(site, Intent("plan", by, key, "keep", asked), added)


def plan_of(site: Site, plan_id: str) -> KeptPlan:
    """Return a kept plan.

    Raises: UnknownPlanError where there is none of that id.
    """
    with site.database.reader() as session:
        kept = plans.find_plan(session, plan_id)
    if kept is None:
        raise UnknownPlanError(plan_id)
    return kept


def all_plans(site: Site) -> list[KeptPlan]:
    """Return all kept plans, by name and then by age."""
    with site.database.reader() as session:
        return plans.list_plans(session)


def edits_of(site: Site, plan_id: str) -> tuple[Edit, ...]:
    """Return the list of changes to a plan's sheet, those taken back too.

    Raises: UnreadableEditError where a newer program wrote one.
    """
    with site.database.reader() as session:
        return tuple(read_entry(entry) for entry in sheet_edits.read_edits(session, plan_id))


def edits_seen_by_writer(connection: sqlite3.Connection, plan_id: str) -> tuple[Edit, ...]:
    """Return the same list as the writing connection sees it."""
    return tuple(read_entry(entry) for entry in sheet_edits.edits_seen_by_writer(connection, plan_id))


def as_seen(history: History, seen: int) -> None:
    """Pass where a list of changes ends as somebody saw it.

    Raises: SheetChangedError.
    """
    if last_number(history) != seen:
        raise SheetChangedError(history)


def proof_of(site: Site, kept: KeptPlan) -> Proof:
    """Return the proof of a kept plan today, with the changes to its sheet."""
    return prove(kept.text, site.clock().date(), edits_of(site, kept.id))


async def release(
    site: Site,
    plan_id: str,
    by: Who | None,
    *,
    pin: str,
    accepted: tuple[str, ...],
    key: str,
    seen: int = 0,
) -> Acted:
    """Check, freeze and sign for a plan; what comes back names the new run.

    `seen` is the number of the last entry in the list of changes that the releaser saw, 0 where it is empty.

    Raises: RightsError, SignInError; PlanError where a finding stops it or a caution is not accepted;
    SheetChangedError where the sheet was changed since it was seen.
    """
    checked_key(key)
    by = (await present(site, SiteAct.RELEASE, by, pin)).who
    kept = plan_of(site, plan_id)
    history = tuple(edit for edit in edits_of(site, plan_id) if edit.number <= seen)
    # Proving and freezing take a while, which other people's taps should not wait for.
    proof = await asyncio.to_thread(prove, kept.text, site.clock().date(), history)
    plan, sheet = _releasable(proof, accepted)
    frozen = await asyncio.to_thread(sheet_bytes, sheet)
    at, run_id = site.now_text(), f"{site.clock():%Y%m%d}-{secrets.token_hex(3)}"
    text = photos.photo_of(kept.text.encode(), media_type="application/toml", name="plan", at=at, by=by.name)
    sheet_content = photos.photo_of(frozen, media_type="application/json", name="sheet", at=at, by=by.name)
    event = _event(site, kept, proof, text=text.hash, sheet=sheet_content.hash)
    asked = hashlib.sha256(repr((plan_id, accepted, seen)).encode()).hexdigest()
    intent = Intent(plan_id, by, key, "release", asked)

    def released(connection: sqlite3.Connection) -> Recorded:
        as_seen(edits_seen_by_writer(connection, plan_id), seen)
        photos.add_photo(connection, text)
        photos.add_photo(connection, sheet_content)
        run = record_events(site, connection, new_run(run_id, plan, sheet), (event,), by)
        return recorded(run, (event,))

    return await once(site, intent, released)


def _event(site: Site, kept: KeptPlan, proof: Proof, *, text: str, sheet: str) -> PlanReleased:
    assert proof.plan is not None, "only a plan that could be read is released"
    return PlanReleased(
        title=proof.plan.job.title,
        well=proof.plan.well.name,
        plan_name=kept.name,
        plan_fingerprint=kept.fingerprint,
        plan_content=text,
        sheet_content=sheet,
        # What was found and no other words: the signer's name stands under them.
        accepted=tuple(accepting(caution) for caution in proof.cautions()),
        meaning=MEANING,
        practice=site.practice,
    )


def _to_keep(site: Site, name: str, text: str | bytes, by: Who) -> KeptPlan:
    if len(text) > LONGEST_PLAN:
        raise PlanError(
            f"The plan is longer than {LONGEST_PLAN} characters; no run needs that. Check the file."
        )
    plan, problems = read_plan(text)
    if plan is None:
        mistakes = "1 mistake; mend it" if len(problems) == 1 else f"{len(problems)} mistakes; mend them"
        raise PlanError(f"The plan has {mistakes} and send it again.", problems)
    return KeptPlan(
        id=secrets.token_hex(4),
        name=name.strip() or plan.job.title,
        text=text if isinstance(text, str) else text.decode("utf-8-sig"),
        fingerprint=plan_fingerprint(plan),
        created_at=site.now_text(),
        created_by=by.name,
    )


def _releasable(proof: Proof, accepted: tuple[str, ...]) -> tuple[Plan, Sheet]:
    if proof.plan is None or proof.sheet is None or not proof.is_releasable:
        stops = tuple(problem for problem in proof.problems if problem.severity is Severity.STOP)
        raise PlanError(f"{len(stops)} findings stop the release; mend the plan and check it again.", stops)
    missing = [problem for problem in proof.cautions() if accepting(problem) not in accepted]
    if missing:
        raise PlanError(
            f"{len(missing)} cautions are not accepted yet; read each and tick it, or mend the plan.",
            tuple(missing),
        )
    return proof.plan, proof.sheet
