"""A sheet and its steps as they are answered."""

from typing import Self

from pydantic import Field

from app.domain.edits.kinds import last_number
from app.domain.edits.listed import listed
from app.domain.sheet import Sheet, Step
from app.records.edit_json import kind_of_act
from app.records.findings_json import finding_to_json
from app.records.sheet_json import change_to_json, sheet_to_json, step_to_json
from app.services.proof import Proof
from app.web.api.answers import Answer
from app.web.api.problems import Finding


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


class AppliedChange(Answer):
    """A change to the compiled sheet, as the sheet was released with it."""

    number: int
    kind: str = Field(description="left out, moved, reworded, added or repeated")
    key: str
    step: int = Field(description="The step's number in this sheet, 0 where it is not in it.")
    what: str
    by: str
    role: str
    at: str
    why: str


class SheetAnswer(Answer):
    """A whole sheet."""

    format: str
    caution: str
    stages: list[SheetStage]
    steps: list[SheetStep]
    changes: list[AppliedChange]

    @classmethod
    def of(cls, sheet: Sheet) -> Self:
        """Return the answer for a sheet."""
        return cls.model_validate(_members(sheet))


class PlanSheetAnswer(SheetAnswer):
    """The sheet of a plan before its release."""

    seen: int = Field(description="Number of the last entry in the list of changes, 0 where it is empty.")
    findings: list[Finding] = Field(description="All that was found; what a step breaks has it in `where`.")

    @classmethod
    def of_proof(cls, proof: Proof) -> Self:
        """Return the answer for a proof; a plan that is stopped before it is compiled has no step."""
        findings = [finding_to_json(problem) for problem in proof.problems]
        more = {"seen": last_number(proof.history), "findings": findings}
        return cls.model_validate(_members(proof.sheet or Sheet((), ())) | more)


class PlanChange(Answer):
    """An entry in the list of changes to the sheet of a plan."""

    number: int
    kind: str
    what: str
    why: str
    by: str
    role: str
    at: str
    standing: str = Field(description="counts, taken back, no longer applies, or told: it tells of others")
    step: int = Field(description="The step's number in the sheet as it is, 0 where it is not in it.")
    remark: str = Field(description="Why it does not count; empty where it does.")

    @classmethod
    def all_of(cls, proof: Proof) -> list[Self]:
        """Return the answers for all entries."""
        return [
            cls(
                number=item.edit.number,
                kind=kind_of_act(item.edit.act),
                what=item.what,
                why=item.edit.why,
                by=item.edit.who.name,
                role=item.edit.who.role,
                at=item.edit.at.isoformat(),
                standing=item.standing.value,
                step=item.step,
                remark=item.remark,
            )
            for item in listed(proof.history, proof.edited)
        ]


class ChangeMade(Answer):
    """A change that was just kept: of which plan, its number in the list, and its kind."""

    plan: str
    number: int
    kind: str


def _members(sheet: Sheet) -> dict[str, object]:
    return sheet_to_json(sheet) | {"changes": [change_to_json(change) for change in sheet.changes]}
