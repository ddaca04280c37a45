"""`twinleg picture` on real files, as real processes."""

from pathlib import Path
from xml.etree import ElementTree

from tests.cli.program import is_one_line, twinleg
from tests.domain.string.drawing.moments import demonstration

SVG = "{http://www.w3.org/2000/svg}"


def test_a_picture_is_written_as_svg_with_words_for_those_who_cannot_see_it(
    plan: Path, tmp_path: Path
) -> None:
    out = tmp_path / "string.svg"

    ended = twinleg("picture", plan, "--step", "78", "-o", out)

    root = ElementTree.fromstring(out.read_bytes())
    assert (ended.code, ended.out, ended.err) == (0, "", "")
    assert root.tag == f"{SVG}svg"
    assert root.findtext(f"{SVG}title") == f"After step 78 of {last_step()}"
    assert "elevators" in (root.findtext(f"{SVG}desc") or "")


def test_a_picture_is_printed_where_a_dash_is_named(plan: Path) -> None:
    ended = twinleg("picture", plan, "--step", str(last_step()), "-o", "-")

    root = ElementTree.fromstring(ended.out)
    words = " ".join(" ".join(text.itertext()) for text in root.iter(f"{SVG}text"))
    assert (ended.code, ended.err) == (0, "")
    assert f"After step {last_step()} of {last_step()}" in words
    assert "TH-1 landed" in words


def test_a_picture_needs_nothing_from_outside(plan: Path) -> None:
    ended = twinleg("picture", plan, "--step", "100", "--out", "-")

    assert ended.out.count("http") == ended.out.count("http://www.w3.org/2000/svg") == 1
    assert "@media screen and (prefers-color-scheme:dark)" in ended.out
    for wanted in ("<image", "<script", "<use", "@import", "url("):
        assert wanted not in ended.out


def test_a_step_that_the_sheet_has_not_is_said_so(plan: Path) -> None:
    for number in ("0", str(last_step() + 1), "-1"):
        ended = twinleg("picture", plan, f"--step={number}", "-o", "-")

        assert (ended.code, ended.out) == (2, "")
        assert is_one_line(ended.err)
        assert f"no step {number}. Name one from 1 to {last_step()} with --step." in ended.err


def test_a_file_that_cannot_be_written_is_said_so(plan: Path, tmp_path: Path) -> None:
    ended = twinleg("picture", plan, "--step", "1", "-o", tmp_path / "none" / "string.svg")

    assert (ended.code, ended.out) == (2, "")
    assert is_one_line(ended.err)
    assert "cannot be written (No such file or directory). Name another file with -o" in ended.err


def test_a_stopped_plan_gives_no_picture(stopped_plan: Path, tmp_path: Path) -> None:
    out = tmp_path / "string.svg"

    ended = twinleg("picture", stopped_plan, "--step", "1", "-o", out)

    assert (ended.code, ended.out) == (1, "")
    assert is_one_line(ended.err)
    assert not out.exists()


def test_the_help_of_the_picture_says_its_exit_codes() -> None:
    ended = twinleg("picture", "--help")

    assert (ended.code, ended.err) == (0, "")
    assert "Exit code: 0 drawn" in " ".join(ended.out.split())


def last_step() -> int:
    return len(demonstration("single")[1].steps)
