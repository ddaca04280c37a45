"""The rules of the house as tables, and the functions that return what in a tree breaks them."""

import ast
import re
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

from tests.source_tree import Module, circles_of, functions_of, imports_of, layer_of, module_meant

Modules = dict[str, Module]


class Rule(Protocol):
    """A function that reads the modules and returns a sentence for each place that breaks it."""

    @property
    def __name__(self) -> str:
        """Return the name that a test shows."""

    def __call__(self, modules: Modules) -> Iterator[str]:
        """Return the findings."""


MOST_MODULE_LINES = 400
MOST_FUNCTION_LINES = 40

# Each part of the package, and the parts that it may import besides itself.
MAY_IMPORT: dict[str, tuple[str, ...]] = {
    "": (),
    "bundled": (),
    "settings": (),
    "demo": (),
    "domain": (),
    "records": ("domain",),
    "store": ("domain", "records", "bundled"),
    "exports": ("domain", "records", "bundled"),
    "services": ("domain", "records", "store", "exports", "bundled", "demo"),
    "web": ("domain", "records", "store", "exports", "services", "bundled", "demo", "settings"),
    "cli": ("domain", "records", "store", "exports", "services", "web", "bundled", "demo", "settings"),
    "__main__": ("cli",),
}

TOP_LEVEL_NAMES = (
    "README.md",
    "DEVELOPERS.md",
    "pyproject.toml",
    "app",
    "templates",
    "static",
    "migrations",
    "tests",
)

DOMAIN_LIBRARIES = ("pint",)
# The one exception, a solver, stands behind one door: no other module may import it.
DOORS = {"highspy": "app.domain.joint_choice.solver"}

# Standard modules that the domain may not import, and what each would let in.
IMPURE_MODULES = {
    "time": "a clock",
    "sched": "a clock",
    "random": "chance",
    "secrets": "chance",
    "uuid": "chance",
    "os": "disk and environment",
    "pathlib": "disk",
    "io": "disk",
    "shutil": "disk",
    "tempfile": "disk",
    "glob": "disk",
    "fileinput": "disk",
    "sqlite3": "disk",
    "logging": "a log",
    "warnings": "a log",
    "sys": "environment",
    "argparse": "environment",
    "configparser": "environment",
    "locale": "environment",
    "platform": "environment",
    "getpass": "environment",
    "socket": "the network",
    "ssl": "the network",
    "http": "the network",
    "urllib": "the network",
    "subprocess": "another program",
    "asyncio": "an event loop",
    "threading": "threads",
    "multiprocessing": "another program",
    "importlib": "modules by name",
}
IMPURE_CALLS = ("open", "print", "input", "eval", "exec", "__import__")
CLOCK_READINGS = ("now", "today", "utcnow")
CLOCK_OWNERS = ("datetime", "date")

# Libraries that belong to one part, so that the rest could do without them.
LIBRARY_HOMES = {
    "sqlmodel": ("store",),
    "sqlalchemy": ("store",),
    "alembic": ("store",),
    "fastapi": ("web",),
    "starlette": ("web",),
    "typst": ("exports",),
    "pyhanko": ("exports",),
    "pyhanko_certvalidator": ("exports",),
}


@dataclass(frozen=True, slots=True)
class Pattern:
    """Text that may not stand in files with these endings, and the reason."""

    text: re.Pattern[str]
    endings: tuple[str, ...]
    reason: str


PAGE_ENDINGS = (".html", ".css", ".js", ".svg", ".typ", ".xml", ".json", ".webmanifest", ".txt")
# Names that look like addresses but are never asked.
NAMESPACES = ("www.w3.org/",)
FORBIDDEN_IN_PAGES = (
    Pattern(
        re.compile(rf"(?:https?|wss?)://(?!{'|'.join(map(re.escape, NAMESPACES))})[\w\[]", re.IGNORECASE),
        PAGE_ENDINGS,
        "an address outside the machine",
    ),
    Pattern(
        re.compile(r"""["'(=]\s*//\w[\w-]*\.\w"""),
        PAGE_ENDINGS,
        "an address outside the machine, without scheme",
    ),
    Pattern(re.compile(r'#import\s+"@'), (".typ",), "a package that typst would fetch"),
    Pattern(
        re.compile(r"<script(?![^>]*\ssrc=)", re.IGNORECASE), (".html",), "a script written into the page"
    ),
    Pattern(re.compile(r"<style\b", re.IGNORECASE), (".html",), "a style written into the page"),
    Pattern(re.compile(r"<[^>]*\sstyle\s*=", re.IGNORECASE), (".html",), "a style written into an element"),
    Pattern(
        re.compile(r"<[^>]*\s(?:hx-)?on[a-z:-]+\s*=", re.IGNORECASE), (".html",), "a handler in an element"
    ),
    Pattern(re.compile(r"\|\s*safe\b"), (".html",), "text that is not escaped"),
)


def forbidden_imports(modules: Modules) -> Iterator[str]:
    """Return each import that goes against the arrows between the parts."""
    for module in modules.values():
        for imported in imports_of(module):
            meant = module_meant(imported, modules)
            part = layer_of(meant)
            if part not in ("", module.layer, *MAY_IMPORT.get(module.layer, ())):
                yield f"{module.name}:{imported.line}: '{module.layer}' may not import '{part}' ({meant})"


