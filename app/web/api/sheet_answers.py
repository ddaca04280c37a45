"""A sheet and its steps as they are answered."""

from typing import Self

from pydantic import Field

from app.domain.sheet import Sheet, Step
from app.records.sheet_json import sheet_to_json, step_to_json
from app.web.api.answers import Answer


class ReadingWanted(Answer):
    """A value that a step asks for; an empty limit is none."""

    name: str
    kind: str
    item: str
    unit: str
    target: str
    low: str
    high: str
    tool: str


class SheetStep(Answer):
    """One step of a sheet."""

    number: int
    key: str
    stage: str
    lane: str = Field(description="deck: may be done ahead; floor: keeps its order")
    operation: str
    system: str
    parts: list[str]
    text: str
    cautions: list[str]
    readings: list[ReadingWanted]
    role: str
    source: str
    needs: list[int]

    @classmethod
    def of(cls, step: Step) -> Self:
        """Return the answer for a step."""
        return cls.model_validate(step_to_json(step))


class SheetStage(Answer):
    """A run of steps under one title; `hold_point` is empty where none stands before it."""

    id: str
    kind: str
    system: str
    title: str
    hold_point: str
    first: int
    last: int


class SheetAnswer(Answer):
    """A whole sheet."""

    format: str
    caution: str
    stages: list[SheetStage]
    steps: list[SheetStep]

    @classmethod
    def of(cls, sheet: Sheet) -> Self:
        """Return the answer for a sheet."""
        return cls.model_validate(sheet_to_json(sheet))
