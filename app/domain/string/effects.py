"""The effects of moves: each changes one thing of the string."""

from collections.abc import Callable
from enum import Enum

from app.domain.gear import PIN_PROTECTOR
from app.domain.sheet import Step
from app.domain.string.state import StringState

Change = Callable[[StringState, Step], None]


def _joined(state: StringState, step: Step) -> None:
    if step.joined is not None:
        state.join(step.joined.lower, step.joined.upper)


def _made_up(state: StringState, step: Step) -> None:
    if step.joined is not None:
        state.stabbed.discard(step.joined.upper)
        state.box_doped.discard(step.joined.lower)
        state.pin_doped.discard(step.joined.upper)
        state.join(step.joined.lower, step.joined.upper)
        state.come_due(step.parts)


def _hangs(state: StringState, step: Step) -> None:
    state.hung.setdefault(state.body(step.parts[-1]), step.parts[-1])
    state.come_due(step.parts)


def _stabbed(state: StringState, step: Step) -> None:
    state.stabbed.add(step.parts[0])


def _elevators_on(state: StringState, step: Step) -> None:
    state.elevators = step.parts[-1]


def _elevators_off(state: StringState, _step: Step) -> None:
    state.elevators = ""


def _rigged(state: StringState, step: Step) -> None:
    state.rigged = step.parts


def _protector_on(state: StringState, step: Step) -> None:
    # The first joint's pin carries the entry guide, so only what has a protector gets one off again.
    if any(move.item == PIN_PROTECTOR and move.count > 0 for move in step.gear):
        state.protectors.add(step.parts[0])


def _slips_in(state: StringState, step: Step) -> None:
    state.slips = step.parts[0]


def _slips_out(state: StringState, _step: Step) -> None:
    state.slips = ""


def _collar_on(state: StringState, step: Step) -> None:
    state.collar = step.parts[0]


def _collar_off(state: StringState, _step: Step) -> None:
    state.collar = ""


def _table_on(state: StringState, _step: Step) -> None:
    state.table = True


def _table_off(state: StringState, _step: Step) -> None:
    state.table = False


def _cover_on(state: StringState, _step: Step) -> None:
    state.cover = True


def _cover_off(state: StringState, _step: Step) -> None:
    state.cover = False


def _clamp_on(state: StringState, step: Step) -> None:
    top = step.parts[-1]
    state.clamps[top] = step.gear[0].item if step.gear else ""
    state.on_slings.add(top)


def _clamp_off(state: StringState, step: Step) -> None:
    state.clamps.pop(step.parts[0], None)
    state.on_table.discard(step.parts[0])
    state.on_slings.discard(step.parts[0])


def _slings_off(state: StringState, step: Step) -> None:
    state.on_slings.discard(step.parts[0])


def _landed_on_table(state: StringState, step: Step) -> None:
    state.on_table.add(step.parts[0])


def _on_support(state: StringState, step: Step) -> None:
    fitted = sorted(state.support_clamps)
    if fitted:
        state.on_support[step.parts[-1]] = fitted[-1]


def _support_fitted(state: StringState, step: Step) -> None:
    state.support_clamps.add(step.parts[0])


def _dressed(state: StringState, step: Step) -> None:
    if step.dressed is not None:
        state.dressed.add(step.dressed.station)
        state.due.discard(step.dressed.station)
        state.due_on_joints.discard(step.dressed.station)


def _safety_on(state: StringState, step: Step) -> None:
    state.safety_clamp = step.parts[0]


def _safety_off(state: StringState, _step: Step) -> None:
    state.safety_clamp = ""


def _swivel_free(state: StringState, step: Step) -> None:
    state.open_swivels.add(step.parts[0])


def _swivel_locked(state: StringState, step: Step) -> None:
    state.open_swivels.discard(step.parts[0])


def _lock_ring(state: StringState, step: Step) -> None:
    state.lock_rings.add(step.parts[0])


def _pothead(state: StringState, step: Step) -> None:
    state.untested.add(step.parts[0])


def _tested(state: StringState, step: Step) -> None:
    state.untested.discard(step.parts[0])


def _spliced(state: StringState, step: Step) -> None:
    state.untested.add(step.parts[1])


def _landed(state: StringState, step: Step) -> None:
    state.landed = step.parts[0]


def _nubbin_in(state: StringState, step: Step) -> None:
    state.nubbins.add(step.parts[0])


def _nubbin_out(state: StringState, step: Step) -> None:
    state.nubbins.discard(step.parts[0])


def _box_doped(state: StringState, step: Step) -> None:
    state.box_doped.add(step.parts[0])


def _pin_doped(state: StringState, step: Step) -> None:
    state.pin_doped.add(step.parts[0])


def _protector_off(state: StringState, step: Step) -> None:
    state.protectors.discard(step.parts[0])


def _protected(state: StringState, step: Step) -> None:
    state.protected.add(step.parts[0])


def _line_on(state: StringState, step: Step) -> None:
    state.line_on.add(step.parts[0])


def _landing_joint(state: StringState, _step: Step) -> None:
    state.landing_joint = True


def _landing_joint_off(state: StringState, _step: Step) -> None:
    state.landing_joint = False


class Effect(Enum):
    """What a move makes true; the value changes the state so."""

    JOINED = (_joined,)
    MADE_UP = (_made_up,)
    HANGS = (_hangs,)
    STABBED = (_stabbed,)
    ELEVATORS_ON = (_elevators_on,)
    ELEVATORS_OFF = (_elevators_off,)
    RIGGED = (_rigged,)
    NUBBIN_IN = (_nubbin_in,)
    NUBBIN_OUT = (_nubbin_out,)
    PROTECTOR_ON = (_protector_on,)
    PROTECTOR_OFF = (_protector_off,)
    BOX_DOPED = (_box_doped,)
    PIN_DOPED = (_pin_doped,)
    SLIPS_IN = (_slips_in,)
    SLIPS_OUT = (_slips_out,)
    COLLAR_ON = (_collar_on,)
    COLLAR_OFF = (_collar_off,)
    TABLE_ON = (_table_on,)
    TABLE_OFF = (_table_off,)
    COVER_ON = (_cover_on,)
    COVER_OFF = (_cover_off,)
    CLAMP_ON = (_clamp_on,)
    CLAMP_OFF = (_clamp_off,)
    LANDED_ON_TABLE = (_landed_on_table,)
    SLINGS_OFF = (_slings_off,)
    SUPPORT_FITTED = (_support_fitted,)
    ON_SUPPORT = (_on_support,)
    DRESSED = (_dressed,)
    SAFETY_CLAMP_ON = (_safety_on,)
    SAFETY_CLAMP_OFF = (_safety_off,)
    SWIVEL_FREE = (_swivel_free,)
    SWIVEL_LOCKED = (_swivel_locked,)
    LOCK_RING_UP = (_lock_ring,)
    POTHEAD_ON = (_pothead,)
    TESTED = (_tested,)
    SPLICED = (_spliced,)
    SPLICED_THROUGH = (_pothead,)
    PROTECTED = (_protected,)
    LINE_ON = (_line_on,)
    LANDING_JOINT_ON = (_landing_joint,)
    LANDING_JOINT_OFF = (_landing_joint_off,)
    LANDED = (_landed,)

    def change(self, state: StringState, step: Step) -> None:
        """Make it true."""
        self.value[0](state, step)
