"""Steps set aside in any order, while a run goes on, back, and by changed plans: its rules hold."""

from collections.abc import Callable

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from app.domain.commands import BackOut, Replan
from app.domain.events.rewriting import BackOutCause
from app.domain.problems import accepting
from app.domain.rewriting.backing_out import backed_out, steps_to_go_back_to
from app.domain.rewriting.replanning import replanned
from app.domain.run import Run
from tests.domain import job, own_steps
from tests.domain.changed_plans import with_a_joint_more
from tests.domain.job import SUPERVISOR
from tests.domain.test_run_machine import RunMachine

STARTS: tuple[Callable[[], Run], ...] = (
    own_steps.begun,
    lambda: own_steps.before(own_steps.WEATHER),
    lambda: own_steps.before(own_steps.CAMERA),
    lambda: own_steps.before(own_steps.TWICE),
    lambda: job.before(job.SECOND_CLAMP),
)
CHANGED = with_a_joint_more(job.plan())


class SetAsideMachine(RuleBasedStateMachine):
    """Guards a run that is asked for little else, so that much of it comes together."""

    @initialize(start=st.sampled_from(STARTS))
    def begin(self, start: Callable[[], Run]) -> None:
        self.at = RunMachine()
        self.at.begin(start)

    @rule(data=st.data())
    def leave_a_step_out(self, data: st.DataObject) -> None:
        self.at.leave_a_step_out(data, "because", SUPERVISOR)

    @rule(data=st.data())
    def take_it_in_again(self, data: st.DataObject) -> None:
        self.at.take_it_in_again(data, "because", SUPERVISOR)

    @rule(data=st.data())
    def put_a_step_off(self, data: st.DataObject) -> None:
        self.at.put_a_step_off(data, "because", SUPERVISOR)

    @rule(count=st.integers(1, 12))
    def go_on(self, count: int) -> None:
        self.at.go_on_with_the_job(count, hurry=False)

    @rule()
    def undo(self) -> None:
        self.at.undo_the_last_step()

    @rule(data=st.data(), walked=st.booleans())
    def go_back(self, data: st.DataObject, *, walked: bool) -> None:
        """Go back a little, or turn a way back that is begun, to the end of the way or not."""
        run = self.at.run
        steps = steps_to_go_back_to(run)[:8]
        if steps:
            first = data.draw(st.sampled_from(steps)).number
            made = backed_out(run, first)
            self.at.ask(BackOut(first, BackOutCause.DAMAGE, "bent", 0, made, "c", "m", "s"), SUPERVISOR)
        if walked:
            for _ in range(60):
                if self.at.run.way_back_left():
                    self.at.ask(*self.at.next_of_the_job(hurry=False))

    @rule()
    def call_the_way_back_off(self) -> None:
        self.at.call_the_way_back_off("not needed", SUPERVISOR)

    @rule(other=st.booleans(), own=st.booleans())
    def plan_what_remains_anew(self, *, other: bool, own: bool) -> None:
        """Go on by another plan or the first, with the steps of the site's own in it or without."""
        if not self.at.run.way_back_left():
            plan = CHANGED if other else job.plan()
            sheet = own_steps.sheet_of(plan) if own else own_steps.compiled(plan)
            made = replanned(self.at.run, plan, sheet)
            accepted = tuple(accepting(problem) for problem in made.problems)
            self.at.ask(Replan("changed", "n", "f", "c", made, "s", accepted, "m", "s"), SUPERVISOR)

    @invariant()
    def every_rule_of_a_run_holds(self) -> None:
        self.at.floor_work_is_done_in_its_order()
        self.at.the_string_is_held()
        self.at.every_stage_and_step_has_an_id_of_its_own()
        self.at.no_serial_is_in_use_twice()
        self.at.what_a_done_step_needs_is_done()
        self.at.what_does_not_apply_stays_so_until_somebody_says_otherwise()
        self.at.what_is_put_off_stands_before_what_it_was_put_off_until()

    def teardown(self) -> None:
        """Replaying the log gives the very same run, and what is left of it keeps the laws."""
        if hasattr(self, "at"):
            self.at.teardown()


SetAsideMachine.TestCase.settings = settings(
    max_examples=max(60, settings().max_examples // 2), stateful_step_count=30
)
TestStepsSetAsideInAnyOrder = SetAsideMachine.TestCase
