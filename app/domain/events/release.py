"""The release of a plan for a run."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class PlanReleased:
    """A plan was checked, frozen and signed for; contents are kept under their fingerprints.

    `accepted` holds the cautions that the signer saw.
    """

    title: str
    well: str
    plan_name: str
    plan_fingerprint: str
    plan_content: str
    sheet_content: str
    accepted: tuple[str, ...]
    meaning: str
    practice: bool
