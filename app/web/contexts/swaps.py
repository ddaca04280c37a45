"""The page of swaps: what may be swapped, the form of one of them, and all swaps of a run."""

from dataclasses import dataclass
from typing import ClassVar

from app.domain.checks.places import every_part
from app.domain.parts import PartMeasure
from app.domain.quantities import typed_unit, units_of
from app.domain.run import Run, Swap
from app.domain.swaps import LENGTH, QUANTITY_OF_VALUE, Swappable, swappable, swappables
from app.web.contexts.frame import NO_REFUSAL, Frame, NoSuchPageError, Refusal
from app.web.contexts.runs import RunBar, run_bar


@dataclass(frozen=True, slots=True)
class ValueField:
    """The field of one value of the new part; `at` names its inputs: value-0, unit-0."""

    at: int
    name: str
    units: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SwapForm:
    """What is swapped, which serials may go and come, and what may be said of the new one."""

    place: str
    item: str
    serial: str
    on_deck: tuple[str, ...]
    reopened: tuple[int, ...]
    fields: tuple[ValueField, ...]


@dataclass(frozen=True, slots=True)
class SwapsPage:
    """All swaps, what can be swapped still, and the form for the chosen one."""

    PAGE: ClassVar[str] = "swaps/swaps.html"
    PART: ClassVar[str] = "swaps/_swaps.html"

    frame: Frame
    bar: RunBar
    swaps: tuple[Swap, ...]
    free: tuple[Swappable, ...]
    chosen: SwapForm | None
    refusal: Refusal


def swaps_page(frame: Frame, run: Run, place: str = "", refusal: Refusal = NO_REFUSAL) -> SwapsPage:
    """Return the swaps of a run, with the form for a place where one is chosen.

    Raises: NoSuchPageError where the sheet has no such place.
    """
    found = swappable(run, place) if place else None
    if place and found is None:
        raise NoSuchPageError(f"There is no part or station '{place}'. Choose one from the list.")
    return SwapsPage(
        frame=frame,
        bar=run_bar(run),
        swaps=tuple(reversed(run.swaps)),
        free=tuple(item for item in swappables(run) if not item.on_floor_since),
        chosen=_form(run, found) if found is not None else None,
        refusal=refusal,
    )


def _form(run: Run, found: Swappable) -> SwapForm:
    spares = {spare.serial for spare in run.plan.spares}
    gone = {**run.used_serials, **run.settled, found.serial: 0}
    return SwapForm(
        place=found.place,
        item=found.item,
        serial=found.serial,
        on_deck=tuple(
            serial
            for serial, item in run.load_out.items()
            if serial not in gone and (item == found.item or serial in spares)
        ),
        reopened=found.deck,
        fields=tuple(
            ValueField(at, name, _units(run, found.place, name)) for at, name in enumerate(found.values)
        ),
    )


def _units(run: Run, place: str, name: str) -> tuple[str, ...]:
    """Return the units of a value, the one that the plan gives it in first."""
    own = {LENGTH: typed_unit(run.plan.well.setting_depth)}
    for _, part in every_part(run.plan):
        if part.tag == place:
            own |= {PartMeasure.MAX_OD: typed_unit(part.max_od), PartMeasure.WEIGHT: typed_unit(part.weight)}
    for block in (system.y_block for system in run.plan.systems):
        if block.tag == place:
            own |= {measure: typed_unit(size) for measure, size in block.sizes().items()}
    return tuple(sorted(units_of(QUANTITY_OF_VALUE[name]), key=lambda unit: unit != own.get(name)))
