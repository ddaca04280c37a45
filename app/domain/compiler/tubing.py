"""Steps about joints: make one up on another, hang it in slips, lower it."""

from dataclasses import dataclass

from app.domain.compiler import asked, cables
from app.domain.compiler.writer import SheetWriter
from app.domain.connections import TOOL_FOR
from app.domain.gear import PIN_PROTECTOR, GearKind, LiftingGear, grips
from app.domain.operations import Operation
from app.domain.parts import Tubing
from app.domain.quantities import Length, as_typed
from app.domain.sheet import GearMove, Joined


@dataclass(frozen=True, slots=True)
class Hung:
    """What hangs at the floor: the tag at its top, the joint that slips grip, its size, flush or not."""

    tag: str
    body: str
    od: Length
    flush: bool


@dataclass(frozen=True, slots=True)
class Lifted:
    """A joint to be added: its tags from pin to box (subs made up on deck with it) and its run."""

    tags: tuple[str, ...]
    tubing: Tubing
    connection: str
    source: str
    body: str

    @property
    def hung(self) -> Hung:
        """Return the joint as it will hang."""
        return Hung(self.tags[-1], self.body, self.tubing.od, self.tubing.is_flush)

    @property
    def name(self) -> str:
        """Return the joint with its subs in words."""
        return " with ".join(self.tags)


def rig_for(writer: SheetWriter, od: Length, *, slips_hold: bool = False) -> None:
    """Write the change of elevators and slips, where another size [m] hangs from now on."""
    elevators = find_gear(writer, GearKind.ELEVATORS, od)
    slips = find_gear(writer, GearKind.SLIPS, od)
    tags = tuple(item.tag for item in (elevators, slips) if item is not None)
    if tags != writer.rigged:
        writer.rigged = tags
        # Slips that hold the string stay where they are until the new joint is made up.
        when = ", the slips once those that hold are pulled" if slips_hold else ""
        writer.write(
            Operation.RIG_FOR_SIZE,
            *tags,
            source="lifting_gear",
            gear_name=" and ".join(tags),
            size=f"{as_typed(od, 'in', 3)}{when}",
        )


def first_joint(writer: SheetWriter, joint: Lifted) -> None:
    """Write the first joint of a string: up, down through the rotary, into the slips."""
    rig_for(writer, joint.tubing.od)
    # The entry guide was made up on deck: this pin has no protector any more.
    _pick_up(writer, joint)
    writer.write(Operation.LOWER_LEG, *joint.tags, source=joint.source, joint=joint.name)
    hang(writer, joint.hung)


def next_joint(writer: SheetWriter, below: Hung, joint: Lifted) -> None:
    """Write a further joint: made up on what hangs, then lowered and hung in its place."""
    add_joint(writer, below, joint)
    unhang(writer, below)
    writer.write(Operation.LOWER_LEG, *joint.tags, source=joint.source, joint=joint.name)
    hang(writer, joint.hung)


def add_joint(writer: SheetWriter, below: Hung, joint: Lifted) -> None:
    """Write a joint made up on what hangs; the elevators hold it, the old support is still on."""
    dope = asked.dope(writer.plan, joint.connection)
    release_elevators(writer, below)
    writer.write(Operation.DOPE_BOX, below.tag, source=joint.source, joint=below.tag, dope=dope)
    rig_for(writer, joint.tubing.od, slips_hold=True)
    _pick_up(writer, joint, gear=(GearMove(PIN_PROTECTOR, 1),))
    pin = joint.tags[0]
    writer.write(
        Operation.DOPE_PIN,
        pin,
        gear=(GearMove(PIN_PROTECTOR, -1),),
        source=joint.source,
        joint=pin,
        dope=dope,
    )
    writer.write(Operation.STAB, pin, below.tag, source=joint.source, joint=pin, below=below.tag)
    torque(writer, Joined(below.tag, pin, joint.connection), joint.source)


def torque(writer: SheetWriter, joined: Joined, source: str) -> None:
    """Write the torque of a threaded connection."""
    kind = writer.plan.connection(joined.connection)
    writer.write(
        Operation.TORQUE,
        joined.upper,
        joined.lower,
        readings=asked.torque(writer.plan, joined.connection, joined.upper),
        joined=joined,
        source=source,
        joint=joined.upper,
        below=joined.lower,
        tool=TOOL_FOR[kind.method].value,
        target=as_typed(kind.target, "ft*lbf", 0),
    )


