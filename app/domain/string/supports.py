"""What may hold what: the kinds of support, where each rests, and whether it may carry alone."""

from dataclasses import dataclass
from enum import StrEnum

from app.domain.gear import GearKind


class SupportKind(StrEnum):
    """A thing that a leg can hang from or stand on."""

    ELEVATORS = "elevators"
    SLIPS = "slips"
    DOG_COLLAR = "dog collar"
    SAFETY_CLAMP = "safety clamp"
    LIFTING_CLAMP = "lifting clamp"
    SLINGS = "slings"
    SUPPORT_CLAMP = "support clamp"
    HANGER = "tubing hanger"


@dataclass(frozen=True, slots=True)
class SupportRule:
    """Where a kind of support rests, the gear that it is, and whether it may be the only one."""

    kind: SupportKind
    rests_on: str
    gear: GearKind | None
    primary: bool
    temporary: bool


RULES: tuple[SupportRule, ...] = (
    SupportRule(SupportKind.ELEVATORS, "derrick", GearKind.ELEVATORS, primary=True, temporary=False),
    SupportRule(SupportKind.SLIPS, "rotary table", GearKind.SLIPS, primary=True, temporary=True),
    SupportRule(SupportKind.DOG_COLLAR, "slips", GearKind.DOG_COLLAR, primary=False, temporary=True),
    SupportRule(SupportKind.SAFETY_CLAMP, "work table", GearKind.SAFETY_CLAMP, primary=True, temporary=True),
    SupportRule(
        SupportKind.LIFTING_CLAMP, "work table", GearKind.LIFTING_CLAMP, primary=True, temporary=True
    ),
    SupportRule(SupportKind.SLINGS, "derrick", GearKind.SLINGS, primary=True, temporary=True),
    SupportRule(SupportKind.SUPPORT_CLAMP, "bypass leg", None, primary=True, temporary=False),
    SupportRule(SupportKind.HANGER, "wellhead", None, primary=True, temporary=False),
)
RULE_OF: dict[SupportKind, SupportRule] = {rule.kind: rule for rule in RULES}


@dataclass(frozen=True, slots=True)
class Support:
    """One support in use: its kind, the tag that it holds, and all the gear that sees its load."""

    kind: SupportKind
    on: str
    gear: tuple[str, ...] = ()

    @property
    def is_primary(self) -> bool:
        """Return whether it may carry alone."""
        return RULE_OF[self.kind].primary


@dataclass(frozen=True, slots=True)
class Hanging:
    """One body that hangs or stands: its leg's name, the part that it is named by, what holds it.

    `weight_kg` is its weight in air with all that stands on it; each of its supports can see it whole.
    """

    leg: str
    tag: str
    supports: tuple[Support, ...]
    weight_kg: float

    @property
    def is_held(self) -> bool:
        """Return whether a primary support holds it."""
        return any(support.is_primary for support in self.supports)

    @property
    def held_by(self) -> str:
        """Return what holds it in words, each kind of support once."""
        return " and ".join(dict.fromkeys(support.kind.value for support in self.supports)) or "nothing"
