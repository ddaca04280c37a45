"""The bypass leg as it grows: which joints are in the string and how high the leg stands."""

from dataclasses import dataclass, field

from app.domain.compiler import asked, tubing
from app.domain.compiler.tubing import Hung, Lifted
from app.domain.compiler.writer import SheetWriter
from app.domain.gear import GearKind
from app.domain.operations import Operation
from app.domain.plan import System
from app.domain.quantities import Length
from app.domain.sheet import GearMove
from app.domain.stations import Span, joint_spans


@dataclass(slots=True)
class BypassLeg:
    """Guards how many bypass joints of a system are in the string already."""

    system: System
    place: str
    joints_in: int = 0
    _spans: dict[str, Span] = field(init=False)

    def __post_init__(self) -> None:
        self._spans = joint_spans(self.system)

    @property
    def is_whole(self) -> bool:
        """Return whether all joints are in."""
        return self.joints_in == len(self.system.bypass.joints)

    def next_lift(self) -> Lifted:
        """Return the next joint, with the subs that were made up to it on deck, and count it in."""
        position = self.joints_in
        self.joints_in += 1
        joint = self.system.bypass.joints[position]
        tags, connection = [joint.tag], self.system.bypass.connection
        if position == 0 and self.system.crossover is not None:
            tags.insert(0, self.system.crossover.tag)
            connection = self.system.crossover.connection
        if position == 0 and self.system.entry_guide is not None:
            tags.insert(0, self.system.entry_guide.tag)
        if self.is_whole and self.system.safety_sub is not None:
            tags.append(self.system.safety_sub.tag)
        return Lifted(
            tuple(tags), self.system.bypass, connection, f"{self.place}.bypass.joints[{position}]", joint.tag
        )

    def top(self) -> Hung:
        """Return the top of the leg as it stands."""
        body = self.system.bypass.joints[self.joints_in - 1].tag
        on_top = self.system.safety_sub if self.is_whole else None
        return self._hung(on_top.tag if on_top else body, body)

    def at_mark(self) -> Hung:
        """Return the leg as it hangs with its mark at working height: slips grip the joint with the mark."""
        return self._hung(self.top().tag, self.system.datum.joint)

    def reaches_mark(self) -> bool:
        """Return whether the joint with the datum mark is in the string."""
        return self.system.datum.joint in self._tags_in()

    def ends_at_mark(self) -> bool:
        """Return whether the last joint that came in is the one with the mark."""
        return self._tags_in()[-1] == self.system.datum.joint

    def carries_line(self) -> bool:
        """Return whether the orientation line goes up the last joint on its way to the mark."""
        return self.ends_at_mark() or not self.reaches_mark()

    def height(self) -> Length:
        """Return the height of the leg's top over the mark, the safety sub on a whole leg included [m]."""
        top = self._spans[self._tags_in()[-1]].top
        sub = self.system.safety_sub
        return top + sub.length if self.is_whole and sub is not None else top

    def base(self) -> Length:
        """Return the height of the lowest joint's base over the mark, under nothing but subs [m]."""
        return self._spans[self.system.bypass.joints[0].tag].base

    def _tags_in(self) -> list[str]:
        return [joint.tag for joint in self.system.bypass.joints[: self.joints_in]]

    def _hung(self, tag: str, body: str) -> Hung:
        return Hung(tag, body, self.system.bypass.od, self.system.bypass.is_flush)


def fit_safety_clamp(writer: SheetWriter, leg: BypassLeg) -> None:
    """Write the safety clamp on the bypass leg at the table."""
    gear = tubing.find_gear(writer, GearKind.SAFETY_CLAMP, leg.system.bypass.od)
    clamp = gear.tag if gear is not None else GearKind.SAFETY_CLAMP.value
    torqued = gear is not None and gear.connection != ""
    writer.write(
        Operation.FIT_SAFETY_CLAMP,
        leg.top().tag,
        readings=asked.torque(writer.plan, gear.connection, clamp) if gear and torqued else (),
        gear=(GearMove(clamp, 1),),
        source="lifting_gear",
        gear_name=clamp,
    )


def remove_safety_clamp(writer: SheetWriter, leg: BypassLeg, held: Hung) -> None:
    """Write the safety clamp off what it held."""
    clamp = tubing.gear_tag(writer, GearKind.SAFETY_CLAMP, leg.system.bypass.od)
    writer.write(
        Operation.REMOVE_SAFETY_CLAMP,
        held.tag,
        gear=(GearMove(clamp, -1),),
        source="lifting_gear",
        gear_name=clamp,
    )
