"""What decides whether legs close and is read in a run: the mark as set, the drop, the swivel closed.

The small job by hand: 16.20 + 6.40 + 1.40 + 12.30 + 1.20 + 6.60 = 44.10 ft on the pump side, 7.97 + 31.03 +
1.00 + 3.60 = 43.60 ft on the bypass side, so that the swivel comes out 6.0 in of its 1.5 in to 10.5 in.
"""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.demo import demo_plan_text
from app.domain.as_built_parts import clamps
from app.domain.as_built_work import steps
from app.domain.at_step.depths import depths_of
from app.domain.at_step.following import follow
from app.domain.checks.space_out import closure_of, closures
from app.domain.checks.tally import datum_depths
from app.domain.closing_legs import Closing
from app.domain.commands import (
    AcceptDeviation,
    CorrectReading,
    Entered,
    FinishStep,
    RaiseDeviation,
    ReadAgain,
    SwapItem,
    UndoStep,
)
from app.domain.compiler import asked as wanted_of
from app.domain.compiler.compile import compile_plan
from app.domain.crew import Critical, SecondReading
from app.domain.events.deviations import Disposition
from app.domain.events.steps import Taken
from app.domain.figures.at_step import figures_before, figures_of
from app.domain.figures.subjects.basis import Subject
from app.domain.install_record import ReadingVerdict
from app.domain.legs import swivel_extension
from app.domain.measured import Measured, as_landed, measured_in, plan_in, with_measured
from app.domain.operations import Operation
from app.domain.parts import BlockMeasure
from app.domain.plan import Mark, Plan
from app.domain.quantities import Length, Ratio, in_unit, length
from app.domain.refusals import FindingError, ReadingError
from app.domain.rewriting.replanning import replanned
from app.domain.run import Done, Run, new_run
from app.domain.sheet import ReadingKind, Step
from app.domain.stations import spans, station_height
from app.domain.stopping import finding_of, standing_in_the_way
from app.records.plan_toml import read_plan, write_plan_toml
from tests.domain import job
from tests.domain.checks.changes import change_system
from tests.domain.figures.subjects.figured import going, inputs, margin, of_subject, worth
from tests.domain.job import DRILLER, HAND, do, finish, refused, typed
from tests.domain.rewriting.walked import going_back, walked_on
from tests.domain.test_swaps import on_to
from tests.strategies import plans

MARK = job.first(Operation.RAISE_TO_MARK)
BLOCK = job.first(Operation.INSPECT_PART, "YB-1")
BASE_CLAMP = job.FIRST_CLAMP
PICK_Y = job.first(Operation.PICK_UP_Y)
ON_JOINT = "mark below the top of BP-01"
EXTENSION = "extension of the swivel of YB-1"
JOINT = ("BP-01", ReadingKind.MARK)


def marked(run: Run, feet: str) -> Run:
    """Return the run after the mark was read so many feet below the top of its joint."""
    return do(run, FinishStep(MARK, typed(run, MARK, mark_below_the_top_of_BP_01=f"{feet} ft")), DRILLER)


def marked_far_off(feet: str) -> Run:
    """Return the run in which a mark that is not as planned was accepted as it is."""
    tried = marked(job.before(MARK), feet)
    raised = RaiseDeviation(MARK, "mark set otherwise", "misread tally", Disposition.USE_AS_IS)
    accepted = do(do(tried, raised, HAND), AcceptDeviation(1, Disposition.USE_AS_IS, "legs looked at"))
    return marked(accepted, feet)


def blocked(**changed: str) -> Run:
    """Return the run in which the Y-block was measured on deck, some of it otherwise than planned."""
    return do(job.begun(), FinishStep(BLOCK, typed(job.begun(), BLOCK, **changed)))


def out_in(run: Run) -> float:
    """Return how far the swivel comes out by what was measured [in]."""
    return in_unit(swivel_extension(plan_in(run).systems[0]), "in")


def test_the_steps_that_bring_a_mark_to_the_hands_ask_how_far_down_it_was_set() -> None:
    (wanted,) = job.step(MARK).readings

    assert (wanted.name, wanted.item, wanted.unit) == (ON_JOINT, "BP-01", "ft")
    # Common practice where the plan names no tolerance: a hundredth of a foot either way.
    assert [round(in_unit(each, "ft"), 4) for each in (wanted.low, wanted.target, wanted.high) if each] == [
        7.96,
        7.97,
        7.98,
    ]


