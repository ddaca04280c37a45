"""Room in the hole as it is shown to other programs, section by section from the top down."""

from app.domain.checks.fit import Standing, standing_of
from app.domain.checks.shown import given, like
from app.domain.plan import Plan
from app.domain.room.clearance import Clearance
from app.domain.room.rows import RoomRow

ROOM_FORMAT = "twinleg-room-1"


def room_to_json(plan: Plan, rows: tuple[RoomRow, ...]) -> dict[str, object]:
    """Return the sections of a string with stable keys; figures are text with their unit."""
    sections = [_section(plan, row) for row in rows]
    return {"format": ROOM_FORMAT, "title": plan.job.title, "sections": sections}


def _section(plan: Plan, row: RoomRow) -> dict[str, object]:
    depth, shape = plan.well.setting_depth, row.section.shape
    drift = row.least.casing.drift if row.least is not None else shape.width
    standing = standing_of(row.least, plan) if row.least is not None else Standing.FITS
    return {
        "what": row.section.what,
        "kind": row.section.kind.value,
        "where": row.section.where,
        "times": row.count,
        "top": like(row.top, depth),
        "base": like(row.base, depth),
        "width": like(shape.width, drift),
        "held_by": list(shape.governing),
        "standing": standing.value,
        "casings": [_casing(plan, room) for room in row.rooms],
    }


def _casing(plan: Plan, room: Clearance) -> dict[str, object]:
    casing = room.casing
    return {
        "casing": casing.name,
        "drift": given(casing.drift),
        "left_in_drift": like(room.drift, casing.drift),
        "inside": given(casing.id),
        "left_inside": like(room.inside, casing.drift),
        "standing": standing_of(room, plan).value,
    }
