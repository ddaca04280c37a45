"""The wrench: what to set with an extension, and what pull a torque takes."""

import math

from app.domain.checks.shown import given
from app.domain.connections import Tool, ToolKind
from app.domain.quantities import Angle, Force, Length, Torque, read_quantity, typed_unit
from app.domain.results import PLAN, Advice, Input, Result, from_plan

# What one person can pull steadily on a wrench with both feet on the floor. Common practice, from memory.
PERSON_PULL = read_quantity("100 lbf", Force)
STRAIGHT = Angle(0.0)


def wrench_setting(wanted: Torque, wrench: Length, extension: Length, angle: Angle) -> Torque:
    """Return what a wrench is set to so that its extension gives the wanted torque [N*m].

    T_set = T L / (L + E cos a): L from grip to drive, E from drive to bolt, a the angle between them,
    0 where the extension carries the wrench on. Source: statics of a lever; worked examples in public
    torque-wrench guides. Range: L + E cos a > 0.
    """
    return wanted * (wrench.si / (wrench.si + extension.si * math.cos(angle.si)))


def pull_needed(wanted: Torque, arm: Length) -> Force:
    """Return the pull square to a tong's or wrench's arm that gives a torque [N].

    F = T / L. Source: statics. Range: arm > 0.
    """
    return Force(wanted.si / arm.si)


def pulled(pull: Force, arm: Length) -> Torque:
    """Return the torque of a pull square to a tong's or wrench's arm [N*m].

    T = F L. Source: statics. Range: any.
    """
    return Torque(pull.si * arm.si)


def setting_result(wanted: Torque, tool: Tool) -> Result | None:
    """Return what a tool is set to for a torque at the bolt [N*m], or none where it has no extension."""
    if tool.arm is None or tool.extension is None:
        return None
    angle = tool.extension_angle or STRAIGHT
    return Result(
        name=f"setting of {tool.tag} with its extension",
        value=wrench_setting(wanted, tool.arm, tool.extension, angle),
        unit=typed_unit(wanted),
        formula="torque wanted, by the wrench from grip to drive, by wrench and extension together: "
        "T L / (L + E cos a)",
        inputs=(
            from_plan("torque wanted", wanted),
            from_plan(f"arm of {tool.tag}", tool.arm),
            from_plan("extension, drive to bolt", tool.extension),
            from_plan("angle between them", angle) if angle.typed else Input("angle between them", "0 deg"),
        ),
        source="Statics of a lever. Range of the tool from the plan.",
        says=Advice(
            inside="Set this, keep the hand at the mark of the grip, and write down the torque at the bolt.",
            below=f"{tool.tag} cannot be set so low: take the extension off or a smaller wrench.",
            above=f"{tool.tag} cannot be set so high: take a larger wrench.",
        ),
        low=tool.torque_low,
        high=tool.torque_high,
    )


def pull_result(wanted: Torque, tool: Tool) -> Result | None:
    """Return the pull that a torque takes on a tool's arm [N], or none where no arm of it is known.

    A tong is pulled by its line; a pipe wrench by a person, who can give so much and no more.
    """
    if tool.arm is None or tool.kind not in PULLED_BY:
        return None
    who, limit = PULLED_BY[tool.kind]
    pull = pull_needed(wanted, tool.arm)
    people = max(1, math.ceil(pull.si / PERSON_PULL.si - 1e-9))
    source = (
        f"Statics. One person gives {given(limit)} at the most: common practice." if limit else "Statics."
    )
    return Result(
        name=f"pull on {tool.tag}",
        value=pull,
        unit="lbf",
        formula="torque wanted by the arm, pulled square to it: F = T / L",
        inputs=(Input("torque wanted", given(wanted), PLAN), from_plan(f"arm of {tool.tag}", tool.arm)),
        source=source,
        says=Advice(
            inside=f"Pull {who} square to the arm.",
            above=f"More than one person can give: {people} people, a longer wrench or a tong. Stand so "
            "that a slip throws nobody.",
        ),
        high=limit,
    )


PULLED_BY: dict[ToolKind, tuple[str, Force | None]] = {
    ToolKind.PIPE_WRENCH: ("by hand", PERSON_PULL),
    ToolKind.TONG: ("the line", None),
}
