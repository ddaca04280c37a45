"""How the bypass leg must stand beside each lift, in heights over the mark."""

import pytest

from app.domain.quantities import Length, in_unit, length
from app.domain.stands import is_gripped_at_mark, stands
from tests.leg_builder import WORK_FT, Intake
from tests.plan_builder import PlanChoice, SystemChoice, build_plan
from tests.plan_stock import PARTS_FT

UPPER = build_plan(PlanChoice((SystemChoice(), SystemChoice(seals=1, pumps=1, intake=Intake.BY_HAND))))


def test_the_leg_is_as_high_as_the_next_lift_and_a_working_height_and_whole_for_the_last_one() -> None:
    system = UPPER.systems[1]
    lengths_ft = [PARTS_FT[part.kind] for part in system.parts]
    gauge_ft, motor_ft, seal_ft = lengths_ft[:3]

    first, second, *_, last = stands(UPPER.rig, system)

    assert first.needed is not None
    assert second.needed is not None
    assert in_unit(first.needed, "ft") == pytest.approx(gauge_ft + motor_ft + WORK_FT)
    assert in_unit(second.needed, "ft") == pytest.approx(motor_ft + seal_ft + WORK_FT)
    assert last.needed is None
    assert not last.is_high_enough(length(1000, "ft"))


def test_the_table_is_where_the_leg_was_landed_last_and_parts_by_hand_leave_it_there() -> None:
    beside = {stand.beside: stand for stand in stands(UPPER.rig, UPPER.systems[1])}

    motor, seal, by_hand, pump = (beside[f"S2-{kind}-1"] for kind in ("MOTOR", "SEAL", "INTAKE", "PUMP"))

    assert in_unit(motor.table, "ft") == pytest.approx(-WORK_FT)
    assert seal.table.si == motor.lowest.si
    assert by_hand.table.si == pump.table.si == seal.lowest.si
    assert by_hand.lowest.si == by_hand.table.si
    assert all(stand.highest.si == (stand.table + UPPER.rig.reach).si for stand in beside.values())


def test_the_lowest_leg_is_whole_before_anything_is_lifted_beside_it() -> None:
    assert all(stand.needed is None for stand in stands(UPPER.rig, UPPER.systems[0]))


def test_heights_that_differ_by_the_rounding_of_sums_alone_are_the_same() -> None:
    stand = next(stands(UPPER.rig, UPPER.systems[1]))
    assert stand.needed is not None
    hair = Length(1e-9)

    assert stand.is_high_enough(stand.needed - hair)
    assert not stand.is_beyond_reach(stand.highest + hair)
    assert stand.is_too_low(stand.lowest + hair)
    assert is_gripped_at_mark(UPPER.rig, hair - UPPER.rig.working_height)
    assert not is_gripped_at_mark(UPPER.rig, length(-3.9, "ft"))
