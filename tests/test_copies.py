"""Copies of dataclasses are those that the standard library makes."""

from __future__ import annotations

import dataclasses

import pytest
from frozen import Derived, Named
from kettlewright.copies import replace


def test_a_copy_is_what_dataclasses_make() -> None:
    old = Named(1.0, three=(3,), four=[4], five=5)
    for changes in ({}, {"one": 2.0}, {"two": "c", "five": 6}, {"four": [7]}):
        assert replace(old, **changes) == dataclasses.replace(old, **changes)  # type: ignore[arg-type]
    assert replace is not dataclasses.replace
    assert replace(old).four is old.four
    assert replace(old) is not old
    assert replace(Derived(2.0), one=3.0) == Derived(3.0)


def test_a_copy_is_checked_and_has_no_other_fields() -> None:
    old = Named(1.0, five=5)
    with pytest.raises(ValueError, match="below 0"):
        replace(old, five=-1)
    with pytest.raises(TypeError, match="unexpected keyword argument 'six'"):
        replace(old, six=6)  # type: ignore[call-arg]
    with pytest.raises(TypeError, match="should be called on dataclass instances"):
        replace(5)  # type: ignore[type-var]
