"""Each page asks of its context exactly the names that the context documents."""

import importlib
import inspect
import pkgutil
from collections.abc import Iterator
from dataclasses import FrozenInstanceError, fields, is_dataclass
from typing import Any

import pytest
from jinja2 import DictLoader, Environment, meta
from jinja2.exceptions import UndefinedError

from app.bundled import resource_folder
from app.web import contexts, errors
from app.web.contexts.frame import Frame
from app.web.render import Page, make_environment, render_text
from app.web.static_files import StaticFolder

ENVIRONMENT = make_environment(StaticFolder(resource_folder("static")))
GIVEN = {
    "new_key",
    "run_seen",
    "asset",
    "form_kept",
    "is_half_typed",
}  # functions that every template may call
NEVER_ASKED = {"PAGE", "PART"}


def page_classes() -> list[type[Any]]:
    """Return every class of a page."""
    names = [module.name for module in pkgutil.iter_modules(contexts.__path__)]
    modules = [importlib.import_module(f"{contexts.__name__}.{name}") for name in names]
    found = {
        kind
        for module in (*modules, errors)
        for _, kind in inspect.getmembers(module, inspect.isclass)
        if hasattr(kind, "PAGE")
    }
    return sorted(found, key=lambda kind: kind.__name__)


PAGE_CLASSES = [kind for kind in page_classes() if kind.__name__ != "Page"]


@pytest.mark.parametrize("kind", PAGE_CLASSES, ids=lambda kind: kind.__name__)
def test_a_page_asks_for_exactly_the_names_of_its_context(kind: type[Any]) -> None:
    documented = {item.name for item in fields(kind)}

    asked = names_asked(ENVIRONMENT, kind.PAGE) | names_asked(ENVIRONMENT, kind.PART)

    assert asked - GIVEN == documented


@pytest.mark.parametrize("kind", PAGE_CLASSES, ids=lambda kind: kind.__name__)
def test_a_page_is_a_frozen_value(kind: type[Any]) -> None:
    page = object.__new__(kind)

    assert is_dataclass(kind)
    assert "__slots__" in vars(kind)
    with pytest.raises(FrozenInstanceError):
        page.frame = None


def test_every_template_of_a_page_belongs_to_a_context() -> None:
    own = {name for kind in PAGE_CLASSES for name in (kind.PAGE, kind.PART)}

    pages = {
        name
        for name in ENVIRONMENT.list_templates(extensions=["html"])
        if not name.rpartition("/")[2].startswith("_")
    }

    assert pages - own == {"base.html"}


def test_an_unknown_name_fails_instead_of_showing_nothing() -> None:
    frame = Frame(None, demo=False, practice=False, palette="", size="", path="/")
    page: Page = errors.ErrorPage(frame, 404, "not there")
    careless = ENVIRONMENT.overlay(loader=DictLoader({"page.html": "{{ text }} {{ txet }}"}))

    with pytest.raises(UndefinedError, match="txet"):
        render_text(careless, page, "page.html")


def names_asked(environment: Environment, name: str) -> set[str]:
    """Return the names that a template and those that it includes or extends ask of their context."""
    return {asked for part in _with_included(environment, name) for asked in _undeclared(environment, part)}


def _with_included(environment: Environment, name: str) -> Iterator[str]:
    yield name
    tree = environment.parse(_source(environment, name))
    for other in meta.find_referenced_templates(tree):
        assert other is not None, f"{name} includes a template by a name that only a run can tell"
        yield from _with_included(environment, other)


def _undeclared(environment: Environment, name: str) -> set[str]:
    return meta.find_undeclared_variables(environment.parse(_source(environment, name)))


def _source(environment: Environment, name: str) -> str:
    assert environment.loader is not None
    return environment.loader.get_source(environment, name)[0]
