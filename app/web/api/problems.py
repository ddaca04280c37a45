"""Refusals as `application/problem+json` (RFC 9457): what was refused, why, and where."""

import re
from datetime import datetime
from http import HTTPStatus
from typing import Any

from fastapi.exceptions import RequestValidationError
from fastapi.responses import Response
from pydantic import BaseModel, Field

from app.domain.problems import Problem
from app.records.findings_json import finding_to_json

MEDIA_TYPE = "application/problem+json"


class Finding(BaseModel):
    """One finding on a plan or a record."""

    rule: str = Field(description="Stable short name of the rule that found it.")
    severity: str = Field(description="stop, caution or note")
    where: str = Field(description="Its place in the plan or the record.")
    text: str = Field(description="What is wrong and how to mend it.")


class Change(BaseModel):
    """One event that others brought about meanwhile."""

    sequence: int
    kind: str
    at: datetime
    by: str = Field(description="Name and role.")
    text: str = Field(description="What happened, in the words of the log.")


class ProblemBody(BaseModel):
    """Why a request was refused; nothing was recorded."""

    type: str = Field(description="urn:twinleg: and the rule")
    title: str
    status: int
    detail: str = Field(description="One sentence that says what, why, and what is possible instead.")
    rule: str = Field(description="Stable short name of the rule that refused.")
    field: str | None = Field(default=None, description="The reading or member that is meant.")
    question: bool | None = Field(
        default=None, description="True where the same value is taken once it is sent as confirmed."
    )
    findings: list[Finding] | None = Field(default=None, description="All findings that stand in the way.")
    changes: list[Change] | None = Field(
        default=None, description="What changed since the sequence that was seen, oldest first."
    )


_DESCRIBED = {MEDIA_TYPE: {"schema": {"$ref": f"#/components/schemas/{ProblemBody.__name__}"}}}
# What each operation may answer besides its own.
RESPONSES: dict[int | str, dict[str, Any]] = {
    "4XX": {"description": "Refused; nothing was recorded.", "content": _DESCRIBED},
    "5XX": {"description": "Not recorded.", "content": _DESCRIBED},
}
# The framework lists a model among the schemas only where some operation names the class itself.
NAMED: dict[int | str, dict[str, Any]] = {"default": {"description": "As 4XX.", "model": ProblemBody}}


def problem_of(error: Exception, status: int, changes: list[Change] | None = None) -> Response:
    """Return the answer to a refused request."""
    rule = getattr(error, "rule", None) or _rule_of(type(error))
    problems: tuple[Problem, ...] = getattr(error, "problems", ())
    body = ProblemBody(
        type=f"urn:twinleg:{rule}",
        title=rule.replace("-", " ").capitalize(),
        status=status,
        detail=str(error),
        rule=rule,
        field=getattr(error, "field", None),
        question=getattr(error, "question", None) or None,
        findings=[Finding.model_validate(finding_to_json(problem)) for problem in problems] or None,
        changes=changes,
    )
    return problem_response(body)


def problem_of_request(error: RequestValidationError) -> Response:
    """Return the answer to a request whose shape is wrong: the first mistake and its place."""
    first = error.errors()[0]
    place = [str(part) for part in first["loc"]]
    body = ProblemBody(
        type="urn:twinleg:request",
        title="Request",
        status=HTTPStatus.UNPROCESSABLE_ENTITY,
        detail=f"{' . '.join(place)}: {first['msg']}. Send what /openapi.json describes for this address.",
        rule="request",
        field=place[-1],
    )
    return problem_response(body)


def problem_of_http(status: int, detail: str) -> Response:
    """Return the answer to a request that no operation took."""
    phrase = HTTPStatus(status).phrase
    rule = phrase.lower().replace(" ", "-")
    return problem_response(
        ProblemBody(type=f"urn:twinleg:{rule}", title=phrase, status=status, detail=detail, rule=rule)
    )


def problem_response(body: ProblemBody) -> Response:
    """Return a problem as a response."""
    headers = {"WWW-Authenticate": "Bearer"} if body.status == HTTPStatus.UNAUTHORIZED else None
    text = body.model_dump_json(exclude_none=True)
    return Response(text, body.status, headers, media_type=MEDIA_TYPE)


def _rule_of(kind: type[Exception]) -> str:
    """Return the rule of an error without one of its own: NotRecordedError is `not-recorded`."""
    words = re.findall(r"[A-Z][a-z]*", kind.__name__.removesuffix("Error"))
    return "-".join(words).lower()
