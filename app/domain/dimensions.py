"""The dimensions of the trade: a number in SI and, where a person gave it, the text as typed.

Arithmetic stays inside one dimension; a pound of mass and a pound of force never meet.
"""

from dataclasses import dataclass, field
from typing import Self


@dataclass(frozen=True, slots=True, order=True)
class Quantity:
    """A number in SI with, where a person gave it, the text as typed."""

    si: float
    typed: str = field(default="", compare=False)

    def __add__(self, other: Self) -> Self:
        if type(other) is not type(self):
            return NotImplemented
        return type(self)(self.si + other.si)

    def __sub__(self, other: Self) -> Self:
        if type(other) is not type(self):
            return NotImplemented
        return type(self)(self.si - other.si)

    def __mul__(self, factor_ratio: float) -> Self:
        return type(self)(self.si * factor_ratio)


class Length(Quantity):
    """A length [m]."""

    __slots__ = ()


class Mass(Quantity):
    """A mass [kg]."""

    __slots__ = ()


class LinearMass(Quantity):
    """A mass per length [kg/m]."""

    __slots__ = ()


class Force(Quantity):
    """A force [N]."""

    __slots__ = ()


class Torque(Quantity):
    """A torque [N*m]."""

    __slots__ = ()


class Pressure(Quantity):
    """A pressure [Pa]."""

    __slots__ = ()


class PressurePerDegree(Quantity):
    """A gain of pressure per degree of warming [Pa/K]."""

    __slots__ = ()


class Temperature(Quantity):
    """A temperature [K]; a difference of temperatures is not one."""

    __slots__ = ()


class Resistance(Quantity):
    """An electrical resistance [ohm]."""

    __slots__ = ()


class Density(Quantity):
    """A mass per volume [kg/m^3]."""

    __slots__ = ()


class Angle(Quantity):
    """An angle [rad]."""

    __slots__ = ()


class Duration(Quantity):
    """A length of time [s]."""

    __slots__ = ()


class Expansion(Quantity):
    """A lengthening by warming, per length and degree [1/K]."""

    __slots__ = ()


class Count(Quantity):
    """A number of pieces [1]."""

    __slots__ = ()


class Ratio(Quantity):
    """A share of one [1]."""

    __slots__ = ()
