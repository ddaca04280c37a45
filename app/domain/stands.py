"""How the bypass leg must stand beside each lift: high enough to go up with it, within the elevators' reach.

Heights count from the datum, the mark on the bypass leg. The top of the table stands where the pump leg
was landed last; before anything was landed it stands a working height below the mark.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from app.domain.legs import holder, lifted_together
from app.domain.plan import System
from app.domain.quantities import NO_LENGTH, Length, total
from app.domain.stations import part_spans
from app.domain.well import Rig

# The same lengths added up in another order differ in the last bits; this is far below any tape.
SAME_HEIGHT = Length(1e-6)


@dataclass(frozen=True, slots=True)
class Stand:
    """How the leg must stand while a lift goes in beside it, in heights over the mark [m].

    Joints come in until the leg is as high as `needed`, or whole; without that height it must be whole.
    `table` is the top of the work table, `highest` as far as the elevators reach over it; a leg that
    does not end above `lowest` cannot be held.
    """

    beside: str
    table: Length
    needed: Length | None
    lowest: Length
    highest: Length

    def is_high_enough(self, height: Length) -> bool:
        """Return whether a leg that is not whole is high enough for the lift to be picked up."""
        return self.needed is not None and height >= self.needed - SAME_HEIGHT

    def is_beyond_reach(self, height: Length) -> bool:
        """Return whether the leg stands higher [m] than the elevators reach."""
        return height > self.highest + SAME_HEIGHT

    def is_too_low(self, height: Length) -> bool:
        """Return whether the leg ends too low [m] to be held beside the lift."""
        return height <= self.lowest + SAME_HEIGHT


def stands(rig: Rig, system: System) -> Iterator[Stand]:
    """Yield how the bypass leg must stand beside each lift of the pump leg, bottom to top."""
    lifts, stretches = lifted_together(system), part_spans(system)
    table, below = _floor(rig), NO_LENGTH
    for lift in lifts:
        top, held = stretches[lift[-1].tag].top, holder(lift)
        # The lowest leg hangs whole before its pump leg is built; any other is whole for the last lift.
        wants_whole = system.support_clamp is None or lift is lifts[-1]
        long = total(Length, (part.length for part in lift))
        yield Stand(
            beside=lift[-1].tag,
            table=table,
            needed=None if wants_whole else below + long + rig.working_height,
            # What is put on by hand needs no elevators over it, but the leg must be held at the table.
            lowest=table if held is None else top,
            highest=table + rig.reach,
        )
        table, below = table if held is None else stretches[held.tag].top, top


def is_gripped_at_mark(rig: Rig, base: Length) -> bool:
    """Return whether slips grip the leg, not what is under its base, while its mark is at working height."""
    return base <= _floor(rig) + SAME_HEIGHT


def _floor(rig: Rig) -> Length:
    # Where the table's top is while the mark stands at working height.
    return NO_LENGTH - rig.working_height
