"""Room in the hole: each section of a plan's or run's string in a table, and the picture of a chosen one."""

from dataclasses import dataclass
from typing import ClassVar

from app.domain.checks.fit import Standing, standing_of
from app.domain.plan import Plan
from app.domain.room.clearance import Clearance
from app.domain.room.rows import RoomRow, tightest_row
from app.domain.run import Run
from app.domain.unit_systems import AS_PLANNED, UnitSystem
from app.services.room import MeasuredRoom
from app.store.plans import KeptPlan
from app.web.contexts.frame import Frame
from app.web.contexts.runs import RunBar, run_bar

MARKS = {Standing.FITS: "done", Standing.TIGHT: "caution", Standing.TOO_WIDE: "refused"}
NO_CASING = "passes no casing"


@dataclass(frozen=True, slots=True)
class CasingLine:
    """A casing that the chosen section passes, and what is left in it."""

    casing: str
    drift: str
    in_drift: str
    inside: str
    in_inside: str
    standing: str
    mark: str


@dataclass(frozen=True, slots=True)
class SectionLine:
    """A row of the table of sections; `number` is what its picture is asked for by."""

    number: int
    what: str
    kind: str
    times: int
    depths: str
    width: str
    least: str
    governing: str
    standing: str
    mark: str


@dataclass(frozen=True, slots=True)
class ChosenSection:
    """The section that is drawn, as a row, as values for the picture, and against each casing."""

    line: SectionLine
    row: RoomRow
    casings: tuple[CasingLine, ...]


@dataclass(frozen=True, slots=True)
class RoomPage:
    """The sections of a plan's string from the top down, and the one that is drawn."""

    PAGE: ClassVar[str] = "room/room.html"
    PART: ClassVar[str] = "room/_room.html"

    frame: Frame
    plan: KeptPlan
    title: str
    lines: tuple[SectionLine, ...]
    chosen: ChosenSection | None


@dataclass(frozen=True, slots=True)
class RunRoomPage:
    """The sections of a run's string by what was measured so far, and the one that is drawn."""

    PAGE: ClassVar[str] = "room/run_room.html"
    PART: ClassVar[str] = "room/_run_room.html"

    frame: Frame
    bar: RunBar
    lines: tuple[SectionLine, ...]
    chosen: ChosenSection | None


def room_page(frame: Frame, kept: KeptPlan, measured: MeasuredRoom, number: int) -> RoomPage:
    """Return the page of a plan with a section drawn, by its number or else the tightest."""
    lines = section_lines(measured, frame.units)
    return RoomPage(frame, kept, measured.plan.job.title, lines, _drawn(measured, lines, number, frame.units))


def run_room_page(frame: Frame, run: Run, measured: MeasuredRoom, number: int) -> RunRoomPage:
    """Return the page of a run with a section drawn, by its number or else the tightest."""
    lines = section_lines(measured, frame.units)
    return RunRoomPage(frame, run_bar(run), lines, _drawn(measured, lines, number, frame.units))


def section_lines(measured: MeasuredRoom, units: UnitSystem = AS_PLANNED) -> tuple[SectionLine, ...]:
    """Return the sections of a string as rows, from the top down."""
    return tuple(_line(measured.plan, row, at, units) for at, row in enumerate(measured.rows, start=1))


def _drawn(
    measured: MeasuredRoom, lines: tuple[SectionLine, ...], number: int, units: UnitSystem
) -> ChosenSection | None:
    rows = measured.rows
    row = rows[number - 1] if 1 <= number <= len(rows) else tightest_row(rows)
    return None if row is None else _chosen(measured.plan, row, lines[rows.index(row)], units)


def _chosen(plan: Plan, row: RoomRow, line: SectionLine, units: UnitSystem) -> ChosenSection:
    return ChosenSection(line, row, tuple(_casing(plan, room, units) for room in row.rooms))


def _line(plan: Plan, row: RoomRow, number: int, units: UnitSystem) -> SectionLine:
    width, depth = row.section.shape.width, plan.well.setting_depth
    standing = standing_of(row.least, plan) if row.least is not None else Standing.FITS
    drift = row.least.casing.drift if row.least is not None else width
    top, base = units.like(row.top, depth), units.like(row.base, depth)
    return SectionLine(
        number=number,
        what=row.section.what,
        kind=row.section.kind,
        times=row.count,
        depths=base if top == base else f"{top} to {base}",
        width=units.like(width, drift),
        least=units.like(row.least.drift, drift) if row.least is not None else NO_CASING,
        governing=" and ".join(row.section.shape.governing),
        standing=standing,
        mark=MARKS[standing],
    )


def _casing(plan: Plan, room: Clearance, units: UnitSystem) -> CasingLine:
    casing, standing = room.casing, standing_of(room, plan)
    return CasingLine(
        casing=casing.name,
        drift=units.given(casing.drift),
        in_drift=units.like(room.drift, casing.drift),
        inside=units.given(casing.id),
        in_inside=units.like(room.inside, casing.drift),
        standing=standing,
        mark=MARKS[standing],
    )
