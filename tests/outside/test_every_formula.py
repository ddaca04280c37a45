"""Every formula that names its source is held against something outside, or is the house's own."""

import ast
from collections.abc import Iterator
from pathlib import Path

HERE = Path(__file__).parent
DOMAIN = HERE.parent.parent / "app" / "domain"
# What no text or library has: tests/domain/checks/test_mending.py does what it says and measures again.
OWN_SOURCE = "Source: the closing equation of the legs"


def test_every_formula_meets_something_outside() -> None:
    assert set(_with_a_source()) <= set(_imported_here())


def _with_a_source() -> Iterator[str]:
    for module in DOMAIN.rglob("*.py"):
        for node in ast.walk(ast.parse(module.read_text("utf-8"))):
            if isinstance(node, ast.FunctionDef):
                words = ast.get_docstring(node) or ""
                if "Source:" in words and OWN_SOURCE not in words:
                    yield node.name


def _imported_here() -> Iterator[str]:
    for module in HERE.glob("test_*.py"):
        for node in ast.walk(ast.parse(module.read_text("utf-8"))):
            if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("app.domain"):
                yield from (alias.name for alias in node.names)
