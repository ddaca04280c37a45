"""A sheet as plain text, to be read on a terminal or printed in an emergency."""

from collections.abc import Iterator

from app.domain.cautions import GENERAL
from app.domain.quantities import as_typed
from app.domain.sheet import ReadingWanted, Sheet, Stage, Step


def sheet_to_text(sheet: Sheet) -> str:
    """Return the sheet: stages with their hold points, steps with their cautions and readings."""
    lines = [GENERAL]
    for stage in sheet.stages:
        lines += ["", *_stage_lines(stage)]
        for step in sheet.steps_of(stage.id):
            lines += _step_lines(step)
    return "\n".join(lines) + "\n"


def _stage_lines(stage: Stage) -> Iterator[str]:
    yield f"{stage.title.upper()}, steps {stage.first} to {stage.last}"
    if stage.hold_point is not None:
        signers = ", ".join(stage.hold_point.signed_by)
        yield f"  HOLD POINT: {stage.hold_point.title}; signed by {signers}"


def _step_lines(step: Step) -> Iterator[str]:
    for caution in step.cautions:
        yield f"      ! {caution.value}"
    yield f"{step.number:5} [ ] {step.text} ({step.role})"
    for reading in step.readings:
        yield f"          {_reading(reading)}"


def _reading(reading: ReadingWanted) -> str:
    limits = {"target": reading.target, "lowest": reading.low, "highest": reading.high}
    given = [f"{name} {as_typed(limit, reading.unit)}" for name, limit in limits.items() if limit is not None]
    tool = [f"with {_one(reading.tool.value)}"] if reading.tool else []
    return ", ".join([f"{reading.name}: ________ {reading.unit}".rstrip(), *given, *tool])


def _one(thing: str) -> str:
    return f"an {thing}" if thing[0] in "aeiou" else f"a {thing}"