def test_the_window_of_a_mark_is_the_tolerance_of_the_plan_and_begins_at_the_top_of_the_joint() -> None:
    (system,) = job.plan().systems
    closing = replace(system.closing or Closing(), length_tolerance=length(1, "in"))

    (wanted,) = wanted_of.mark(replace(system, closing=closing))
    (at_top,) = wanted_of.mark(replace(system, datum=Mark("BP-01", length(0.005, "ft"))))

    assert wanted.high is not None
    assert in_unit(wanted.high, "ft") == pytest.approx(7.97 + 1 / 12)
    assert at_top.low == Length(0.0)


def test_a_mark_as_read_is_what_the_legs_are_counted_from() -> None:
    figures = of_subject(going(marked(job.before(MARK), "7.98")), Subject.CLOSURE)

    # A hundredth of a foot more of the bypass leg stands over the mark: 0.12 in less of the swivel.
    assert worth(figures[EXTENSION], "in") == pytest.approx(5.88)
    assert inputs(figures[EXTENSION])[ON_JOINT] == ("7.98 ft", f"measured at step {MARK}")
    assert worth(figures[ON_JOINT], "ft") == pytest.approx(7.98)
    assert inputs(figures[ON_JOINT])["mark"] == ("7.98 ft", f"measured at step {MARK}")
    assert margin(figures["extension of YB-1 may be off, at worst"], "in") == pytest.approx(5.88 - 1.5 - 1.2)


def test_stations_and_depths_take_the_mark_as_read() -> None:
    run = marked(job.before(MARK), "7.98")
    before, now = going(job.before(MARK)), going(run)

    base = next(name for name in of_subject(now, Subject.STATIONS) if "base of MTR-1: below" in name)
    told = of_subject(now, Subject.TALLY)["mark of system pump, where both legs are fixed"]

    assert worth(of_subject(before, Subject.STATIONS)[base], "ft") == pytest.approx(7.97)
    assert worth(of_subject(now, Subject.STATIONS)[base], "ft") == pytest.approx(7.98)
    assert inputs(told)["below its top"] == ("7.98 ft", f"measured at step {MARK}")
    # The base of the string stays where it is, and the mark comes a hundredth of a foot nearer to it.
    deeper = datum_depths(plan_in(run))["pump"] - datum_depths(plan_in(job.before(MARK)))["pump"]
    assert in_unit(deeper, "ft") == pytest.approx(0.01)


def test_a_mark_set_lower_lets_the_leg_stand_higher_over_the_table() -> None:
    runs = marked(job.before(MARK), "7.97"), marked_far_off("8.47")

    planned, lower = (depths_of(follow(plan_in(run), run.standing())).stick_up for run in runs)

    # The mark is brought to the hands, and half a foot more of the leg stands over it.
    assert planned is not None and lower is not None
    assert in_unit(lower - planned, "ft") == pytest.approx(0.5)


@pytest.mark.parametrize(
    ("value", "unit", "asked"),
    [
        ("79.7", "ft", "is the decimal point in its place?"),
        ("2.43", "ft", "was it read in m?"),
        ("7.97", "in", "was it read in ft?"),
    ],
)
def test_a_mark_that_looks_like_a_slip_is_asked_about(value: str, unit: str, asked: str) -> None:
    refusal = refused(
        job.before(MARK), FinishStep(MARK, (Entered(ON_JOINT, value, unit, "T-TAPE"),)), DRILLER
    )

    assert isinstance(refusal, ReadingError)
    assert (refusal.rule, refusal.question) == ("looks-like-a-slip", True)
    assert asked in str(refusal)


def test_a_mark_off_its_window_is_set_anew_or_accepted_as_it_is_and_counts_only_then() -> None:
    tried = marked(job.before(MARK), "8.20")

    anew, accepted = marked(tried, "7.97"), marked_far_off("8.20")

    assert not tried.is_done(MARK)
    assert JOINT not in measured_in(tried).values
    assert out_in(tried) == pytest.approx(6.0)
    assert anew.is_done(MARK)
    # 0.23 ft lower: 2.76 in less.
    assert out_in(accepted) == pytest.approx(3.24)


