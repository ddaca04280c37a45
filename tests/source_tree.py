"""A tree of Python modules as the architecture rules see it: names, imports, sizes."""

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

FunctionNode = ast.FunctionDef | ast.AsyncFunctionDef


@dataclass(frozen=True, slots=True)
class Module:
    """One module: its dotted name, its text, and its syntax tree."""

    name: str
    text: str
    tree: ast.Module
    is_package: bool

    @property
    def layer(self) -> str:
        """Return the name below the top package: `store` for `app.store.tables`, empty for `app` itself."""
        return layer_of(self.name)


@dataclass(frozen=True, slots=True)
class Import:
    """One imported name, the module it is taken from, and the line; typing-only and late imports count."""

    target: str
    source: str
    line: int


@dataclass(frozen=True, slots=True)
class Function:
    """One function: its name, its line, and its lines of code without docstring, comments and blanks."""

    name: str
    line: int
    code_lines: int


def read_modules(package: Path) -> dict[str, Module]:
    """Return every module of the package folder, by dotted name."""
    modules = (_read_module(package, path) for path in sorted(package.rglob("*.py")))
    return {module.name: module for module in modules}


def layer_of(name: str) -> str:
    """Return the second part of a dotted name, or nothing where there is none."""
    return [*name.split("."), ""][1]


def imports_of(module: Module) -> Iterator[Import]:
    """Return each import of the module, with the most exact dotted name that its statement spells."""
    for node in ast.walk(module.tree):
        if isinstance(node, ast.Import):
            yield from (Import(alias.name, alias.name, node.lineno) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            source = _source_of(node, module)
            yield from (Import(f"{source}.{alias.name}", source, node.lineno) for alias in node.names)


def module_meant(imported: Import, modules: dict[str, Module]) -> str:
    """Return the module of the tree that an import reaches, or nothing where it leads out of the tree.

    `from app.domain import plan` means `app.domain.plan` where that is a module, else `app.domain`.
    """
    name = imported.target
    while name and name not in modules:
        name = name.rpartition(".")[0]
    return name


def functions_of(module: Module) -> Iterator[Function]:
    """Return the size of each function; a function inside another counts for both."""
    blank = _blank_or_comment_lines(module.text)
    for node in ast.walk(module.tree):
        if isinstance(node, FunctionNode):
            lines = set(range(node.lineno, (node.end_lineno or node.lineno) + 1))
            yield Function(node.name, node.lineno, len(lines - blank - _docstring_lines(node)))


def circles_of(modules: dict[str, Module]) -> list[list[str]]:
    """Return the groups of modules that import one another in a circle, each sorted by name."""
    graph = {name: _neighbours(module, modules) for name, module in modules.items()}
    reach = {name: _reachable(name, graph) for name in graph}
    groups = {
        frozenset(other for other in reach[name] if name in reach.get(other, ()))
        for name in graph
        if name in reach[name]
    }
    return sorted(sorted(group) for group in groups)


def _read_module(package: Path, path: Path) -> Module:
    text = path.read_text(encoding="utf-8")
    parts = path.relative_to(package.parent).with_suffix("").parts
    is_package = parts[-1] == "__init__"
    name = ".".join(parts[:-1] if is_package else parts)
    return Module(name, text, ast.parse(text, filename=str(path)), is_package)


def _source_of(node: ast.ImportFrom, module: Module) -> str:
    if not node.level:
        return node.module or ""
    above = node.level - 1 if module.is_package else node.level
    parts = module.name.split(".")
    return ".".join([*parts[: len(parts) - above], *filter(None, [node.module])])


def _blank_or_comment_lines(source: str) -> set[int]:
    lines = enumerate((line.strip() for line in source.splitlines()), start=1)
    return {number for number, line in lines if not line or line.startswith("#")}


def _docstring_lines(node: FunctionNode) -> set[int]:
    if ast.get_docstring(node, clean=False) is None:
        return set()
    docstring = node.body[0]
    return set(range(docstring.lineno, (docstring.end_lineno or docstring.lineno) + 1))


def _neighbours(module: Module, modules: dict[str, Module]) -> set[str]:
    meant = {module_meant(imported, modules) for imported in imports_of(module)}
    return meant - {"", module.name}


def _reachable(start: str, graph: dict[str, set[str]]) -> set[str]:
    seen: set[str] = set()
    waiting = [*graph[start]]
    while waiting:
        name = waiting.pop()
        if name not in seen:
            seen.add(name)
            waiting.extend(graph.get(name, ()))
    return seen
