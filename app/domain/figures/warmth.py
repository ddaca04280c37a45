"""How warm a tested cable is along its length: in the hole as the well, over it as where it was read."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from app.domain.checks.lengthening import temperature_at
from app.domain.checks.shown import like
from app.domain.figures.conductors import Conductor, WarmRun
from app.domain.figures.read import Read
from app.domain.quantities import NO_LENGTH, Length, Temperature
from app.domain.results import Input
from app.domain.well import Well

# A stretch in the hole is cut so often; where the hole is straight its copper comes out exactly all the same.
CUTS = 16


@dataclass(frozen=True, slots=True)
class Warmth:
    """The temperature that was read at a test, and how deep in which well the cable's lower end hangs [m].

    Without a well, or with nothing in it, all of the cable is as warm as was read.
    """

    read: Read
    well: Well | None = None
    depth: Length = NO_LENGTH

    @property
    def above(self) -> Temperature:
        """Return how warm it is where the temperature was read [K]."""
        return Temperature(self.read.value.si)

    @property
    def at_lower_end(self) -> Temperature:
        """Return how warm it is at the lower end of the cable, where its motor is [K]."""
        if self.well is None or self.depth <= NO_LENGTH:
            return self.above
        return temperature_at(self.well, self.depth)

    def along(self, conductors: Sequence[Conductor]) -> tuple[WarmRun, ...]:
        """Return a cable cut into runs, each with its temperature; the last conductor is the lowest."""
        return tuple(self._runs(conductors))

    def inputs(self, conductors: Sequence[Conductor]) -> Iterator[Input]:
        """Yield what was read, and what of the cable is in the hole and how warm it is there on the mean."""
        yield self.read.as_input()
        in_hole = [run for run in self._runs(conductors) if run.in_hole]
        if in_hole:
            long = Length(sum(run.conductor.length.si for run in in_hole))
            mean = sum(run.temperature.si * run.conductor.length.si for run in in_hole) / long.si
            text = (
                f"{like(long, conductors[0].length)}, {like(Temperature(mean), self.read.value)} on the mean"
            )
            yield Input("of it in the hole", text, "worked out from the well's temperatures")

    def _runs(self, conductors: Sequence[Conductor]) -> Iterator[WarmRun]:
        base = self.depth
        for conductor in reversed(conductors):
            top = base - conductor.length
            yield from self._in_hole(conductor, max(top, NO_LENGTH), max(base, NO_LENGTH))
            over = conductor.length - (max(base, NO_LENGTH) - max(top, NO_LENGTH))
            if over > NO_LENGTH:
                yield WarmRun(replace(conductor, length=over), self.above)
            base = top

    def _in_hole(self, conductor: Conductor, top: Length, base: Length) -> Iterator[WarmRun]:
        if self.well is not None and base > top:
            run = (base - top) * (1.0 / CUTS)
            for cut in range(CUTS):
                middle = top + run * (cut + 0.5)
                yield WarmRun(replace(conductor, length=run), temperature_at(self.well, middle), in_hole=True)
