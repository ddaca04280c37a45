"""The sheet of a handover as pages, set like those of the record, with the picture of the string."""

import json
from collections.abc import Iterable
from datetime import datetime

import typst

from app.domain.events.handover import ReadAgain
from app.domain.handover import Handover
from app.domain.handover_sheet import HandoverSheet
from app.domain.interruption import Interruption
from app.domain.sheet import Step
from app.exports.printable import printable_tree
from app.exports.typesetting import face_coverage, print_folder, print_fonts
from app.records.time_text import hours_text

LAYOUT = "handover.typ"
UNKNOWN = "not listed"


def set_handover(sheet: HandoverSheet, picture: str) -> bytes:
    """Return the sheet as PDF/A-3b and PDF/UA-1; the same sheet and picture give the same bytes."""
    page = printable_tree(_page(sheet), face_coverage())
    pages = typst.compile(
        print_folder() / LAYOUT,
        root=print_folder(),
        font_paths=print_fonts(),
        sys_inputs={"page": json.dumps(page, ensure_ascii=False), "picture": picture},
        pdf_standards=["a-3b", "ua-1"],
        timestamp=sheet.at.replace(microsecond=0),
        format="pdf",
    )
    assert isinstance(pages, bytes)
    return pages


def _page(sheet: HandoverSheet) -> dict[str, object]:
    return {
        "run": sheet.run_id,
        "title": sheet.title,
        "well": sheet.well,
        "at": _moment(sheet.at),
        "done": f"{sheet.done} of {sheet.steps}",
        "in_charge": sheet.in_charge.titled if sheet.in_charge is not None else "",
        "people": ", ".join(who.titled for who in sheet.people),
        "steps": [
            ["Last done", *_step(sheet.last)],
            ["Now", *_step(sheet.current)],
            ["Next", *_step(sheet.next)],
        ],
        "on_hold": _hold(sheet.on_hold),
        "open": list(sheet.open_items),
        "readings": [
            [str(it.step), it.text, it.name, it.value, it.who.titled, _moment(it.at)] for it in sheet.readings
        ],
        "items": [
            [
                it.item,
                _known(it.issued),
                str(it.fitted),
                str(it.returned),
                str(it.rejected),
                _known(it.on_deck),
            ]
            for it in sheet.items
        ],
        "gear": [[it.item, str(it.on), str(it.off), str(it.is_on)] for it in sheet.gear],
        "lost": [[it.cause.value, hours_text(it.time), str(it.times)] for it in sheet.lost],
        "handover": _handover(sheet.handover),
        "charges": [[_moment(it.at), it.in_words] for it in sheet.charges],
    }


def _handover(handover: Handover | None) -> list[list[str]]:
    """Return the names and values that tell a handover, as far as it has come."""
    if handover is None:
        return []
    read = (
        f"{it.name}{f' of step {it.step}' if it.step else ''}: typed {it.typed}, recorded {it.recorded}"
        + ("" if it.agrees else " (does not agree)")
        for it in _checked(handover)
    )
    incoming, accepted, back = handover.incoming, handover.accepted, handover.taken_back
    charge = handover.charge
    told = [
        ["Drafted by", f"{handover.outgoing.titled}, {_moment(handover.drafted_at)}"],
        ["Must be known", handover.drafted.words],
        ["Talked through", _moment(handover.talked_at) if handover.talked_at is not None else ""],
        ["Read again", "\n".join(read)],
        ["Accepted by", incoming.titled if incoming is not None else ""],
        ["Settled", accepted.words if accepted is not None else ""],
        ["Taken back", back.reason if back is not None else ""],
        ["Not finished", f"{charge.who.titled} took charge" if charge is not None else ""],
    ]
    return [row for row in told if row[1]]


def _hold(hold: Interruption | None) -> str:
    if hold is None:
        return ""
    return f"{hold.in_words}; put on hold by {hold.begun_by.titled}, {_moment(hold.begun_at)}"


def _checked(handover: Handover) -> Iterable[ReadAgain]:
    for check in handover.checks:
        yield from (*check.event.readings, check.event.current)


def _step(step: Step | None) -> tuple[str, str]:
    return ("", "") if step is None else (str(step.number), step.text)


def _known(count: int | None) -> str:
    return UNKNOWN if count is None else str(count)


def _moment(at: datetime) -> str:
    return f"{at:%Y-%m-%d %H:%M %z}"
