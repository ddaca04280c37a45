"""The extension of a swivel: what the lengths say that it will be, and what is read where the legs meet."""

from dataclasses import replace

from app.domain.built import built_of
from app.domain.checks.shown import like
from app.domain.checks.space_out import Closure, closure_of
from app.domain.figures.read import Read
from app.domain.measured import measured_in, with_measured
from app.domain.operations import Operation
from app.domain.parts import YBlock
from app.domain.quantities import Length, Quantity, typed_unit
from app.domain.results import Advice, Input, Result
from app.domain.run import Run
from app.domain.sheet import ReadingKind, Step

FORMULA = "pump side less bypass side, by the lengths as measured so far"
WORKED_OUT = "worked out"
# Where how the legs close is decided, and where it is seen.
DECIDING = frozenset({Operation.RAISE_TO_MARK, Operation.MEET_SWIVEL})


def closing_at(run: Run, step: Step, mark: Quantity | None = None) -> tuple[YBlock, Closure] | None:
    """Return the Y-block whose legs a step marks or brings together, and how they close as measured.

    `mark` is how far down the mark was read at the step [m], where that does not count by itself yet.
    """
    if step.operation not in DECIDING:
        return None
    measured = measured_in(run)
    plan = with_measured(run.plan, measured)
    for position, system in enumerate(plan.systems):
        if not {system.y_block.tag, system.datum.joint}.isdisjoint(step.parts):
            if mark is not None:
                of, below_top = (system.datum.joint, ReadingKind.MARK), Length(mark.si, mark.typed)
                measured = replace(measured, values={**measured.values, of: below_top})
                plan = with_measured(run.plan, measured)
            return system.y_block, closure_of(plan, position, measured.values, built_of(run, system))
    return None


def extension_by_lengths(run: Run, step: Step) -> Closure | None:
    """Return how the legs that meet at an open step close by the lengths as measured so far, else none."""
    if step.operation is not Operation.MEET_SWIVEL or not run.is_open(step.number):
        return None
    closing = closing_at(run, step)
    return closing[1] if closing is not None else None


def expected_extension(block: YBlock, closure: Closure) -> Result:
    """Return the extension that the lengths say, against the stroke less its margin [m]."""
    return Result(
        name="swivel extension to expect",
        value=closure.extension,
        unit=typed_unit(block.stroke),
        formula=FORMULA,
        inputs=_lengths(block, closure),
        source=closure.source,
        says=Advice(
            inside=closure.advice,
            below=f"The bypass leg is too long for the swivel. {closure.advice}",
            above=f"The bypass leg is too short for the swivel. {closure.advice}",
        ),
        low=closure.low,
        high=closure.high,
    )


def met_result(block: YBlock, closure: Closure, read: Read) -> Result:
    """Return an extension as read against what the lengths say, give or take what they may be off [m]."""
    expected, off = like(closure.extension, block.stroke), like(closure.worst_case, block.stroke)
    mend = (
        f"The lengths say {expected}, {off} off at worst. Read it again; then look for the mark, joint or "
        "part that is not as the tally has it, before the swivel is torqued and locked."
    )
    return Result(
        name="swivel extension against the lengths",
        value=read.value,
        unit=typed_unit(block.stroke),
        formula=f"as read; the lengths say: {FORMULA}, give or take the sum of their tolerances",
        inputs=(
            read.as_input(),
            Input("extension by the lengths", expected, WORKED_OUT),
            Input("may be off, at worst", off, WORKED_OUT),
            *_lengths(block, closure),
        ),
        source=closure.source,
        says=Advice("As the lengths say.", below=mend, above=mend),
        low=closure.extension - closure.worst_case,
        high=closure.extension + closure.worst_case,
    )


def _lengths(block: YBlock, closure: Closure) -> tuple[Input, ...]:
    # In the swivel's own unit, which is fine enough for one to be taken from the other.
    return (
        Input("pump side over the mark", like(closure.pump_side, block.stroke), WORKED_OUT),
        Input("bypass side, swivel closed", like(closure.bypass_side, block.stroke), WORKED_OUT),
        Input("lengths", f"{len(closure.lengths)}, {closure.measured} of them measured", WORKED_OUT),
    )
