"""The choice of joints as an integer programme.

Taken or not: each joint at each place of the leg, counted from the joint with the mark upwards. How the
legs close depends on which joints are taken, where a joint ends on their order. What is made small is a
whole number whose digits, highest first, are: steps away from mid stroke, joints, pup joints, joints from
the rack, joints moved from their place in the plan. Relaxed, every demand may be missed, and what is made
small is by how much.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass, field

from app.domain.joint_choice.programme import FREE, Programme, ProgrammeWriter
from app.domain.joint_choice.shortfalls import Shortfall, ShortfallKind
from app.domain.joint_choice.wanted import Band, LegWanted
from app.domain.quantities import Length
from app.domain.stands import SAME_HEIGHT, Stand

# What is short is told of legs that close, as far as any does: a leg that does not is of no use.
CLOSING_WEIGHT = 100.0
CLOSING = (ShortfallKind.TOO_SHORT, ShortfallKind.TOO_LONG)
NOTHING_SHORT = 1e-4  # a tenth of a millimetre: what the solver's own rounding may leave


@dataclass(slots=True)
class Formulation:
    """Guards the programme of one leg: which columns are joints, which heights, which shortfalls."""

    wanted: LegWanted
    relaxed: bool
    writer: ProgrammeWriter = field(default_factory=ProgrammeWriter)
    joints: list[list[int]] = field(default_factory=list)  # by candidate, then by place
    heights: list[int] = field(default_factory=list)  # by place over the mark's
    short: dict[int, tuple[ShortfallKind, str]] = field(default_factory=dict)

    @property
    def base(self) -> int:
        """Return the base of the digits: more than there can be joints."""
        return self.wanted.most + 2

    @property
    def ceiling_m(self) -> float:
        """Return a height [m] that no leg is higher than."""
        longest = sorted((candidate.net.si for candidate in self.wanted.candidates), reverse=True)
        return max(self.wanted.high.si, self.wanted.first.si + sum(longest[: self.wanted.most]))

    def nearest_possible(self, bound: float) -> Length:
        """Return how near to mid stroke a leg may be that costs no less than the bound [m]."""
        steps = math.ceil((bound - (self.base**4 - 1)) / self.base**4) if math.isfinite(bound) else 1
        return self.wanted.step * float(max(steps, 1) - 1)

    def top(self) -> dict[int, float]:
        """Return the height of the whole leg as a term; that of a leg of one joint is a figure."""
        return {self.heights[-1]: 1.0}

    def slack(self, kind: ShortfallKind, at: str = "") -> dict[int, float]:
        """Return a term by which a demand may be missed, where that is allowed."""
        if not self.relaxed:
            return {}
        column = self.writer.column(0.0, FREE, cost=CLOSING_WEIGHT if kind in CLOSING else 1.0)
        self.short[column] = (kind, at)
        return {column: 1.0}


def formulate(wanted: LegWanted, *, relaxed: bool = False) -> Formulation:
    """Return the programme of a leg."""
    made = Formulation(wanted, relaxed)
    _place_joints(made)
    _stack(made)
    _close(made)
    _hold(made)
    for stand in wanted.stands:
        _stand(made, stand)
    for band in wanted.bands:
        _keep_clear(made, band, made.heights[1:])
    for band in wanted.sub_bands:
        _keep_clear(made, band, made.heights[-1:])
    return made


def exclude(made: Formulation, taken: Iterable[int]) -> None:
    """Forbid the very set of candidates that stands over the mark's joint."""
    kept = set(taken)
    terms = {
        column: (1.0 if number in kept else -1.0)
        for number, places in enumerate(made.joints)
        for column in places[1:]
    }
    made.writer.row(terms, high=len(kept) - 1.0)


def exclude_order(made: Formulation, taken: tuple[int, ...]) -> None:
    """Forbid the very leg of some candidates in their order."""
    terms = {made.joints[number][place]: 1.0 for place, number in enumerate(taken)}
    over = {places[len(taken)]: -1.0 for places in made.joints} if len(taken) <= made.wanted.most else {}
    made.writer.row(terms | over, high=len(taken) - 1.0)


def programme_of(made: Formulation) -> Programme:
    """Return the programme as it stands."""
    return made.writer.written()


def chosen(made: Formulation, values: tuple[float, ...]) -> tuple[int, ...]:
    """Return the candidates that were taken, from the mark's joint upwards."""
    places = range(made.wanted.most + 1)
    return tuple(
        number
        for place in places
        for number, columns in enumerate(made.joints)
        if values[columns[place]] > 0.5
    )


def shortfalls(made: Formulation, values: tuple[float, ...]) -> tuple[Shortfall, ...]:
    """Return what is missed, and by how much."""
    return tuple(
        Shortfall(kind, at, Length(values[column]))
        for column, (kind, at) in made.short.items()
        if values[column] > NOTHING_SHORT
    )


