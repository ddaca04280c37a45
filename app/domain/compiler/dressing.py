"""Steps that dress the legs: a clamp at each station that passes, with the line and the cables in it."""

from app.domain.compiler import asked
from app.domain.compiler.cables import carried, check_room
from app.domain.compiler.writer import SheetWriter
from app.domain.gear import Clamp
from app.domain.legs import Lift
from app.domain.operations import Operation
from app.domain.plan import System
from app.domain.quantities import Length
from app.domain.sheet import Dressed
from app.domain.stations import Span, spans, station_height

LOWERED = ", lowered to working height"
RAISED = ", raised to working height"

Passing = tuple[tuple[Length, Clamp], ...]


def stations_beside(system: System, lift: Lift) -> Passing:
    """Return the clamps on a lift and on the bypass joints beside it, lowest first, with heights [m]."""
    stretches, joints = spans(system), {joint.tag for joint in system.bypass.joints}
    beside, tags = Span(stretches[lift[0].tag].base, stretches[lift[-1].tag].top), {part.tag for part in lift}
    stations = [(station_height(clamp, stretches), clamp) for clamp in system.clamps]
    passing = [
        (height, clamp)
        for height, clamp in stations
        if clamp.at in tags or (clamp.at in joints and beside.holds(height))
    ]
    return tuple(sorted(passing, key=lambda station: station[0].si))


def dress_head(writer: SheetWriter, system: System, place: str) -> None:
    """Write the clamps that the plan wants at the discharge head."""
    for clamp in system.clamps:
        if clamp.at == system.y_block.tag:
            # For the end of a line the head was raised to the hands already.
            dress(writer, system, place, clamp, "" if system.line is not None else RAISED)


def dress(writer: SheetWriter, system: System, place: str, clamp: Clamp, brought: str) -> None:
    """Write one clamp at its station, how that comes to the hands, and what it carries now."""
    kind, source = writer.plan.clamp_type(clamp.type), f"{place}.clamps[{system.clamps.index(clamp)}]"
    check_room(writer, kind, source, line=system.line is not None)
    writer.write(
        Operation.DRESS_STATION,
        clamp.at,
        readings=asked.serial(clamp.type) + asked.torque(writer.plan, kind.connection, clamp.station),
        dressed=Dressed(clamp.station, clamp.type),
        source=source,
        kind=clamp.type,
        station=f"{_words(system, clamp)}{brought}",
        dress=carried(writer, system),
    )


def _words(system: System, clamp: Clamp) -> str:
    return f"at the discharge head under {clamp.at}" if clamp.at == system.y_block.tag else clamp.place
