"""Steps of the systems, bottom to top: each leg, each closure, and the tubing between them."""

from app.domain.compiler import asked, tubing
from app.domain.compiler.bypass import BypassLeg, add_beside_pump_leg
from app.domain.compiler.cables import carried, splices, test_along
from app.domain.compiler.closure import close_legs
from app.domain.compiler.pump_leg import check_reach, fit_table, pump_leg
from app.domain.compiler.tubing import Hung, Lifted
from app.domain.compiler.writer import SheetWriter
from app.domain.crew import StageKind, TestMoment
from app.domain.legs import lifted_together
from app.domain.operations import Operation
from app.domain.plan import System, tubing_below_name
from app.domain.quantities import Length, as_typed, total
from app.domain.run_above import run_above
from app.domain.sheet import Dressed


def systems(writer: SheetWriter) -> Hung:
    """Write every system of the plan and return what hangs in the slips afterwards."""
    hung: Hung | None = None
    for position, system in enumerate(writer.plan.systems):
        leg = BypassLeg(system, f"systems[{position}]")
        if hung is None:
            _hanging_bypass_leg(writer, leg)
        else:
            hung = _intermediate(writer, leg, hung)
            _leg_on_support(writer, leg, hung)
        writer.stage(StageKind.PUMP_LEG, f"{_titled(system)} pump leg", system.name)
        if system.support_clamp is None:
            _raise_and_fit_table(writer, leg)
        pump_leg(writer, leg)
        _remaining_joints(writer, leg)
        writer.stage(StageKind.Y_CLOSURE, f"{_titled(system)} Y closure", system.name)
        above = run_above(writer.plan, position)
        hung = close_legs(writer, leg, above, line_goes_on=above is not writer.plan.production.tubing)
    assert hung is not None, "a plan without systems is stopped before it is compiled"
    return hung


def _hanging_bypass_leg(writer: SheetWriter, leg: BypassLeg) -> None:
    # The lowest leg hangs whole before its pump leg is built beside it.
    writer.stage(StageKind.FIRST_LIFT, f"{_titled(leg.system)} bypass leg", leg.system.name)
    tubing.first_joint(writer, leg.next_lift())
    while not leg.is_whole:
        below = leg.top()
        tubing.next_joint(writer, below, leg.next_lift())


def _raise_and_fit_table(writer: SheetWriter, leg: BypassLeg) -> None:
    _raise_to_mark(writer, leg)
    fit_table(writer)


def _raise_to_mark(writer: SheetWriter, leg: BypassLeg) -> None:
    tubing.unhang(writer, leg.top())
    writer.write(
        Operation.RAISE_TO_MARK,
        leg.top().tag,
        leg.system.datum.joint,
        source=f"{leg.place}.datum",
        mark=_mark(leg),
    )
    check_reach(writer, leg, leg.above_datum() + writer.plan.rig.working_height, leg.system.parts[0].tag)


def _intermediate(writer: SheetWriter, leg: BypassLeg, hung: Hung) -> Hung:
    run = leg.system.tubing_below
    if run is None:
        return hung
    name = tubing_below_name(leg.system)
    writer.stage(StageKind.INTERMEDIATE, f"Tubing below the {leg.system.name} system", leg.system.name)
    for position, joint in enumerate(run.joints):
        place = f"{leg.place}.tubing_below.joints[{position}]"
        lifted = Lifted((joint.tag,), run, run.connection, place, joint.tag)
        tubing.run_joint(writer, hung, lifted, carry_line=True)
        hung = lifted.hung
        splices(writer, name, position + 1)
        test_along(writer, TestMoment.ALONG_INTERMEDIATE, position + 1)
    return hung


def _leg_on_support(writer: SheetWriter, leg: BypassLeg, hung: Hung) -> None:
    # Joints until the one with the mark is in, then as many as stand higher than the first lift.
    writer.stage(StageKind.SUPPORT, f"{_titled(leg.system)} support clamp", leg.system.name)
    first_lift = total(Length, (part.length for part in lifted_together(leg.system)[0]))
    needed = first_lift + writer.plan.rig.working_height
    while not leg.is_whole and (not leg.bears_mark() or leg.above_datum().si < needed.si):
        is_marked = leg.joints_in > 0 and leg.bears_mark()
        joint = leg.next_lift()
        tubing.add_joint(writer, hung, joint)
        tubing.unhang(writer, hung)
        writer.write(Operation.LOWER_LEG, *joint.tags, source=joint.source, joint=joint.name)
        if not is_marked:
            writer.write(Operation.CARRY_LINE, joint.body, source=joint.source, joint=joint.name)
        tubing.hang(writer, joint.hung)
        hung = joint.hung
    _raise_to_mark(writer, leg)
    tubing.hang(writer, leg.at_mark())
    _support_clamp(writer, leg)


def _support_clamp(writer: SheetWriter, leg: BypassLeg) -> None:
    support = leg.system.support_clamp
    if support is None:
        return
    kind, station = writer.plan.clamp_type(support.type), f"{leg.system.datum.joint} mark"
    grips = carried(writer, leg.system, with_line=False)
    writer.write(
        Operation.FIT_SUPPORT_CLAMP,
        leg.system.datum.joint,
        readings=asked.serial(support.type) + asked.torque(writer.plan, kind.connection, station),
        dressed=Dressed(station, support.type),
        source=f"{leg.place}.support_clamp",
        kind=support.type,
        dress=f", {grips}" if writer.cables else "",
    )


def _remaining_joints(writer: SheetWriter, leg: BypassLeg) -> None:
    while not leg.is_whole:
        add_beside_pump_leg(writer, leg)


def _mark(leg: BypassLeg) -> str:
    datum = leg.system.datum
    return f"{as_typed(datum.below_top, 'm')} below the top of {datum.joint}"


def _titled(system: System) -> str:
    return f"{system.name[:1].upper()}{system.name[1:]} system:"
