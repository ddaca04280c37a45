"""A sheet as it is frozen at release, exact to the last bit, and as it is shown to other programs."""

from app.domain.cautions import GENERAL
from app.domain.problems import Problem
from app.domain.quantities import as_recorded
from app.domain.sheet import ReadingWanted, Sheet, SheetChange, Step
from app.records.canonical import canonical_bytes
from app.records.json_text import read_json
from app.records.plain import from_plain, to_plain

# What a sheet that was frozen before they were thought of does not have.
LATER_MEMBERS: dict[str, object] = {"changes": []}


def sheet_bytes(sheet: Sheet) -> bytes:
    """Return the canonical bytes under which a sheet is frozen."""
    return canonical_bytes(to_plain(sheet))


def read_sheet(data: bytes) -> tuple[Sheet | None, list[Problem]]:
    """Return the sheet that frozen bytes hold, or every reason why they hold none."""
    value, unreadable = read_json(data, "sheet")
    if isinstance(value, dict):
        value = LATER_MEMBERS | value
    return (None, unreadable) if unreadable else from_plain(Sheet, value, "sheet")


def sheet_to_json(sheet: Sheet) -> dict[str, object]:
    """Return the sheet for other programs, with stable keys: stages, steps, and the general caution."""
    return {
        "format": "twinleg-sheet-1",
        "caution": GENERAL,
        "stages": [
            {
                "id": stage.id,
                "kind": stage.kind.value,
                "system": stage.system,
                "title": stage.title,
                "hold_point": stage.hold_point.title if stage.hold_point else "",
                "first": stage.first,
                "last": stage.last,
            }
            for stage in sheet.stages
        ],
        "steps": [step_to_json(step) for step in sheet.steps],
    }


def step_to_json(step: Step) -> dict[str, object]:
    """Return one step for other programs."""
    return {
        "number": step.number,
        "key": step.key,
        "stage": step.stage,
        "lane": step.lane.value,
        "operation": step.operation.value,
        "system": step.system,
        "parts": list(step.parts),
        "text": step.text,
        "cautions": [caution.value for caution in step.cautions],
        "readings": [_reading_to_json(reading) for reading in step.readings],
        "role": step.role,
        "source": step.source,
        "needs": list(step.needs),
    }


def change_to_json(change: SheetChange) -> dict[str, object]:
    """Return one change to the compiled sheet for other programs."""
    return {
        "number": change.number,
        "kind": change.kind.value,
        "key": change.key,
        "step": change.step,
        "what": change.what,
        "by": change.by.name,
        "role": change.by.role,
        "at": change.at,
        "why": change.why,
    }


def _reading_to_json(reading: ReadingWanted) -> dict[str, object]:
    return {
        "name": reading.name,
        "kind": reading.kind.value,
        "item": reading.item,
        "unit": reading.unit,
        "target": as_recorded(reading.target, reading.unit),
        "low": as_recorded(reading.low, reading.unit),
        "high": as_recorded(reading.high, reading.unit),
        "tool": reading.tool.value if reading.tool else "",
    }