def test_until_the_clamp_is_on_the_mark_as_read_is_what_is_moved() -> None:
    moved = of_subject(going(marked_far_off("8.20")), Subject.CLOSURE)

    assert "move the mark 0.23 ft up on BP-01, to 7.97 ft below its top" in moved[EXTENSION].advice
    assert worth(moved["mark for mid stroke, below the top of BP-01"], "ft") == pytest.approx(7.97)


def test_the_step_of_the_mark_tells_what_the_swivel_will_come_to() -> None:
    step, name = job.step(MARK), "swivel extension to expect"
    tried = marked(job.before(MARK), "8.47")

    (planned,) = figures_before(job.before(MARK), step)
    read, accepted = (
        {figure.name: figure for figure in figures_of(run, step)}[name]
        for run in (tried, marked_far_off("8.47"))
    )

    assert planned.name == name
    sides = {item.name: item.text for item in planned.inputs}
    # By hand, as above: 44.10 ft and 43.60 ft.
    assert sides["pump side over the mark"] == "529.200 in"
    assert sides["bypass side, swivel closed"] == "523.200 in"
    assert worth(planned, "in") == pytest.approx(6.0)
    assert worth(read, "in") == pytest.approx(0.0, abs=1e-9)
    assert read.is_outside
    assert read.advice == (
        "The bypass leg is too long for the swivel. For mid stroke move the mark 0.50 ft up on BP-01, to "
        "7.97 ft below its top."
    )
    assert worth(accepted, "in") == pytest.approx(0.0, abs=1e-9)


def test_legs_that_a_mark_set_too_low_leaves_open_stop_the_make_up_of_the_y() -> None:
    # Half a foot lower the swivel would have to stand closed.
    run = on_to(marked_far_off("8.47"), PICK_Y)

    stopped = refused(run, FinishStep(PICK_Y), DRILLER)

    assert isinstance(stopped, FindingError)
    assert [found.rule for found in stopped.problems] == ["legs-do-not-close"]
    assert "come out 0.000 in" in str(stopped)
    (found,) = standing_in_the_way(run, job.step(PICK_Y))
    raised = RaiseDeviation(PICK_Y, "legs", "low mark", Disposition.USE_AS_IS, finding_of(found))
    accepted = do(do(run, raised, HAND), AcceptDeviation(2, Disposition.USE_AS_IS, "a longer swivel is here"))
    assert finish(accepted, PICK_Y).is_done(PICK_Y)


def test_a_clamp_that_the_mark_brings_onto_a_coupling_is_not_fitted() -> None:
    plan = job.plan()
    (system,) = plan.systems
    coupled = replace(system.bypass, coupling_od=length(3.668, "in"))
    kinds = tuple(replace(kind, height=length(12, "in")) for kind in plan.clamp_types)
    changed = replace(plan, systems=(replace(system, bypass=coupled),), clamp_types=kinds)
    run = replace(job.before(MARK), plan=changed)
    low = replace(run, plan=change_system(changed, 0, datum=Mark("BP-01", length(0.40, "ft"))), done={})

    assert standing_in_the_way(run, job.step(BASE_CLAMP)) == ()
    assert [found.rule for found in standing_in_the_way(low, job.step(BASE_CLAMP))] == ["clamp-on-coupling"]
    assert standing_in_the_way(low, job.step(job.SECOND_CLAMP)) == ()


def test_a_mark_that_is_corrected_or_taken_back_counts_as_it_then_is() -> None:
    run = marked(job.before(MARK), "7.98")

    corrected = do(run, CorrectReading(MARK, Entered(ON_JOINT, "7.96", "ft", "T-TAPE"), "misread"))
    undone = do(run, UndoStep(MARK, "wrong joint"))

    assert out_in(corrected) == pytest.approx(6.12)
    assert out_in(undone) == pytest.approx(6.0)
    assert JOINT not in measured_in(undone).values


def test_a_mark_that_two_people_read_counts_once_both_have() -> None:
    run = job.before(MARK)
    rows = (SecondReading(Critical.MARK, Ratio(0.002, "0.2 %")),)
    run = replace(run, plan=replace(run.plan, limits=replace(run.plan.limits, second_readings=rows)))

    once = marked(run, "7.98")
    twice = do(once, ReadAgain(MARK, (Entered(ON_JOINT, "7.97", "ft", "T-TAPE"),)), HAND)

    assert MARK in once.waiting
    assert out_in(once) == pytest.approx(6.0)
    assert out_in(twice) == pytest.approx(5.88)


