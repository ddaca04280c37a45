"""Steps numbered anew, in the order given, in stages that cover them."""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from app.domain.sheet import Sheet, Stage, Step

# Behind the key of a step, or the id of a stage, that stands once more.
TIMES = re.compile(r"~\d+$")


def numbered(stages: Iterable[Stage], steps: Sequence[Step], needs: Mapping[str, Iterable[str]]) -> Sheet:
    """Return the sheet of steps in their order; `needs` names by key the deck steps that each waits for.

    A stage without a step is left out; a deck step that is not among them is waited for no longer.
    """
    numbers = {step.key: number for number, step in enumerate(steps, start=1)}
    anew = tuple(
        replace(
            step,
            number=numbers[step.key],
            needs=tuple(sorted(numbers[key] for key in needs.get(step.key, ()) if key in numbers)),
        )
        for step in steps
    )
    return Sheet(tuple(_covering(stage, anew) for stage in stages if _has_steps(stage, anew)), anew)


def first_key(key: str) -> str:
    """Return the key that a step has where it stands for the first time."""
    return TIMES.sub("", key)


def needs_by_key(sheet: Sheet) -> dict[str, set[str]]:
    """Return by the key of each step the keys of the deck steps that it waits for."""
    key_of = {step.number: step.key for step in sheet.steps}
    return {step.key: {key_of[number] for number in step.needs} for step in sheet.steps}


def _has_steps(stage: Stage, steps: Sequence[Step]) -> bool:
    return any(step.stage == stage.id for step in steps)


def _covering(stage: Stage, steps: Sequence[Step]) -> Stage:
    numbers = [step.number for step in steps if step.stage == stage.id]
    return replace(stage, first=numbers[0], last=numbers[-1])
