"""Results made of JSON: each type is what it is, each fault has its place."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import pytest
from kettlewright_client.inputs import RecipeInput
from kettlewright_client.reading import read


@dataclass(frozen=True, kw_only=True)
class Inner:
    mass: float


@dataclass(frozen=True, kw_only=True)
class Outer:
    name: str
    count: int
    proven: bool
    inner: Inner
    rows: tuple[Inner, ...]
    edges: tuple[float, ...]
    again: "RecipeInput"  # as text: it stays as it came
    lot: str | None
    later: Inner | None = None
    raw: Mapping[str, Any] = field(repr=False)
    request_id: str = ""


GOOD: dict[str, Any] = {"name": "red", "count": 3, "proven": True, "inner": {"mass": 2.5},
                        "rows": [{"mass": 1}, {"mass": 2}], "edges": [0, 1.5],
                        "again": {"fats": [None]}, "lot": None, "new": 1}


def test_each_value_comes_to_its_place() -> None:
    found = read(Outer, GOOD)
    assert found == Outer(name="red", count=3, proven=True, inner=Inner(mass=2.5), rows=(Inner(mass=1), Inner(mass=2)),
                          edges=(0, 1.5), again={"fats": [None]}, lot=None, later=None, raw=GOOD)
    assert read(Outer, GOOD, "abc").request_id == "abc"
    assert read(Outer, {**GOOD, "lot": "N-26", "later": {"mass": 1}}).later == Inner(mass=1)


@pytest.mark.parametrize(("change", "place"), [
    ({"name": 3}, "name is 3 where text"), ({"name": None}, "name is null where text"),
    ({"count": 3.0}, "count is 3.0 where a whole number"), ({"count": True}, "count is True where a whole number"),
    ({"proven": 1}, "proven is 1 where true or false"),
    ({"inner": {"mass": "2.5"}}, "inner.mass is '2.5' where a number"),
    ({"inner": {"mass": True}}, "inner.mass is True where a number"), ({"inner": []}, r"inner is \[\] where an object"),
    ({"rows": [{"mass": 1}, {"mass": None}]}, r"rows\[1\]\.mass is null where a number"),
    ({"rows": "ab"}, "rows is 'ab' where a list"), ({"rows": {"mass": 1}}, "rows is {'mass': 1} where a list"),
    ({"edges": [0, "1"]}, r"edges\[1\] is '1' where a number"),
    ({"again": []}, r"again is \[\] where an object"), ({"lot": 3}, "lot is 3 where text"),
    ({"later": 3}, "later is 3 where an object")])
def test_another_type_is_rejected_with_its_location(change: dict[str, Any], place: str) -> None:
    with pytest.raises(TypeError, match=f"^{place.replace(' where ', ' where the contract has ')}$"):
        read(Outer, {**GOOD, **change})


def test_a_missing_key_is_named_with_its_location() -> None:
    with pytest.raises(KeyError, match=r"^'rows\[0\]\.mass'$"):
        read(Outer, {**GOOD, "rows": [{}]})
    for name in ("count", "lot", "again"):  # also one that may be null
        with pytest.raises(KeyError, match=rf"^'{name}'$"):
            read(Outer, {key: value for key, value in GOOD.items() if key != name})


def test_anything_but_an_object_is_rejected() -> None:
    with pytest.raises(TypeError, match="the reply is 3 where the contract has an object"):
        read(Outer, 3)
