"""Effects on what holds the string."""

from app.domain.gear import GearKind
from app.domain.sheet import Step
from app.domain.string.effects.effect import Effect
from app.domain.string.state import StringState


def _hangs(state: StringState, step: Step) -> None:
    state.pick_up(step.parts[-1])
    state.come_due(step.parts)


def _elevators_on(state: StringState, step: Step) -> None:
    state.elevators = step.parts[-1]
    state.elevators_gear = state.rigged_gear(GearKind.ELEVATORS, step.parts[-1])


def _elevators_off(state: StringState, _step: Step) -> None:
    state.elevators = state.elevators_gear = ""


def _rigged(state: StringState, step: Step) -> None:
    state.rigged = step.parts


def _slips_in(state: StringState, step: Step) -> None:
    state.slips = step.parts[0]
    state.slips_gear = state.rigged_gear(GearKind.SLIPS, step.parts[0])


def _slips_out(state: StringState, _step: Step) -> None:
    state.slips = state.slips_gear = ""


def _clamp_on(state: StringState, step: Step) -> None:
    top = step.parts[-1]
    items = [move.item for move in step.gear]
    state.temporary.lifting_clamps[top] = items[0] if items else ""
    state.temporary.slings[top] = items[1] if len(items) > 1 else ""


def _clamp_off(state: StringState, step: Step) -> None:
    part = step.parts[-1]
    state.temporary.lifting_clamps.pop(part, None)
    state.temporary.slings.pop(part, None)
    state.on_table.discard(part)


def _slings_off(state: StringState, step: Step) -> None:
    state.temporary.slings.pop(step.parts[0], None)


def _landed_on_table(state: StringState, step: Step) -> None:
    state.on_table.add(step.parts[0])


def _on_support(state: StringState, step: Step) -> None:
    if state.support_clamps:
        state.standing[step.parts[-1]] = list(state.support_clamps)[-1]


def _support_fitted(state: StringState, step: Step) -> None:
    state.support_clamps.pop(step.parts[0], None)
    state.support_clamps[step.parts[0]] = step.dressed.clamp_type if step.dressed else ""


def _safety_on(state: StringState, step: Step) -> None:
    state.temporary.safety_clamp = step.parts[0]
    state.safety_clamp_gear = step.gear[0].item if step.gear else ""


def _safety_off(state: StringState, _step: Step) -> None:
    state.temporary.safety_clamp = state.safety_clamp_gear = ""


def _landed(state: StringState, step: Step) -> None:
    state.landed = step.parts[0]


HANGS = Effect("it hangs over the hole", _hangs)
ELEVATORS_ON = Effect("the elevators hold it", _elevators_on)
ELEVATORS_OFF = Effect("the elevators are free", _elevators_off)
RIGGED = Effect("elevators and slips of the size are rigged", _rigged)
SLIPS_IN = Effect("the slips hold it", _slips_in)
SLIPS_OUT = Effect("the slips are out", _slips_out)
CLAMP_ON = Effect("lifting clamp and slings are on it", _clamp_on)
CLAMP_OFF = Effect("its lifting clamp is off", _clamp_off)
SLINGS_OFF = Effect("its slings are off", _slings_off)
LANDED_ON_TABLE = Effect("its clamp rests on the table", _landed_on_table)
ON_SUPPORT = Effect("it stands on the support clamp", _on_support)
SUPPORT_FITTED = Effect("the support clamp is on the bypass leg", _support_fitted)
SAFETY_CLAMP_ON = Effect("the safety clamp holds the bypass leg", _safety_on)
SAFETY_CLAMP_OFF = Effect("the safety clamp is off", _safety_off)
LANDED = Effect("the hanger holds everything", _landed)
