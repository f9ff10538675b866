"""Errors keep their words and their place, and several are reported together."""

import pytest
from kettlewright.errors import DomainError, DomainErrors, OutOfRange, gather, repeated


def test_an_error_keeps_its_kind_and_words_when_it_is_placed() -> None:
    placed = OutOfRange("too much", field=("mass",), value=3, allowed="at most 2").at("fats", 0)
    assert isinstance(placed, OutOfRange)
    assert placed.field == ("fats", 0, "mass")
    assert (placed.detail, placed.value, placed.allowed) == ("too much", 3, "at most 2")


def test_independent_faults_are_raised_together() -> None:
    with pytest.raises(DomainErrors) as caught, gather() as checks:
        with checks.at("cut"):
            raise DomainError("one")
        with checks.at("mould"):
            raise DomainErrors([DomainError("two", field=("depth",)), DomainError("three")])
    assert [fault.field for fault in caught.value.errors] == [("cut",), ("mould", "depth"), ("mould",)]
    assert [fault.detail for fault in caught.value.errors] == ["one", "two", "three"]


def test_a_check_that_is_run_and_an_error_that_was_caught_have_their_place_too() -> None:
    def wrong() -> None:
        raise DomainError("two", field=("depth",))

    with pytest.raises(DomainErrors) as caught, gather() as checks:
        checks.add(DomainErrors([DomainError("one"), DomainError("three", field=(1,))]), "cut", 0)
        checks.run(wrong, "mould")
        checks.run(lambda: "right", "mould")
    assert [(fault.detail, fault.field) for fault in caught.value.errors] == [
        ("one", ("cut", 0)), ("three", ("cut", 0, 1)), ("two", ("mould", "depth"))]
    with pytest.raises(KeyError), gather() as checks:  # a failure of ours is no error of the request
        checks.run(lambda: {}["absent"])


def test_nothing_is_raised_where_nothing_is_wrong() -> None:
    with gather() as checks, checks.at("cut"):
        pass


def test_no_bound_appears_twice() -> None:
    # a second one of a name would silently take the place of the first
    import re
    from pathlib import Path

    from kettlewright import limits

    names = re.findall(r"^([A-Z_]+) = ", Path(limits.__file__).read_text(encoding="utf-8"), re.MULTILINE)
    assert len(names) > 40
    assert len(names) == len(set(names))


def test_every_place_that_repeats_an_earlier_one_is_found() -> None:
    assert list(repeated(["a", "b", "a", "c", "a", "b"])) == [2, 4, 5]
    assert list(repeated(iter("abc"))) == []
