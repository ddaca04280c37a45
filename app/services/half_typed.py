"""What is half typed in the forms of a run: kept for whoever opens the page next, and never recorded.

It outlives the browser, the tablet, the sign-in and the server. It ends when its form is taken, when its
step is done by somebody else, when somebody clears it, and with the run.
"""

import json
import sqlite3
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import datetime
from urllib.parse import quote

from app.domain.events.who import Who
from app.domain.refusals import NobodyError, RefusedError, UnknownStepError
from app.domain.rights import check_role
from app.domain.run import Run
from app.domain.sheet import Step
from app.services.kept_forms import OF_READINGS, FormMeant, form_meant, says_something
from app.services.runs import as_logged, checked_key, run_of
from app.services.site import Site
from app.store import half_typed as kept
from app.store.half_typed import HalfTyped
from app.store.writer import NotRecordedError, Work, WriterClosedError

Values = Mapping[str, tuple[str, ...]]
LONGEST = 20_000  # letters; ten steps from paper with a long remark take a tenth
LONGEST_NAME = 1_000
MOST_OF_A_RUN = 300


class UnkeptFormError(RefusedError):
    """Nothing is kept of this form while it is half typed."""

    rule = "unkept-form"

    def __init__(self, form: str) -> None:
        super().__init__(f"Nothing half typed is kept of '{form[:60]}': it is no form of a run that is kept.")


class TooMuchTypedError(RefusedError):
    """There is more in a form than is kept."""

    rule = "too-much-typed"

    def __init__(self, letters: int) -> None:
        super().__init__(
            f"This form holds {letters} letters, and no more than {LONGEST} are kept while it is half typed. "
            "What you typed stays on this page alone: shorten it, or send the form now."
        )


class TooManyHalfTypedError(RefusedError):
    """So many forms of a run are half typed that no more are kept."""

    rule = "too-many-half-typed"

    def __init__(self) -> None:
        super().__init__(
            f"{MOST_OF_A_RUN} forms of this run are half typed, and no more are kept. What you typed stays "
            "on this page alone: send the form now, or clear others."
        )


@dataclass(frozen=True, slots=True)
class Unfinished:
    """A form that is half typed: its name on a page now, what it is called, where it stands, its values.

    `key` is that of the form in which it was typed last.
    """

    form: str
    title: str
    page: str
    values: Values
    key: str
    name: str
    at: datetime


@dataclass(frozen=True, slots=True)
class InForm:
    """What a page says of one of its forms: its name below the run, the form's own key, what is in it."""

    form: str
    key: str
    values: Values


async def keep_half_typed(site: Site, run_id: str, sent: InForm, who: Who | None) -> None:
    """Keep what is half typed in a form in the place of what was, or nothing where it is empty.

    A form that was taken meanwhile, or whose step is done, is left as it is.

    Raises: NobodyError; UnknownRunError; UnkeptFormError; UnknownStepError; ClosedRunError; RightsError;
    TooMuchTypedError; TooManyHalfTypedError; KeyMissingError; NotRecordedError.
    """
    if who is None:
        raise NobodyError
    meant = _meant(sent.form)
    values = {name: texts for name, texts in sent.values.items() if meant.row.keeps(name)}
    _check_length(values)
    place = _place(run_of(site, run_id), meant, who)
    body, at = json.dumps(values), site.now_text()
    typed = replace(place, key=checked_key(sent.key), body=body, at=at, by=who.person_id, name=who.name)

    def keeping(connection: sqlite3.Connection) -> None:
        run = as_logged(site, connection, run_id)
        check_role(run, meant.row.command, who)
        kept.drop_answered(connection, run_id)
        if not says_something(values):
            kept.drop_form(connection, typed)
        elif not (kept.is_answered(connection, typed.key) or _is_over(run, meant)):
            kept.put_half_typed(connection, typed)
            if kept.count_half_typed(connection, run_id) > MOST_OF_A_RUN:
                raise TooManyHalfTypedError

    await _write(site, run_id, keeping)


