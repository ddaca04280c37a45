"""Why laws 1 to 5 do not miss some steps, and which law does.

Nothing here is silent: a deletion that laws 1 to 5 let pass needs its row, and the law that the row
names must catch it.
"""

from dataclasses import dataclass

from app.domain.operations import Operation as O  # noqa: N817 - the table reads as a list of words


@dataclass(frozen=True, slots=True)
class Missed:
    """The rule of the law that misses a step, and why laws 1 to 5 do not."""

    rule: str
    why: str


DECK = "Deck work joins, holds and dresses nothing; the floor step that waits for it misses it."
TESTED = "A cable holds nothing; what is buried unproven is missed where it is buried."
LOWERED = "Whether a leg hangs high or low, the same support holds it; hands miss it at working height."
IN_LINE = "A part that is turned wrong is joined and held like one that is in line."
LINE = "The line hangs beside the leg and carries nothing; it is missed where it should be proven."

WHY_HARMLESS: dict[O, Missed] = {
    O.CHECK_GEAR: Missed("law-deck-ready", DECK),
    O.CHECK_TOOL: Missed("law-deck-ready", DECK),
    O.CHECK_CLAMPS: Missed("law-deck-ready", DECK),
    O.MEASURE: Missed("law-deck-ready", DECK),
    O.MEASURE_ROW: Missed("law-deck-ready", DECK),
    O.INSPECT_PART: Missed("law-deck-ready", DECK),
    O.SERVICE_OIL: Missed("law-deck-ready", DECK),
    O.CHECK_SHAFT: Missed("law-deck-ready", DECK),
    O.TEST_ON_DECK: Missed("law-deck-ready", DECK),
    O.TEST_MOTOR: Missed("law-deck-ready", DECK),
    O.LOWER_LEG: Missed("law-in-reach", LOWERED),
    O.LOWER_STRING: Missed("law-in-reach", LOWERED),
    O.RAISE_TO_MARK: Missed("law-in-reach", LOWERED),
    O.LOWER_TO_GAUGE: Missed("law-in-reach", LOWERED),
    O.LOWER_TO_CLOSE: Missed("law-in-reach", LOWERED),
    O.LOWER_Y: Missed("law-in-reach", LOWERED),
    O.FIT_COVER: Missed("law-hole-covered", "The cover holds nothing; it keeps loose gear out of the hole."),
    O.LINE_UP: Missed("law-in-line", IN_LINE),
    O.TURN_Y: Missed("law-in-line", IN_LINE),
    O.PAINT_LINE: Missed("law-in-line", IN_LINE),
    O.CARRY_LINE: Missed("law-in-line", IN_LINE),
    O.CONNECT_LINE: Missed("law-line-proven", LINE),
    O.TERMINATE_LINE: Missed("law-line-proven", LINE),
    O.TEST_LINE: Missed("law-line-proven", LINE),
    O.CONNECT_POTHEAD: Missed("law-electrical-proof", TESTED),
    O.TEST_CABLES: Missed("law-electrical-proof", TESTED),
    O.SPLICE: Missed("law-electrical-proof", TESTED),
    O.FIT_PENETRATOR: Missed("law-whole", TESTED),
    O.BOLT: Missed(
        "law-whole",
        "Beside a support clamp each of two pieces has a support of its own; the piece left behind is missed "
        "when the string is landed without it.",
    ),
    O.LAND_ON_SUPPORT: Missed(
        "law-whole",
        "The lift may land on the table by its clamp instead; that it stands nowhere is missed at the end.",
    ),
}


def why_not(operation: O, broken: set[str]) -> str:
    """Return why a harmless deletion is not explained, or nothing where it is."""
    missed = WHY_HARMLESS.get(operation)
    if missed is None:
        return "laws 1 to 5 do not miss it, and no row says why"
    if missed.rule not in broken:
        return f"{missed.rule} should miss it, and does not; broken are {sorted(broken) or 'no laws'}"
    return ""
