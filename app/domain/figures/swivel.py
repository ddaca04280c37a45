"""The extension of a swivel: what the lengths say that it will be, and what is read where the legs meet."""

from app.domain.built import built_of
from app.domain.checks.shown import like
from app.domain.checks.space_out import Closure, closure_of
from app.domain.figures.read import Read
from app.domain.measured import measured_in, with_measured
from app.domain.operations import Operation
from app.domain.parts import YBlock
from app.domain.quantities import typed_unit
from app.domain.results import Advice, Input, Result
from app.domain.run import Run
from app.domain.sheet import Step

FORMULA = "pump side less bypass side, by the lengths as measured so far"
WORKED_OUT = "worked out"


def closing_at(run: Run, step: Step) -> tuple[YBlock, Closure] | None:
    """Return the Y-block that meets its bypass leg at a step, and how its legs close as measured."""
    if step.operation is not Operation.MEET_SWIVEL:
        return None
    measured = measured_in(run)
    plan = with_measured(run.plan, measured)
    for position, system in enumerate(plan.systems):
        if system.y_block.tag in step.parts:
            return system.y_block, closure_of(plan, position, measured.values, built_of(run, system))
    return None


def extension_by_lengths(run: Run, step: Step) -> Closure | None:
    """Return how the legs that meet at an open step close by the lengths as measured so far, else none."""
    closing = closing_at(run, step) if run.is_open(step.number) else None
    return closing[1] if closing is not None else None


def expected_extension(block: YBlock, closure: Closure) -> Result:
    """Return the extension that the lengths say, against the stroke less its margin [m]."""
    return Result(
        name="swivel extension to expect",
        value=closure.extension,
        unit=typed_unit(block.stroke),
        formula=FORMULA,
        inputs=(_lengths(closure),),
        source=closure.source,
        says=Advice(closure.advice, below=closure.advice, above=closure.advice),
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
            _lengths(closure),
        ),
        source=closure.source,
        says=Advice("As the lengths say.", below=mend, above=mend),
        low=closure.extension - closure.worst_case,
        high=closure.extension + closure.worst_case,
    )


def _lengths(closure: Closure) -> Input:
    return Input("lengths", f"{len(closure.lengths)}, {closure.measured} of them measured", WORKED_OUT)
