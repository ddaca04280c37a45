"""Effects on cables, discharge lines and deck work."""

from app.domain.crew import TestMoment
from app.domain.operations import Operation
from app.domain.sheet import ReadingKind, Step
from app.domain.string.effects.effect import Effect
from app.domain.string.state import StringState


def _demand_test(state: StringState, moment: TestMoment, cables: set[str]) -> None:
    if moment in state.known.moments:
        state.cables.untested |= cables


def _pothead(state: StringState, step: Step) -> None:
    lead, motor = step.parts[0], step.parts[1]
    if lead not in state.cables.on_motor:
        state.bodies.load(motor, state.known.lead_kg.get(lead, 0.0))
    state.cables.on_motor.add(lead)
    state.cables.connected.add(lead)
    _demand_test(state, TestMoment.AFTER_POTHEAD, {lead})


def _tested(state: StringState, step: Step) -> None:
    state.cables.untested.discard(step.parts[0])


def _spliced(state: StringState, step: Step) -> None:
    lead, main = step.parts[0], step.parts[1]
    state.cables.connected.discard(lead)
    state.cables.untested.discard(lead)
    state.cables.connected.add(main)
    state.cables.spliced.add(main)
    _demand_test(state, TestMoment.AFTER_SPLICE, {main})


def _through(state: StringState, step: Step) -> None:
    state.cables.through.add(step.parts[0])
    _demand_test(state, TestMoment.AFTER_PENETRATOR, {step.parts[0]})


def _system_complete(state: StringState, _step: Step) -> None:
    _demand_test(state, TestMoment.SYSTEM_COMPLETE, state.cables.connected)


def _all_landed(state: StringState, _step: Step) -> None:
    _demand_test(state, TestMoment.LANDED, state.cables.connected)


def _run_further(state: StringState, step: Step) -> None:
    known = state.known
    length_m = sum(known.length_m.get(tag, 0.0) for tag in step.parts)
    for main in state.cables.spliced:
        state.bodies.load(step.parts[0], known.main_kg_m.get(main, 0.0) * length_m)
    run = known.runs.get(step.parts[-1])
    every = known.moments.get(run.moment, 0) if run is not None else 0
    if run is not None and every > 0 and run.joints_in % every == 0:
        _demand_test(state, run.moment, state.cables.connected)


def _line_at_gauge(state: StringState, step: Step) -> None:
    state.lines.at_gauge.add(step.parts[0])


def _line_at_block(state: StringState, step: Step) -> None:
    state.lines.at_block.add(step.parts[0])


def _line_proven(state: StringState, step: Step) -> None:
    state.lines.proven.add(step.parts[0])


def _deck_done(state: StringState, step: Step) -> None:
    state.deck_done.add((step.operation, step.parts[0]))


def _gear_checked(state: StringState, step: Step) -> None:
    state.gear_checked.add(step.source)


def _clamps_counted(state: StringState, step: Step) -> None:
    state.deck_done.add((Operation.CHECK_CLAMPS, f"{step.system} {step.parts[0]}"))


def _measured(state: StringState, step: Step) -> None:
    # A row of joints is measured in one step; its readings name each of them.
    for reading in step.readings:
        if reading.kind is ReadingKind.LENGTH:
            state.deck_done.add((Operation.MEASURE, reading.item))


POTHEAD_ON = Effect("the lead is connected to its motor and wants its test", _pothead)
TESTED = Effect("the cable has passed its test", _tested)
SPLICED = Effect("the main cable goes on from the lead and wants its test", _spliced)
THROUGH = Effect("the cable is through the hanger and wants its test", _through)
SYSTEM_COMPLETE = Effect("each cable wants the test of a complete system", _system_complete)
ALL_LANDED = Effect("each cable wants its last test", _all_landed)
RUN_FURTHER = Effect("cables hang longer; every so many joints each wants a test", _run_further)
LINE_AT_GAUGE = Effect("the line is connected to its gauge", _line_at_gauge)
LINE_AT_BLOCK = Effect("the line is terminated at the Y-block", _line_at_block)
LINE_PROVEN = Effect("the line is proven", _line_proven)
DECK_DONE = Effect("this deck work is done", _deck_done)
GEAR_CHECKED = Effect("this gear is checked", _gear_checked)
CLAMPS_COUNTED = Effect("the clamps of this type are counted", _clamps_counted)
MEASURED = Effect("each joint named is measured", _measured)
