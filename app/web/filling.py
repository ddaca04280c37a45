"""The fields of a form filled with what is half typed, wherever its template wrote them.

A form is written by many templates, and what is half typed belongs into all of them alike; so it is put in
where the form is complete, by the names of its fields.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from html import escape
from html.parser import HTMLParser

from markupsafe import Markup

Values = Mapping[str, tuple[str, ...]]
TICKED = frozenset({"checkbox", "radio"})
NEVER_FILLED = frozenset({"hidden", "password", "file"})


@dataclass(frozen=True, slots=True)
class Filled:
    """The fields of a form, and the names of those that were found and filled."""

    markup: Markup
    names: frozenset[str]


def filled(markup: str, values: Values) -> Filled:
    """Return fields with values in them; what has no value stays as it was written."""
    filling = _Filling(values)
    filling.feed(markup)
    filling.close()
    return Filled(Markup("".join(filling.parts)), frozenset(filling.found))


class _Filling(HTMLParser):
    """Guards the fields as far as they are written anew."""

    def __init__(self, values: Values) -> None:
        super().__init__(convert_charrefs=False)
        self.parts: list[str] = []
        self.found: set[str] = set()
        self._values = values
        self._chosen: tuple[str, ...] | None = None
        self._is_over_written = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.parts.append(self._written(tag, dict(attrs)))

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)

    def handle_endtag(self, tag: str) -> None:
        if tag == "textarea":
            self._is_over_written = False
        if tag == "select":
            self._chosen = None
        self.parts.append(f"</{tag}>")

    def handle_data(self, data: str) -> None:
        self._copy(data)

    def handle_entityref(self, name: str) -> None:
        self._copy(f"&{name};")

    def handle_charref(self, name: str) -> None:
        self._copy(f"&#{name};")

    def _copy(self, text: str) -> None:
        if not self._is_over_written:
            self.parts.append(text)

    def _written(self, tag: str, attributes: dict[str, str | None]) -> str:
        """Return a start tag as it was, or as it is with its value in it."""
        as_it_was = self.get_starttag_text() or ""
        if tag == "option":
            return as_it_was if self._chosen is None else _option(attributes, self._chosen)
        name, kind = attributes.get("name") or "", attributes.get("type") or "text"
        texts = self._values.get(name)
        if texts is None or kind in NEVER_FILLED:
            return as_it_was
        match tag:
            case "input":
                self.found.add(name)
                return _input(attributes, kind, texts)
            case "select":
                self.found.add(name)
                self._chosen = texts
                return as_it_was
            case "textarea":
                self.found.add(name)
                self._is_over_written = True
                # A line break right behind the tag is not part of the text.
                return f"{as_it_was}\n{escape(texts[0])}"
            case _:
                return as_it_was


def _input(attributes: dict[str, str | None], kind: str, texts: tuple[str, ...]) -> str:
    if kind in TICKED:
        return _tag("input", attributes, "checked", on=(attributes.get("value") or "on") in texts)
    return _tag("input", {**attributes, "value": texts[0]})


def _option(attributes: dict[str, str | None], chosen: tuple[str, ...]) -> str:
    return _tag("option", attributes, "selected", on=(attributes.get("value") or "") in chosen)


def _tag(name: str, attributes: dict[str, str | None], switch: str = "", *, on: bool = False) -> str:
    kept = {word: text for word, text in attributes.items() if word != switch}
    if on:
        kept[switch] = None
    said = (f" {word}" if text is None else f' {word}="{escape(text)}"' for word, text in kept.items())
    return f"<{name}{''.join(said)}>"
