"""Copies of dataclasses are those that the standard library makes."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass, field

import pytest
from kettlewright.copies import replace


@dataclass(frozen=True, slots=True, kw_only=True)
class Checked:
    """With a default, a value that is made anew each time, and a check."""

    one: float
    two: str = "b"
    four: list[int] = field(default_factory=list)
    five: int = 5

    def __post_init__(self) -> None:
        if self.five < 0:
            raise ValueError("below 0")


@dataclass(frozen=True, slots=True)
class Derived:
    """A field that `__init__` does not take."""

    one: float
    twice: float = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "twice", 2 * self.one)


def test_a_copy_is_what_dataclasses_make() -> None:
    old = Checked(one=1.0, four=[4])
    for changes in ({}, {"one": 2.0}, {"two": "c", "five": 6}, {"four": [7]}):
        assert replace(old, **changes) == dataclasses.replace(old, **changes)  # type: ignore[arg-type]
    assert replace is not dataclasses.replace
    assert replace(old).four is old.four
    assert replace(old) is not old
    assert replace(Derived(2.0), one=3.0) == Derived(3.0)


def test_a_copy_is_checked_and_has_no_other_fields() -> None:
    old = Checked(one=1.0)
    with pytest.raises(ValueError, match="below 0"):
        replace(old, five=-1)
    with pytest.raises(TypeError, match="unexpected keyword argument 'six'"):
        replace(old, six=6)  # type: ignore[call-arg]
    with pytest.raises(TypeError, match="should be called on dataclass instances"):
        replace(5)  # type: ignore[type-var]
