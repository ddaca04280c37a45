"""What an install record tells of steps set aside, of ways back, changed plans and swaps."""

from app.domain.as_built import install_record
from app.domain.commands import SayApplicable, SwapItem
from app.domain.install_record import InstallRecord
from app.domain.operations import Operation
from app.domain.run import Run
from tests.domain import job, own_steps
from tests.domain.changed_plans import with_a_joint_more
from tests.domain.job import LINE_TEST, SECOND_CLAMP, TECHNICIAN, do
from tests.domain.own_steps import TWICE
from tests.domain.put_aside import brought, number_now, put_off_until, without
from tests.domain.rewriting.walked import called_off, changed_to, going_back

BEFORE_LOWERING = LINE_TEST + 4
BY = "Sam Sample (supervisor)"


def record_of(run: Run, later_plans: dict[str, str] | None = None) -> InstallRecord:
    return install_record(run, "the plan", (), later_plans or {})


def test_a_step_that_was_put_off_and_brought_forward_stands_with_both_and_why() -> None:
    late = put_off_until(job.before(LINE_TEST - 1), LINE_TEST, BEFORE_LOWERING)

    record = record_of(brought(late, BEFORE_LOWERING - 1))

    told = [(item.step, item.what, item.until, item.reason, item.by) for item in record.set_aside]
    assert told == [
        (LINE_TEST, "deferred", BEFORE_LOWERING, "no test pump yet", BY),
        (LINE_TEST, "brought forward", LINE_TEST + 1, "the pump came", BY),
    ]
    assert [item.kind for item in record.rewritings] == ["step deferred", "step brought forward"]
    assert [item.signature.meaning for item in record.rewritings] == ["Later.", "Sooner."]


def test_a_step_that_did_not_apply_and_then_did_stands_with_both() -> None:
    run = without(own_steps.begun(), TWICE)
    number = number_now(run, TWICE)

    record = record_of(do(run, SayApplicable(number, "the crane came")))

    told = [(item.step, item.what, item.until, item.reason) for item in record.set_aside]
    assert told == [
        (number, "not applicable", 0, "no crane here"),
        (number, "applies after all", 0, "the crane came"),
    ]
    assert all(item.text == run.sheet.steps[number - 1].text for item in record.set_aside)


def test_a_way_back_stands_with_its_cause_its_steps_and_whether_it_was_called_off() -> None:
    run = job.before(SECOND_CLAMP)
    back = going_back(run, SECOND_CLAMP - 4)

    (begun,), (ended,) = (record_of(one).rewritings for one in (back, called_off(back)))

    assert (begun.kind, begun.first, begun.reason) == (
        "way back: something was damaged",
        SECOND_CLAMP - 4,
        "bent",
    )
    assert begun.undone == tuple(range(SECOND_CLAMP - 4, SECOND_CLAMP))
    assert begun.called_off == ""
    assert ended.called_off != ""


def test_a_changed_plan_stands_with_its_text_where_that_is_known() -> None:
    run = changed_to(job.before(SECOND_CLAMP), with_a_joint_more(job.plan()))

    (known,), (unknown,) = (record_of(run, plans).rewritings for plans in ({"p": "its text"}, {}))

    assert (known.kind, known.kept) == ("changed plan: n", SECOND_CLAMP - 1)
    assert (known.plan.text, unknown.plan.text) == ("its text", "")


def test_a_swap_stands_with_what_went_what_came_and_what_is_asked_again() -> None:
    run = job.before(job.first(Operation.FIT_LIFTING_CLAMP, "PMP-1"))

    (swap,) = record_of(do(run, SwapItem("PMP-1", "TL-PMP-0011", "P-NEW", "stiff"), TECHNICIAN)).swaps

    assert (swap.place, swap.old_serial, swap.new_serial) == ("PMP-1", "TL-PMP-0011", "P-NEW")
    assert (swap.reason, swap.by) == ("stiff", TECHNICIAN.titled)
    assert job.first(Operation.INSPECT_PART, "PMP-1") in swap.reopened
