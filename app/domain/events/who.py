"""Who behind a command or an event."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Who:
    """The person behind a command or an event."""

    person_id: str
    name: str
    role: str

    @property
    def titled(self) -> str:
        """Return the name with the role behind it, as records and signatures show it."""
        return f"{self.name} ({self.role})"
