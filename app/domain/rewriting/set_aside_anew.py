"""What was set aside in a run, in the sheet of a changed plan: it stays so, and nobody is surprised."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from app.domain.numbering import first_key
from app.domain.problems import Problem, caution
from app.domain.rewriting.putting_off import moved_before
from app.domain.rewriting.rewritten import standing_last
from app.domain.run import Run
from app.domain.set_aside import Deferred
from app.domain.sheet import Sheet, Step


@dataclass(frozen=True, slots=True)
class PutOff:
    """A step that is put off and still to be done, and what was said of it."""

    step: Step
    said: Deferred


def put_off_ahead(run: Run) -> dict[str, PutOff]:
    """Return by key the steps that are put off and still to be done, in the order in which they stand."""
    steps = standing_last(run, [number for number in run.deferred if run.is_open(number)])
    found = sorted(steps.items(), key=lambda item: item[1].number)
    return {key: PutOff(step, run.deferred[step.number]) for key, step in found}


def put_off_anew(steps: Sequence[Step], late: Mapping[str, PutOff]) -> tuple[Step, ...]:
    """Return what remains by a changed plan with each step that is put off where it was put."""
    steps = tuple(steps)
    for key, item in late.items():
        here = {step.key: step for step in steps}
        if key in here and item.said.until in here:
            steps = moved_before(steps, here[key], here[item.said.until])
    return steps


def no_longer_put_off(late: Mapping[str, PutOff], steps: Sequence[Step]) -> Iterator[Problem]:
    """Yield a caution for each step that was put off until before one that a changed plan does not have."""
    keys = {step.key for step in steps}
    for key, item in late.items():
        if key in keys and item.said.until not in keys:
            yield caution(
                "replan-deferred-anew",
                f"step {item.step.number}",
                f"'{item.step.text}' was put off by {item.said.who.titled}, because '{item.said.reason}'; "
                "the changed plan does not have the step that it was put off until. Accept that it stands "
                "where the plan has it, or put it off anew.",
            )


def set_aside_otherwise(aside: Mapping[str, Step], sheet: Sheet) -> Iterator[Problem]:
    """Yield a caution for each step that does not apply and that a changed plan has otherwise."""
    anew = {first_key(step.key): step for step in sheet.steps}
    for key, step in aside.items():
        now = anew.get(key)
        if now is not None and (now.text, now.joined, now.dressed) != (step.text, step.joined, step.dressed):
            yield caution(
                "replan-set-aside-otherwise",
                f"step {step.number}",
                f"'{step.text}' was said not to apply; the changed plan says '{now.text}'. Accept that it "
                "does not apply either, or say first that it does.",
            )
