"""A quantity known only between two ends."""

from __future__ import annotations

from dataclasses import dataclass

from kettlewright.errors import DomainError

__all__ = ["Range"]


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
