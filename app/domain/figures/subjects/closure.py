"""Leg closure: how far each swivel comes out, at the surface and in the well, and how sure that is."""

from collections.abc import Iterator

from app.domain.built import built_of
from app.domain.checks.lengthening import STEEL_MODULUS
from app.domain.checks.shown import given, like
from app.domain.checks.space_out import Closure, closures
from app.domain.closing_legs import Closing
from app.domain.figures.subjects.basis import Basis, Figure, Subject
from app.domain.legs import pump_side
from app.domain.operations import Operation
from app.domain.plan import Mark, System
from app.domain.quantities import NO_LENGTH, Length, Quantity, show, typed_unit
from app.domain.results import ASSUMED, PLAN, Advice, Input, Result, from_plan
from app.domain.sheet import ReadingKind

WORKED_OUT, NOT_TOLD = "worked out", Closing()


def closure_figures(basis: Basis) -> Iterator[Figure]:
    """Yield the figures of leg closure, system by system."""
    run, plan = basis.run, basis.plan
    for step, results in basis.taken:
        if step.operation is Operation.MEET_SWIVEL:
            group = f"{step.parts[0]} made up"
            yield from (Figure(Subject.CLOSURE, group, result, step=step.number) for result in results)
    built = tuple(built_of(run, system) for system in plan.systems) if run is not None else ()
    for system, closure in zip(plan.systems, closures(plan, basis.measured.values, built), strict=True):
        about = _about(system, closure)
        for result in _results(basis, system, closure):
            yield Figure(Subject.CLOSURE, f"system {system.name}", result, about)


def extension_result(basis: Basis, system: System, closure: Closure) -> Result:
    """Return how far the swivel of a system comes out, against its stroke less the margin [m]."""
    block = system.y_block
    return Result(
        name=f"extension of the swivel of {block.tag}",
        value=closure.extension,
        unit=_unit(system),
        formula=closure.formula,
        inputs=(
            *(
                Input(used.name, _as_shown(used.length, system), basis.origin(*used.of))
                for used in closure.lengths
            ),
            from_plan("make-up loss of each joint over the mark's", system.bypass.make_up_loss),
            from_plan("stroke", block.stroke),
            from_plan("margin at both ends", block.margin),
        ),
        source=closure.source,
        says=Advice(
            inside=closure.advice,
            below=f"The bypass leg is too long for the swivel. {closure.advice}",
            above=f"The bypass leg is too short for the swivel. {closure.advice}",
        ),
        low=closure.low,
        high=closure.high,
    )


def _results(basis: Basis, system: System, closure: Closure) -> Iterator[Result]:
    yield extension_result(basis, system, closure)
    yield _downhole(system, closure)
    yield from _changes(basis, system, closure)
    yield _off(system, closure, closure.worst_case, "at worst", "sum of the tolerances of all lengths")
    yield _off(
        system, closure, closure.likely, "likely", "square root of the sum of the squares of the tolerances"
    )
    yield _mark(basis, system, closure.mark)
    if closure.mark_at_mid is not None:
        yield _mark_at_mid(basis, system, closure, closure.mark_at_mid)


def _downhole(system: System, closure: Closure) -> Result:
    narrow = "Warm and loaded it would want to stand outside its stroke less the margin."
    return Result(
        name=f"extension of {system.y_block.tag} in the well, warm and loaded",
        value=closure.downhole.extension,
        unit=_unit(system),
        formula="extension that closes the legs, and what warming and load change of it",
        inputs=(
            Input("extension that closes the legs", _stroke(system, closure.extension), WORKED_OUT),
            Input("changed by warming", _stroke(system, closure.downhole.by_warming), WORKED_OUT),
            Input("changed by load", _stroke(system, closure.downhole.by_load), WORKED_OUT),
        ),
        source=closure.source,
        says=Advice(
            inside="Free it would still be inside its stroke.",
            below=f"{narrow} {closure.advice}",
            above=f"{narrow} {closure.advice}",
        ),
        low=closure.low,
        high=closure.high,
    )


def _changes(basis: Basis, system: System, closure: Closure) -> Iterator[Result]:
    known = system.closing or NOT_TOLD
    yield Result(
        name=f"change of {system.y_block.tag} by warming",
        value=closure.downhole.by_warming,
        unit=_unit(system),
        formula="alpha L (T2 - T1) of the pump leg less that of the bypass leg",
        inputs=(
            *_warmth(basis, system, closure),
            _long(system),
            _told("expansion of the pump leg", closure.downhole.pump_expansion, known.pump_expansion),
            _told("expansion of the bypass leg", closure.downhole.bypass_expansion, known.bypass_expansion),
        ),
        source=closure.source,
        says=Advice("Where both legs are of one steel and as warm, they lengthen alike."),
    )
    yield Result(
        name=f"change of {system.y_block.tag} by load",
        value=closure.downhole.by_load,
        unit=_unit(system),
        formula="F L / (A E) of the bypass leg; it asks for less of the swivel",
        inputs=(*_pull(system, closure), _long(system)),
        source=closure.source,
        says=Advice("Counted as if the bypass leg bore all that hangs below the mark or stands on it."),
    )


