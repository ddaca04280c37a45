"""Effects on temporary gear that holds nothing: nubbins, protectors, collar, table, cover, swivel screws."""

from app.domain.gear import PIN_PROTECTOR
from app.domain.sheet import Step
from app.domain.string.effects.effect import Effect
from app.domain.string.state import StringState


def _nubbin_in(state: StringState, step: Step) -> None:
    state.temporary.nubbins.add(step.parts[0])


def _nubbin_out(state: StringState, step: Step) -> None:
    state.temporary.nubbins.discard(step.parts[0])


def _protector_on(state: StringState, step: Step) -> None:
    # The first joint's pin carries the entry guide, so only what has a protector gets one off again.
    if any(move.item == PIN_PROTECTOR and move.count > 0 for move in step.gear):
        state.temporary.pin_protectors.add(step.parts[0])


def _protector_off(state: StringState, step: Step) -> None:
    state.temporary.pin_protectors.discard(step.parts[0])


def _collar_on(state: StringState, step: Step) -> None:
    state.temporary.collar = step.parts[0]


def _collar_off(state: StringState, _step: Step) -> None:
    state.temporary.collar = ""


def _table_on(state: StringState, _step: Step) -> None:
    state.temporary.table = True


def _table_off(state: StringState, _step: Step) -> None:
    state.temporary.table = False


def _cover_on(state: StringState, _step: Step) -> None:
    state.temporary.cover = True


def _cover_off(state: StringState, _step: Step) -> None:
    state.temporary.cover = False


def _swivel_free(state: StringState, step: Step) -> None:
    state.temporary.open_swivels.add(step.parts[0])


def _swivel_locked(state: StringState, step: Step) -> None:
    state.temporary.open_swivels.discard(step.parts[0])


def _landing_joint_on(state: StringState, _step: Step) -> None:
    state.temporary.landing_joint = True


def _landing_joint_off(state: StringState, _step: Step) -> None:
    state.temporary.landing_joint = False


def _counted(state: StringState, _step: Step) -> None:
    state.counted = True


NUBBIN_IN = Effect("a nubbin is in its box", _nubbin_in)
NUBBIN_OUT = Effect("the nubbin is out", _nubbin_out)
PROTECTOR_ON = Effect("a protector is on its pin, where the step says so", _protector_on)
PROTECTOR_OFF = Effect("the protector is off its pin", _protector_off)
COLLAR_ON = Effect("the dog collar is on", _collar_on)
COLLAR_OFF = Effect("the dog collar is off", _collar_off)
TABLE_ON = Effect("the work table is on", _table_on)
TABLE_OFF = Effect("the work table is off", _table_off)
COVER_ON = Effect("the hole cover is on", _cover_on)
COVER_OFF = Effect("the hole cover is off", _cover_off)
SWIVEL_FREE = Effect("the swivel is free, its screws are out", _swivel_free)
SWIVEL_LOCKED = Effect("the swivel is held, its screws are in", _swivel_locked)
LANDING_JOINT_ON = Effect("the landing joint is on", _landing_joint_on)
LANDING_JOINT_OFF = Effect("the landing joint is off", _landing_joint_off)
COUNTED = Effect("the temporary gear is counted", _counted)
