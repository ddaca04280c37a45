"""The shape of the house holds, and each rule catches a fault that is planted for it."""

import os
import random
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

import pytest

from tests.house_rules import (
    MODULE_RULES,
    Rule,
    forbidden_imports,
    forbidden_page_text,
    import_circles,
    impure_domain_calls,
    impure_domain_imports,
    libraries_away_from_home,
    libraries_past_their_door,
    long_functions,
    long_modules,
    strange_top_level_names,
    unknown_parts,
)
from tests.source_tree import imports_of, read_modules

ROOT = Path(__file__).parent.parent


@pytest.mark.parametrize("rule", MODULE_RULES, ids=lambda rule: rule.__name__)
def test_the_package_keeps_the_rule(rule: Rule) -> None:
    modules = read_modules(ROOT / "app")

    findings = list(rule(modules))

    assert len(modules) > 10
    assert findings == []


def test_nothing_strange_lies_at_the_top_of_the_tree() -> None:
    findings = list(strange_top_level_names(ROOT))

    assert findings == []


def test_no_page_asks_an_address_outside_the_machine_or_carries_script_or_style() -> None:
    findings = list(forbidden_page_text(ROOT))

    assert findings == []


def test_each_module_can_be_imported_alone() -> None:
    """Some of them, others each time: that no import goes round in a circle is told of all of them above."""
    answer = _import_each_alone(ROOT, at_most=MODULES_ALONE)

    assert answer.returncode == 0, answer.stderr


# Each import takes a fifth of a second; the long form takes all of them.
MODULES_ALONE = int(os.environ.get("TWINLEG_MODULES_ALONE", "24"))


@dataclass(frozen=True, slots=True)
class Planted:
    """A fault put into a small tree: the rule that must see it, its file and text, words of the finding."""

    rule: Rule
    file: str
    text: str
    words: str


LONG_FUNCTION = "def long():\n" + "    x = 1\n" * 40
JUST_SHORT_ENOUGH = (
    'def short():\n    """Return nothing.\n\n    Raises: never.\n    """\n    # why\n\n' + "    x = 1\n" * 39
)

PLANTED = (
    Planted(forbidden_imports, "app/domain/plan.py", "import app.store.tables", "may not import 'store'"),
    Planted(forbidden_imports, "app/domain/plan.py", "from app.records import text", "import 'records'"),
    Planted(forbidden_imports, "app/domain/plan.py", "from ..records import text", "import 'records'"),
    Planted(forbidden_imports, "app/domain/plan.py", "import app.settings", "import 'settings'"),
    Planted(forbidden_imports, "app/store/tables.py", "from app.exports import report", "import 'exports'"),
    Planted(forbidden_imports, "app/exports/report.py", "from app import store", "import 'store'"),
    Planted(forbidden_imports, "app/records/text.py", "from app.services import runs", "import 'services'"),
    Planted(forbidden_imports, "app/services/runs.py", "import app.web.pages", "import 'web'"),
    Planted(forbidden_imports, "app/web/pages.py", "from app import cli", "import 'cli'"),
    Planted(
        forbidden_imports,
        "app/domain/plan.py",
        "from typing import TYPE_CHECKING\nif TYPE_CHECKING:\n    from app.store import tables",
        "app.domain.plan:3: 'domain' may not import 'store'",
    ),
    Planted(
        forbidden_imports,
        "app/records/text.py",
        "def late():\n    from app.store import tables",
        "app.records.text:2: 'records' may not import 'store'",
    ),
    Planted(unknown_parts, "app/utils.py", "", "'utils' has no place"),
    Planted(unknown_parts, "app/helpers/text.py", "", "'helpers' has no place"),
    Planted(
        import_circles,
        "app/domain/plan.py",
        "from app.domain import parts",
        "domain.parts, app.domain.plan",
    ),
    Planted(
        import_circles,
        "app/domain/plan.py",
        "from typing import TYPE_CHECKING\nif TYPE_CHECKING:\n    from app.domain.parts import Part",
        "app.domain.parts, app.domain.plan",
    ),
    Planted(impure_domain_imports, "app/domain/plan.py", "import time", "lets in a clock"),
    Planted(impure_domain_imports, "app/domain/plan.py", "from random import choice", "lets in chance"),
    Planted(impure_domain_imports, "app/domain/plan.py", "import os.path", "disk and environment"),
    Planted(impure_domain_imports, "app/domain/plan.py", "from pathlib import Path", "lets in disk"),
    Planted(impure_domain_imports, "app/domain/plan.py", "import logging", "lets in a log"),
    Planted(impure_domain_imports, "app/domain/plan.py", "import pydantic", "the library 'pydantic'"),
    Planted(
        impure_domain_calls,
        "app/domain/plan.py",
        "from datetime import datetime\nstart = datetime.now()",
        "app.domain.plan:2: 'datetime.now' reads a clock",
    ),
    Planted(
        impure_domain_calls,
        "app/domain/plan.py",
        "import datetime\nread = datetime.date.today",
        "'datetime.date.today' reads a clock",
    ),
    Planted(impure_domain_calls, "app/domain/plan.py", "text = open('plan.toml').read()", "call 'open'"),
    Planted(libraries_away_from_home, "app/web/pages.py", "from sqlalchemy import text", "belongs to store"),
    Planted(libraries_away_from_home, "app/services/runs.py", "import fastapi", "belongs to web"),
    Planted(
        libraries_past_their_door, "app/domain/plan.py", "import highspy", "by app.domain.joint_choice.solver"
    ),
    Planted(
        libraries_past_their_door, "app/services/runs.py", "from highspy import cb", "joint_choice.solver al"
    ),
    Planted(long_modules, "app/domain/plan.py", "x = 1\n" * 401, "401 lines, and 400 is the limit"),
    Planted(long_functions, "app/domain/plan.py", LONG_FUNCTION, "'long' has 41 lines of code"),
)

