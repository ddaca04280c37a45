"""The wrench: what to set with an extension, and what pull a torque takes."""

import math

from app.domain.quantities import Angle, Force, Length, Torque


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
