"""The verdict on one reading: where it stands against its limits, and why in a sentence."""

from dataclasses import dataclass

from app.domain.install_record import ReadingVerdict


@dataclass(frozen=True, slots=True)
class Verdict:
    """Where a reading stands against its limits, with a sentence for the one who took it."""

    standing: ReadingVerdict
    text: str

    @property
    def passes(self) -> bool:
        """Return whether the reading may stand."""
        return self.standing is ReadingVerdict.IN_WINDOW