def _place_joints(made: Formulation) -> None:
    wanted = made.wanted
    for number, candidate in enumerate(wanted.candidates):
        places = [made.writer.choice(_cost(made, number, place)) for place in range(wanted.most + 1)]
        if number < wanted.staying:
            made.writer.row({places[number]: 1.0}, low=1.0)
        elif not candidate.may_bear_mark:
            made.writer.row({places[0]: 1.0}, high=0.0)
        made.writer.row(dict.fromkeys(places, 1.0), high=1.0)
        made.joints.append(places)
    made.writer.row({places[0]: 1.0 for places in made.joints}, low=1.0, high=1.0)
    for place in range(1, wanted.most + 1):
        # No place is left empty under a joint.
        under = {places[place - 1]: -1.0 for places in made.joints}
        made.writer.row({places[place]: 1.0 for places in made.joints} | under, high=0.0)


def _cost(made: Formulation, number: int, place: int) -> float:
    """Return what a candidate adds, at a place, to the whole number that is made small."""
    if made.relaxed:
        return 0.0
    candidate, base = made.wanted.candidates[number], made.base
    # The joints of the plan come first among the candidates, in their order.
    is_moved = not candidate.racked and number != place
    return float(base**3 + base**2 * candidate.joint.pup + base * candidate.racked + is_moved)


def _stack(made: Formulation) -> None:
    wanted = made.wanted
    first = made.writer.column(wanted.first.si, wanted.first.si)
    made.heights.append(first)
    for place in range(1, wanted.most + 1):
        height = made.writer.column(wanted.first.si, made.ceiling_m)
        nets = {
            places[place]: -candidate.net.si
            for places, candidate in zip(made.joints, wanted.candidates, strict=True)
        }
        made.writer.row({height: 1.0, made.heights[-1]: -1.0} | nets, low=0.0, high=0.0)
        made.heights.append(height)


def _close(made: Formulation) -> None:
    wanted, writer = made.wanted, made.writer
    writer.row(made.top() | made.slack(ShortfallKind.TOO_SHORT), low=wanted.low.si)
    missed = made.slack(ShortfallKind.TOO_LONG)
    writer.row(made.top() | dict.fromkeys(missed, -1.0), high=wanted.high.si)
    if made.relaxed:
        return
    most_steps = int((wanted.high - wanted.low).si / wanted.step.si) + 1
    steps = writer.column(1.0, most_steps, cost=float(made.base**4), whole=True)
    writer.row(made.top() | {steps: -wanted.step.si}, high=wanted.mid.si)
    writer.row(made.top() | {steps: wanted.step.si}, low=wanted.mid.si)


def _hold(made: Formulation) -> None:
    """Let the whole leg end high enough to be held beside every lift."""
    stand = max(made.wanted.stands, key=lambda stand: stand.lowest.si, default=None)
    if stand is not None:
        low = stand.lowest - made.wanted.sub + SAME_HEIGHT * 2
        # What makes a leg close makes it as much higher.
        closing = {column: 1.0 for column, (kind, _) in made.short.items() if kind is ShortfallKind.TOO_SHORT}
        made.writer.row(made.top() | closing | made.slack(ShortfallKind.HELD, stand.beside), low=low.si)


def _stand(made: Formulation, stand: Stand) -> None:
    """Let the leg stand within reach beside a lift: high enough and not whole yet, or whole."""
    writer, over = made.writer, made.ceiling_m - stand.highest.si
    missed = dict.fromkeys(made.slack(ShortfallKind.REACH, stand.beside), -1.0)
    whole = writer.choice()
    ends = [writer.choice() for _ in made.heights[:-1]] if stand.needed is not None else []
    writer.row(dict.fromkeys((*ends, whole), 1.0), low=1.0)
    writer.row(made.top() | {whole: over + made.wanted.sub.si} | missed, high=made.ceiling_m)
    for place, end in enumerate(ends):
        _end_at(made, place, end, stand)
        writer.row({made.heights[place]: 1.0, end: over} | missed, high=made.ceiling_m)


def _end_at(made: Formulation, place: int, end: int, stand: Stand) -> None:
    """Let a joint be the one that the leg ends with beside a lift only where it may be."""
    assert stand.needed is not None, "a leg that must be whole ends with its last joint"
    lowest = made.wanted.first.si
    # Another joint stands on it later.
    later = {places[place + 1]: -1.0 for places in made.joints}
    made.writer.row({end: 1.0} | later, high=0.0)
    made.writer.row({made.heights[place]: 1.0, end: lowest - stand.needed.si}, low=lowest)


def _keep_clear(made: Formulation, band: Band, heights: Iterable[int]) -> None:
    """Keep what ends at some heights out of a clamp's band."""
    wanted, writer = made.wanted, made.writer
    missed = made.slack(ShortfallKind.COUPLING, band.station)
    below = {column: -amount for column, amount in missed.items()}
    room = max(made.ceiling_m - band.low.si, 0.0)
    drop = max(band.high.si - wanted.first.si, 0.0)
    for height in heights:
        above = writer.choice()
        writer.row({height: 1.0, above: -room} | below, high=band.low.si)
        writer.row({height: 1.0, above: -drop} | missed, low=band.high.si - drop)
