"""The mark, the drop and the closed swivel on the pages of a run, and what follows from them at once."""

from app.domain.operations import Operation
from tests.web.conftest import Rig, Tablet
from tests.web.html_page import Element, read_page

JOINT, BLOCK = "BP-01", "YB-1"


def _number(rig: Rig, operation: Operation, part: str = "") -> int:
    return next(
        step.number
        for step in rig.run.sheet.steps
        if step.operation is operation and (not part or part in step.parts)
    )


def _at_mark(rig: Rig) -> str:
    """Do everything before the mark is read, and return the address of its step."""
    rig.do_deck_work()
    number = _number(rig, Operation.RAISE_TO_MARK)
    rig.do_floor_until(number)
    return f"{rig.home}/steps/{number}"


def _marked(tablet: Tablet, path: str, feet: str) -> None:
    answer = tablet.send(path, f"{path}/done", {"value-0": feet, "unit-0": "ft", "confirmed-0": "yes"})
    assert answer.status_code == 303, answer.text


def _marked_far_off(rig: Rig, tablet: Tablet, feet: str) -> None:
    """Read a mark that is not as planned and accept it as it is."""
    path = _at_mark(rig)
    _marked(tablet, path, feet)
    raised = {"what": "mark set otherwise", "why": "misread tally", "proposed": "use as is"}
    assert tablet.send(path, f"{path}/deviations", raised).status_code == 303
    accepted = {"disposition": "use as is", "reason": "legs looked at"}
    deviations = f"{rig.home}/deviations"
    assert tablet.send(deviations, f"{deviations}/1/settle", accepted).status_code == 303
    _marked(tablet, path, feet)


def _fields(page: Element) -> list[str]:
    return [
        field.one("legend").text()
        for field in page.all("fieldset", class_="reading")
        if field.all("input", class_="value")
    ]


def test_the_step_asks_for_the_mark_as_measured_within_the_tolerance(rig: Rig, tablet: Tablet) -> None:
    path = _at_mark(rig)

    page = tablet.page(rig.home)

    assert f"Mark below the top of {JOINT}" in _fields(page)
    assert "Between 7.96 ft and 7.98 ft, best 7.97 ft" in page.one("p", id="window-0").text()
    assert "with T-TAPE" in page.one("select", id="tool-0").text()
    assert "measure how far down it was set" in tablet.page(path).text()


def test_a_mark_in_the_wrong_unit_is_asked_about(rig: Rig, tablet: Tablet) -> None:
    path = _at_mark(rig)

    answer = tablet.send(path, f"{path}/done", {"value-0": "2.43", "unit-0": "ft"})

    assert answer.status_code == 422
    assert "was it read in m?" in read_page(answer.text).text()


def test_a_mark_as_read_stands_in_the_legs_at_once(rig: Rig, tablet: Tablet) -> None:
    before = tablet.page(f"{rig.home}/legs").text()
    _marked(tablet, _at_mark(rig), "7.98")

    after = tablet.page(f"{rig.home}/legs").text()
    figures = tablet.page(f"{rig.home}/figures?subject=leg+closure").text()

    assert "7.97 ft, planned" in before
    assert "7.98 ft, measured" in after
    assert "5.880 in; free are 1.500 in to 10.500 in" in after
    assert f"measured at step {_number(rig, Operation.RAISE_TO_MARK)}" in figures


def test_drop_and_closed_swivel_are_fields_of_the_block_on_deck(rig: Rig, tablet: Tablet) -> None:
    number = _number(rig, Operation.INSPECT_PART, BLOCK)
    path = f"{rig.home}/steps/{number}"
    page = tablet.page(path)
    values = rig.good_values(number) | {"value-2": "3.55", "value-3": "6.70"}

    answer = tablet.post(f"{path}/done", values)

    assert _fields(page) == ["Serial of YB-1", "Length YB-1", "Swivel length YB-1", "Drop YB-1"]
    assert answer.status_code == 303, answer.text
    legs = tablet.page(f"{rig.home}/legs").text()
    assert "3.55 ft, measured" in legs
    assert "6.70 ft, measured" in legs
    assert "7.800 in; free are 1.500 in to 10.500 in" in legs


def test_where_the_legs_meet_the_lengths_say_beside_the_target_what_to_expect(
    rig: Rig, tablet: Tablet
) -> None:
    _marked(tablet, _at_mark(rig), "7.98")
    number = _number(rig, Operation.MEET_SWIVEL)
    rig.do_floor_until(number)

    field = tablet.page(rig.home).one("fieldset", class_="reading").text()

    assert "Between 1.5 in and 10.500 in, best 6.000 in" in field
    # Ten lengths, each within 0.12 in.
    assert "By 10 lengths, 10 of them measured: 5.880 in, at worst 4.680 in to 7.080 in" in field
    done = tablet.page(f"{rig.home}/steps/{number - 1}").text()
    assert "By 10 lengths" not in done


def test_legs_that_a_mark_leaves_open_are_told_at_once_and_stop_the_make_up(rig: Rig, tablet: Tablet) -> None:
    _marked_far_off(rig, tablet, "8.47")

    legs = tablet.page(f"{rig.home}/legs").text()
    number = _number(rig, Operation.PICK_UP_Y)
    rig.do_floor_until(number)
    stopped = tablet.page(rig.home)
    answer = tablet.post(f"{rig.home}/steps/{number}/done", rig.good_values(number))

    assert "8.47 ft, measured" in legs
    assert "The legs do not close." in legs
    assert "A check of the string as it is now stops this step" in stopped.text()
    assert "the bypass leg is too long" in stopped.text()
    assert answer.status_code == 409


def test_a_swap_of_the_block_takes_what_is_known_of_its_swivel(rig: Rig, tablet: Tablet) -> None:
    page = tablet.page(f"{rig.home}/swaps?place={BLOCK}")
    sent = {"new": "YB-NEW", "reason": "swivel is stuck", "value-3": "3.50", "unit-3": "ft"}

    answer = tablet.send(f"{rig.home}/swaps?place={BLOCK}", f"{rig.home}/swaps", sent)

    names = [name for name in _fields(page) if name.endswith("of the new one")]
    assert [name.removesuffix(" of the new one") for name in names] == [
        "Length",
        "Max OD",
        "Weight",
        "Swivel length",
        "Drop",
    ]
    assert answer.status_code == 303, answer.text
    assert "3.50 ft, measured" in tablet.page(f"{rig.home}/legs").text()
