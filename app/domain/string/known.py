"""What a plan says of every part beforehand, gathered once so that each step finds it at once."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from app.domain.checks.places import every_tubing, tubing_runs
from app.domain.checks.tally import bypass_name, pump_leg_name
from app.domain.crew import ALONG, TestMoment
from app.domain.gear import Clamp, GearKind, LiftingGear, grips
from app.domain.legs import holder, lifted_together
from app.domain.operations import Operation
from app.domain.parts import OIL_FILLED, WITH_SHAFT, Part, PartKind, Tubing, YBlock
from app.domain.plan import PRODUCTION, Plan, System, tubing_below_name
from app.domain.quantities import Length
from app.domain.run_above import run_above

Facts = dict[str, str]


@dataclass(frozen=True, slots=True)
class Run:
    """Where a joint stands in the tubing above a system: how many joints are in with it, and its test."""

    moment: TestMoment
    joints_in: int


@dataclass(frozen=True, slots=True)
class Known:
    """The plan's facts by tag: weights [kg], net lengths [m], sizes, stations, and who belongs to whom."""

    plan: Plan
    mass_kg: dict[str, float]
    length_m: dict[str, float]
    legs: Facts
    sizes: dict[str, Length]
    flush: frozenset[str]
    stations: dict[str, tuple[str, ...]]
    couplings: frozenset[str]
    line_wanted: frozenset[str]
    system_of: dict[str, System]
    gear: dict[str, LiftingGear]
    deck_wanted: dict[str, tuple[Operation, ...]]
    checked_first: frozenset[str]
    moments: dict[TestMoment, int]
    runs: dict[str, Run]
    lead_kg: dict[str, float]
    main_kg_m: dict[str, float]
    by_clamp: frozenset[str]
    part_above: Facts
    line_of_block: Facts
    blocks: frozenset[str]
    protector_kg: dict[str, float]
    middles: Facts
    clamps: dict[str, Clamp]
    sub_on: Facts

    def is_lifted_by_clamp(self, tag: str) -> bool:
        """Return whether a part has a lifting clamp of its own; one without is put on by hand."""
        return tag in self.by_clamp

    def above(self, tag: str) -> str:
        """Return the pump-leg part that stands on a part, or nothing."""
        return self.part_above.get(tag, "")

    def clamped_below(self, tag: str) -> str:
        """Return the next part down the pump leg that rested on the table by its clamp, or nothing."""
        system = self.system_of.get(tag)
        below = ""
        for lift in lifted_together(system) if system is not None else ():
            if any(part.tag == tag for part in lift):
                return below
            # A lift may be held below its top, where a sub is bolted on over the clamp.
            held = holder(lift)
            below = held.tag if held is not None else below
        return ""

    def has(self, kind: GearKind) -> bool:
        """Return whether the plan names any gear of a kind."""
        return any(item.kind is kind for item in self.plan.lifting_gear)

    def fits(self, item: LiftingGear, tag: str) -> bool:
        """Return whether gear grips the size of a part; gear without a size grips any."""
        size = self.sizes.get(tag)
        return size is None or grips(item, size)

    def station_on(self, station: str) -> str:
        """Return the part that a station is on: of a clamp, of a mark, or of a Y-block's slots."""
        clamp = self.clamps.get(station)
        return clamp.at if clamp is not None else station.rpartition(" ")[0]

    def clamp_kg(self, clamp_type: str) -> float:
        """Return the weight of a clamp of a type, nothing for a type the plan does not name [kg]."""
        return next((kind.weight.si for kind in self.plan.clamp_types if kind.name == clamp_type), 0.0)


