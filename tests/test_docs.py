"""The guide for contributors names what the code has: settings, commands, events, dependencies."""

import re
import tomllib
from pathlib import Path

import pytest

from app.records import people_json
from app.records.event_json import KINDS, EventKind
from app.settings import SETTINGS, Setting

ROOT = Path(__file__).resolve().parent.parent
GUIDE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
README = (ROOT / "README.md").read_text(encoding="utf-8")
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]


def name_of(requirement: str) -> str:
    return re.split(r"[<>=\[; ]", requirement)[0]


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: str(kind.name))
def test_every_kind_of_event_has_its_row(kind: EventKind) -> None:
    assert f"| `{kind.name}` |" in GUIDE


@pytest.mark.parametrize("kind", people_json.KINDS)
def test_everything_that_happens_to_people_has_its_row(kind: str) -> None:
    assert f"| `{kind}` |" in GUIDE


@pytest.mark.parametrize("setting", SETTINGS, ids=lambda setting: str(setting.name))
def test_every_setting_has_its_row(setting: Setting) -> None:
    assert f"| `{setting.argument}` | `{setting.variable}` |" in GUIDE


@pytest.mark.parametrize("requirement", PROJECT["dependencies"])
def test_every_dependency_says_what_it_is_for(requirement: str) -> None:
    assert f"| {name_of(requirement)} |" in GUIDE


@pytest.mark.parametrize("requirement", PROJECT["optional-dependencies"]["test"])
def test_every_library_of_the_tests_is_named(requirement: str) -> None:
    assert name_of(requirement) in GUIDE


def test_every_folder_of_the_program_is_named_in_the_guide() -> None:
    folders = [path.name for path in (ROOT / "app").iterdir() if (path / "__init__.py").exists()]

    assert folders
    assert [name for name in folders if f"`app/{name}/`" not in GUIDE] == []


def test_the_readme_shows_a_picture_that_is_there() -> None:
    pictures = re.findall(r"!\[[^\]]*\]\(([^)]+)\)", README)

    assert pictures
    assert all((ROOT / picture).is_file() for picture in pictures)
