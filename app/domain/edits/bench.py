"""The bench on which a sheet is edited: its steps by key, their order, the deck work that each needs."""

from dataclasses import replace

from app.domain.edits.kinds import NOT_SEEN, Place, Written
from app.domain.numbering import needs_by_key, numbered
from app.domain.sheet import Lane, Sheet, Stage, Step


class CannotApplyError(Exception):
    """A change does not fit the sheet; `reason` says why, `mend` what can be done instead."""

    def __init__(self, reason: str, mend: str) -> None:
        super().__init__(f"{reason} {mend}")
        self.reason = reason


class Bench:
    """Guards a sheet while it is edited: no stage runs empty, and deck work stays before what needs it."""

    def __init__(self, sheet: Sheet) -> None:
        self.sheet = sheet
        self.order = [step.key for step in sheet.steps]
        self.steps = {step.key: step for step in sheet.steps}
        self.written = {step.key: Written(step.stage, step.text) for step in sheet.steps}
        self.needs = needs_by_key(sheet)

    def step(self, key: str, was: Written = NOT_SEEN) -> Step:
        """Return the step of a key, which must be the one that a change has seen.

        Raises: CannotApplyError where it is not, or where there is none.
        """
        if key not in self.steps:
            known = f"'{was.text}' ({key})" if was.text else f"'{key}'"
            raise CannotApplyError(f"The sheet has no step {known}.", "Choose one of its steps.")
        now = self.written[key]
        if was.text not in ("", now.text) or was.stage not in ("", now.stage):
            raise CannotApplyError(
                f"{key} was another step when the change named it; it is now '{now.text}' in the stage "
                f"'{now.stage}'.",
                "Look at the step again.",
            )
        return self.steps[key]

    def stage_at(self, place: Place) -> Stage:
        """Return the stage that a place lies in.

        Raises: CannotApplyError where the sheet has no such place.
        """
        if bool(place.after) == bool(place.start_of):
            raise CannotApplyError(
                "A place is behind one step or first in one stage.", "Name the one or the other."
            )
        stage_id = place.start_of or self.neighbour(place).stage
        if stage_id not in self.sheet.by_stage:
            raise CannotApplyError(f"The sheet has no stage '{stage_id}'.", "Choose one of its stages.")
        return self.sheet.stage(stage_id)

    def neighbour(self, place: Place) -> Step:
        """Return the step that a place is behind, or the first of the stage that it begins.

        Raises: CannotApplyError where the step is not the one that a change has seen.
        """
        return self.step(place.after, place.was) if place.after else self._steps_of(place.start_of)[0]

    def lane_of(self, stage: Stage) -> Lane:
        """Return the lane of a stage."""
        return self._steps_of(stage.id)[0].lane

    def put(self, step: Step, place: Place) -> None:
        """Put a step that is not on the bench at a place; on deck it is due when the step beside it is.

        Raises: CannotApplyError where its lane is not that of the place.
        """
        stage, beside = self.stage_at(place), self.neighbour(place)
        self._same_lane(step, stage)
        self._insert(replace(step, stage=stage.id), place)
        self.written[step.key] = Written(stage.id, step.text)
        self.needs[step.key] = set()
        if step.lane is Lane.DECK:
            for waiting in self._waiting_for(beside.key):
                self.needs[waiting].add(step.key)

    def move(self, key: str, place: Place) -> None:
        """Put a step elsewhere; the deck work that it needs is due no later than it was.

        Raises: CannotApplyError where the step cannot stand there or its stage would be empty.
        """
        step, stage = self.step(key), self.stage_at(place)
        self._same_lane(step, stage)
        if place.after == key:
            raise CannotApplyError(f"'{step.text}' cannot stand behind itself.", "Choose another step.")
        if stage.id != step.stage or place.start_of:
            self._not_the_last(step, "moved")
        before = list(self.order), {floor: set(needed) for floor, needed in self.needs.items()}
        heir = self._floor_after(key)
        self.order.remove(key)
        self._insert(replace(step, stage=stage.id), place)
        if heir and self.order.index(key) > self.order.index(heir):
            self._hand_over(key, heir)
        if not self._deck_is_ahead():
            self.order, self.needs = before
            self.steps[key] = step
            raise CannotApplyError(
                f"'{step.text}' would stand on the wrong side of deck work.",
                "Deck work stands before the floor step that needs it: choose a place that keeps it so.",
            )

    def drop(self, key: str) -> None:
        """Take a step away; the deck work that it needs is due at the floor step after it.

        Raises: CannotApplyError where its stage would be empty.
        """
        step = self.step(key)
        self._not_the_last(step, "left out")
        heir = self._floor_after(key) or self._floor_before(key)
        if heir:
            self._hand_over(key, heir)
        self.order.remove(key)
        del self.steps[key], self.needs[key]
        for needed in self.needs.values():
            needed.discard(key)

    def finish(self) -> Sheet:
        """Return the edited sheet: steps and stages numbered anew, what each step needs with them."""
        return numbered(self.stages, [self.steps[key] for key in self.order], self.needs)

    @property
    def stages(self) -> tuple[Stage, ...]:
        """Return the stages, which no change adds to or takes from."""
        return self.sheet.stages

    def _steps_of(self, stage_id: str) -> list[Step]:
        return [self.steps[key] for key in self.order if self.steps[key].stage == stage_id]

    def _insert(self, step: Step, place: Place) -> None:
        at = self.order.index(self.neighbour(place).key) + (1 if place.after else 0)
        self.order.insert(at, step.key)
        self.steps[step.key] = step

    def _same_lane(self, step: Step, stage: Stage) -> None:
        lane = self.lane_of(stage)
        if step.lane is not lane:
            raise CannotApplyError(
                f"'{step.text}' is {step.lane} work and the stage '{stage.title}' is {lane} work.",
                f"Choose a place among the {step.lane} work.",
            )

    def _not_the_last(self, step: Step, how: str) -> None:
        if len(self._steps_of(step.stage)) == 1:
            stage = self.sheet.stage(step.stage)
            held = f" and its hold point '{stage.hold_point.title}'" if stage.hold_point else ""
            raise CannotApplyError(
                f"'{step.text}' is the only step of the stage '{stage.title}'{held}, so it cannot be {how}.",
                "Reword it, or put another step into the stage first.",
            )

    def _floor_after(self, key: str) -> str:
        later = self.order[self.order.index(key) + 1 :]
        return next((other for other in later if self.steps[other].lane is Lane.FLOOR), "")

    def _floor_before(self, key: str) -> str:
        earlier = self.order[: self.order.index(key)]
        return next((other for other in reversed(earlier) if self.steps[other].lane is Lane.FLOOR), "")

    def _hand_over(self, key: str, heir: str) -> None:
        self.needs[heir] |= self.needs[key]
        self.needs[key] = set()

    def _waiting_for(self, key: str) -> list[str]:
        return [other for other, needed in self.needs.items() if key in needed]

    def _deck_is_ahead(self) -> bool:
        place = {key: at for at, key in enumerate(self.order)}
        return all(place[deck] < place[floor] for floor, needed in self.needs.items() for deck in needed)
