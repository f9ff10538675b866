"""Frozen dataclasses of every kind, for tests of what makes and copies them."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property


@dataclass(frozen=True, slots=True)
class Plain:
    """Values with and without a default."""

    one: float
    two: str = "b"
    three: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Named(Plain):
    """With a value that is made anew each time, and a check."""

    four: list[int] = field(default_factory=list)
    five: int

    def __post_init__(self) -> None:
        if self.five < 0:
            raise ValueError("below 0")


@dataclass(frozen=True, slots=True)
class Derived:
    """A field that `__init__` does not take: left as it is."""

    one: float
    twice: float = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "twice", 2 * self.one)


@dataclass(frozen=True)
class Loose:
    """Without slots, and with a sum that is kept."""

    one: float
    two: list[int] = field(default_factory=list)

    @cached_property
    def three(self) -> float:
        """The sum."""
        return self.one + sum(self.two)
