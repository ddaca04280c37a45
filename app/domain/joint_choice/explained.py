"""A choice of joints in words: what it changes, where it leaves the swivel, why it is best, what is short."""

from collections.abc import Iterator

from app.domain.checks.shown import given, like
from app.domain.joint_choice.choice import JointChoice
from app.domain.joint_choice.leg import Leg
from app.domain.joint_choice.shortfalls import Shortfall, ShortfallKind
from app.domain.joint_choice.standing import clearances, standings
from app.domain.legs import joints_from_mark, mid_stroke
from app.domain.parts import Joint
from app.domain.plan import Plan, System
from app.domain.quantities import Length

SHORT_WORDS: dict[ShortfallKind, str] = {
    ShortfallKind.TOO_SHORT: "The leg stays {by} too short. Bring a joint or pup joint that is {by} longer, "
    "or move the mark {by} down.",
    ShortfallKind.TOO_LONG: "The leg becomes {by} too long. Bring a joint or pup joint that is {by} shorter, "
    "or move the mark {by} up.",
    ShortfallKind.REACH: "Beside {at} the leg stands {by} higher than the elevators reach. Bring shorter "
    "joints.",
    ShortfallKind.HELD: "The whole leg ends {by} too low to be held beside {at}. Bring a joint or pup "
    "joint that is {by} longer, or bolt the topmost parts on by hand.",
    ShortfallKind.COUPLING: "A coupling or the safety sub lies {by} inside the band of the {at}. Bring "
    "joints of other lengths, or move that clamp or the mark.",
    ShortfallKind.MARK: "No joint can bear the mark: the longest is {by} too short, or a coupling comes "
    "under a clamp. Set the mark nearer to the top of its joint, or bring a longer one.",
}
NEARLY = "No choice from {count} joints closes the legs, and the nearest misses by less than a tape can tell."
NOTHING_FOUND = "No leg was found in {seconds:.0f} s, and none is ruled out. Give the search more time."


def explain(plan: Plan, position: int, choice: JointChoice) -> tuple[str, ...]:
    """Return the sentences that say what came of a search, the answer first."""
    system = plan.systems[position]
    if choice.leg is not None:
        return tuple(_about(plan, system, choice, choice.leg))
    count = len(choice.wanted.candidates)
    if not choice.short:
        return ((NEARLY if choice.proven else NOTHING_FOUND).format(count=count, seconds=choice.seconds),)
    headline = f"No choice from {count} joints closes the legs. The nearest is short of this:"
    return (headline, *(short_words(system, short) for short in choice.short))


def short_words(system: System, short: Shortfall) -> str:
    """Return the sentence that says what is short, by how much, and what would mend it."""
    return SHORT_WORDS[short.kind].format(at=short.at, by=_figure(system, short.by))


def tags_of(joints: tuple[Joint, ...]) -> str:
    """Return joints in their order, the one with the mark first."""
    return ", ".join(joint.tag for joint in joints)


def _about(plan: Plan, system: System, choice: JointChoice, leg: Leg) -> Iterator[str]:
    yield f"From the mark up: {tags_of(leg.joints)}. {_changes(system, leg)}"
    if choice.wanted.staying:
        stays = tags_of(leg.joints[: choice.wanted.staying])
        yield f"What is in the hole, and what a clamp sits on with all that is under it, stays: {stays}."
    block = system.y_block
    yield (
        f"The swivel comes out {like(leg.extension, block.stroke)}, {like(leg.off, block.stroke)} from mid "
        f"stroke at {like(mid_stroke(system), block.stroke)}; free are {given(block.margin)} to "
        f"{like(block.stroke - block.margin, block.stroke)}."
    )
    yield _proof(system, choice)
    yield _interleaving(plan, system, choice, leg)
    yield _couplings(system, choice, leg)


def _changes(system: System, leg: Leg) -> str:
    if leg.joints == joints_from_mark(system):
        return "That is the plan as it stands."
    parts = []
    if leg.racked:
        parts.append(f"from the rack: {', '.join(leg.racked)}")
    if leg.freed:
        parts.append(f"back on the rack: {', '.join(leg.freed)}")
    told = "; ".join(parts)
    return f"{told[:1].upper()}{told[1:]}." if told else "The joints of the plan, in another order."


def _proof(system: System, choice: JointChoice) -> str:
    step = like(choice.wanted.step, system.y_block.stroke)
    count = len(choice.wanted.candidates)
    if not choice.proven and choice.gap < choice.wanted.step:
        return (
            f"The search through {count} joints was stopped after {choice.seconds:.0f} s. No other leg is "
            f"nearer to mid stroke by {step}, which is what one length may be off; one as near may have "
            "fewer joints, or fewer from the rack."
        )
    if not choice.proven:
        return (
            f"The search through {count} joints was stopped after {choice.seconds:.0f} s; another leg might "
            f"be nearer to mid stroke by up to {like(choice.gap, system.y_block.stroke)}."
        )
    return (
        f"No other leg from the {count} joints is nearer to mid stroke by {step}, which is what one length "
        "may be off; of those as near, this one has the fewest joints, then pup joints, joints from the "
        "rack, and joints moved."
    )


def _interleaving(plan: Plan, system: System, choice: JointChoice, leg: Leg) -> str:
    lifts = standings(choice.wanted, leg)
    if not lifts:
        return "All that was lifted beside the leg is in: no lift is left that it must stand higher than."
    highest = max(lifts, key=lambda standing: standing.over_table)
    return (
        f"The leg stands higher than each lift beside it, or is whole before, and at most "
        f"{_figure(system, highest.over_table)} over the table, beside {highest.beside}; the elevators reach "
        f"{given(plan.rig.reach)}."
    )


def _couplings(system: System, choice: JointChoice, leg: Leg) -> str:
    wanted = choice.wanted
    if system.bypass.is_flush and not wanted.sub_bands:
        return "The joints are flush: no coupling can come under a clamp."
    clear = clearances(wanted, leg)
    if not clear:
        return "No clamp grips the leg over its mark."
    nearest = min(clear, key=lambda clearance: clearance.gap)
    thick = "coupling or safety sub" if wanted.sub_bands else "coupling"
    return (
        f"No {thick} lies under a clamp; the nearest ends {_figure(system, nearest.gap)} from the "
        f"{nearest.station}."
    )


def _figure(system: System, value: Length) -> str:
    return like(value, system.bypass.joints[0].length)
