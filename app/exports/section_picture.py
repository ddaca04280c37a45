"""A cross-section of the string in its casing, as a picture of lines that any page, screen or print takes.

It is drawn in the colour of the text around it, says in words what it shows, and carries numbers, so
that it reads in grey too.
"""

from collections.abc import Iterator
from textwrap import wrap
from xml.etree.ElementTree import Element, SubElement, tostring

from app.domain.room.clearance import Clearance
from app.domain.room.cross_section import CrossSection, Member, Role
from app.domain.room.enclosing import Circle
from app.domain.room.sections import Section
from app.domain.unit_systems import AS_PLANNED, UnitSystem

NAMESPACE = "http://www.w3.org/2000/svg"
SIDE = 1000.0  # the picture is so many units wide, whatever it shows
LINE_HEIGHT = 58.0
LETTERS = "40"
LETTERS_A_LINE = 44
ROOM_AROUND = 1.08  # of what is drawn
FILLED = {Role.BODY: "0.12", Role.CLAMP: "0.05", Role.CABLE: "0.45", Role.LINE: "0.45"}


def section_picture(section: Section, room: Clearance | None, units: UnitSystem = AS_PLANNED) -> str:
    """Return the picture of a section in the tightest casing that it passes, as SVG."""
    shape = section.shape
    words = [line for sentence in _words(section, room, units) for line in wrap(sentence, LETTERS_A_LINE)]
    height = SIDE + LINE_HEIGHT * (len(words) + 0.5)
    picture = Element(
        "svg",
        {
            "xmlns": NAMESPACE,
            "viewBox": f"0 0 {SIDE:g} {height:g}",
            "class": "section-picture",
            "role": "img",
            "aria-label": f"{section.what}. {' '.join(words)}",
            "fill": "none",
            "stroke": "currentColor",
        },
    )
    units_per_m = SIDE / (ROOM_AROUND * 2.0 * _widest_m(shape, room))
    _draw_casing(picture, room, units_per_m)
    for number, member in enumerate(shape.members, start=1):
        _draw_member(picture, shape, member, units_per_m, number)
    round_all = _circle(picture, 0.0, 0.0, shape.around.radius_m * units_per_m, "4")
    round_all.set("class", "round-all")
    round_all.set("stroke-dasharray", "18 10")
    for number, line in enumerate(words, start=1):
        _write(picture, 20.0, SIDE + number * LINE_HEIGHT, line)
    return tostring(picture, encoding="unicode")


def _words(section: Section, room: Clearance | None, units: UnitSystem) -> Iterator[str]:
    like, given = units.like, units.given
    shape = section.shape
    if room is not None:
        drift = room.casing.drift
        yield f"{room.casing.name}: drift {given(drift)}, inside {given(room.casing.id)}."
        yield f"Dashed circle round all: {like(shape.width, drift)}."
        yield f"Left in the drift {like(room.drift, drift)}, in the inside {like(room.inside, drift)}."
    else:
        yield f"Dashed circle round all: {like(shape.width, shape.width)}; it passes no casing."
    yield f"Held by {' and '.join(shape.governing)}."
    for number, member in enumerate(shape.members, start=1):
        yield f"{number}  {member.name}"


def _widest_m(shape: CrossSection, room: Clearance | None) -> float:
    inside_m = room.casing.id.si / 2.0 if room is not None else 0.0
    return max(inside_m, shape.around.radius_m)


def _draw_casing(picture: Element, room: Clearance | None, units_per_m: float) -> None:
    if room is not None:
        inside = _circle(picture, 0.0, 0.0, room.casing.id.si / 2.0 * units_per_m, "10")
        inside.set("class", "casing")
        drift = _circle(picture, 0.0, 0.0, room.casing.drift.si / 2.0 * units_per_m, "3")
        drift.set("class", "drift")
        drift.set("stroke-dasharray", "3 9")


def _draw_member(
    picture: Element, shape: CrossSection, member: Member, units_per_m: float, number: int
) -> None:
    """Add a member where it lies, the circle round all being in the middle; what governs has a thick line."""
    governs = member.name in shape.governing
    placed = [_seen(circle, shape.around, units_per_m) for circle in member.circles]
    thickness = "7" if governs else "3"
    if len(placed) == 1:
        drawn = _circle(picture, placed[0].x_m, placed[0].y_m, placed[0].radius_m, thickness)
    else:
        drawn = SubElement(picture, "path", {"d": _flat(placed[0], placed[1]), "stroke-width": thickness})
    drawn.set("class", "governing" if governs else "member")
    drawn.set("fill", "currentColor")
    drawn.set("fill-opacity", FILLED[member.role])
    middle_x = sum(circle.x_m for circle in placed) / len(placed)
    middle_y = sum(circle.y_m for circle in placed) / len(placed)
    if member.role is Role.CLAMP:
        middle_y -= placed[0].radius_m - 0.6 * LINE_HEIGHT  # its middle is full of what it holds
    _write(picture, SIDE / 2.0 + middle_x, SIDE / 2.0 + middle_y + 14.0, str(number)).set(
        "text-anchor", "middle"
    )


def _seen(circle: Circle, around: Circle, units_per_m: float) -> Circle:
    """Return a circle in units of the picture, from its middle; there, down is the way numbers grow."""
    return Circle(
        (circle.x_m - around.x_m) * units_per_m,
        (around.y_m - circle.y_m) * units_per_m,
        circle.radius_m * units_per_m,
    )


def _flat(one: Circle, other: Circle) -> str:
    """Return the outline of something flat with round edges as a path."""
    along_x, along_y = other.x_m - one.x_m, other.y_m - one.y_m
    apart = (along_x**2 + along_y**2) ** 0.5
    off_x, off_y = -along_y / apart * one.radius_m, along_x / apart * one.radius_m
    middle = SIDE / 2.0
    corners = [
        (one.x_m + off_x, one.y_m + off_y),
        (one.x_m - off_x, one.y_m - off_y),
        (other.x_m - off_x, other.y_m - off_y),
        (other.x_m + off_x, other.y_m + off_y),
    ]
    first, second, third, last = (f"{middle + x:.1f} {middle + y:.1f}" for x, y in corners)
    arc = f"A {one.radius_m:.1f} {one.radius_m:.1f} 0 0 1"
    return f"M {first} {arc} {second} L {third} {arc} {last} Z"


def _circle(picture: Element, x: float, y: float, radius: float, thickness: str) -> Element:
    return SubElement(
        picture,
        "circle",
        {
            "cx": f"{SIDE / 2.0 + x:.1f}",
            "cy": f"{SIDE / 2.0 + y:.1f}",
            "r": f"{radius:.1f}",
            "stroke-width": thickness,
        },
    )


def _write(picture: Element, x: float, y: float, words: str) -> Element:
    text = SubElement(
        picture,
        "text",
        {
            "x": f"{x:.1f}",
            "y": f"{y:.1f}",
            "font-size": LETTERS,
            "fill": "currentColor",
            "stroke": "none",
        },
    )
    text.text = words
    return text
