"""When the next bypass joint comes in: the leg stands higher than what is lifted beside it, within reach."""

from app.domain.compiler import tubing
from app.domain.compiler.bypass import BypassLeg, fit_safety_clamp, remove_safety_clamp
from app.domain.compiler.writer import SheetWriter
from app.domain.problems import stop
from app.domain.quantities import NO_LENGTH, Length, as_typed, show, typed_unit
from app.domain.stands import Stand, is_gripped_at_mark, stands


def stands_high_enough(writer: SheetWriter, leg: BypassLeg, number: int) -> bool:
    """Return whether a lift may be picked up beside the leg as it stands."""
    return leg.is_whole or (leg.reaches_mark() and _stand(writer, leg, number).is_high_enough(leg.height()))


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
    stand, height = _stand(writer, leg, number), leg.height()
    if stand.is_beyond_reach(height):
        needed = NO_LENGTH if leg.is_whole or stand.needed is None else stand.needed - stand.table
        _beyond_reach(writer, leg, stand.beside, height - stand.table, needed)
    if stand.is_too_low(height):
        _too_low(writer, leg, stand.beside, stand.lowest - height)


def check_slips_at_mark(writer: SheetWriter, leg: BypassLeg) -> None:
    """Note a problem where slips set at the mark would grip what is under the bypass leg."""
    if not is_gripped_at_mark(writer.plan.rig, leg.base()):
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


def _stand(writer: SheetWriter, leg: BypassLeg, number: int) -> Stand:
    return tuple(stands(writer.plan.rig, leg.system))[number]


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
