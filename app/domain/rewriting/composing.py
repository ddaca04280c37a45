"""A run's sheet put together anew: what is behind keeps its numbers, and what comes then follows on.

A sheet only grows: steps that were done and taken back stay where they are, and stand again further on.
"""

from collections import Counter
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import count, groupby

from app.domain.numbering import first_key, needs_by_key
from app.domain.sheet import Sheet, SheetChange, Stage, Step


@dataclass(frozen=True, slots=True)
class Ahead:
    """What comes behind the steps that are kept: steps in their order, and the stages that they name.

    `anew` says that a stage that was begun asks for its signatures again.
    """

    stages: tuple[Stage, ...]
    steps: tuple[Step, ...]
    needs: Mapping[str, Iterable[str]]
    anew: bool = True


def needs_of(sheet: Sheet) -> dict[str, set[str]]:
    """Return by key what each step of a sheet needs, keys as they were the first time."""
    return {first_key(key): {first_key(need) for need in needs} for key, needs in needs_by_key(sheet).items()}


def composed(kept: Sheet, parts: Sequence[Ahead], held: Collection[str] = ()) -> Sheet:
    """Return the sheet of steps that are kept, which have the numbers from one on, and what comes then.

    A stage or a step that stands for the second time has `~2` behind its id or key. Stages of `held` were
    talked through; one that is asked anew has none of their ids.
    """
    writer = _Composer(list(kept.stages), list(kept.steps), frozenset(held))
    for part in parts:
        writer.add(part)
    return Sheet(tuple(writer.stages), tuple(writer.steps), _moved(kept, writer.steps))


def kept_of(sheet: Sheet, last: int) -> Sheet:
    """Return the steps 1 to `last` of a sheet, with the stages cut where they end."""
    stages = tuple(
        replace(stage, last=min(stage.last, last)) for stage in sheet.stages if stage.first <= last
    )
    return Sheet(stages, sheet.steps[:last], sheet.changes)


class _Composer:
    def __init__(self, stages: list[Stage], steps: list[Step], held: frozenset[str]) -> None:
        self.stages, self.steps, self._held = stages, steps, held
        self._times = Counter(first_key(step.key) for step in steps)
        self._number_of = {first_key(step.key): step.number for step in steps}

    def add(self, part: Ahead) -> None:
        by_id = {stage.id: stage for stage in part.stages}
        for stage_id, group in groupby(part.steps, key=lambda step: step.stage):
            stage = self._stage(by_id[stage_id], anew=part.anew)
            for step in group:
                self._add(step, stage, part.needs)
            self.stages[-1] = replace(self.stages[-1], last=len(self.steps))

    def _stage(self, stage: Stage, *, anew: bool) -> str:
        first = first_key(stage.id)
        begun = bool(self.stages) and first_key(self.stages[-1].id) == first
        if begun and not anew:
            return self.stages[-1].id
        stage_id = self._next_id(first, anew=anew)
        start = len(self.steps) + 1
        self.stages.append(replace(stage, id=stage_id, first=start, last=start))
        return stage_id

    def _next_id(self, first: str, *, anew: bool) -> str:
        """Return an id that no stage has; ids may leave numbers out, so that their count tells nothing."""
        # Signatures that were given for what is no more do not count for what stands in its place.
        taken = {stage.id for stage in self.stages} | (self._held if anew else set())
        ids = (_counted(first, times) for times in count(1))
        return next(stage_id for stage_id in ids if stage_id not in taken)

    def _add(self, step: Step, stage: str, needs: Mapping[str, Iterable[str]]) -> None:
        first, number = first_key(step.key), len(self.steps) + 1
        self._times[first] += 1
        wanted = (self._number_of.get(first_key(need), 0) for need in needs.get(first, ()))
        self.steps.append(
            replace(
                step,
                number=number,
                key=_counted(first, self._times[first]),
                stage=stage,
                needs=tuple(sorted(need for need in wanted if need)),
            )
        )
        self._number_of[first] = number


def _counted(name: str, times: int) -> str:
    return name if times == 1 else f"{name}~{times}"


def _moved(kept: Sheet, steps: Sequence[Step]) -> tuple[SheetChange, ...]:
    numbers = {first_key(step.key): step.number for step in reversed(steps)}
    return tuple(replace(change, step=numbers.get(first_key(change.key), 0)) for change in kept.changes)
