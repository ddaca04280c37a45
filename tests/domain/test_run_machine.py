"""Any commands in any order: whatever is asked, the rules of a run hold."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import timedelta

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from app.domain.apply import apply, fold
from app.domain.at_step.counts import items_of
from app.domain.commands import (
    AcceptDeviation,
    AcceptHandover,
    AddNote,
    AddPhoto,
    AddToLoadOut,
    BackOut,
    BeginHold,
    BringForward,
    CallOffBackOut,
    CheckHandover,
    CloseRun,
    Command,
    CorrectReading,
    CountItems,
    DeferStep,
    DraftHandover,
    EndHold,
    Entered,
    FinishStep,
    HoldTalk,
    OnPaper,
    ProposeDisposition,
    RaiseDeviation,
    ReadAgain,
    Replan,
    SayApplicable,
    SayNotApplicable,
    SettleItems,
    SignHoldPoint,
    SignRun,
    SwapItem,
    TakeCharge,
    TakeHandoverBack,
    TalkHandoverThrough,
    UndoStep,
)
from app.domain.compiler.compile import compile_plan
from app.domain.cross_check import asked_again
from app.domain.decide import decide
from app.domain.deciding.closing import closing_roles, missing, uncounted, unsettled_serials
from app.domain.deciding.holds import step_to_look_at
from app.domain.events.charge import ChargeTaken
from app.domain.events.closing import RunClosed
from app.domain.events.deviations import Disposition
from app.domain.events.event import Event, Happened, Work
from app.domain.events.handover import HandoverAccepted, HandoverTalked
from app.domain.events.hold_points import HoldPointReleased
from app.domain.events.holds import Cause, HoldEnded, LookBack
from app.domain.events.load_out import Settlement
from app.domain.events.rewriting import BackOutCause, Replanned
from app.domain.events.set_aside import StepApplicable, StepNotApplicable
from app.domain.events.steps import AttemptFailed, FirstReadingTaken, SecondReadingTaken, StepDone, StepUndone
from app.domain.events.swaps import ItemSwapped
from app.domain.events.who import Who
from app.domain.numbering import first_key
from app.domain.operations import COMES_BACK_BY_SERIAL
from app.domain.plan import Plan
from app.domain.problems import accepting
from app.domain.refusals import ClosedRunError, RefusedError, SetAsideError, UnknownStepError
from app.domain.rewriting.backing_out import backed_out, steps_to_go_back_to
from app.domain.rewriting.bringing_forward import brought_forward, stands_before
from app.domain.rewriting.putting_off import places_until, put_off
from app.domain.rewriting.replanning import replanned
from app.domain.rewriting.rewritten import current_stage, done_in_order, proven_going_on, standing_last
from app.domain.run import Run, RunState, last_on_floor
from app.domain.sheet import Lane, ReadingKind, Step
from app.domain.standing import open_items, to_talk_through
from app.domain.string.simulator import state_after
from app.domain.swaps import swappable, swappables
from tests.domain import job, own_steps
from tests.domain.changed_plans import with_a_joint_more
from tests.domain.job import CREW, SUPERVISOR
from tests.runner import good_readings, read_again, send_back

GOOD_SWIVEL = FinishStep(job.MEET_SWIVEL, good_readings(job.begun(), job.step(job.MEET_SWIVEL)))
STARTS: tuple[Callable[[], Run], ...] = (
    job.begun,
    # Signed, and none of the deck work done that the first lift needs.
    lambda: job.pass_hold(job.begun(), "first-lift-pump"),
    # Everything done up to a talk that nobody has held.
    *(
        lambda first=stage.first: job.after(first - 1)
        for stage in job.sheet().stages
        if stage.hold_point is not None
    ),
    lambda: job.before(job.TORQUE),
    lambda: job.before(job.SECOND_CLAMP),
    # The technician has read what is read twice.
    lambda: job.do(job.before(job.MEET_SWIVEL), GOOD_SWIVEL, job.TECHNICIAN),
    lambda: job.before(job.LINE_TEST),
    lambda: job.before(job.LAST),
    job.all_done,
    # Steps in the sheet that no law misses.
    own_steps.begun,
    lambda: own_steps.before(own_steps.WEATHER),
    lambda: own_steps.before(own_steps.TWICE),
)
DECK = [step.number for step in job.sheet().lane(Lane.DECK)]
FLOOR = [step.number for step in job.sheet().lane(Lane.FLOOR)]
STAGES = [stage.id for stage in job.sheet().stages]
SERIALS = st.sampled_from([*job.begun().load_out, "X-1", "X-2", ""])
PLACES = st.sampled_from([*(item.place for item in swappables(job.begun())), "nowhere"])
ITEMS = st.sampled_from(["bypass clamp", "MTR-1", "SEAL-1", "cross-coupling protector, 2-7/8 in", ""])
CHANGED_PLANS = (with_a_joint_more(job.plan()),)
COUNTS = st.integers(-1, 14)
NUMBERS = st.integers(0, job.LAST + 1)
SECOND = Who("p-two", "Ida Invented", "supervisor")
PEOPLE = st.sampled_from([*CREW, SECOND, None])
REASONS = st.sampled_from(["because", "", " "])
# Mostly good ones, where a rule would otherwise be refused for them nearly always.
GOOD_REASONS, LEADERS = st.just("because") | REASONS, st.just(SUPERVISOR) | PEOPLE
NAMES = st.sampled_from(
    ["torque", "swivel extension", "serial", "resistance A-B", "start pressure", "length BP-01", "colour"]
)
VALUES = st.sampled_from(
    ["500", "440", "5000", "0", "1.5", "1e99", "-3", "x", "", "TL-BC-0401", "TL-BC-0402"]
)
UNITS = st.sampled_from(["ft*lbf", "N*m", "ohm", "psi", "ft", "lb", ""])
TOOLS = st.sampled_from(["T-WRENCH", "T-TORQUE", "T-BRIDGE", "T-GAUGE", "T-TAPE", ""])
ENTERED = st.builds(Entered, NAMES, VALUES, UNITS, TOOLS, st.booleans())
ANYTHING: st.SearchStrategy[Command] = st.one_of(
    st.builds(HoldTalk, st.sampled_from([*STAGES, "nowhere"]), st.just(()), st.just(CREW)),
    st.builds(SignHoldPoint, st.sampled_from([*STAGES, "nowhere"]), st.just("there"), st.just("a")),
    st.builds(FinishStep, NUMBERS, st.lists(ENTERED, max_size=2).map(tuple)),
    st.builds(ReadAgain, NUMBERS, st.lists(ENTERED, max_size=2).map(tuple)),
    st.builds(UndoStep, NUMBERS, REASONS),
    st.builds(SayNotApplicable, NUMBERS, REASONS),
    st.builds(SayApplicable, NUMBERS, REASONS),
    st.builds(CorrectReading, NUMBERS, ENTERED, REASONS),
    st.builds(RaiseDeviation, NUMBERS, REASONS, REASONS, st.sampled_from(Disposition)),
    st.builds(ProposeDisposition, st.integers(0, 4), st.sampled_from(Disposition), REASONS),
    st.builds(AcceptDeviation, st.integers(0, 4), st.sampled_from(Disposition), REASONS),
    st.builds(AddNote, NUMBERS, REASONS),
    st.builds(
        AddPhoto,
        NUMBERS,
        st.just("h"),
        st.just("n"),
        st.just("image/png"),
        st.integers(0, 3),
        st.sampled_from(["", *STAGES]),
    ),
    st.builds(SwapItem, PLACES, SERIALS, SERIALS, REASONS, st.just(()), st.integers(0, 2)),
    st.builds(AddToLoadOut, SERIALS, ITEMS, REASONS),
    st.builds(SettleItems, st.lists(SERIALS, max_size=3).map(tuple), st.sampled_from(Settlement), REASONS),
    st.builds(CountItems, ITEMS, COUNTS, COUNTS, COUNTS, REASONS),
    st.builds(BeginHold, st.sampled_from(Cause), REASONS),
    st.builds(EndHold, st.sampled_from(LookBack), NUMBERS, REASONS),
    st.builds(DraftHandover, REASONS),
    st.builds(TalkHandoverThrough),
    st.builds(CheckHandover, st.lists(ENTERED, max_size=2).map(tuple), st.sampled_from(["1", "none", ""])),
    st.builds(AcceptHandover, REASONS, st.just("mine"), st.just("c")),
    st.builds(TakeHandoverBack, REASONS),
    st.builds(TakeCharge, REASONS, st.booleans(), st.just("mine"), st.just("d")),
    st.builds(SignRun, st.just("done"), st.just("b")),
    st.builds(CloseRun),
)


class RunMachine(RuleBasedStateMachine):
    """Guards one run and its log while commands come in any order."""

    @initialize(start=st.sampled_from(STARTS))
    def begin(self, start: Callable[[], Run]) -> None:
        self.start = self.run = start()
        self.now = job.START + timedelta(days=1)
        self.log: list[Happened] = []
        self.aside: set[str] = set()
        self.answers, self.has_to_look = self.run.in_charge, False

    @rule(command=ANYTHING, who=PEOPLE, seconds=st.integers(0, 600))
    def ask_anything(self, command: Command, who: Who | None, seconds: int) -> None:
        self.ask(command, who, seconds)

    @rule(who=PEOPLE)
    def tick_the_current_step_ready_or_not(self, who: Who | None) -> None:
        step = self.run.current()
        if step is not None:
            self.ask(self.well_done(step), who)

    @rule(who=PEOPLE, doer=st.sampled_from(CREW), minutes=st.integers(-5, 90))
    def enter_the_current_step_from_paper(self, who: Who | None, doer: Who, minutes: int) -> None:
        step = self.run.current()
        if step is not None:
            late = OnPaper(self.now - timedelta(minutes=minutes), doer)
            self.ask(replace(self.well_done(step), late=late), who)

    @rule(number=st.sampled_from(FLOOR), who=PEOPLE)
    def tick_any_floor_step(self, number: int, who: Who | None) -> None:
        self.ask(self.well_done(job.step(number)), who)

    @rule(data=st.data(), value=VALUES)
    def tick_the_next_step_with_one_odd_reading(self, data: st.DataObject, value: str) -> None:
        step = self.run.current()
        good = self.well_done(step) if step is not None else None
        if step is not None and good is not None and good.readings:
            odd = data.draw(st.integers(0, len(good.readings) - 1))
            readings = tuple(
                Entered(item.name, value, item.unit, item.tool, confirmed=True) if at == odd else item
                for at, item in enumerate(good.readings)
            )
            self.ask(FinishStep(step.number, readings), SUPERVISOR)

    @rule(count=st.integers(1, 12), hurry=st.booleans())
    def go_on_with_the_job(self, count: int, hurry: bool) -> None:
        """Go on as a good crew would, or in a hurry, which leaves the deck work."""
        for _ in range(count):
            command, who = self.next_of_the_job(hurry=hurry)
            self.ask(command, who)

    @rule(minutes=st.integers(0, 90), who=PEOPLE, look=st.sampled_from(LookBack))
    def hold_for_a_while_and_go_on(self, minutes: int, who: Who | None, look: LookBack) -> None:
        """Put work on hold, try to tick meanwhile, and go on in any way."""
        self.ask(BeginHold(Cause.WEATHER), who)
        self.tick_the_current_step_ready_or_not(SUPERVISOR)
        last = last_on_floor(self.run)
        self.ask(EndHold(look, last.number if last else 0, "seen"), SUPERVISOR, minutes * 60)

    @rule(
        stops_at=st.integers(0, 5),
        current=st.sampled_from(["as it is", "1"]),
        found_at=st.none() | st.integers(0, 2),
    )
    def hand_over_as_far_as_it_goes(self, stops_at: int, current: str, found_at: int | None) -> None:
        """Hand over to the other supervisor, stopping on the way at times; nothing is ticked meanwhile, and
        at times somebody raises a deviation, which is talked through too or stops the acceptance."""
        outgoing = self.run.in_charge or SUPERVISOR
        incoming = SECOND if outgoing == SUPERVISOR else SUPERVISOR
        self.ask(DraftHandover("all quiet"), outgoing)
        self.tick_the_current_step_ready_or_not(outgoing)
        for at, (command, who) in enumerate(self.rest_of_the_handover(outgoing, incoming, current)):
            if at == stops_at:
                break
            if at == found_at:
                self.ask(RaiseDeviation(1, "bent", "dropped", Disposition.REWORK), outgoing)
            self.ask(command(), who)

    @rule(who=st.sampled_from([SECOND, SUPERVISOR]) | PEOPLE, gone=st.booleans(), reason=GOOD_REASONS)
    def take_charge_and_try_to_go_on(self, who: Who | None, gone: bool, reason: str) -> None:
        """Take charge without a handover; nobody ticks before who is in charge has looked one step back."""
        self.ask(TakeCharge(reason, gone, "mine", "d"), who)
        self.tick_the_current_step_ready_or_not(who)
        other = SECOND if self.run.in_charge == SUPERVISOR else SUPERVISOR
        last = last_on_floor(self.run)
        self.ask(EndHold(LookBack.CONFIRMED, last.number if last else 0, "seen"), other)

    def rest_of_the_handover(
        self, outgoing: Who, incoming: Who, current: str
    ) -> Iterator[tuple[Callable[[], Command], Who]]:
        def to_talk() -> tuple[str, ...]:
            return to_talk_through(self.run, self.run.handing_over) if self.run.handing_over else ()

        def check() -> Command:
            going_on, step = self.run.handing_over, self.run.current()
            wanted = asked_again(self.run, going_on) if going_on is not None else ()
            told = (str(step.number) if step else "none") if current == "as it is" else current
            return CheckHandover(
                tuple(Entered(item.field, item.taken.value, item.taken.unit) for item in wanted), told
            )

        yield (lambda: TalkHandoverThrough(to_talk())), outgoing
        yield check, incoming
        yield (lambda: AcceptHandover("settled", "mine", "c")), incoming
        yield (lambda: TalkHandoverThrough(to_talk())), outgoing
        yield (lambda: AcceptHandover("settled", "mine", "c")), incoming
        yield (lambda: TakeHandoverBack("not yet")), outgoing

    @rule()
    def undo_the_last_step(self) -> None:
        done = [step.number for step in self.run.sheet.lane(Lane.FLOOR) if self.run.is_done(step.number)]
        if done:
            self.ask(UndoStep(done[-1], "slip"), SUPERVISOR)

    @rule(numbers=st.sets(st.sampled_from(DECK), max_size=8))
    def undo_deck_work(self, numbers: set[int]) -> None:
        for number in sorted(numbers):
            self.ask(UndoStep(number, "slip"), SUPERVISOR)

    @rule(data=st.data(), serial=SERIALS)
    def correct_a_serial(self, data: st.DataObject, serial: str) -> None:
        stations = [
            step.number for step in self.run.sheet.steps if step.dressed and self.run.is_done(step.number)
        ]
        if stations:
            number = data.draw(st.sampled_from(stations))
            self.ask(CorrectReading(number, Entered("serial", serial), "misread"), SUPERVISOR)

    @rule(data=st.data(), cause=st.sampled_from(BackOutCause), reason=REASONS, who=PEOPLE)
    def go_back(self, data: st.DataObject, cause: BackOutCause, reason: str, who: Who | None) -> None:
        """Go back to before one of the last steps of the floor, or to any; turn a way back that is begun."""
        steps = steps_to_go_back_to(self.run)
        if steps:
            first = data.draw(st.sampled_from(steps[:12]) | st.sampled_from(steps)).number
            rewritten = backed_out(self.run, first)
            self.ask(BackOut(first, cause, reason, 0, rewritten, "c", "I lead it.", "s"), who)

    @rule(reason=REASONS, who=PEOPLE)
    def call_the_way_back_off(self, reason: str, who: Who | None) -> None:
        self.ask(CallOffBackOut(reason, "c"), who)

    @rule(plan=st.sampled_from([job.plan(), *CHANGED_PLANS]), who=PEOPLE)
    def plan_what_remains_anew(self, plan: Plan, who: Who | None) -> None:
        if not self.run.way_back_left():
            rewritten = replanned(self.run, plan, compile_plan(plan)[0])
            accepted = tuple(accepting(problem) for problem in rewritten.problems)
            self.ask(Replan("changed", "n", "f", "c", rewritten, "s", accepted, "So be it.", "s"), who)

    @rule(data=st.data(), reason=GOOD_REASONS, who=LEADERS)
    def leave_a_step_out(self, data: st.DataObject, reason: str, who: Who | None) -> None:
        """Say of a step that it does not apply, mostly of one that no law misses."""
        steps = [step for step in self.run.sheet.steps if self.run.is_open(step.number)]
        own = [step for step in steps if step.key.startswith(("own-step/", "repeat/"))]
        if steps:
            step = data.draw(st.sampled_from(own or steps[:12]) | st.sampled_from(steps))
            self.ask(SayNotApplicable(step.number, reason), who)

    @rule(data=st.data(), reason=GOOD_REASONS, who=LEADERS)
    def take_it_in_again(self, data: st.DataObject, reason: str, who: Who | None) -> None:
        if self.run.not_applicable:
            number = data.draw(st.sampled_from(sorted(self.run.not_applicable)))
            self.ask(SayApplicable(number, reason), who)

    @rule(data=st.data(), reason=GOOD_REASONS, who=LEADERS)
    def put_a_step_off(self, data: st.DataObject, reason: str, who: Who | None) -> None:
        """Put one of the next steps off, or any, until before one that lies before the next hold point."""
        steps = [step for step in self.run.sheet.lane(Lane.FLOOR) if self.run.is_open(step.number)]
        if not steps:
            return
        step = data.draw(st.sampled_from(steps[:8]) | st.sampled_from(steps))
        places = list(places_until(self.run, step))
        if places:
            until = data.draw(st.sampled_from(places[:6]) | st.sampled_from(places))
            try:
                made = put_off(self.run, step.number, until.number)
            except SetAsideError as refusal:
                assert str(refusal)
                return
            self.ask(DeferStep(step.number, until.number, reason, made, "c", "Later.", "s"), who)

    @rule(data=st.data(), reason=GOOD_REASONS, who=LEADERS)
    def bring_a_step_forward(self, data: st.DataObject, reason: str, who: Who | None) -> None:
        """Bring a step forward again that was put off, or ask for one that was not."""
        late = [number for number in sorted(self.run.deferred) if self.run.is_open(number)]
        number = data.draw(st.sampled_from(late) if late else NUMBERS)
        try:
            made = brought_forward(self.run, number)
        except (SetAsideError, UnknownStepError) as refusal:
            assert str(refusal)
            return
        before = stands_before(self.run, made, number)
        assert self.run.floor_next <= before < number
        self.ask(BringForward(number, reason, made, "c", "Sooner.", "s"), who)

    def work_of(self, command: Command) -> Work | None:
        """Return the plan and the sheet that a command brings."""
        match command:
            case BackOut() | Replan() | DeferStep() | BringForward():
                return Work(command.rewritten.plan, command.rewritten.sheet)
            case CallOffBackOut():
                return Work(self.run.plan, self.run.way_back()[-1].before)
            case _:
                return None

    @rule(data=st.data(), who=PEOPLE, far=st.booleans())
    def read_again(self, data: st.DataObject, who: Who | None, far: bool) -> None:
        """Take a second reading that is waited for, whoever that is, well or not."""
        if self.run.waiting:
            number = data.draw(st.sampled_from(sorted(self.run.waiting)))
            good = read_again(self.run, self.run.sheet.steps[number - 1])
            odd = tuple(Entered(item.name, "4", "in", item.tool, confirmed=True) for item in good.readings)
            command = ReadAgain(number, odd) if far else good
            reader = data.draw(st.sampled_from(CREW), label="read by the paper by")
            late = OnPaper(self.now, reader) if data.draw(st.booleans(), label="from paper") else None
            self.ask(replace(command, late=late), who)

    @rule(
        place=PLACES, serial=st.sampled_from(["X-1", "X-2", "X-3"]), feet=st.sampled_from(["", "9", "12.5"])
    )
    def swap_what_is_not_in_the_string(self, place: str, serial: str, feet: str) -> None:
        found = swappable(self.run, place)
        if found is not None:
            free = (one for one, item in self.run.load_out.items() if item == found.item)
            old = found.serial or next((one for one in free if one not in self.run.used_serials), "")
            self.ask(SwapItem(place, old, serial, "bent", (Entered("length", feet, "ft"),)), SUPERVISOR)

    def ask(self, command: Command, who: Who | None, seconds: int = 60) -> None:
        """Ask for a command; only what is obeyed changes the run, and nothing but a refusal may be raised."""
        self.now += timedelta(seconds=seconds)
        before = self.run
        try:
            events = decide(self.run, command, now=self.now, who=who)
        except RefusedError as refusal:
            assert str(refusal)
            assert self.run is before
            return
        assert events
        assert who is not None
        assert not before.is_closed, "a closed run took a command"
        if before.state is not RunState.RUNNING:
            assert not any(isinstance(event, StepDone | AttemptFailed) for event in events)
        for event in events:
            if isinstance(event, StepDone | SecondReadingTaken):
                self.check_tick(event)
            happened = Happened(self.run.sequence + 1, self.now, who, event, self.work_of(command))
            self.log.append(happened)
            self.note_what_is_set_aside(event)
            self.note_who_answers(event, who)
            self.run = apply(self.run, happened)

    def note_what_is_set_aside(self, event: Event) -> None:
        """Keep by key what was said not to apply, in the simplest way."""
        match event:
            case StepNotApplicable():
                self.aside.add(first_key(self.run.sheet.steps[event.step - 1].key))
            case StepApplicable():
                self.aside.discard(first_key(self.run.sheet.steps[event.step - 1].key))
            case ItemSwapped():
                self.aside -= {first_key(self.run.sheet.steps[number - 1].key) for number in event.reopened}
            case _:
                pass

    def note_who_answers(self, event: Event, who: Who) -> None:
        """Keep who answers for the run in the simplest way; after a charge he looks back first."""
        match event:
            case HandoverAccepted():
                talked = [item.event.items for item in self.log if isinstance(item.event, HandoverTalked)]
                assert {item.text for item in open_items(self.run)} <= {text for of in talked for text in of}
                self.answers = who
            case ChargeTaken():
                assert (event.before, who.role) == (self.answers, SUPERVISOR.role)
                assert who != self.answers
                self.answers, self.has_to_look = who, True
            case HoldEnded() if self.has_to_look:
                last = last_on_floor(self.run)
                assert (who, event.step) == (self.answers, last.number if last is not None else 0)
                self.has_to_look = False
            case StepDone() | FirstReadingTaken() | SecondReadingTaken() | AttemptFailed() | StepUndone():
                assert not self.has_to_look, "work went on before a look back"
            case _:
                pass

    def check_tick(self, event: StepDone | SecondReadingTaken) -> None:
        """Fail where a tick passes a hold point that the log does not show as signed."""
        step, sheet = self.run.sheet.steps[event.step - 1], self.run.sheet
        if step.lane is Lane.DECK:
            return
        signed = {stage for stage, hold in self.start.holds.items() if hold.released_at is not None}
        signed |= {item.event.stage for item in self.log if isinstance(item.event, HoldPointReleased)}
        # A stage that goes on under a new name was signed for under its old one.
        signed |= {item.event.carried for item in self.log if isinstance(item.event, Replanned)}
        stages = [stage.id for stage in sheet.stages]
        behind = stages[: stages.index(step.stage) + 1]
        held = {stage.id for stage in sheet.stages if stage.hold_point is not None}
        assert held & set(behind) <= signed, f"step {step.number} passed an unsigned hold point"

    def well_done(self, step: Step) -> FinishStep:
        """Return the tick of a step with good readings, or with none where its serials are all gone."""
        gone = {**self.run.used_serials, **self.run.settled}
        free = {item for serial, item in self.run.load_out.items() if serial not in gone}
        serials = [wanted.item for wanted in step.readings if wanted.kind is ReadingKind.SERIAL]
        return FinishStep(step.number, good_readings(self.run, step) if free.issuperset(serials) else ())

    def next_of_the_job(self, *, hurry: bool) -> tuple[Command, Who]:
        """Return what the crew would do next, and who."""
        if self.run.handing_over is not None:
            return TakeHandoverBack("later"), self.run.handing_over.outgoing
        if self.run.on_hold is not None:
            leader = self.run.in_charge or SUPERVISOR
            back = step_to_look_at(self.run, self.now, leader)
            look = LookBack.CONFIRMED if back else LookBack.NOT_ASKED
            return EndHold(look, back.number if back else 0), leader
        deck = () if hurry else self.run.open_deck_steps()
        step = deck[0] if deck else self.run.current()
        return self.next_at(step) if step is not None else self.next_of_the_close_out()

    def next_at(self, step: Step) -> tuple[Command, Who]:
        """Return what the crew would do next towards a step, and who."""
        if step.number in self.run.waiting:
            first = self.run.waiting[step.number].who
            return read_again(self.run, step), next(person for person in CREW if person != first)
        held = self.run.holding(step) if step.lane is Lane.FLOOR else None
        if held is None or held.hold_point is None:
            return self.well_done(step), SUPERVISOR
        hold = self.run.hold(held.id)
        if hold.talk is None:
            return HoldTalk(held.id, held.hold_point.topics, CREW), SUPERVISOR
        signed = {item.who.person_id for item in hold.signatures}
        person = next(person for person in CREW if person.person_id not in signed)
        return SignHoldPoint(held.id, "there", "a"), person

    def next_of_the_close_out(self) -> tuple[Command, Who]:
        for deviation in self.run.open_deviations():
            number, wanted = deviation.raised.number, Disposition.USE_AS_IS
            if deviation.proposed is not wanted:
                return ProposeDisposition(number, wanted, "fine"), SUPERVISOR
            return AcceptDeviation(number, wanted, "fine"), SUPERVISOR
        left = unsettled_serials(self.run)
        if left:
            return SettleItems(left, Settlement.RETURNED, "not needed"), SUPERVISOR
        for count in uncounted(self.run):
            return send_back(count), SUPERVISOR
        signed = {item.who.role for item in self.run.signatures}
        for person in CREW:
            if person.role in closing_roles(self.run) and person.role not in signed:
                return SignRun("done", "b"), person
        return CloseRun(), SUPERVISOR

    @invariant()
    def floor_work_is_done_in_its_order(self) -> None:
        lane = [step.number for step in self.run.sheet.lane(Lane.FLOOR)]
        floor = [number for number in lane if number not in self.run.not_applicable]
        done = [number for number in floor if self.run.is_done(number)]

        assert done == floor[: len(done)]
        current = self.run.current()
        assert (current.number if current else None) == (floor[len(done)] if len(done) < len(floor) else None)

    @invariant()
    def no_step_of_the_floor_ended_before_the_one_before_it(self) -> None:
        done = [self.run.done.get(step.number) for step in self.run.sheet.lane(Lane.FLOOR)]
        ended = [item.ended_at for item in done if item is not None]

        assert ended == sorted(ended)
        assert all(time <= self.now for time in ended)

    @invariant()
    def no_serial_is_in_use_twice(self) -> None:
        in_use: list[str] = []
        for number, done in sorted(self.run.done.items()):
            step = self.run.sheet.steps[number - 1]
            names = [wanted.name for wanted in step.readings if wanted.kind is ReadingKind.SERIAL]
            for serial in (taken.value for taken in done.readings if taken.name in names):
                if step.operation in COMES_BACK_BY_SERIAL:
                    in_use.remove(serial)
                else:
                    in_use.append(serial)

        assert len(in_use) == len(set(in_use))
        assert set(in_use) == set(self.run.used_serials)

    @invariant()
    def the_string_is_held(self) -> None:
        state = state_after(self.run.plan, done_in_order(self.run))

        assert all(hanging.is_held for hanging in state.hangings())

    @invariant()
    def whoever_reads_again_never_read_first(self) -> None:
        for done in self.run.done.values():
            assert done.second is None or done.second.who.person_id != done.who.person_id

    @invariant()
    def what_waits_for_a_second_reading_is_not_done(self) -> None:
        assert not self.run.waiting.keys() & self.run.done.keys()

    @invariant()
    def what_does_not_apply_stays_so_until_somebody_says_otherwise(self) -> None:
        # What a changed plan does not have is gone; a later plan that has it again asks for it as new.
        last = {first_key(step.key): step.number for step in self.run.sheet.steps}
        self.aside &= {key for key, number in last.items() if not self.run.is_done(number)}

        assert not self.run.not_applicable.keys() & (self.run.done.keys() | self.run.waiting.keys())
        assert standing_last(self.run, self.run.not_applicable).keys() == self.aside

    @invariant()
    def every_stage_and_step_has_an_id_of_its_own(self) -> None:
        stages = [stage.id for stage in self.run.sheet.stages]
        keys = [step.key for step in self.run.sheet.steps]

        assert len(set(stages)) == len(stages)
        assert len(set(keys)) == len(keys)

    @invariant()
    def what_is_put_off_stands_before_what_it_was_put_off_until(self) -> None:
        """But for what a changed plan has and that no longer: it stands where the plan has it."""
        last = {first_key(step.key): step.number for step in self.run.sheet.steps}
        for step in standing_last(self.run, self.run.deferred).values():
            until = last.get(self.run.deferred[step.number].until)
            if until is None or not self.run.is_open(step.number) or self.run.is_deferred(until):
                continue
            assert step.number < until or not self.run.is_open(until)

    @invariant()
    def what_is_rejected_is_in_no_step(self) -> None:
        assert not self.run.settled.keys() & self.run.used_serials.keys()

    @invariant()
    def what_a_done_step_needs_is_done(self) -> None:
        # What was taken back may ask for its deck work anew before it stands again.
        needs = {need for step in self.run.standing() for need in step.needs}

        assert not any(self.run.is_open(need) for need in needs)

    @invariant()
    def what_came_is_what_went_once_a_run_is_closed(self) -> None:
        if self.run.is_closed:
            assert missing(self.run) == ()
            known = [count for count in items_of(self.run) if count.issued is not None]
            assert known
            assert all(it.issued == it.fitted + it.returned + it.rejected for it in known)

    @invariant()
    def at_most_the_last_hold_goes_on(self) -> None:
        assert not any(item.is_open for item in self.run.interruptions[:-1])
        if self.run.handing_over is None:
            assert (self.run.state is RunState.ON_HOLD) == (self.run.on_hold is not None)

    @invariant()
    def one_supervisor_answers_and_he_read_values_again_where_he_took_over(self) -> None:
        assert not any(item.is_open for item in self.run.handovers[:-1])
        over = [item for item in self.run.handovers if item.incoming is not None]
        assert all(item.incoming != item.outgoing and item.talked_at and item.checks for item in over)
        assert all(item.accepted is not None and item.accepted.words for item in over if item.differing)
        assert self.run.in_charge == self.answers
        assert all(not item.is_open for item in self.run.handovers if item.charge is not None)
        assert self.has_to_look == any(it.is_open and it.charge_taken for it in self.run.interruptions)

    @invariant()
    def a_closed_run_changes_no_more(self) -> None:
        if self.run.is_closed:
            assert isinstance(self.log[-1].event, RunClosed)
            with pytest.raises(ClosedRunError):
                decide(self.run, AddNote(0, "one more"), now=self.now, who=SUPERVISOR)

    def teardown(self) -> None:
        """Replaying the log from the start gives the very same run, and what is left of it keeps the laws."""
        if hasattr(self, "log"):
            assert fold(self.start, self.log) == self.run
            if not self.run.way_back_left():
                found = proven_going_on(self.run, self.run.sheet, current_stage(self.run))
                assert [problem.text for problem in found] == []


# An example costs milliseconds, so more of them than elsewhere, and long ones.
RunMachine.TestCase.settings = settings(
    max_examples=max(120, settings().max_examples), stateful_step_count=40
)
TestAnyCommandsInAnyOrder = RunMachine.TestCase
