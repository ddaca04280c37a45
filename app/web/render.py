"""A page or its part, made from its context by its template."""

import re
from contextvars import ContextVar
from dataclasses import dataclass, fields, replace
from datetime import datetime
from typing import Any, ClassVar, Protocol

from fastapi import Request
from fastapi.responses import HTMLResponse
from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup, escape

from app.bundled import resource_folder
from app.domain.events.steps import Taken
from app.domain.problems import accepted_words
from app.domain.room.rows import RoomRow
from app.domain.sentences import told, told_reading
from app.domain.unit_systems import AS_PLANNED, SYSTEMS, UnitSystem
from app.domain.units import sign_of
from app.exports.section_picture import section_picture
from app.records.time_text import short_time_text
from app.services.kept_forms import BESIDE
from app.services.runs import new_key
from app.web.contexts.frame import Frame, Refusal
from app.web.contexts.half_typed import FormKept, HalfTypedHere
from app.web.contexts.log_line import LogLine
from app.web.contexts.runs import RunBar
from app.web.filling import filled
from app.web.static_files import StaticFolder
from app.web.told import told_page

# The last event that the page being filled shows: every form of a run's page carries it, and a macro that
# writes forms is not handed the page.
_run_seen: ContextVar[int | None] = ContextVar("run_seen", default=None)
# What is half typed in the forms of that run, likewise, and whether the page refuses one of them.
_half_typed: ContextVar[tuple[HalfTypedHere, bool]] = ContextVar(
    "half_typed", default=(HalfTypedHere(), False)
)
# A tag no longer than a line of large letters takes: SEAL-1, LG-EL-287.
TAG = re.compile(r"(?<![\w-])(?=[A-Z0-9-]{3,16}(?![\w-]))[A-Z][A-Z0-9]*(?:-[A-Z0-9]+)+(?![\w-])")


@dataclass(frozen=True, slots=True)
class Filling:
    """The fields of a form, and whether they show something half typed."""

    markup: Markup
    shows_something: bool


class Page(Protocol):
    """A context that knows its templates: the whole page, and the part that htmx swaps."""

    PAGE: ClassVar[str]
    PART: ClassVar[str]

    @property
    def frame(self) -> Frame:
        """Return the frame around the page."""


def make_environments(static: StaticFolder) -> dict[str, Environment]:
    """Return by the name of each system of units the templates that tell figures in it."""
    return {system.name: make_environment(static, system) for system in SYSTEMS}


def make_environment(static: StaticFolder, units: UnitSystem = AS_PLANNED) -> Environment:
    """Return the templates, with the few functions and filters that they may use."""

    def sentence(text: str) -> str:
        return told(text, units)

    def reading(taken: Taken) -> str:
        return told_reading(taken, units)

    def pictured(row: RoomRow) -> Markup:
        return Markup(section_picture(row.section, row.least, units))

    environment = Environment(
        loader=FileSystemLoader(resource_folder("templates")),
        undefined=StrictUndefined,
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.globals.update(new_key=new_key, run_seen=_run_seen.get, asset=static.address_of)
    environment.globals.update(form_kept=form_kept, is_half_typed=is_half_typed)
    environment.filters.update(moment=moment, clock=clock, opening=opening, pictured=pictured)
    environment.filters.update(in_plan=in_plan, filled_from=filled_from)
    environment.filters.update(whole_tags=whole_tags, accepted_words=accepted_words)
    environment.filters.update(told=sentence, reading=reading, sign=sign_of, minutes=short_time_text)
    return environment


def render_text(environment: Environment, page: Page, template: str) -> str:
    """Return a template filled from a context: each of its fields under its own name."""
    names = {item.name: getattr(page, item.name) for item in fields(page)}  # type: ignore[arg-type]
    bar, refusal = names.get("bar"), names.get("refusal")
    _half_typed.set((page.frame.half_typed, isinstance(refusal, Refusal) and refusal.text != ""))
    _run_seen.set(bar.sequence if isinstance(bar, RunBar) else None)
    return environment.get_template(template).render(names)


def form_kept(action: str, about: str, alone: bool) -> FormKept | None:
    """Return what is kept of a form of the page while it is half typed, none where nothing ever is."""
    here, is_refusal = _half_typed.get()
    return here.kept(action, about, alone=alone, is_refusal=is_refusal)


def is_half_typed(action: str, about: str = "") -> bool:
    """Return whether something is half typed in a form of the page."""
    here, _ = _half_typed.get()
    return here.is_half_typed(action, about)


def filled_from(markup: Markup, form: FormKept | None) -> Filling:
    """Return the fields of a form with what is half typed in them, and whether anything is."""
    if form is None or form.unfinished is None or form.is_refused:
        return Filling(markup, shows_something=False)
    made = filled(markup, form.unfinished.values)
    return Filling(made.markup, shows_something=any(not BESIDE.fullmatch(name) for name in made.names))


def told_in_words(environment: Environment, line: LogLine) -> str:
    """Return the words of the log for an event, without the marks of a page."""
    words: Any = environment.get_template("log/_words.html").module
    return " ".join(getattr(words, line.kind)(line.event).striptags().split())


def respond(request: Request, page: Page, status: int = 200) -> HTMLResponse:
    """Return a page, or only its part where htmx asks."""
    units = page.frame.units
    environment: Environment = request.app.state.pages[units.name]
    template = page.PART if is_htmx(request) else page.PAGE
    headers = {"Cache-Control": "no-store", "Vary": "HX-Request"}
    return HTMLResponse(render_text(environment, told_page(page, units), template), status, headers)


def respond_elsewhere(request: Request, page: Page, path: str) -> HTMLResponse:
    """Return the part of another page than the one that htmx asked from, and lead the browser there."""
    moved: Page = replace(page, frame=replace(page.frame, path=path, address=path))  # type: ignore[type-var]
    answer = respond(request, moved)
    answer.headers["HX-Push-Url"] = path
    return answer


def is_htmx(request: Request) -> bool:
    """Return whether htmx asks, and so wants the part alone."""
    return request.headers.get("hx-request") == "true"


def moment(at: Any) -> str:
    """Return a time with its date and offset, as people read it."""
    time = at if isinstance(at, datetime) else datetime.fromisoformat(at)
    return f"{time:%Y-%m-%d %H:%M:%S %z}"


def clock(at: datetime) -> str:
    """Return the time of day."""
    return f"{at:%H:%M:%S}"


def in_plan(source: str) -> str:
    """Return a place of the plan as people count: `systems[0].parts[1]` is "system 1, part 2"."""
    counted = re.sub(r"s?\[(\d+)\]", lambda found: f" {int(found[1]) + 1}", source)
    return counted.replace(".", ", ").replace("_", " ")


def whole_tags(text: str) -> Markup:
    """Return a text for large letters in which no line ends inside a tag such as SEAL-1."""
    return Markup(TAG.sub(r'<span class="whole">\g<0></span>', str(escape(text))))


def opening(text: str) -> str:
    """Return a text with a capital first letter and the rest as it is."""
    return text[:1].upper() + text[1:]
