"""What is left of a run as pages with boxes to write in, set like those of the record."""

import json

import typst

from app.domain.paper import PaperSheet, PaperStep
from app.exports.printable import printable_tree
from app.exports.typesetting import face_coverage, print_folder, print_fonts
from app.records.plain import to_plain

LAYOUT = "remaining.typ"


def set_paper(sheet: PaperSheet) -> bytes:
    """Return the sheet as PDF/A-3b and PDF/UA-1; the same sheet gives the same bytes."""
    page = printable_tree(_page(sheet), face_coverage())
    pages = typst.compile(
        print_folder() / LAYOUT,
        root=print_folder(),
        font_paths=print_fonts(),
        sys_inputs={"page": json.dumps(page, ensure_ascii=False)},
        pdf_standards=["a-3b", "ua-1"],
        timestamp=sheet.at.replace(microsecond=0),
        format="pdf",
    )
    assert isinstance(pages, bytes)
    return pages


def _page(sheet: PaperSheet) -> dict[str, object]:
    return {
        "run": sheet.run_id,
        "title": sheet.title,
        "job": sheet.job,
        "well": sheet.well,
        "rig": sheet.rig,
        "at": f"{sheet.at:%Y-%m-%d %H:%M %z}",
        "sequence": str(sheet.sequence),
        "code": sheet.code,
        "done": f"{sheet.done} of {sheet.steps}",
        "current": "" if sheet.current is None else f"{sheet.current.number}: {sheet.current.text}",
        "notice": _notice(sheet),
        "stages": [
            {"title": stage.title, "point": to_plain(stage.point), "steps": [*map(_step, stage.steps)]}
            for stage in sheet.stages
        ],
        "deck": [*map(_step, sheet.deck)],
    }


def _step(step: PaperStep) -> dict[str, object]:
    return {
        "number": str(step.number),
        "text": step.text,
        "role": step.role,
        "cautions": list(step.cautions),
        "needs": ", ".join(map(str, step.needs)),
        "deferred": step.deferred,
        "boxes": to_plain(step.boxes),
    }


def _notice(sheet: PaperSheet) -> str:
    told = ("Copy to write on: the run is in the tablet", "practice" if sheet.is_practice else "")
    invented = "invented demo data" if sheet.is_invented else ""
    return " · ".join(text for text in (*told, invented) if text)