def hang(writer: SheetWriter, hung: Hung) -> None:
    """Write slips set and, on flush pipe, the dog collar above them."""
    writer.write(Operation.SET_SLIPS, hung.body, source="lifting_gear", joint=hung.body)
    if hung.flush:
        collar = gear_tag(writer, GearKind.DOG_COLLAR, hung.od)
        writer.write(
            Operation.FIT_COLLAR,
            hung.body,
            gear=(GearMove(collar, 1),),
            source="lifting_gear",
            joint=hung.body,
        )


def unhang(writer: SheetWriter, hung: Hung) -> None:
    """Write collar and slips off while the elevators hold."""
    if hung.flush:
        collar = gear_tag(writer, GearKind.DOG_COLLAR, hung.od)
        writer.write(
            Operation.REMOVE_COLLAR,
            hung.body,
            gear=(GearMove(collar, -1),),
            source="lifting_gear",
            joint=hung.body,
        )
    writer.write(Operation.PULL_SLIPS, hung.body, source="lifting_gear")


def release_elevators(writer: SheetWriter, hung: Hung) -> None:
    """Write the elevators off what slips or a safety clamp hold; flush pipe gives its nubbin back."""
    if hung.flush:
        remove_nubbin(writer, hung)
    else:
        writer.write(Operation.UNLATCH, hung.tag, source="lifting_gear", joint=hung.tag)


def remove_nubbin(writer: SheetWriter, hung: Hung) -> None:
    """Write the lift nubbin out of what hangs."""
    nubbin = gear_tag(writer, GearKind.LIFT_NUBBIN, hung.od)
    writer.write(
        Operation.REMOVE_NUBBIN, hung.tag, gear=(GearMove(nubbin, -1),), source="lifting_gear", joint=hung.tag
    )


def run_joint(writer: SheetWriter, below: Hung, joint: Lifted, *, joints_in: int, carry_line: bool) -> None:
    """Write a joint of tubing above a system: protector over the coupling, cables, line carried."""
    add_joint(writer, below, joint)
    unhang(writer, below)
    protect(writer, below, joint.tags[0], joint.tubing.protector, joint.source)
    if carry_line:
        writer.write(Operation.CARRY_LINE, joint.body, source=joint.source, joint=joint.name)
    if joint.tubing.mid_joint_clamp:
        _clamp_middle(writer, joint)
    writer.write(
        Operation.LOWER_STRING,
        *joint.tags,
        readings=asked.hook_load(writer.plan, joint.body, joints_in),
        source=joint.source,
        joint=joint.name,
    )
    hang(writer, joint.hung)


def protect(writer: SheetWriter, below: Hung, upper: str, protector: str, source: str) -> None:
    """Write the protector that holds the cables where a part was made up on what hung."""
    writer.write(
        Operation.FIT_PROTECTOR,
        upper,
        source=source,
        kind=protector,
        over="joint" if below.flush else "coupling",
        joint=below.tag,
        cables=cables.named(writer.cables),
    )


def find_gear(writer: SheetWriter, kind: GearKind, od: Length) -> LiftingGear | None:
    """Return the plan's gear of a kind for a size [m], or none."""
    for item in writer.plan.lifting_gear:
        if item.kind is kind and grips(item, od):
            return item
    return None


def gear_tag(writer: SheetWriter, kind: GearKind, od: Length) -> str:
    """Return the tag of the plan's gear of a kind for a size [m], or the kind's own name."""
    found = find_gear(writer, kind, od)
    return found.tag if found is not None else kind.value


def _clamp_middle(writer: SheetWriter, joint: Lifted) -> None:
    kind = writer.plan.clamp_type(joint.tubing.mid_joint_clamp)
    cables.check_room(writer, kind, joint.source, line=False)
    writer.write(
        Operation.FIT_MID_JOINT_CLAMP,
        joint.body,
        source=joint.source,
        kind=kind.name,
        joint=joint.body,
        cables=cables.named(writer.cables),
    )


def _pick_up(writer: SheetWriter, joint: Lifted, *, gear: tuple[GearMove, ...] = ()) -> None:
    if joint.tubing.is_flush:
        nubbin = gear_tag(writer, GearKind.LIFT_NUBBIN, joint.tubing.od)
        top = joint.tags[-1]
        writer.write(
            Operation.FIT_NUBBIN,
            top,
            gear=(GearMove(nubbin, 1),),
            source=joint.source,
            gear_name=nubbin,
            joint=top,
        )
    writer.write(Operation.PICK_UP_JOINT, *joint.tags, gear=gear, source=joint.source, joint=joint.name)
