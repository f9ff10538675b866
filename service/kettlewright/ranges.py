"""A quantity known only as a range."""

from __future__ import annotations

from dataclasses import dataclass

from kettlewright.errors import DomainError

__all__ = ["PublishedRange", "Range"]


@dataclass(frozen=True, slots=True)
class Range:
    """The two ends of a quantity's range; `min` is not above `max`.

    Parameters
    ----------
    min, max : float
        The ends. [the unit of the quantity]

    Raises
    ------
    DomainError : `min` is greater than `max`.
    """

    min: float
    max: float

    def __post_init__(self) -> None:
        if self.min > self.max:
            raise DomainError(
                f"The minimum ({self.min:.9g}) is greater than the maximum ({self.max:.9g}); swap them.",
                field=("min",), value=self.min, allowed=f"at most {self.max:.9g}")

    @property
    def mid(self) -> float:
        """The middle. [the unit of the quantity]"""
        return (self.min + self.max) / 2

    @property
    def half_width(self) -> float:
        """Half the distance between the ends. [the unit of the quantity]"""
        return (self.max - self.min) / 2

    @property
    def widest(self) -> Range:
        """The range that a guarantee has to hold for. [the unit of the quantity]"""
        return self


@dataclass(frozen=True, slots=True)
class PublishedRange(Range):
    """A range from a table where a second publication gives other ends.

    Parameters
    ----------
    min, max : float
        The ends used in calculations. [the unit of the quantity]
    second_min, second_max : float
        The ends in the second publication. [the unit of the quantity]
    """

    second_min: float
    second_max: float

    @property
    def widest(self) -> Range:
        """From the lowest to the highest end in either publication. [the unit of the quantity]"""
        return Range(min(self.min, self.second_min), max(self.max, self.second_max))
