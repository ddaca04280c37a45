"""Swaps on their page: chosen, typed, refused beside the field, and what follows on the other pages."""

from app.domain.operations import Operation
from tests.web.conftest import Rig, Tablet
from tests.web.html_page import forms_of, read_page

LONG_PUMP = {"new": "P-NEW", "value-0": "18.00", "unit-0": "ft", "reason": "shaft is stiff"}


def _first(rig: Rig, operation: Operation, part: str = "") -> int:
    steps = (step for step in rig.run.sheet.steps if step.operation is operation)
    return next(step.number for step in steps if not part or part in step.parts)


def _swap(rig: Rig, tablet: Tablet, typed: dict[str, str]) -> int:
    return tablet.send(f"{rig.home}/swaps?place=PMP-1", f"{rig.home}/swaps", typed).status_code


def test_a_part_is_swapped_and_the_page_says_what_is_asked_again(rig: Rig, tablet: Tablet) -> None:
    rig.do_deck_work()

    shown = tablet.page(f"{rig.home}/swaps?place=PMP-1").text()
    status = _swap(rig, tablet, LONG_PUMP)

    inspect = _first(rig, Operation.INSPECT_PART, "PMP-1")
    after = tablet.page(f"{rig.home}/swaps").text()
    assert f"Deck work is asked again: steps {inspect}, " in shown
    assert status == 303
    assert "TL-PMP-0011 rejected, P-NEW in its place, because: shaft is stiff." in after
    assert "length 18.00 ft" in after
    assert inspect in {step.number for step in rig.run.open_deck_steps()}
    assert "PMP-1 swapped: TL-PMP-0011 rejected" in tablet.page(f"{rig.home}/log").text()


def test_a_swap_that_cannot_be_is_refused_with_what_was_typed(rig: Rig, tablet: Tablet) -> None:
    path = f"{rig.home}/swaps"
    typed = {"place": "PMP-1", "old": "TL-PMP-0011", **LONG_PUMP}

    odd = tablet.post(path, {**typed, "value-0": "long"}, htmx=True)
    silent = tablet.post(path, {**typed, "reason": ""}, htmx=True)
    nowhere = tablet.get(f"{path}?place=nowhere")

    (form,) = [item for item in forms_of(read_page(odd.text)) if item.action == path]
    assert odd.status_code == 422
    assert "does not start with a number" in odd.text
    assert (form.values["new"], form.values["value-0"]) == ("P-NEW", "long")
    assert silent.status_code == 422
    assert "Say why" in silent.text
    assert nowhere.status_code == 404
    assert rig.run.swaps == ()


def test_what_the_floor_has_taken_up_is_not_offered_and_says_what_comes_first(
    rig: Rig, tablet: Tablet
) -> None:
    rig.do_deck_work()
    rig.do_floor_until(_first(rig, Operation.LAND_ON_TABLE, "MTR-1"))
    typed = {"place": "MTR-1", "old": "TL-MTR-0011", "new": "M-NEW", "reason": "dented"}

    listed = [link.attributes["href"] for link in tablet.page(f"{rig.home}/swaps").all("a")]
    refused = tablet.post(f"{rig.home}/swaps", typed)

    assert f"{rig.home}/swaps?place=SEAL-1" in listed
    assert f"{rig.home}/swaps?place=MTR-1" not in listed
    assert refused.status_code == 409
    assert "back out to before it first" in refused.text


def test_a_check_that_fails_stops_the_step_until_a_deviation_on_it_is_accepted(
    rig: Rig, tablet: Tablet
) -> None:
    rig.do_deck_work()
    _swap(rig, tablet, LONG_PUMP)
    rig.do_deck_work()
    number = _first(rig, Operation.PICK_UP_Y)
    rig.do_floor_until(number)
    path = f"{rig.home}/steps/{number}"

    page = tablet.page(path)
    stopped = tablet.post(f"{path}/done")
    by_program = tablet.post(f"/api{path}/finish")
    raised = tablet.send(path, f"{path}/deviations", {"why": "a longer swivel is on its way"})
    accepted = {"disposition": "use as is", "reason": "the longer swivel came"}
    settled = tablet.send(f"{rig.home}/deviations", f"{rig.home}/deviations/1/settle", accepted)
    done = tablet.post(f"{path}/done")

    assert "A check of the string as it is now stops this step" in page.text()
    assert "the bypass leg is too short" in page.text()
    assert stopped.status_code == 409
    assert by_program.status_code in (409, 422)
    assert (raised.status_code, settled.status_code, done.status_code) == (303, 303, 303)
    assert rig.run.is_done(number)
    assert "About: " in tablet.page(f"{rig.home}/deviations").text()
