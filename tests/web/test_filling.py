"""Fields are filled by their names, and everything else of a form stays letter by letter."""

from hypothesis import given
from hypothesis import strategies as st

from app.web.filling import filled
from tests.web.html_page import read_page

FORM = (
    '<fieldset class="reading"><legend>Torque &amp; turns &#8211; &ldquo;A&rdquo;</legend>'
    '<svg class="mark"><use href="/static/marks.svg#note"></use></svg>'
    '<input type="hidden" name="back" value="run">'
    '<input class="value" id="value-0" name="value-0" value="" inputmode="decimal" data-value="x">'
    '<select name="unit-0"><option value="ft*lbf" selected>ft</option><option value="N*m">N</option></select>'
    '<select name="tool-0"><option value="T-1" selected>with T-1</option></select>'
    '<textarea name="text" rows="3">before &lt;b&gt;</textarea>'
    '<input type="checkbox" name="topic" value="wind" checked>'
    '<input type="checkbox" name="topic" value="rain">'
    '<input type="radio" name="why" value="a" checked><input type="radio" name="why" value="b">'
    '<input type="password" name="pin" value=""></fieldset>'
)


def test_a_form_without_values_is_left_letter_by_letter() -> None:
    made = filled(FORM, {})

    assert str(made.markup) == FORM
    assert made.names == frozenset()


def test_each_kind_of_field_is_filled_and_its_neighbours_are_not() -> None:
    values = {"value-0": ('5"0<1',), "unit-0": ("N*m",), "topic": ("rain",), "why": ("b",), "gone": ("x",)}

    made = filled(FORM, values)

    page = read_page(str(made.markup))
    chosen = {
        element.attributes["value"]
        for element in page.all()
        if {"checked", "selected"} & element.attributes.keys()
    }
    assert page.one(id="value-0").attributes["value"] == '5"0<1'
    assert page.one(id="value-0").attributes["data-value"] == "x"
    assert chosen == {"N*m", "T-1", "rain", "b"}
    assert '<textarea name="text" rows="3">before &lt;b&gt;</textarea>' in made.markup
    assert made.names == {"value-0", "unit-0", "topic", "why"}


def test_a_pin_a_hidden_field_and_a_file_are_never_filled() -> None:
    markup = FORM + '<input type="file" name="photo">'

    made = filled(markup, {"pin": ("482915",), "back": ("deck",), "photo": ("a.png",)})

    assert str(made.markup) == markup


@given(st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\r\0"), max_size=40))
def test_any_text_comes_back_as_it_was_typed(text: str) -> None:
    made = filled(FORM, {"text": (text,), "value-0": (text,)})

    page = read_page(str(made.markup))
    area = "".join(item for item in page.one("textarea").content if isinstance(item, str))
    assert area == f"\n{text}"  # a browser drops the line break behind the tag
    assert page.one(id="value-0").attributes["value"] == text
