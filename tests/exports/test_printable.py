import unicodedata
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.exports.font_coverage import FontFileError, covered
from app.exports.printable import printable, printable_tree
from app.exports.typesetting import face_coverage, print_folder

FONTS = face_coverage()


@pytest.mark.parametrize(
    "text",
    ["Ünïcode ⌀ 2 7/8 in ≤ ≥ → µΩ ½ ± ° × –", "Привет Ωμέγα", "سلام", "שלום", "e\u0301", "two\nlines"],
)
def test_text_that_the_faces_can_draw_stays_as_it_is(text: str) -> None:
    assert printable(text, FONTS) == text


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("ok \U0001f600", "ok [U+1F600]"),
        ("漢", "[U+6F22]"),
        ("a\x00b\x07", "a[U+0000]b[U+0007]"),
        ("left\u202eright", "left[U+202E]right"),
        ("a\u200bb", "a[U+200B]b"),
        ("\ue000", "[U+E000]"),
        ("\u0301", "[U+0301]"),
        ("漢\u0301", "[U+6F22][U+0301]"),
        ("س\u0301", "س[U+0301]"),
    ],
)
def test_what_no_face_can_draw_is_a_visible_mark(text: str, shown: str) -> None:
    assert printable(text, FONTS) == shown


@given(st.text(st.characters(exclude_categories=["Cs"]), max_size=80))
def test_nothing_unseen_or_undrawable_is_left_in_any_text(text: str) -> None:
    shown = printable(text, FONTS)

    for character in shown.replace("\n", "").replace("\u200b", ""):
        assert any(ord(character) in font for font in FONTS)
        assert unicodedata.category(character) not in {"Cc", "Cf", "Co", "Cn", "Zl", "Zp"}


def test_a_word_too_long_for_a_column_can_break_and_loses_nothing() -> None:
    shown = printable("serial " + "Q" * 80, FONTS)

    assert shown.replace("\u200b", "") == "serial " + "Q" * 80
    assert max(len(piece) for piece in shown.replace("\u200b", " ").split()) <= 28


def test_a_short_serial_is_never_broken() -> None:
    assert printable("SN-0123-4567-89AB-CDEF", FONTS) == "SN-0123-4567-89AB-CDEF"


def test_every_text_of_a_tree_is_made_printable_and_nothing_else_is_touched() -> None:
    tree: object = {"a": ["漢", 1, True], "b": {"c": "plain"}}

    assert printable_tree(tree, FONTS) == {"a": ["[U+6F22]", 1, True], "b": {"c": "plain"}}


def test_bold_letters_cover_what_the_regular_ones_do() -> None:
    folder = print_folder() / "fonts"

    assert covered(folder / "NotoSans-Bold.ttf") == covered(folder / "NotoSans-Regular.ttf")


@pytest.mark.parametrize("content", [b"", b"no font", b"\0\1\0\0\0\0", b"\0\1\0\0\0\1cmap" + b"\xff" * 12])
def test_a_file_that_is_no_font_is_named(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "broken.ttf"
    path.write_bytes(content)

    with pytest.raises(FontFileError, match=r"broken\.ttf"):
        covered(path)
