"""Writes steps one after another: number, stage, key, words and what deck work must precede."""

from collections import Counter
from dataclasses import dataclass, field

from app.domain.crew import HoldPoint, StageKind
from app.domain.operations import Operation
from app.domain.plan import Plan
from app.domain.problems import Problem
from app.domain.sheet import Dressed, GearMove, Joined, Lane, ReadingWanted, Sheet, Stage, Step
from app.domain.wording_of import RULE_OF

BEFORE_ANYTHING = ""


@dataclass(slots=True)
class SheetWriter:
    """Guards the numbering: every step gets its number, its stage and a key that no other has.

    `about` names the system that deck work is about; on the floor the stage says it. `prefix` tells the keys
    of a way back from those of the run.
    """

    plan: Plan
    problems: list[Problem] = field(default_factory=list)
    cables: list[str] = field(default_factory=list)
    rigged: tuple[str, ...] = ()
    about: str = ""
    prefix: str = ""
    _steps: list[Step] = field(default_factory=list)
    _stages: list[Stage] = field(default_factory=list)
    _keys: Counter[str] = field(default_factory=Counter)
    _deck_work: dict[str, list[int]] = field(default_factory=dict)
    _due_already: set[int] = field(default_factory=set)

    def stage(self, kind: StageKind, title: str, system: str = "", *, of: str = "") -> None:
        """Begin a stage, behind the hold point that the plan sets before it; `of` tells like stages apart."""
        self._close_stage()
        stage_id = "-".join(word for word in (kind.value, of or system) if word).replace(" ", "-")
        first = len(self._steps) + 1
        held = _hold_point(self.plan, kind, system)
        self._stages.append(Stage(stage_id, kind, system, title, held, first, first - 1))

    def write(
        self,
        operation: Operation,
        *parts: str,
        readings: tuple[ReadingWanted, ...] = (),
        gear: tuple[GearMove, ...] = (),
        joined: Joined | None = None,
        dressed: Dressed | None = None,
        source: str = "",
        before: str | None = None,
        **names: str,
    ) -> None:
        """Add a step; deck work is remembered under its parts and under `before`, which must wait for it."""
        stage, rule, number = self._stages[-1], RULE_OF[operation], len(self._steps) + 1
        lane = Lane.DECK if stage.kind is StageKind.DECK_WORK else Lane.FLOOR
        if lane is Lane.DECK:
            for tag in (*parts, *([before] if before is not None else [])):
                self._deck_work.setdefault(tag, []).append(number)
        self._steps.append(
            Step(
                number=number,
                key=self._key(operation, parts),
                stage=stage.id,
                lane=lane,
                operation=operation,
                system=stage.system or self.about,
                parts=parts,
                text=rule.text.format(**names),
                cautions=rule.cautions,
                readings=readings,
                role=rule.role,
                source=source,
                needs=self._needs(parts) if lane is Lane.FLOOR else (),
                gear=gear,
                joined=joined,
                dressed=dressed,
            )
        )

    def written(self) -> tuple[Step, ...]:
        """Return the steps so far."""
        return tuple(self._steps)

    def finish(self) -> Sheet:
        """Return the sheet of all that was written."""
        self._close_stage()
        return Sheet(tuple(stage for stage in self._stages if stage.last >= stage.first), tuple(self._steps))

    def _needs(self, parts: tuple[str, ...]) -> tuple[int, ...]:
        # The first floor step that touches a part is the deadline of its deck work.
        due = {number for tag in (BEFORE_ANYTHING, *parts) for number in self._deck_work.pop(tag, [])}
        due -= self._due_already
        self._due_already |= due
        return tuple(sorted(due))

    def _key(self, operation: Operation, parts: tuple[str, ...]) -> str:
        named = (self.prefix, *parts) if self.prefix else parts
        name = "/".join((*named, operation.value)).replace(" ", "-")
        self._keys[name] += 1
        return name if self._keys[name] == 1 else f"{name}/{self._keys[name]}"

    def _close_stage(self) -> None:
        if self._stages:
            open_stage = self._stages.pop()
            self._stages.append(
                Stage(
                    open_stage.id,
                    open_stage.kind,
                    open_stage.system,
                    open_stage.title,
                    open_stage.hold_point,
                    open_stage.first,
                    len(self._steps),
                )
            )


def _hold_point(plan: Plan, kind: StageKind, system: str) -> HoldPoint | None:
    fitting = [point for point in plan.hold_points if point.before is kind and point.system in ("", system)]
    # One written for this system stands before one written for all.
    return max(fitting, key=lambda point: point.system != "", default=None)
