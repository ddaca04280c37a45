"""What the weight indicator said in the install record: each reading beside what should have hung."""

from collections.abc import Iterator

from app.domain.as_built_parts import computed, done_by, time_text
from app.domain.at_step.weight_reading import weights_read
from app.domain.quantities import Quantity, in_unit, typed_apart, typed_unit
from app.domain.record_steps import WeightRead
from app.domain.record_values import Amount
from app.domain.run import Run


def weights(run: Run) -> Iterator[WeightRead]:
    """Yield every reading of the weight indicator, in the order of the sheet."""
    for weight in weights_read(run):
        step, result, done = weight.step, weight.result, run.done[weight.step.number]
        yield WeightRead(
            step=step.number,
            text=step.text,
            depth=computed(weight.depth, typed_unit(run.plan.well.setting_depth)),
            read=Amount(*typed_apart(weight.read)),
            expected=_whole(weight.load.expected, result.unit),
            low=_whole(result.low, result.unit),
            high=_whole(result.high, result.unit),
            verdict=result.verdict,
            by=done_by(done),
            at=time_text(done.ended_at),
        )


def _whole(weight: Quantity | None, unit: str) -> Amount:
    # No indicator is read nearer than to a whole unit of mass.
    return Amount(f"{in_unit(weight, unit):.0f}", unit) if weight is not None else Amount()
