"""Tables of sodium and potassium hydroxide solutions, loaded once and validated while loading."""

from __future__ import annotations

import csv
from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from importlib import resources

__all__ = [
    "Grid",
    "TableCurve",
    "koh_heat_capacity",
    "naoh_boiling_point",
    "naoh_density",
    "naoh_heat_capacity",
    "naoh_heat_of_solution",
]


@dataclass(frozen=True, slots=True)
class TableCurve:
    """A function of one variable, linear between its points.

    Parameters
    ----------
    x, y : tuple of float, length n >= 2
        Points, `x` ascending. [units of the table]
    """

    x: tuple[float, ...]
    y: tuple[float, ...]

    def __post_init__(self) -> None:
        if len(self.x) != len(self.y) or any(b <= a for a, b in zip(self.x, self.x[1:], strict=False)):
            raise ValueError("the points of a table must be in ascending order")

    def at(self, x: float) -> float:
        """Value at `x` [unit of the table]; beyond the ends, the end value. [unit of the table]"""
        left, part = _bracket(self.x, x)
        return self.y[left] + part * (self.y[left + 1] - self.y[left])

    def carried_on_below(self, x: float) -> float:
        """As `at`, but extrapolating the first segment below the first point (`x` [unit of the table])."""
        if x >= self.x[0]:
            return self.at(x)
        return self.y[0] + (x - self.x[0]) * (self.y[1] - self.y[0]) / (self.x[1] - self.x[0])


@dataclass(frozen=True, slots=True)
class Grid:
    """A function of two variables, bilinear between its points.

    Parameters
    ----------
    rows, columns : tuple of float
        Both ascending. [units of the table]
    values : tuple of tuple of float, shape (rows, columns)
        The quantity. [unit of the table]
    """

    rows: tuple[float, ...]
    columns: tuple[float, ...]
    values: tuple[tuple[float, ...], ...]

    def __post_init__(self) -> None:
        if len(self.values) != len(self.rows) or any(len(line) != len(self.columns) for line in self.values):
            raise ValueError("a grid needs a value for every row and column")

    def at(self, row: float, column: float) -> float:
        """Value at `row` and `column` [units of the table]; beyond them, the value at the edge. [unit of the table]"""
        top, down = _bracket(self.rows, row)
        left, along = _bracket(self.columns, column)

        def across(line: tuple[float, ...]) -> float:
            return line[left] + along * (line[left + 1] - line[left])

        upper, lower = across(self.values[top]), across(self.values[top + 1])
        return upper + down * (lower - upper)


def _bracket(points: Sequence[float], value: float) -> tuple[int, float]:
    """Index of the point to the left, and the fraction of the way to the next (0 to 1)."""
    if len(points) < 2:
        raise ValueError("a table needs at least two points")
    inside = min(max(value, points[0]), points[-1])
    index = min(bisect_right(points, inside), len(points) - 1) - 1
    return index, (inside - points[index]) / (points[index + 1] - points[index])


def _rows(name: str) -> list[dict[str, str]]:
    text = resources.files(__package__).joinpath(name).read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


def _curve(name: str, x: str, y: str) -> TableCurve:
    rows = _rows(name)
    return TableCurve(tuple(float(row[x]) for row in rows), tuple(float(row[y]) for row in rows))


@cache
def naoh_density() -> Grid:
    """Density [g/mL] by mass share of NaOH [%] and temperature [degC]; 0 to 50 %, 20 to 60 degC."""
    rows = _rows("naoh_density.csv")
    columns = (20.0, 25.0, 30.0, 40.0, 60.0)
    return Grid(tuple(float(row["naoh_pct"]) for row in rows), columns,
                tuple(tuple(float(row[f"density_{column:.0f}c"]) for column in columns) for row in rows))


@cache
def naoh_heat_of_solution() -> TableCurve:
    """Integral heat of solution [kJ per mol NaOH, released] by water [mol per mol NaOH], at 25 degC."""
    return _curve("naoh_heat_of_solution.csv", "mol_water_per_mol_naoh", "heat_kj_per_mol")


@cache
def naoh_heat_capacity() -> TableCurve:
    """Heat capacity [kJ/(kg K)] by mass share of NaOH [%], near 60 degC."""
    return _curve("naoh_heat_capacity.csv", "naoh_pct", "kj_per_kg_k")


@cache
def koh_heat_capacity() -> TableCurve:
    """Heat capacity [kJ/(kg K)] by mass share of KOH [%], at 60 degC."""
    return _curve("koh_heat_capacity.csv", "koh_pct", "kj_per_kg_k")


@cache
def naoh_boiling_point() -> TableCurve:
    """Boiling point [degC] by mass share of NaOH [%], at one atmosphere."""
    return _curve("naoh_boiling_point.csv", "naoh_pct", "boiling_c")