def know(plan: Plan) -> Known:
    """Return the facts of a plan."""
    sizes, flush = _grip_sizes(plan)
    leads = [system.motor_lead for system in plan.systems]
    return Known(
        plan=plan,
        mass_kg=dict(_masses(plan)),
        length_m=dict(_lengths(plan)),
        legs=_leg_names(plan),
        sizes=sizes,
        flush=flush,
        stations=_stations(plan),
        couplings=frozenset(tag for tag, _ in protected_runs(plan)),
        line_wanted=_line_wanted(plan),
        system_of=_systems(plan),
        gear={item.tag: item for item in plan.lifting_gear},
        deck_wanted=_deck_wanted(plan),
        checked_first=frozenset(_checked_first(plan)),
        moments={test.moment: test.every for test in plan.electrical_tests},
        runs=dict(_runs(plan)),
        lead_kg={lead.tag: lead.weight.si * lead.length.si for lead in leads},
        main_kg_m={lead.main_cable.tag: lead.main_cable.weight.si for lead in leads},
        by_clamp=frozenset(_lifted_by_clamp(plan)),
        part_above=dict(_stacked(plan)),
        line_of_block=dict(_lines(plan)),
        blocks=frozenset(system.y_block.tag for system in plan.systems),
        protector_kg=dict(_protectors(plan)),
        middles=dict(_middles(plan)),
        clamps={clamp.station: clamp for system in plan.systems for clamp in system.clamps},
        sub_on=dict(_subs_on_joints(plan)),
    )


def slots_of(block: str) -> str:
    """Return the name of the station that a Y-block's cable slots are."""
    return f"{block} slots"


def mark_on(joint: str) -> str:
    """Return what the place of the mark on a joint is called."""
    return f"{joint} mark"


def bypass_tags(system: System) -> tuple[str, ...]:
    """Return the bypass leg bottom to top, subs included; joints of the tubing below are not of it."""
    joints = [joint.tag for joint in system.bypass.joints]
    below = [sub.tag for sub in (system.crossover, system.entry_guide) if sub is not None]
    return (*below, *joints, *([system.safety_sub.tag] if system.safety_sub is not None else []))


def protected_runs(plan: Plan) -> Iterator[tuple[str, Tubing]]:
    """Yield what is lowered first past each coupling that gets a protector, with the run it belongs to."""
    for _, _, run in tubing_runs(plan):
        yield from ((joint.tag, run) for joint in run.joints)
    # What stands on the topmost coupling of a run: an upper bypass leg, or the hanger.
    for system in plan.systems:
        if system.tubing_below is not None:
            yield bypass_tags(system)[0], system.tubing_below
    production = plan.production
    for part in (production.crossover, production.hanger):
        if part is not None:
            yield part.tag, production.tubing


def _masses(plan: Plan) -> Iterator[tuple[str, float]]:
    for part in _parts(plan):
        yield part.tag, part.weight.si
    for _, tubing in every_tubing(plan):
        for joint in tubing.joints:
            yield joint.tag, tubing.weight.si * joint.length.si


def _lengths(plan: Plan) -> Iterator[tuple[str, float]]:
    for part in _parts(plan):
        yield part.tag, part.length.si
    for _, tubing in every_tubing(plan):
        for joint in tubing.joints:
            yield joint.tag, joint.length.si - tubing.make_up_loss.si


def _leg_names(plan: Plan) -> Facts:
    names: Facts = {}
    for system in plan.systems:
        names |= {part.tag: pump_leg_name(system) for part in system.parts}
        names |= dict.fromkeys(bypass_tags(system), bypass_name(system))
        names |= dict.fromkeys((system.y_block.tag, system.handling_sub.tag), bypass_name(system))
        if system.tubing_below is not None:
            names |= {joint.tag: tubing_below_name(system) for joint in system.tubing_below.joints}
    production = plan.production
    names |= {joint.tag: PRODUCTION for joint in production.tubing.joints}
    return names | {part.tag: PRODUCTION for part in (production.hanger, production.crossover) if part}


def _grip_sizes(plan: Plan) -> tuple[dict[str, Length], frozenset[str]]:
    sizes: dict[str, Length] = {}
    flush: set[str] = set()
    for _, tubing in every_tubing(plan):
        sizes |= {joint.tag: tubing.od for joint in tubing.joints}
        flush |= {joint.tag for joint in tubing.joints if tubing.is_flush}
    for position, system in enumerate(plan.systems):
        if system.safety_sub is not None:
            sizes[system.safety_sub.tag] = system.bypass.od
            flush |= {system.safety_sub.tag} if system.bypass.is_flush else set()
        sizes[system.handling_sub.tag] = run_above(plan, position).od
    return sizes, frozenset(flush)


def _stations(plan: Plan) -> dict[str, tuple[str, ...]]:
    wanted: dict[str, list[str]] = defaultdict(list)
    for system in plan.systems:
        for clamp in system.clamps:
            wanted[clamp.at].append(clamp.station)
        wanted[system.y_block.tag].append(slots_of(system.y_block.tag))
    return {tag: tuple(stations) for tag, stations in wanted.items()}