def test_a_mark_counts_until_the_way_back_over_it_is_walked_and_is_read_again_behind_it() -> None:
    run = on_to(marked(job.before(MARK), "7.98"), BASE_CLAMP)
    whole_way = len(going_back(run, MARK).way_back_left())

    begun = walked_on(going_back(run, MARK), 1)
    walked = walked_on(going_back(run, MARK), whole_way)
    current = walked.current()
    assert current is not None
    again = do(
        job.pass_hold(walked, held.id) if (held := walked.holding(current)) else walked,
        FinishStep(current.number, (Entered(ON_JOINT, "7.96", "ft", "T-TAPE"),)),
        DRILLER,
    )

    assert current.operation is Operation.RAISE_TO_MARK
    assert out_in(begun) == pytest.approx(5.88)
    assert out_in(walked) == pytest.approx(6.0)
    assert out_in(again) == pytest.approx(6.12)
    assert measured_in(again).origin(*JOINT) == f"measured at step {current.number}"


def test_a_way_back_that_leaves_the_mark_leaves_it_as_it_was_read() -> None:
    run = on_to(marked(job.before(MARK), "7.98"), BASE_CLAMP)

    back = going_back(run, MARK + 1)

    assert out_in(walked_on(back, len(back.way_back_left()))) == pytest.approx(5.88)


def test_a_changed_plan_that_wants_a_mark_elsewhere_is_told_where_it_was_set() -> None:
    run = marked(job.before(MARK), "7.98")
    near, far = (change_system(run.plan, 0, datum=Mark("BP-01", length(at, "ft"))) for at in (7.99, 8.10))

    told = replanned(run, far, compile_plan(far)[0]).problems

    assert [problem.rule for problem in told] == ["replan-mark-otherwise"]
    assert "was set 7.98 ft below its top" in told[0].text
    assert "wants it at 8.1 ft" in told[0].text
    assert told[0].where == 'systems[0] "pump" . datum'
    assert replanned(run, near, compile_plan(near)[0]).problems == ()
    assert replanned(job.before(MARK), far, compile_plan(far)[0]).problems == ()


def test_drop_and_closed_swivel_are_measured_where_the_plan_asks_for_them() -> None:
    names = [wanted.name for wanted in job.step(BLOCK).readings]
    plain = replace(job.plan().systems[0].y_block, also_measured=())

    assert names == ["serial", "length YB-1", "swivel length YB-1", "drop YB-1"]
    assert [wanted.name for wanted in wanted_of.block_measures(plain)] == ["length YB-1"]


def test_a_measure_that_a_plan_asks_for_twice_is_read_once() -> None:
    block = replace(job.plan().systems[0].y_block, also_measured=(BlockMeasure.DROP, BlockMeasure.DROP))

    assert [wanted.name for wanted in wanted_of.block_measures(block)] == ["length YB-1", "drop YB-1"]


def test_a_drop_and_a_closed_swivel_as_measured_are_what_the_legs_close_by() -> None:
    run = blocked(drop_YB_1="6.70 ft", swivel_length_YB_1="3.55 ft")

    result = of_subject(going(run), Subject.CLOSURE)[EXTENSION]

    # 0.10 ft more of the pump leg and 0.05 ft less of the bypass leg: 1.8 in more of the swivel.
    assert worth(result, "in") == pytest.approx(7.8)
    assert inputs(result)["drop of YB-1"] == ("6.70 ft", f"measured at step {BLOCK}")
    assert inputs(result)["swivel of YB-1, closed"] == ("3.55 ft", f"measured at step {BLOCK}")
    assert plan_in(run).systems[0].y_block.length.typed == "6.6000 ft"
    tallied = of_subject(going(run), Subject.TALLY)["base of YB-1"]
    assert inputs(tallied)["swivel, closed"] == ("3.55 ft", f"measured at step {BLOCK}")


