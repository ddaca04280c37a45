"""The colours of the picture of the string by day and by night, told apart in grey too."""

from dataclasses import dataclass

from app.exports.svg import Rules, style_of


@dataclass(frozen=True, slots=True)
class Palette:
    """One set of colours: paper and ink, the string, what holds it, what must come off, and the cables."""

    paper: str
    ink: str
    soft: str
    hole: str
    floor: str
    pump: str
    tube: str
    block: str
    clamp: str
    holds: str
    comes_off: str
    cables: tuple[str, str, str]
    line: str


DAY = Palette(
    paper="#ffffff",
    ink="#15191c",
    soft="#5a6468",
    hole="#eceae3",
    floor="#d9d2c0",
    pump="#b9c7cf",
    tube="#ffffff",
    block="#9fb6b2",
    clamp="#6d7a80",
    holds="#0b4a47",
    comes_off="#f3b81f",
    cables=("#a3160f", "#0a3fa8", "#4d1f6e"),
    line="#15191c",
)
NIGHT = Palette(
    paper="#0b0f12",
    ink="#ece7da",
    soft="#a3abac",
    hole="#151b1f",
    floor="#33373a",
    pump="#40525b",
    tube="#1d252a",
    block="#4c6a66",
    clamp="#a4b0b5",
    holds="#86dcc8",
    comes_off="#d99e13",
    cables=("#ff8d80", "#8db6ff", "#d9bcf2"),
    line="#ece7da",
)
COMMON: Rules = {
    "rect,polygon,path,polyline,line": "stroke-width:2;stroke-linejoin:round",
    "polyline,line": "fill:none",
    "text": "font-size:18px",
    ".size-20": "font-size:20px",
    ".size-24": "font-size:24px",
    ".strong": "font-weight:700",
    ".cable": "stroke-width:5",
    ".free-cable": "stroke-width:3;stroke-dasharray:10 7",
    ".line": "stroke-width:2.5;stroke-dasharray:2 3",
    ".free-line": "stroke-width:2;stroke-dasharray:2 8",
    ".orientation-line": "stroke-width:2.5;stroke-dasharray:12 4",
    ".working-height": "stroke-width:2;stroke-dasharray:6 6",
    ".bails,.slings": "stroke-width:4",
    ".leader": "stroke-width:1",
    ".open-swivel": "stroke-dasharray:5 4",
    ".hole": "stroke:none",
    ".break": "stroke-width:2.5",
}
PUMP, TUBE, BLOCK = ".pump-part", ".joint,.sub,.run,.swivel,.open-swivel,.coupling", ".block,.hanger"
HOLDS = ".elevators,.slips,.safety-clamp,.lifting-clamp,.bearing-clamp"
COMES_OFF = ".nubbin,.pin-protector,.dog-collar,.landing-joint,.hole-cover"


def string_style(palette: str = "") -> str:
    """Return the style sheet of the picture; without "day" or "night" the screen's own wish decides."""
    night = {} if palette == "day" else _colours(NIGHT)
    return style_of(COMMON, _colours(DAY), night, always_night=palette == "night")


def _colours(palette: Palette) -> Rules:
    ink, cables = palette.ink, palette.cables
    return {
        ".paper": f"fill:{palette.paper}",
        "text": f"fill:{ink}",
        "rect,polygon,path": f"stroke:{ink}",
        ".hole": f"fill:{palette.hole};stroke:none",
        ".paper,.hole": "stroke:none",
        ".work-table,.rotary-table,.wellhead,.derrick": f"fill:{palette.floor}",
        PUMP: f"fill:{palette.pump}",
        TUBE: f"fill:{palette.tube}",
        BLOCK: f"fill:{palette.block}",
        ".clamp,.support-clamp,.protector": f"fill:{palette.clamp}",
        HOLDS: f"fill:{palette.holds}",
        COMES_OFF: f"fill:{palette.comes_off}",
        ".open-connection,.mark": f"fill:{palette.comes_off}",
        ".bails,.slings": f"stroke:{palette.holds}",
        **{f".rank-{rank}": f"stroke:{colour}" for rank, colour in enumerate(cables)},
        ".pothead,.splice": f"fill:{ink}",
        ".line,.free-line": f"stroke:{palette.line}",
        ".orientation-line,.working-height": f"stroke:{palette.soft}",
        ".leader": f"stroke:{palette.soft}",
        ".break": f"stroke:{ink};fill:{palette.paper}",
    }
