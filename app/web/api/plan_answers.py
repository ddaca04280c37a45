"""Plans, findings and verifications as they are answered."""

from typing import Self

from pydantic import Field

from app.domain.problems import Problem, Severity, accepting
from app.exports.verification import Verification
from app.records.findings_json import finding_to_json, findings_to_json
from app.services.proof import Proof
from app.store.plans import KeptPlan
from app.web.api.answers import Answer
from app.web.api.problems import Finding


class PlanFinding(Finding):
    """A finding on a plan, and how a caution is accepted."""

    accept: str = Field(description="What a signature sends to accept this caution; empty for others.")

    @classmethod
    def of(cls, problem: Problem) -> Self:
        """Return the answer for a finding."""
        accept = accepting(problem) if problem.severity is Severity.CAUTION else ""
        return cls.model_validate({**finding_to_json(problem), "accept": accept})


class CheckAnswer(Answer):
    """Every finding on a plan, counted by how grave they are."""

    format: str
    title: str
    releasable: bool
    stops: int
    cautions: int
    notes: int
    findings: list[PlanFinding]

    @classmethod
    def of(cls, proof: Proof) -> Self:
        """Return the answer for a proof."""
        title = proof.plan.job.title if proof.plan is not None else ""
        told = findings_to_json(proof.problems, title=title, releasable=proof.is_releasable)
        return cls.model_validate({**told, "findings": [PlanFinding.of(item) for item in proof.problems]})


class PlanLine(Answer):
    """A kept plan."""

    id: str
    name: str
    fingerprint: str
    created_at: str
    created_by: str


class PlanAnswer(PlanLine):
    """A kept plan with its text and every finding on it."""

    text: str
    check: CheckAnswer

    @classmethod
    def of_kept(cls, kept: KeptPlan, proof: Proof) -> Self:
        """Return the answer for a kept plan."""
        line = PlanLine.model_validate(kept).model_dump()
        return cls(**line, text=kept.text, check=CheckAnswer.of(proof))


class SealAnswer(Answer):
    """What a sealed record says about itself; to be relied on only where it is sound."""

    site: str
    sealed_at: str
    key_fingerprint: str
    certificate_fingerprint: str
    run_id: str
    events: int
    head: str
    short_code: str


class VerificationAnswer(Answer):
    """Whether a file is the record that was sealed, and everything that speaks against it."""

    sound: bool
    facts: SealAnswer | None
    problems: list[Finding]

    @classmethod
    def of(cls, found: Verification) -> Self:
        """Return the answer for a verification."""
        return cls(
            sound=found.is_sound,
            facts=SealAnswer.model_validate(found.facts) if found.facts is not None else None,
            problems=[Finding.model_validate(finding_to_json(problem)) for problem in found.problems],
        )
