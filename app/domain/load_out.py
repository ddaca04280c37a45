"""The load-out list: which serials are on site, and what each may be used for."""

from collections.abc import Iterator, Mapping
from typing import Protocol

from app.domain.plan import Plan
from app.domain.refusals import ReadingError
from app.domain.sheet import ReadingWanted


class Serialled(Protocol):
    """Anything with a tag and a serial."""

    @property
    def tag(self) -> str:
        """Return its tag."""

    @property
    def serial(self) -> str:
        """Return its serial, empty where the plan gives none."""


def listed_serials(plan: Plan) -> dict[str, str]:
    """Return every serial that the plan lists, with the tag, kind or clamp type that it is of."""
    listed = {item.serial: item.item for item in plan.load_out}
    listed |= {spare.serial: f"spare {spare.kind}" for spare in plan.spares if spare.serial}
    return listed | {thing.serial: thing.tag for thing in _serialled(plan) if thing.serial}


def check_serial(
    wanted: ReadingWanted,
    serial: str,
    *,
    load_out: Mapping[str, str],
    used: Mapping[str, int],
    settled: Mapping[str, str],
) -> None:
    """Pass where a serial is on the list, of the wanted item, not used yet, and still on site.

    Raises: ReadingError that says which of the four fails.
    """
    if serial not in load_out:
        raise ReadingError(
            wanted.name,
            f"Serial {serial} is not on the load-out list. {_as_listed(serial, load_out)}"
            "Read it again; if it is right, add it to the list with a reason.",
            rule="serial-unknown",
        )
    if load_out[serial] != wanted.item:
        raise ReadingError(
            wanted.name,
            f"Serial {serial} is a {load_out[serial]}; here a {wanted.item} is wanted. Take the right one.",
            rule="serial-wrong-kind",
        )
    if serial in used:
        raise ReadingError(
            wanted.name,
            f"Serial {serial} was used already, at step {used[serial]}. Read it again, or correct step "
            f"{used[serial]}.",
            rule="serial-used-twice",
        )
    if serial in settled:
        raise ReadingError(
            wanted.name,
            f"Serial {serial} is accounted for as {settled[serial]}. Take another; if it is back on site and "
            f"good, add it to the load-out list again with a reason.",
            rule="serial-settled",
        )


def _as_listed(serial: str, load_out: Mapping[str, str]) -> str:
    """Return in a sentence the listed serial that differs in blanks and small letters alone, or nothing."""
    plain = _plain(serial)
    alike = next((listed for listed in load_out if _plain(listed) == plain), "")
    return f"{alike} is: type it so where that is what is stamped. " if alike else ""


def _plain(serial: str) -> str:
    return "".join(serial.split()).upper()


def check_taken_off(wanted: ReadingWanted, serial: str, fitted: Mapping[str, int]) -> None:
    """Pass where the serial of a clamp that is taken off is one that was fitted there.

    Raises: ReadingError where it is another.
    """
    if serial not in fitted:
        there = " or ".join(f"{name}, read at step {step}" for name, step in fitted.items()) or "none"
        raise ReadingError(
            wanted.name,
            f"Serial {serial} was not fitted here; what was is {there}. Read it again; if it is right, "
            "correct the reading of that step first.",
            rule="serial-not-fitted-here",
        )


def _serialled(plan: Plan) -> Iterator[Serialled]:
    for system in plan.systems:
        yield from system.every_part()
        yield system.motor_lead
        yield system.motor_lead.main_cable
        yield system.y_block
    yield plan.production.hanger
    if plan.production.crossover is not None:
        yield plan.production.crossover