def test_a_block_whose_drop_nobody_measures_is_as_long_as_its_drop_where_the_plan_says_so() -> None:
    plan = job.plan()
    (system,) = plan.systems
    longer = Measured({("YB-1", ReadingKind.LENGTH): length(6.80, "ft")})
    offset = replace(system.y_block, length=length(6.90, "ft"))

    all_drop = closure_of(with_measured(plan, longer), 0, longer.values)
    other = closure_of(with_measured(change_system(plan, 0, y_block=offset), longer), 0, longer.values)

    assert [in_unit(each.extension, "in") for each in (all_drop, other)] == pytest.approx([8.4, 6.0])
    assert [each.measured for each in (all_drop, other)] == [1, 0]


def test_a_swivel_far_too_long_stops_the_make_up_of_the_y() -> None:
    # 0.20 ft more of the swivel leaves 3.6 in, 0.40 ft more 1.2 in, of the 1.5 in to 10.5 in that are free.
    closing, stopped = (blocked(swivel_length_YB_1=f"{feet} ft") for feet in ("3.80", "4.00"))

    assert standing_in_the_way(closing, job.step(PICK_Y)) == ()
    (found,) = standing_in_the_way(stopped, job.step(PICK_Y))
    assert found.rule == "legs-do-not-close"
    assert "come out 1.200 in" in found.text


def test_another_y_block_is_worth_what_is_told_of_it_until_it_is_measured() -> None:
    values = (Entered("swivel length", "3.50", "ft"), Entered("drop", "6.70", "ft"))
    run = do(job.before(MARK), SwapItem("YB-1", "TL-YB-0011", "YB-NEW", "swivel is stuck", values))

    told = out_in(run)
    again = do(
        run,
        FinishStep(
            BLOCK, typed(run, BLOCK, serial="YB-NEW", swivel_length_YB_1="3.55 ft", drop_YB_1="6.70 ft")
        ),
    )

    # 0.10 ft either way: 6.0 + 2.4 in.
    assert told == pytest.approx(8.4)
    assert measured_in(run).origin("YB-1", ReadingKind.DROP) == "swapped in, YB-NEW"
    assert out_in(again) == pytest.approx(7.8)
    assert measured_in(again).origin("YB-1", ReadingKind.DROP) == f"measured at step {BLOCK}"


def test_a_swap_of_a_part_takes_no_drop() -> None:
    swap = SwapItem("PMP-1", "TL-PMP-0011", "P-NEW", "stiff", (Entered("drop", "6.70", "ft"),))

    refusal = refused(job.before(MARK), swap)

    assert "it takes: length, max OD, weight" in str(refusal)


def test_what_may_be_measured_of_a_block_alone_is_refused_of_a_part() -> None:
    text = write_plan_toml(job.plan())
    pump = 'tag = "PMP-1"\n'

    plan, problems = read_plan(text.replace(pump, f'{pump}also_measured = ["drop"]\n'))

    assert plan is None
    (problem,) = problems
    assert problem.where == 'systems[0] "pump" . parts[4] "PMP-1" . also_measured[0]'
    assert "max OD" in problem.text
    assert read_plan(text)[0] == job.plan()


def dual_run() -> tuple[Run, tuple[Step, ...]]:
    """Return a run of the big demonstration before its start, and the steps at its two marks."""
    plan, _ = read_plan(demo_plan_text("dual"))
    assert plan is not None
    sheet, _ = compile_plan(plan)
    assert sheet is not None
    run = new_run("run-2", plan, sheet)
    return run, tuple(step for step in sheet.steps if step.operation is Operation.RAISE_TO_MARK)


def test_each_system_has_a_mark_of_its_own_and_the_upper_one_moves_its_support_clamp() -> None:
    run, (lower, upper) = dual_run()
    read = Taken(upper.readings[0].name, "6.31", "ft", "", repr(6.31 * 0.3048), ReadingVerdict.ABOVE_WINDOW)
    done = replace(run, done={upper.number: Done(upper.number, (read,), HAND, job.START, 1)})

    planned, now = closures(run.plan), closures(plan_in(done), measured_in(done).values)

    assert (lower.readings[0].item, upper.readings[0].item) == ("BL-01", "BU-01")
    assert now[0].extension == planned[0].extension
    assert in_unit(planned[1].extension - now[1].extension, "in") == pytest.approx(1.2)
    assert [closure.measured for closure in now] == [0, 1]
    clamp = "support clamp at the mark: below the top of BU-01"
    assert worth(of_subject(going(done), Subject.STATIONS)[clamp], "ft") == pytest.approx(6.31)


