"""What is half typed in the forms of a page's run, as each form of the page asks for it."""

from dataclasses import dataclass

from app.services.half_typed import Unfinished
from app.services.kept_forms import form_meant


@dataclass(frozen=True, slots=True)
class FormKept:
    """A form of a page of which is kept what is half typed, under its name below the run.

    `alone` is the person who alone may see it, or empty. `unfinished` is what is kept of it; a form that
    has just been refused holds what was sent instead, and is not filled.
    """

    run: str
    name: str
    alone: str
    unfinished: Unfinished | None
    is_refused: bool


@dataclass(frozen=True, slots=True)
class HalfTypedHere:
    """What a page knows of half typed forms: of which run, who looks at it, and which form it answers.

    `run` and `sent_to` are addresses, empty where there is none.
    """

    run: str = ""
    person_id: str = ""
    unfinished: tuple[Unfinished, ...] = ()
    sent_to: str = ""

    def kept(self, action: str, about: str, *, alone: bool, is_refusal: bool) -> FormKept | None:
        """Return what is kept of the form with an address, none where nothing ever is.

        `is_refusal` says that the page answers its form by a refusal.
        """
        name = self._name(action, about)
        if not self.person_id or form_meant(name) is None:
            return None
        return FormKept(
            run=self.run,
            name=name,
            alone=self.person_id if alone else "",
            unfinished=next((item for item in self.unfinished if item.form == name), None),
            is_refused=is_refusal and action == self.sent_to,
        )

    def is_half_typed(self, action: str, about: str = "") -> bool:
        """Return whether something is half typed in the form with an address."""
        return any(item.form == self._name(action, about) for item in self.unfinished)

    def but(self, step: int) -> tuple[Unfinished, ...]:
        """Return what is half typed anywhere but in the readings of a step."""
        own = {f"steps/{step}/{form}" for form in ("done", "second")}
        return tuple(item for item in self.unfinished if item.form not in own)

    def _name(self, action: str, about: str) -> str:
        below = action.removeprefix(f"{self.run}/") if self.run and action.startswith(f"{self.run}/") else ""
        return f"{below} {about}" if below and about else below


NOTHING_HALF_TYPED = HalfTypedHere()
