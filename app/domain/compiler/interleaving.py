"""When the next bypass joint comes in: the leg stands higher than what is lifted beside it, within reach.

Heights count from the datum, the mark on the bypass leg. The top of the table stands where the pump leg
was landed last; before anything was landed it stands a working height below the mark.
"""

from app.domain.compiler import tubing
from app.domain.compiler.bypass import BypassLeg, fit_safety_clamp, remove_safety_clamp
from app.domain.compiler.writer import SheetWriter
from app.domain.legs import Lift, holder, lifted_together
from app.domain.problems import stop
from app.domain.quantities import NO_LENGTH, Length, as_typed, show, total, typed_unit
from app.domain.stations import part_spans


def stands_high_enough(writer: SheetWriter, leg: BypassLeg, number: int) -> bool:
    """Return whether a lift may be picked up beside the leg as it stands; the last one wants it whole."""
    if leg.is_whole:
        return True
    is_last = number + 1 == len(lifted_together(leg.system))
    return not is_last and leg.reaches_mark() and leg.height() >= _needed(writer, leg, number)


def stand_higher(writer: SheetWriter, leg: BypassLeg, number: int) -> None:
    """Write bypass joints, the leg held at the table, until a lift may be picked up beside it."""
    if not stands_high_enough(writer, leg, number):
        held = leg.top()
        fit_safety_clamp(writer, leg)
        while not stands_high_enough(writer, leg, number):
            below = leg.top()
            tubing.add_joint(writer, below, leg.next_lift())
        remove_safety_clamp(writer, leg, held)
    check_stand(writer, leg, number)


def check_stand(writer: SheetWriter, leg: BypassLeg, number: int) -> None:
    """Note a problem where the leg stands beyond reach, or all of it too low, while a lift comes in."""
    lift = lifted_together(leg.system)[number]
    beside, table = lift[-1].tag, _table(writer, leg, number)
    stick_up, reach = leg.height() - table, writer.plan.rig.reach
    if stick_up > reach:
        needed = NO_LENGTH if leg.is_whole else _needed(writer, leg, number) - table
        _beyond_reach(writer, leg, beside, stick_up, needed)
    # What is put on by hand needs no elevators over it, but the leg must still be held at the table.
    lowest = _lift_top(leg, lift) if holder(lift) is not None else table
    if leg.height() <= lowest:
        _too_low(writer, leg, beside, lowest - leg.height())


def check_slips_at_mark(writer: SheetWriter, leg: BypassLeg) -> None:
    """Note a problem where slips set at the mark would grip what is under the bypass leg."""
    if leg.base() > _floor(writer):
        work, mark = writer.plan.rig.working_height, leg.system.datum
        below = show(NO_LENGTH - leg.base(), typed_unit(mark.below_top))
        writer.problems.append(
            stop(
                "mark-too-low",
                f"{leg.place}.datum",
                f"With the mark at working height, {as_typed(work, 'm')} over the table, the leg ends "
                f"{below} below it and slips would grip what is under the leg. Set the mark higher on "
                f"{mark.joint}, or run one more joint under it.",
            )
        )


def _needed(writer: SheetWriter, leg: BypassLeg, number: int) -> Length:
    # The lift stands on the pump leg, the first one with its base at the mark.
    lifts = lifted_together(leg.system)
    below = _lift_top(leg, lifts[number - 1]) if number > 0 else NO_LENGTH
    return below + total(Length, (part.length for part in lifts[number])) + writer.plan.rig.working_height


def _table(writer: SheetWriter, leg: BypassLeg, number: int) -> Length:
    landed = [holder(lift) for lift in lifted_together(leg.system)[:number]]
    spans = part_spans(leg.system)
    tops = [spans[part.tag].top for part in landed if part is not None]
    return tops[-1] if tops else _floor(writer)


def _floor(writer: SheetWriter) -> Length:
    # Where the table's top is while the mark stands at working height.
    return NO_LENGTH - writer.plan.rig.working_height


def _lift_top(leg: BypassLeg, lift: Lift) -> Length:
    return part_spans(leg.system)[lift[-1].tag].top


def _beyond_reach(writer: SheetWriter, leg: BypassLeg, beside: str, stick_up: Length, needed: Length) -> None:
    unit = typed_unit(writer.plan.rig.reach)
    reach = as_typed(writer.plan.rig.reach, unit)
    if needed > writer.plan.rig.reach:
        rule = "bypass-leg-never-high-enough"
        text = (
            f"To stand higher than {beside} the bypass leg needs {show(needed, unit)} over the table; the "
            f"elevators reach {reach}. Lift {beside} in shorter parts, or take a rig that reaches higher."
        )
    else:
        rule = "bypass-leg-beyond-reach"
        text = (
            f"Beside {beside} the bypass leg stands {show(stick_up, unit)} over the table; the elevators "
            f"reach {reach}. Use shorter bypass joints or set the datum mark higher."
        )
    writer.problems.append(stop(rule, leg.place, text))


def _too_low(writer: SheetWriter, leg: BypassLeg, beside: str, by: Length) -> None:
    short = show(by, typed_unit(writer.plan.rig.reach))
    writer.problems.append(
        stop(
            "bypass-leg-too-low",
            leg.place,
            f"With all its joints in, the bypass leg ends {short} too low to be held beside {beside}. Use a "
            "Y-block with a longer drop or a shorter swivel, or bolt the topmost parts on by hand.",
        )
    )