CLEAN_TREE = {
    "app/__init__.py": "",
    "app/settings.py": "",
    "app/cli.py": "from app.web import pages",
    "app/domain/__init__.py": "",
    "app/domain/parts.py": "import math\nimport pint\nfrom app.domain.plan import Plan",
    "app/domain/plan.py": f"from datetime import datetime, time\n{JUST_SHORT_ENOUGH}",
    "app/records/__init__.py": "",
    "app/records/text.py": "from app.domain import parts, plan",
    "app/store/__init__.py": "",
    "app/store/tables.py": "import sqlmodel\nfrom app.records.text import read\nfrom . import __name__",
    "app/exports/__init__.py": "",
    "app/exports/report.py": "from ..domain.parts import Part",
    "app/services/__init__.py": "",
    "app/services/runs.py": "from app.exports import report\nfrom app.store import tables",
    "app/web/__init__.py": "",
    "app/web/pages.py": "import fastapi\nfrom app.services import runs\nfrom app.settings import Settings",
}


@pytest.fixture
def clean_tree(tmp_path: Path) -> Path:
    """Return the root of a small tree that keeps every rule."""
    for file, text in CLEAN_TREE.items():
        _write(tmp_path / file, text)
    return tmp_path


@pytest.mark.parametrize("rule", MODULE_RULES, ids=lambda rule: rule.__name__)
def test_a_clean_tree_breaks_no_rule(clean_tree: Path, rule: Rule) -> None:
    findings = list(rule(read_modules(clean_tree / "app")))

    assert findings == []


@pytest.mark.parametrize("planted", PLANTED, ids=lambda planted: f"{planted.rule.__name__}: {planted.words}")
def test_a_planted_fault_is_caught_once_and_named(clean_tree: Path, planted: Planted) -> None:
    _write(clean_tree / planted.file, planted.text)

    findings = list(planted.rule(read_modules(clean_tree / "app")))

    assert len(findings) == 1
    assert planted.words in findings[0]


def test_each_rule_has_a_planted_fault() -> None:
    planted = {fault.rule for fault in PLANTED}

    assert planted == set(MODULE_RULES)


def test_a_strange_name_at_the_top_is_caught_and_an_ignored_one_is_not(clean_tree: Path) -> None:
    _write(clean_tree / ".gitignore", "dist/\n")
    _write(clean_tree / "dist/twinleg.whl", "")
    _write(clean_tree / "NOTES.md", "")

    findings = list(strange_top_level_names(clean_tree))

    assert findings == ["NOTES.md: has no place at the top of the tree"]


@pytest.mark.parametrize(
    ("file", "text"),
    [
        ("templates/page.html", '<script src="https://somewhere.example/a.js"></script>'),
        ("templates/page.html", '<img src="//somewhere.example/a.png">'),
        ("templates/page.html", "<script>alert(1)</script>"),
        ("templates/page.html", "<style>p { color: red }</style>"),
        ("templates/page.html", '<p\n  style="color: red">'),
        ("templates/page.html", '<button onclick="go()">'),
        ("templates/page.html", '<form hx-on:submit="go()">'),
        ("templates/page.html", "{{ note | safe }}"),
        ("templates/print/record.typ", '#import "@preview/tablex:0.0.8": tablex'),
        ("static/app.css", "@import url(//somewhere.example/a.css);"),
        ("static/app.js", 'fetch("http://somewhere.example")'),
        ("static/app.js", 'new WebSocket("wss://somewhere.example")'),
    ],
)
def test_a_forbidden_text_in_a_page_is_caught(tmp_path: Path, file: str, text: str) -> None:
    _write(tmp_path / file, f"\n{text}")

    findings = list(forbidden_page_text(tmp_path))

    assert len(findings) == 1
    assert findings[0].startswith(f"{file}:2: ")


def test_a_name_space_a_comment_and_a_vendored_file_are_left_in_peace(tmp_path: Path) -> None:
    _write(tmp_path / "static/string.svg", '<svg xmlns="http://www.w3.org/2000/svg"/>')
    _write(tmp_path / "static/app.js", "// one.two is a comment\nconst there = 1;")
    _write(tmp_path / "static/vendor/a.js", 'fetch("http://somewhere.example")')
    _write(tmp_path / "templates/page.html", '<script src="/static/app.js" defer></script>')

    findings = list(forbidden_page_text(tmp_path))

    assert findings == []


def test_a_module_that_needs_another_to_be_imported_first_is_caught(tmp_path: Path) -> None:
    _write(tmp_path / "app/__init__.py", "")
    _write(tmp_path / "app/first.py", "import app\napp.ready = True")
    _write(tmp_path / "app/second.py", "import app\nassert app.ready")

    answer = _import_each_alone(tmp_path)

    assert answer.returncode == 1
    assert "no attribute 'ready'" in answer.stderr


def _import_each_alone(root: Path, at_most: int = 0) -> subprocess.CompletedProcess[str]:
    modules = read_modules(root / "app")
    named = random.sample(sorted(modules), min(at_most, len(modules))) if at_most else list(modules)
    sources = {imported.source for module in modules.values() for imported in imports_of(module)}
    libraries = sorted(source for source in sources if source.partition(".")[0] != "app")
    program = ROOT / "tests" / "import_alone.py"
    command = [sys.executable, "-P", str(program), str(root), *libraries, "--", *named]
    return subprocess.run(command, capture_output=True, text=True, check=False)


def _write(path: Path, text: str) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
