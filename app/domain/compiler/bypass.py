"""The bypass leg as it grows: which joints are in the string and how high the leg stands."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from app.domain.compiler import asked, tubing
from app.domain.compiler.tubing import Hung, Lifted
from app.domain.compiler.writer import SheetWriter
from app.domain.gear import GearKind
from app.domain.legs import joints_above_datum
from app.domain.operations import Operation
from app.domain.parts import LegEnd
from app.domain.plan import System
from app.domain.quantities import Length
from app.domain.sheet import GearMove


@dataclass(slots=True)
class BypassLeg:
    """Guards how many bypass joints of a system are in the string already."""

    system: System
    place: str
    joints_in: int = 0

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
        return Hung(on_top.tag if on_top else body, body, self.system.bypass.od, self.system.bypass.is_flush)

    def at_mark(self) -> Hung:
        """Return the leg as it hangs with its mark at working height: slips grip the joint with the mark."""
        return replace(self.top(), body=self.system.datum.joint)

    def bears_mark(self) -> bool:
        """Return whether the joint with the datum mark is in the string."""
        tags = [joint.tag for joint in self.system.bypass.joints[: self.joints_in]]
        return self.system.datum.joint in tags

    def above_datum(self) -> Length:
        """Return the height of the leg's top over the mark, subs left out [m]."""
        bypass = self.system.bypass
        tags = [joint.tag for joint in bypass.joints]
        first = tags.index(self.system.datum.joint) + 1
        height = self.system.datum.below_top
        for joint in bypass.joints[first : self.joints_in]:
            height = height + joint.length - bypass.make_up_loss
        return height

    def joint_ends(self) -> Iterator[tuple[str, LegEnd, Length]]:
        """Yield base and head of every joint above the mark's, with its height over the datum [m]."""
        height = self.system.datum.below_top
        for joint in joints_above_datum(self.system):
            yield joint.tag, LegEnd.BASE, height
            height = height + joint.length - self.system.bypass.make_up_loss
            yield joint.tag, LegEnd.HEAD, height


def add_beside_pump_leg(writer: SheetWriter, leg: BypassLeg) -> None:
    """Write one more joint on a leg that a safety clamp holds at the table."""
    below = leg.top()
    fit_safety_clamp(writer, leg)
    joint = leg.next_lift()
    tubing.add_joint(writer, below, joint)
    remove_safety_clamp(writer, leg, below)


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