def unknown_parts(modules: Modules) -> Iterator[str]:
    """Return each module that belongs to no part of the package that has a place in the table."""
    for module in modules.values():
        if module.layer not in MAY_IMPORT:
            yield f"{module.name}: '{module.layer}' has no place in MAY_IMPORT"


def import_circles(modules: Modules) -> Iterator[str]:
    """Return each group of modules that import one another in a circle."""
    for circle in circles_of(modules):
        yield f"{', '.join(circle)}: they import one another; move what they share one part down"


def impure_domain_imports(modules: Modules) -> Iterator[str]:
    """Return each import of the domain that is neither pure standard library nor an allowed library."""
    for module in _domain(modules):
        for imported in imports_of(module):
            top = imported.target.partition(".")[0]
            if top in IMPURE_MODULES:
                yield f"{module.name}:{imported.line}: '{top}' lets in {IMPURE_MODULES[top]}"
            elif top not in (*sys.stdlib_module_names, *DOMAIN_LIBRARIES, *DOORS, "app"):
                yield f"{module.name}:{imported.line}: the domain may not import the library '{top}'"


def impure_domain_calls(modules: Modules) -> Iterator[str]:
    """Return each place where the domain reads a clock, opens a file or talks to a person."""
    for module in _domain(modules):
        for node in ast.walk(module.tree):
            if isinstance(node, ast.Call) and _called_name(node) in IMPURE_CALLS:
                yield f"{module.name}:{node.lineno}: the domain may not call '{_called_name(node)}'"
            elif isinstance(node, ast.Attribute) and _reads_a_clock(node):
                yield f"{module.name}:{node.lineno}: '{ast.unparse(node)}' reads a clock; time is handed in"


def libraries_away_from_home(modules: Modules) -> Iterator[str]:
    """Return each import of a library by a part that the library does not belong to."""
    for module in modules.values():
        for imported in imports_of(module):
            top = imported.target.partition(".")[0]
            if module.layer not in LIBRARY_HOMES.get(top, (module.layer,)):
                yield f"{module.name}:{imported.line}: '{top}' belongs to {', '.join(LIBRARY_HOMES[top])}"


def libraries_past_their_door(modules: Modules) -> Iterator[str]:
    """Return each import of a library that stands behind one module by another module."""
    for module in modules.values():
        for imported in imports_of(module):
            door = DOORS.get(imported.target.partition(".")[0], module.name)
            if module.name != door:
                yield f"{module.name}:{imported.line}: '{imported.target}' is imported by {door} alone"


def long_modules(modules: Modules) -> Iterator[str]:
    """Return each module with too many lines."""
    for module in modules.values():
        lines = len(module.text.splitlines())
        if lines > MOST_MODULE_LINES:
            yield f"{module.name}: {lines} lines, and {MOST_MODULE_LINES} is the limit"


def long_functions(modules: Modules) -> Iterator[str]:
    """Return each function with too many lines of code."""
    for module in modules.values():
        for function in functions_of(module):
            if function.code_lines > MOST_FUNCTION_LINES:
                lines = f"{function.code_lines} lines of code, and {MOST_FUNCTION_LINES} is the limit"
                yield f"{module.name}:{function.line}: '{function.name}' has {lines}"


MODULE_RULES: tuple[Rule, ...] = (
    forbidden_imports,
    unknown_parts,
    import_circles,
    impure_domain_imports,
    impure_domain_calls,
    libraries_away_from_home,
    libraries_past_their_door,
    long_modules,
    long_functions,
)


def strange_top_level_names(root: Path) -> Iterator[str]:
    """Return each name at the top of the tree that has no place there; what git ignores may lie about."""
    ignored = (root / ".gitignore").read_text(encoding="utf-8").split()
    allowed = (*TOP_LEVEL_NAMES, *(name.rstrip("/") for name in ignored))
    for path in sorted(root.iterdir()):
        if not path.name.startswith(".") and path.name not in allowed:
            yield f"{path.name}: has no place at the top of the tree"


def forbidden_page_text(root: Path) -> Iterator[str]:
    """Return each place in templates and static files, vendored ones aside, where a forbidden text stands."""
    for path in _page_files(root):
        text = path.read_text(encoding="utf-8")
        for pattern in FORBIDDEN_IN_PAGES:
            if path.suffix in pattern.endings:
                for match in pattern.text.finditer(text):
                    line = text.count("\n", 0, match.start()) + 1
                    yield f"{path.relative_to(root)}:{line}: {pattern.reason}: {match.group()}"


def _domain(modules: Modules) -> Iterator[Module]:
    return (module for module in modules.values() if module.layer == "domain")


def _called_name(call: ast.Call) -> str:
    return call.func.id if isinstance(call.func, ast.Name) else ""


def _reads_a_clock(node: ast.Attribute) -> bool:
    owner = ast.unparse(node.value).rpartition(".")[2]
    return node.attr in CLOCK_READINGS and owner in CLOCK_OWNERS


def _page_files(root: Path) -> Iterator[Path]:
    for folder in (root / "templates", root / "static"):
        for path in sorted(folder.rglob("*")):
            if path.suffix in PAGE_ENDINGS and "vendor" not in path.relative_to(folder).parts:
                yield path
