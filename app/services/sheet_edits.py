"""Changes to the sheet of a plan before its release: made, taken back, taken over from another plan."""

import asyncio
import hashlib
import sqlite3
from collections.abc import Callable, Sequence

from app.domain.edits.deciding import (
    EditError,
    Unreleased,
    decide_change,
    decide_take_back,
    decide_take_over,
    refuse_others,
)
from app.domain.edits.editing import edit_sheet
from app.domain.edits.kinds import Change, Edit, History, TakeOver
from app.domain.events.who import Who
from app.domain.sheet import Step
from app.records.edit_json import entry_of, kind_of_act
from app.services.plans import as_seen, edits_of, edits_seen_by_writer, plan_of
from app.services.proof import compiled
from app.services.runs import Acted, Intent, Recorded, checked_key, once
from app.services.site import Site
from app.store import sheet_edits

Deciding = Callable[[History], Sequence[Edit]]


async def change_sheet(
    site: Site,
    plan_id: str,
    act: Change,
    *,
    why: str,
    by: Who | None,
    key: str,
    seen: int | None = None,
) -> Acted:
    """Change the sheet of a plan; what comes back names the plan, and the number of the change.

    `seen` is the number of the last change that was shown; without it nobody minds what changed since.

    Raises: NobodyError, RightsError, ReasonMissingError, UnknownPlanError; EditError where the sheet does
    not take it; SheetChangedError where it was changed since it was seen; KeyReusedError.
    """
    who = refuse_others(by)
    kept = plan_of(site, plan_id)
    # Compiling takes a while, which other people's taps should not wait for.
    made = await asyncio.to_thread(compiled, kept.text, site.clock().date())
    if made.plan is None or made.compiled is None:
        raise EditError("The plan has no sheet yet. Mend what stops it and keep it again, then change it.")
    plan, sheet = made.plan, made.compiled

    def decided(history: History) -> Sequence[Edit]:
        if seen is not None:
            as_seen(history, seen)
        unreleased = Unreleased(plan, sheet, history)
        return (decide_change(unreleased, act, why=why, who=who, now=site.clock()),)

    return await _add(site, _intent(plan_id, who, key, (act, why)), decided)


async def step_shown(site: Site, plan_id: str, number: int, *, by: Who | None, seen: int) -> Step | None:
    """Return the step of that number in the sheet as it was shown, with the changes up to `seen`, or none.

    Raises: NobodyError, RightsError, UnknownPlanError.
    """
    refuse_others(by)
    kept, history = plan_of(site, plan_id), edits_of(site, plan_id)
    made = await asyncio.to_thread(compiled, kept.text, site.clock().date())
    if made.compiled is None:
        return None
    shown = tuple(edit for edit in history if edit.number <= seen)
    return edit_sheet(made.compiled, shown).sheet.step(number)


async def take_back(site: Site, plan_id: str, number: int, *, why: str, by: Who | None, key: str) -> Acted:
    """Take a change back; both stay in the list.

    Raises: NobodyError, RightsError, ReasonMissingError, UnknownPlanError; EditError where no such
    change stands; KeyReusedError.
    """
    who = refuse_others(by)
    plan_of(site, plan_id)

    def decided(history: History) -> Sequence[Edit]:
        return (decide_take_back(history, number, why=why, who=who, now=site.clock()),)

    return await _add(site, _intent(plan_id, who, key, ("take back", number, why)), decided)


async def take_over(site: Site, plan_id: str, source_id: str, *, why: str, by: Who | None, key: str) -> Acted:
    """Take the changes of another plan over into one that has none, such as an older text of the same job.

    Raises: NobodyError, RightsError, ReasonMissingError, UnknownPlanError; EditError where there is
    nothing to take or no room for it; KeyReusedError.
    """
    who = refuse_others(by)
    plan_of(site, plan_id)
    other = plan_of(site, source_id)
    source = TakeOver(other.id, other.name)

    def decided(history: History) -> Sequence[Edit]:
        return decide_take_over(
            history, source, edits_of(site, source_id), why=why, who=who, now=site.clock()
        )

    return await _add(site, _intent(plan_id, who, key, ("take over", source_id, why)), decided)


def _intent(plan_id: str, who: Who, key: str, asked: object) -> Intent:
    body_hash = hashlib.sha256(repr(asked).encode()).hexdigest()
    return Intent(plan_id, who, checked_key(key), "change-sheet", body_hash)


async def _add(site: Site, intent: Intent, decided: Deciding) -> Acted:
    def added(connection: sqlite3.Connection) -> Recorded:
        edits = decided(edits_seen_by_writer(connection, intent.run_id))
        sheet_edits.add_edits(connection, [entry_of(intent.run_id, edit) for edit in edits])
        last = edits[-1]
        return Recorded(Acted(intent.run_id, last.number, (kind_of_act(last.act),)), None)

    return await once(site, intent, added)