async def clear_half_typed(site: Site, run_id: str, form: str, who: Who | None) -> None:
    """Leave a form with nothing half typed.

    Raises: NobodyError; UnknownRunError; UnkeptFormError; UnknownStepError; ClosedRunError; RightsError.
    """
    if who is None:
        raise NobodyError
    run, meant = run_of(site, run_id), _meant(form)
    check_role(run, meant.row.command, who)
    place = _place(run, meant, who)
    await _write(site, run_id, lambda connection: kept.drop_form(connection, place))


async def let_go(site: Site, run_id: str, keys: tuple[str, ...], who: Who | None) -> None:
    """Keep nothing more of a form that was taken, by its own key or that of the text it came filled with.

    What was taken is recorded: it is not told otherwise where the disk leaves the text standing.
    """
    if who is None or not run_id or not any(typed.key in keys for typed in _texts(site, run_id)):
        return
    with suppress(NotRecordedError, WriterClosedError):
        await _write(site, run_id, lambda connection: kept.drop_keys(connection, run_id, keys))


def unfinished(site: Site, run_id: str, who: Who) -> tuple[Unfinished, ...]:
    """Return what is half typed in a run as far as a person may see it, the oldest first."""
    found = [typed for typed in _texts(site, run_id) if typed.alone in ("", who.person_id)]
    if not found:
        return ()
    run = run_of(site, run_id)
    told = (_unfinished(run, typed) for typed in found)
    return tuple(item for item in told if item is not None)


async def _write(site: Site, run_id: str, work: Work[None]) -> None:
    await site.database.writer.write(work, lambda _: site.half_typed.changed(run_id))


def _texts(site: Site, run_id: str) -> tuple[HalfTyped, ...]:
    def read() -> tuple[HalfTyped, ...]:
        with site.database.reader() as session:
            return tuple(kept.read_half_typed(session, run_id))

    return site.half_typed.of(run_id, read)


def _meant(form: str) -> FormMeant:
    meant = form_meant(form) if len(form) <= LONGEST_NAME else None
    if meant is None:
        raise UnkeptFormError(form)
    return meant


def _check_length(values: Values) -> None:
    letters = sum(len(name) + len(text) for name, texts in values.items() for text in texts)
    if letters > LONGEST:
        raise TooMuchTypedError(letters)


def _place(run: Run, meant: FormMeant, who: Who) -> HalfTyped:
    """Return where the text of a form is kept, with no text in it."""
    step = _step(run, meant.step) if "step" in meant.words else None
    # By the key of its step: after the sheet was written anew, the same number may be another step.
    form, step_key = meant.name_of("*"), step.key if step is not None else ""
    alone = who.person_id if meant.row.is_for_one(run, step) else ""
    return HalfTyped(run.id, form, step_key, alone, key="", body="", at="", by="", name="")


def _is_over(run: Run, meant: FormMeant) -> bool:
    return meant.name_of("*") in OF_READINGS and not run.is_open(meant.step)


def _unfinished(run: Run, typed: HalfTyped) -> Unfinished | None:
    """Return what is half typed under the number that its step has now, none where the step is gone."""
    number = next((step.number for step in run.sheet.steps if step.key == typed.step), 0)
    if typed.step and not number:
        return None
    form = typed.form.replace("*", str(number), 1) if typed.step else typed.form
    meant = form_meant(form)
    if meant is None:
        return None  # a later program kept forms that this one does not
    values = {name: tuple(texts) for name, texts in json.loads(typed.body).items()}
    page = f"/runs/{run.id}{quote(meant.page, safe='/?#=')}"
    at = datetime.fromisoformat(typed.at)
    return Unfinished(form, meant.title, page, values, typed.key, typed.name, at)


def _step(run: Run, number: int) -> Step:
    step = run.sheet.step(number)
    if step is None:
        raise UnknownStepError(number, len(run.sheet.steps))
    return step
