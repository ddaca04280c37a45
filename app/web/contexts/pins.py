"""The pages on which somebody chooses a PIN."""

from dataclasses import dataclass
from datetime import datetime
from typing import ClassVar

from app.services.pins import Choosing
from app.web.contexts.frame import NO_REFUSAL, Frame, Refusal


@dataclass(frozen=True, slots=True)
class OwnPinPage:
    """One's own PIN, changed by whoever knows it."""

    PAGE: ClassVar[str] = "pins/own_pin.html"
    PART: ClassVar[str] = "pins/_own_pin.html"

    frame: Frame
    refusal: Refusal


@dataclass(frozen=True, slots=True)
class ChoosePinPage:
    """The tablet in the hands of somebody who chooses his PIN on it until a time."""

    PAGE: ClassVar[str] = "pins/choose_pin.html"
    PART: ClassVar[str] = "pins/_choose_pin.html"

    frame: Frame
    name: str
    until: datetime
    refusal: Refusal


def choose_pin_page(frame: Frame, chooser: Choosing, refusal: Refusal = NO_REFUSAL) -> ChoosePinPage:
    """Return the page for the person who was handed the tablet."""
    return ChoosePinPage(frame, chooser.who.name, chooser.until, refusal)
