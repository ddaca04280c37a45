"""What every page shares: who looks at it, how it is shown, and what was refused on it."""

from collections.abc import Mapping
from dataclasses import dataclass
from dataclasses import field as dataclass_field

from app.domain.cautions import GENERAL
from app.domain.events.who import Who
from app.domain.unit_systems import AS_PLANNED, SYSTEMS, UnitSystem
from app.web.contexts.half_typed import NOTHING_HALF_TYPED, HalfTypedHere
from app.web.contexts.log_line import LogLine


@dataclass(frozen=True, slots=True)
class Frame:
    """The frame around a page; `palette` is day, night or empty, `size` the dots of a millimetre.

    `path` is that of the page that is looked at, `address` the same with what was asked for there.

    `units` is the system in which the person looks at figures, of those that may be chosen; `here` says who
    else looks at the same run, `half_typed` what waits in its forms.
    """

    who: Who | None
    demo: bool
    practice: bool
    palette: str
    size: str
    path: str
    address: str = "/"
    caution: str = GENERAL
    units: UnitSystem = AS_PLANNED
    systems: tuple[UnitSystem, ...] = SYSTEMS
    here: tuple[str, ...] = ()
    half_typed: HalfTypedHere = NOTHING_HALF_TYPED


@dataclass(frozen=True, slots=True)
class Refusal:
    """What was refused, in which form and at which field, and what had been typed into that form.

    `changes` is what others did meanwhile, where that is the reason.
    """

    form: str = ""
    text: str = ""
    rule: str = ""
    field: str = ""
    question: bool = False
    values: Mapping[str, tuple[str, ...]] = dataclass_field(default_factory=dict)
    changes: tuple[LogLine, ...] = ()

    @property
    def is_plain(self) -> bool:
        """Return whether its sentence beside the form says all: no act of others, nobody to be signed in."""
        return not (self.field or self.changes or self.rule == "nobody")

    def typed(self, form: str, name: str, otherwise: str = "") -> str:
        """Return what had been typed into a field of a form, or something else where nothing was refused."""
        if form != self.form or name not in self.values:
            return otherwise
        return self.values[name][0]

    def chosen(self, form: str, name: str, value: str) -> bool:
        """Return whether a box or row of a form had been chosen."""
        return form == self.form and value in self.values.get(name, ())

    @property
    def lost(self) -> tuple[str, ...]:
        """Return the readings and texts that had been typed, for a page that has no field for them."""
        wanted = ("value-", "text", "what", "why", "reason")
        return tuple(texts[0] for name, texts in self.values.items() if name.startswith(wanted) and texts[0])

    def says(self, form: str, name: str = "") -> str:
        """Return the sentence that belongs beside a field of a form, or none."""
        return self.text if (form, name) == (self.form, self.field) else ""


class NoSuchPageError(Exception):
    """Nothing is kept under this address."""


NO_REFUSAL = Refusal()
