"""A page as a browser's first look at it finds it: elements, forms, texts."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from html.parser import HTMLParser

VOID = frozenset({"meta", "link", "input", "img", "br", "hr", "path", "circle", "use", "rect"})


@dataclass(slots=True)
class Element:
    """One element with its attributes and its content, elements and texts in their order."""

    tag: str
    attributes: dict[str, str]
    content: list["Element | str"] = field(default_factory=list)

    @property
    def children(self) -> list["Element"]:
        """Return the elements directly in this one."""
        return [item for item in self.content if isinstance(item, Element)]

    def all(self, tag: str = "", **wanted: str) -> list["Element"]:
        """Return the elements below this one with a tag and the attributes wanted."""
        names = {name.rstrip("_").replace("_", "-"): value for name, value in wanted.items()}
        return [found for found in self._below() if found._is(tag, names)]

    def one(self, tag: str = "", **wanted: str) -> "Element":
        """Return the only such element."""
        found = self.all(tag, **wanted)
        assert len(found) == 1, f"{len(found)} of {tag} {wanted}"
        return found[0]

    def text(self) -> str:
        """Return all text in this element, in order, with single spaces."""
        return " ".join("".join(self._texts()).split())

    def _below(self) -> Iterator["Element"]:
        for child in self.children:
            yield child
            yield from child._below()

    def _is(self, tag: str, wanted: dict[str, str]) -> bool:
        same = all(self.attributes.get(name) == value for name, value in wanted.items())
        return (not tag or self.tag == tag) and same

    def _texts(self) -> Iterator[str]:
        for item in self.content:
            if isinstance(item, str):
                yield item
            else:
                yield from item._texts()


@dataclass(frozen=True, slots=True)
class PageForm:
    """A form: where it is sent, and what it would send untouched."""

    action: str
    values: dict[str, str]


def read_page(text: str) -> Element:
    """Return the root of a page; every element must be closed in its place."""
    reader = _Reader()
    reader.feed(text)
    reader.close()
    assert len(reader.open) == 1, f"not closed: {[element.tag for element in reader.open]}"
    return reader.open[0]


def forms_of(page: Element) -> list[PageForm]:
    """Return the forms of a page."""
    return [PageForm(form.attributes["action"], _values(form)) for form in page.all("form")]


def form_to(page: Element, action: str) -> PageForm:
    """Return the first form of a page that is sent to an address."""
    return next(form for form in forms_of(page) if form.action == action)


def _values(form: Element) -> dict[str, str]:
    values: dict[str, str] = {}
    for entry in form.all("input"):
        kind = entry.attributes.get("type", "text")
        if kind in ("checkbox", "radio") and "checked" not in entry.attributes:
            continue
        values[entry.attributes["name"]] = entry.attributes.get("value", "")
    for area in form.all("textarea"):
        values[area.attributes["name"]] = area.text()
    for choice in form.all("select"):
        options = choice.all("option")
        chosen = next((option for option in options if "selected" in option.attributes), options[0])
        values[choice.attributes["name"]] = chosen.attributes.get("value", chosen.text())
    return values


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.open = [Element("", {})]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        element = Element(tag, {name: value or "" for name, value in attrs})
        self.open[-1].content.append(element)
        if tag not in VOID:
            self.open.append(element)

    def handle_endtag(self, tag: str) -> None:
        if tag in VOID:
            return
        assert self.open[-1].tag == tag, f"</{tag}> closes <{self.open[-1].tag}>"
        self.open.pop()

    def handle_data(self, data: str) -> None:
        self.open[-1].content.append(data)