def _off(system: System, closure: Closure, off: Length, how: str, formula: str) -> Result:
    may = f"The lengths may be off by more than is left to the limit. {closure.advice}"
    if closure.is_at_mid:
        may = "It stands at mid stroke already: measure more closely, or take a swivel of more stroke."
    return Result(
        name=f"extension of {system.y_block.tag} may be off, {how}",
        value=off,
        unit=_unit(system),
        formula=formula,
        inputs=(
            Input("lengths", f"{len(closure.lengths)}, {closure.measured} of them measured", WORKED_OUT),
            _told("tolerance of each", closure.tolerance, (system.closing or NOT_TOLD).length_tolerance),
            Input("left to the nearer limit", _stroke(system, closure.margin), WORKED_OUT),
        ),
        source="Arithmetic of tolerances; chance errors of lengths measured one by one.",
        says=Advice("Less than is left to the nearer limit.", above=may),
        high=max(closure.margin, NO_LENGTH),
    )


def _mark(basis: Basis, system: System, mark: Mark) -> Result:
    joint = next(joint for joint in system.bypass.joints if joint.tag == mark.joint)
    return Result(
        name=f"mark below the top of {mark.joint}",
        value=mark.below_top,
        unit=typed_unit(mark.below_top),
        formula="as measured, else as planned; it must lie on the joint as that shows when made up",
        inputs=(
            Input("mark", given(mark.below_top), basis.origin(mark.joint, ReadingKind.MARK)),
            Input(f"length of {joint.tag}", given(joint.length), basis.origin(joint.tag)),
            from_plan("make-up loss", system.bypass.make_up_loss),
        ),
        source="Mark of the plan, or as it was set.",
        says=Advice(
            inside="Measure it from the top of the joint, two people, each by himself.",
            below="The mark lies over its joint: name the joint that it is on.",
            above="The mark lies below its joint: name the joint that it is on.",
        ),
        low=NO_LENGTH,
        high=joint.length - system.bypass.make_up_loss,
    )


def _mark_at_mid(basis: Basis, system: System, closure: Closure, mark: Mark) -> Result:
    block, bypass = system.y_block, system.bypass
    over = bypass.joints[[joint.tag for joint in bypass.joints].index(mark.joint) + 1 :]
    subs = (system.safety_sub,) if system.safety_sub is not None else ()
    return Result(
        name=f"mark for mid stroke, below the top of {mark.joint}",
        value=mark.below_top,
        unit=_joint_unit(system),
        formula="pump side less mid stroke, closed swivel, safety sub and the joints over it, each less its "
        "make-up loss",
        inputs=(
            Input("pump side", like(pump_side(system), bypass.joints[0].length), WORKED_OUT),
            Input("mid stroke", _stroke(system, closure.mid), WORKED_OUT),
            Input(
                f"swivel of {block.tag}, closed",
                given(block.swivel_length),
                basis.origin(block.tag, ReadingKind.SWIVEL_LENGTH),
            ),
            *(Input(item.tag, given(item.length), basis.origin(item.tag)) for item in (*subs, *over)),
            from_plan("make-up loss", bypass.make_up_loss),
        ),
        source=closure.source,
        says=Advice(f"There the {closure.marks_for} would bring the swivel to mid stroke."),
    )


def _warmth(basis: Basis, system: System, closure: Closure) -> Iterator[Input]:
    known, downhole = system.closing or NOT_TOLD, closure.downhole
    yield from_plan("temperature at the surface", downhole.surface_temperature)
    for name, hot, told in (
        ("pump leg", downhole.pump_temperature, known.pump_temperature),
        ("bypass leg", downhole.bypass_temperature, known.bypass_temperature),
    ):
        origin = PLAN if told is not None else "the well's at this depth"
        yield Input(f"temperature of the {name}", like(hot, basis.plan.well.surface_temperature), origin)


def _pull(system: System, closure: Closure) -> Iterator[Input]:
    pull = show(closure.downhole.pull, "lbf", 0)
    yield Input("pull of what hangs below the mark or stands on it, in the fluid", pull, WORKED_OUT)
    yield from_plan("outside of the bypass leg", system.bypass.od)
    yield from_plan("inside of it", system.bypass.id)
    yield Input("modulus E of steel", given(STEEL_MODULUS), ASSUMED)


def _long(system: System) -> Input:
    shown = like(pump_side(system), system.bypass.joints[0].length)
    return Input("length L of both legs, from the mark to the top of the Y-block", shown, WORKED_OUT)


def _about(system: System, closure: Closure) -> frozenset[str]:
    return frozenset({system.y_block.tag, system.datum.joint, *(used.name for used in closure.lengths)})


def _told(name: str, value: Quantity, in_plan: Quantity | None) -> Input:
    return Input(name, given(value), PLAN if in_plan is not None else ASSUMED)


def _as_shown(length: Length, system: System) -> str:
    return given(length) if length.typed else like(length, system.bypass.joints[0].length)


def _stroke(system: System, value: Length) -> str:
    return like(value, system.y_block.stroke)


def _unit(system: System) -> str:
    return typed_unit(system.y_block.stroke)


def _joint_unit(system: System) -> str:
    return typed_unit(system.bypass.joints[0].length)