def _lifted_by_clamp(plan: Plan) -> Iterator[str]:
    return (part.tag for system in plan.systems for part in system.parts if part.lifting_clamp)


def _stacked(plan: Plan) -> Iterator[tuple[str, str]]:
    for system in plan.systems:
        yield from ((lower.tag, upper.tag) for lower, upper in pairwise(system.parts))


def _lines(plan: Plan) -> Iterator[tuple[str, str]]:
    for system in plan.systems:
        if system.line is not None:
            yield system.y_block.tag, system.line.tag


def _subs_on_joints(plan: Plan) -> Iterator[tuple[str, str]]:
    for system in plan.systems:
        if system.safety_sub is not None:
            yield system.bypass.joints[-1].tag, system.safety_sub.tag


def _protectors(plan: Plan) -> Iterator[tuple[str, float]]:
    weights = {kind.name: kind.weight.si for kind in plan.clamp_types}
    return ((tag, weights.get(run.protector, 0.0)) for tag, run in protected_runs(plan))


def _middles(plan: Plan) -> Iterator[tuple[str, str]]:
    for _, _, run in tubing_runs(plan):
        for joint in run.joints if run.mid_joint_clamp else ():
            yield joint.tag, run.mid_joint_clamp


def _line_wanted(plan: Plan) -> frozenset[str]:
    wanted: set[str] = set()
    for below, system in pairwise(plan.systems):
        wanted.add(below.handling_sub.tag)
        if system.tubing_below is not None:
            wanted |= {joint.tag for joint in system.tubing_below.joints}
        joints = [joint.tag for joint in system.bypass.joints]
        wanted |= set(joints[: joints.index(system.datum.joint) + 1])
    return frozenset(wanted)


def _systems(plan: Plan) -> dict[str, System]:
    return {
        tag: system
        for system in plan.systems
        for tag in (
            *(part.tag for part in system.parts),
            *bypass_tags(system),
            system.y_block.tag,
            system.handling_sub.tag,
        )
    }


def _deck_wanted(plan: Plan) -> dict[str, tuple[Operation, ...]]:
    wanted = {part.tag: tuple(_work_on(plan, part)) for part in _parts(plan)}
    for _, tubing in every_tubing(plan):
        wanted |= {joint.tag: (Operation.MEASURE,) for joint in tubing.joints}
    if any(test.moment is TestMoment.ON_DECK for test in plan.electrical_tests):
        for lead in (system.motor_lead for system in plan.systems):
            wanted |= dict.fromkeys((lead.tag, lead.main_cable.tag), (Operation.TEST_ON_DECK,))
    return wanted


def _work_on(plan: Plan, part: Part | YBlock) -> Iterator[Operation]:
    yield Operation.INSPECT_PART
    if isinstance(part, YBlock):
        return
    if part.kind in WITH_SHAFT:
        yield Operation.CHECK_SHAFT
    tested = any(test.moment is TestMoment.ON_DECK for test in plan.electrical_tests)
    if part.kind is PartKind.MOTOR and tested:
        yield Operation.TEST_MOTOR
    if part.kind in OIL_FILLED:
        yield Operation.SERVICE_OIL


def _checked_first(plan: Plan) -> Iterator[str]:
    for position in range(len(plan.lifting_gear)):
        yield f"lifting_gear[{position}]"
    for position in range(len(plan.tools)):
        yield f"tools[{position}]"


def _runs(plan: Plan) -> Iterator[tuple[str, Run]]:
    runs: list[tuple[TestMoment, Tubing | None]] = [
        (TestMoment.ALONG_INTERMEDIATE, system.tubing_below) for system in plan.systems
    ]
    for moment, run in (*runs, (TestMoment.ALONG_PRODUCTION, plan.production.tubing)):
        assert moment in ALONG
        for joints_in, joint in enumerate(run.joints if run else (), start=1):
            yield joint.tag, Run(moment, joints_in)


def _parts(plan: Plan) -> Iterator[Part | YBlock]:
    for system in plan.systems:
        yield from system.every_part()
        yield system.y_block
    yield plan.production.hanger
    if plan.production.crossover is not None:
        yield plan.production.crossover
