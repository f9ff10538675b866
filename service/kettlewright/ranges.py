"""A quantity known only between two ends."""

from __future__ import annotations

from dataclasses import dataclass

from kettlewright.errors import DomainError

__all__ = ["PublishedRange", "Range"]


@dataclass(frozen=True, slots=True)
class Range:
    """Two ends of one quantity, `min` not above `max`.

    Parameters
    ----------
    min, max : float
        The ends. [the unit of the quantity]

    Raises
    ------
    DomainError : the ends stand the wrong way round.
    """

    min: float
    max: float

    def __post_init__(self) -> None:
        if self.min > self.max:
            raise DomainError(
                f"The range runs from {self.min:.9g} down to {self.max:.9g}; give the smaller number as min.",
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
        """What a promise over the whole range has to hold for. [the unit of the quantity]"""
        return self


@dataclass(frozen=True, slots=True)
class PublishedRange(Range):
    """A range of a table where another publication gives other ends.

    Parameters
    ----------
    min, max : float
        The ends computed with. [the unit of the quantity]
    second_min, second_max : float
        The ends of the other publication. [the unit of the quantity]
    """

    second_min: float
    second_max: float

    @property
    def widest(self) -> Range:
        """From the lowest to the highest end of both. [the unit of the quantity]"""
        return Range(min(self.min, self.second_min), max(self.max, self.second_max))
