"""Steps of the systems, bottom to top: each leg, each closure, and the tubing between them."""

from app.domain.compiler import asked, tubing
from app.domain.compiler.bypass import BypassLeg
from app.domain.compiler.cables import carried, check_room, splices, test_along
from app.domain.compiler.closure import close_legs
from app.domain.compiler.interleaving import check_slips_at_mark, stands_high_enough
from app.domain.compiler.pump_leg import fit_table, pump_leg
from app.domain.compiler.tubing import Hung, Lifted
from app.domain.compiler.writer import SheetWriter
from app.domain.crew import StageKind, TestMoment
from app.domain.operations import Operation
from app.domain.parts import Tubing
from app.domain.plan import SupportClamp, System, tubing_below_name
from app.domain.quantities import as_typed
from app.domain.run_above import run_above
from app.domain.sheet import Dressed

FIRST_LIFT = 0


def systems(writer: SheetWriter) -> Hung:
    """Write every system of the plan and return what hangs in the slips afterwards."""
    hung: Hung | None = None
    for position, system in enumerate(writer.plan.systems):
        leg = BypassLeg(system, f"systems[{position}]")
        run, support = system.tubing_below, system.support_clamp
        if hung is not None and run is not None and support is not None:
            hung = _intermediate(writer, leg, run, hung)
            _leg_on_support(writer, leg, hung)
            _support_clamp(writer, leg, support)
        else:
            _hanging_bypass_leg(writer, leg)
        writer.stage(StageKind.PUMP_LEG, f"{_titled(system)} pump leg", system.name)
        if support is None:
            _table_at_mark(writer, leg)
        pump_leg(writer, leg)
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


def _table_at_mark(writer: SheetWriter, leg: BypassLeg) -> None:
    tubing.unhang(writer, leg.top())
    _to_mark(writer, leg, "Raise")
    fit_table(writer)


def _intermediate(writer: SheetWriter, leg: BypassLeg, run: Tubing, hung: Hung) -> Hung:
    name = tubing_below_name(leg.system)
    writer.stage(StageKind.INTERMEDIATE, f"Tubing below the {leg.system.name} system", leg.system.name)
    for position, joint in enumerate(run.joints):
        place = f"{leg.place}.tubing_below.joints[{position}]"
        lifted = Lifted((joint.tag,), run, run.connection, place, joint.tag)
        tubing.run_joint(writer, hung, lifted, joints_in=position + 1, carry_line=True)
        hung = lifted.hung
        splices(writer, name, position + 1)
        test_along(writer, TestMoment.ALONG_INTERMEDIATE, position + 1)
    return hung


def _leg_on_support(writer: SheetWriter, leg: BypassLeg, hung: Hung) -> None:
    # Joints until the one with the mark is in, then as many as stand higher than the first lift; the
    # last of them needs no hanging: from where it was made up the leg goes straight to its mark.
    writer.stage(StageKind.SUPPORT, f"{_titled(leg.system)} support clamp", leg.system.name)
    joint = _next_on(writer, leg, hung)
    while not stands_high_enough(writer, leg, FIRST_LIFT):
        writer.write(Operation.LOWER_LEG, *joint.tags, source=joint.source, joint=joint.name)
        tubing.hang(writer, joint.hung)
        joint = _next_on(writer, leg, joint.hung)
    _to_mark(writer, leg, "Lower" if leg.ends_at_mark() else "Raise")
    check_slips_at_mark(writer, leg)
    tubing.hang(writer, leg.at_mark())


def _next_on(writer: SheetWriter, leg: BypassLeg, hung: Hung) -> Lifted:
    run = leg.system.tubing_below if leg.joints_in == 0 else None
    joint = leg.next_lift()
    tubing.add_joint(writer, hung, joint)
    tubing.unhang(writer, hung)
    if run is not None:
        # Cables pass the topmost coupling of the tubing below like every other one.
        tubing.protect(writer, hung, joint.tags[0], run.protector, f"{leg.place}.tubing_below")
    if leg.carries_line():
        writer.write(Operation.CARRY_LINE, joint.body, source=joint.source, joint=joint.name)
    return joint


def _support_clamp(writer: SheetWriter, leg: BypassLeg, support: SupportClamp) -> None:
    kind, station = writer.plan.clamp_type(support.type), f"{leg.system.datum.joint} mark"
    check_room(writer, kind, f"{leg.place}.support_clamp", line=False)
    grips = carried(writer, leg.system, with_line=False)
    writer.write(
        Operation.FIT_SUPPORT_CLAMP,
        leg.system.datum.joint,
        readings=asked.serial(support.type) + asked.torque(writer.plan, kind.connection, station),
        dressed=Dressed(station, support.type),
        source=f"{leg.place}.support_clamp",
        kind=support.type,
        dress=f", {grips}",
    )


def _to_mark(writer: SheetWriter, leg: BypassLeg, move: str) -> None:
    datum = leg.system.datum
    writer.write(
        Operation.RAISE_TO_MARK,
        leg.top().tag,
        datum.joint,
        readings=asked.mark(leg.system),
        source=f"{leg.place}.datum",
        move=move,
        mark=f"{as_typed(datum.below_top, 'm')} below the top of {datum.joint}",
    )


def _titled(system: System) -> str:
    return f"{system.name[:1].upper()}{system.name[1:]} system:"
