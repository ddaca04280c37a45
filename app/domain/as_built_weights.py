"""What the weight indicator said in the install record: each reading beside what should have hung."""

from collections.abc import Iterator

from app.domain.as_built_parts import computed, done_by, time_text
from app.domain.at_step.weight_reading import weights_read
from app.domain.quantities import in_unit, typed_apart, typed_unit
from app.domain.record_steps import WeightRead
from app.domain.record_values import Amount
from app.domain.run import Run
from app.domain.windows import Window


def weights(run: Run) -> Iterator[WeightRead]:
    """Yield every reading of the weight indicator, in the order of the sheet."""
    for weight in weights_read(run):
        step, result, done = weight.step, weight.result, run.done[weight.step.number]
        window = Window(result.unit, result.value, result.low, result.high)
        yield WeightRead(
            step=step.number,
            text=step.text,
            depth=computed(weight.depth, typed_unit(run.plan.well.setting_depth)),
            read=Amount(*typed_apart(weight.read)),
            expected=Amount(f"{in_unit(weight.load.expected, result.unit):.0f}", result.unit),
            low=_apart(window.low_text),
            high=_apart(window.high_text),
            verdict=result.verdict,
            by=done_by(done),
            at=time_text(done.ended_at),
        )


def _apart(limit: str) -> Amount:
    """Return a limit as every page tells it, number and unit apart."""
    number, _, unit = limit.partition(" ")
    return Amount(number, unit)
