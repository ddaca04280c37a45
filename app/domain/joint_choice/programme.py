"""An integer programme as values: what may vary, between what rows must stay, what is made small."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

FREE = float("inf")


@dataclass(frozen=True, slots=True)
class Column:
    """One thing that may vary: its bounds, its cost, and whether it is counted whole."""

    low: float
    high: float
    cost: float
    whole: bool


@dataclass(frozen=True, slots=True)
class Row:
    """A sum of columns, each times a figure, that must stay between two bounds."""

    low: float
    high: float
    terms: Mapping[int, float]


@dataclass(frozen=True, slots=True)
class Programme:
    """Everything that a solver is handed; the sum of costs is to become as small as it can."""

    columns: tuple[Column, ...]
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class Reached:
    """How far a search is: after so many seconds, better values if just found, and the least cost left."""

    seconds: float
    values: tuple[float, ...]
    bound: float


OnReached = Callable[[Reached], None]


@dataclass(slots=True)
class ProgrammeWriter:
    """Guards the columns and rows written so far; a column is known by its number."""

    columns: list[Column] = field(default_factory=list)
    rows: list[Row] = field(default_factory=list)

    def column(self, low: float, high: float, *, cost: float = 0.0, whole: bool = False) -> int:
        """Add something that may vary and return its number."""
        self.columns.append(Column(low, high, cost, whole))
        return len(self.columns) - 1

    def choice(self, cost: float = 0.0) -> int:
        """Add something that is taken or not and return its number."""
        return self.column(0.0, 1.0, cost=cost, whole=True)

    def row(self, terms: Mapping[int, float], low: float = -FREE, high: float = FREE) -> None:
        """Keep a sum between two bounds."""
        self.rows.append(Row(low, high, dict(terms)))

    def written(self) -> Programme:
        """Return the programme as it stands."""
        return Programme(tuple(self.columns), tuple(self.rows))
