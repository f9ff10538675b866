"""Frozen dataclasses that are made faster behave as they did."""

from __future__ import annotations

from dataclasses import FrozenInstanceError, replace
from inspect import signature

import pytest
from frozen import Derived, Loose, Named, Plain
from kettlewright.api.door.quick_init import quicken

before = {one: (one.__init__, str(signature(one))) for one in (Plain, Named, Derived, Loose)}
quicken("frozen")


def test_the_usual_ones_are_made_anew_and_take_what_they_took() -> None:
    assert [one.__init__ is not old for one, (old, _) in before.items()] == [True, True, False, True]
    assert [str(signature(one)) for one in before] == [taken for _, taken in before.values()]


def test_values_defaults_and_checks_are_the_same() -> None:
    assert Plain(1.0) == Plain(1.0, "b", ()) == replace(Plain(1.0, "c"), two="b")
    made, other = Named(1.0, three=(3,), five=5), Named(1.0, three=(3,), five=5)
    assert made == other
    assert made.four == []
    assert made.four is not other.four
    assert repr(made) == "Named(one=1.0, two='b', three=(3,), four=[], five=5)"
    assert Derived(2.0).twice == 4.0
    assert Loose(1.0, [2]) == Loose(two=[2], one=1.0) != Loose(1.0)
    assert Loose(1.0, [2]).three == 3.0
    assert replace(Loose(1.0), one=2.0).three == 2.0
    with pytest.raises(ValueError, match="below 0"):
        Named(1.0, five=-1)
    with pytest.raises(TypeError, match=r"Plain.__init__\(\) missing 1 required positional argument: 'one'"):
        Plain()  # type: ignore[call-arg]


def test_they_stay_frozen() -> None:
    with pytest.raises(FrozenInstanceError):
        Plain(1.0).one = 2.0  # type: ignore[misc]
    with pytest.raises(FrozenInstanceError):
        Loose(1.0).one = 2.0  # type: ignore[misc]


def test_a_second_time_changes_nothing() -> None:
    made = Plain.__init__
    quicken("frozen")
    assert Plain.__init__ is made