READ_OTHERWISE = {
    "mark_below_the_top_of_BL_01": "11.72 ft",
    "drop_YB_L": "6.62 ft",
    "swivel_length_YB_L": "3.59 ft",
    "mark_below_the_top_of_BU_01": "6.20 ft",
    "drop_YB_U": "6.59 ft",
    "swivel_length_YB_U": "3.61 ft",
}


def run_to_the_end(run: Run, **changed: str) -> Run:
    """Return a run after every step, some read otherwise than planned."""
    run = job.happened(run, job.RELEASE)
    for step in run.sheet.steps:
        names = {wanted.name.replace(" ", "_").replace("-", "_") for wanted in step.readings}
        if names.isdisjoint(changed):
            run = finish(run, step.number)
        else:
            run = do(run, FinishStep(step.number, typed(run, step.number, **changed)))
    return run


def test_the_big_job_is_run_to_its_end_by_what_was_measured_and_its_record_says_so() -> None:
    begun, _ = dual_run()
    planned, run = run_to_the_end(begun), run_to_the_end(begun, **READ_OTHERWISE)

    legs = [closures(plan_in(each), measured_in(each).values) for each in (planned, run)]
    depths = [datum_depths(as_landed(plan_in(each))) for each in (planned, run)]
    moved = [in_unit(after.extension - before.extension, "ft") for before, after in zip(*legs, strict=True)]
    deeper = {name: in_unit(depths[1][name] - depths[0][name], "ft") for name in ("lower", "upper")}

    assert run.current() is None
    assert [closure.measured for closure in legs[1]] == [len(closure.lengths) for closure in legs[1]]
    # Drop less mark less closed swivel: 0.02 - 0.01 + 0.01 ft below, -0.01 + 0.01 - 0.01 ft above.
    assert moved == pytest.approx([0.02, -0.01])
    # 0.01 ft less drop over the upper mark; between the marks 0.01 ft more of BU-01, 0.02 ft more of YB-L.
    assert deeper == pytest.approx({"lower": 0.02, "upper": -0.01})
    fitted = {clamp.station: clamp.depth for clamp in clamps(run, as_landed(plan_in(run)))}
    assert fitted["BU-01 mark"].value == f"{in_unit(depths[1]['upper'], 'ft'):.2f}"
    told = {(read.name, f"{read.value} {read.unit}") for step in steps(run) for read in step.readings}
    assert {("mark below the top of BU-01", "6.20 ft"), ("drop YB-L", "6.62 ft")} <= told


@given(plans(), st.data())
@settings(max_examples=25, deadline=None)
def test_whatever_is_measured_moves_the_swivel_by_as_much_and_the_stations_with_the_mark(
    plan: Plan, data: st.DataObject
) -> None:
    position = data.draw(st.integers(0, len(plan.systems) - 1))
    system = plan.systems[position]
    lower, drop, closed = (Length(data.draw(st.floats(-0.03, 0.03))) for _ in range(3))
    block, datum = system.y_block, system.datum
    measured = Measured(
        {
            (datum.joint, ReadingKind.MARK): datum.below_top + lower,
            (block.tag, ReadingKind.DROP): block.drop + drop,
            (block.tag, ReadingKind.SWIVEL_LENGTH): block.swivel_length + closed,
        }
    )

    built = with_measured(plan, measured)

    moved = swivel_extension(built.systems[position]) - swivel_extension(system)
    assert moved.si == pytest.approx((drop - lower - closed).si, abs=1e-9)
    others = [other for at, other in enumerate(built.systems) if at != position]
    assert others == [other for at, other in enumerate(plan.systems) if at != position]
    before, after = spans(system), spans(built.systems[position])
    for clamp in system.clamps:
        on_joint = clamp.at in {joint.tag for joint in system.bypass.joints}
        rise = station_height(clamp, after) - station_height(clamp, before)
        # Heights count from the mark: the lower it was set, the higher each joint stands over it.
        assert rise.si == pytest.approx(lower.si if on_joint else 0.0, abs=1e-9)
    assert closure_of(built, position, measured.values).measured == 3
