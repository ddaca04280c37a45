"""The pages of a record, set from data: the same data and time give the same bytes."""

import json
from datetime import datetime
from functools import cache
from pathlib import Path

import typst

from app.bundled import resource_folder
from app.exports.font_coverage import covered
from app.exports.printable import Coverage
from app.exports.record_json import SealedRecord
from app.exports.record_layout import page_data

LAYOUT = "install_record.typ"

# In the order in which the layout asks for them.
FACES = (
    "NotoSans-Regular.ttf",
    "NotoSansArabic-Regular.ttf",
    "NotoSansHebrew-Regular.ttf",
    "NotoSansMath-operators.ttf",
    "NotoSansSymbols-technical.ttf",
    "NotoSansSymbols2-shapes.ttf",
)


def set_pages(sealed: SealedRecord) -> bytes:
    """Return the pages of a sealed record as PDF/A-3b and PDF/UA-1, its JSON file inside."""
    page = json.dumps(page_data(sealed.record, sealed.seal, face_coverage()), ensure_ascii=False)
    pages = typst.compile(
        print_folder() / LAYOUT,
        root=print_folder(),
        font_paths=print_fonts(),
        sys_inputs={"page": page, "sealed": sealed.data.decode("utf-8")},
        pdf_standards=["a-3b", "ua-1"],
        timestamp=datetime.fromisoformat(sealed.seal.sealed_at),
        format="pdf",
    )
    assert isinstance(pages, bytes)
    return pages


def face_coverage() -> Coverage:
    """Return what each face of the printed record can draw."""
    return tuple(covered(print_folder() / "fonts" / name) for name in FACES)


def print_folder() -> Path:
    """Return the folder of the print layouts."""
    return resource_folder("templates") / "print"


@cache
def print_fonts() -> typst.Fonts:
    """Return the faces of printed pages, and no others."""
    return typst.Fonts(
        include_system_fonts=False, include_embedded_fonts=False, font_paths=[print_folder() / "fonts"]
    )
