"""What may be in a body besides the types of JSON, and where anything else is."""

from __future__ import annotations

import json
import math
from datetime import date, datetime
from decimal import Decimal
from fractions import Fraction
from typing import Any

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st
from kettlewright_client import ClientError
from kettlewright_client.body import json_bytes, plain
from kettlewright_client.testing import StubClient, recorded

JSON = st.recursive(st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False)
                    | st.text(st.characters(codec="utf-8")),
                    lambda inner: st.lists(inner) | st.dictionaries(st.text(st.characters(codec="utf-8")), inner),
                    max_leaves=20)


@given(JSON)
def test_json_stays_as_it_is(value: Any) -> None:
    assert plain(value) == value
    assert json.loads(json_bytes(plain(value))) == value


@pytest.mark.parametrize(("value", "same"), [
    (Decimal("2.50"), 2.5), (Decimal(500), 500), (Decimal("0.1"), 0.1), (Fraction(1, 4), 0.25),
    (date(2027, 3, 20), "2027-03-20"), (datetime(2027, 3, 20), "2027-03-20"),
    (pd.Timestamp("2027-03-20"), "2027-03-20"),
    (np.float64(2.5), 2.5), (np.float32(0.5), 0.5), (np.int64(7), 7), (np.bool_(True), True),
    (np.str_("olive"), "olive"),
    (np.array([1, 2]), [1, 2]), (np.array([[1.5], [2]]), [[1.5], [2.0]]), (pd.Series([1, 2]), [1, 2]),
    (pd.Series(["a"]), ["a"]), (pd.DataFrame({"fat": ["olive"], "mass": [700.5]}), [{"fat": "olive", "mass": 700.5}]),
    ((1, 2), [1, 2]), ({"a": {"b": (Decimal(1),)}}, {"a": {"b": [1]}})])
def test_values_of_other_libraries_become_json(value: Any, same: Any) -> None:
    found = plain(value)
    assert found == same
    assert type(found) is type(same)
    json_bytes(found)


@pytest.mark.parametrize("value", [
    math.nan, math.inf, Decimal("NaN"), Decimal("sNaN"), Decimal("Infinity"), np.float64("nan"), pd.NaT, pd.NA, {1},
    b"5", object(), 1j, range(3), (number for number in [1]), datetime(2027, 3, 20, 12), Decimal("1e999")])
def test_anything_else_is_refused_with_its_path(value: Any) -> None:
    with pytest.raises(ClientError, match=r"recipe\.fats\[1\]\.mass is "):
        plain({"recipe": {"fats": [{"mass": 1}, {"mass": value}]}})
    with pytest.raises(ClientError, match="the body is "):
        plain(value)


def test_names_are_text_and_depth_has_an_end() -> None:
    with pytest.raises(ClientError, match="named by a int"):
        plain({"recipe": {1: 2}})
    endless: list[Any] = []
    endless.append(endless)
    with pytest.raises(ClientError, match="nested too deeply"):
        plain(endless)
    with pytest.raises(ClientError, match=r"recipe\.fats\[1\]\.mass"):
        plain({"recipe": {"fats": pd.DataFrame({"fat": ["olive", "coconut"], "mass": [700, None]})}})


def test_a_result_can_be_sent_on() -> None:
    rows = StubClient().batches(**recorded()["batches"].body or {}).weigh_list
    assert plain({"weigh_list": rows})["weigh_list"] == recorded()["batches"].replies["json"]["weigh_list"]


def test_a_table_of_pandas_goes_through_a_method() -> None:
    client = StubClient()
    fats: Any = pd.DataFrame({"fat": ["olive", "coconut"], "mass": [700, 300]})
    client.lye(fats=fats, alkalis=[{"alkali": "NaOH"}], water={"water_to_alkali": Decimal("2.1")},
               superfat_pct=np.float64(5), temperatures=None)
    assert client.sent[0].body == {"fats": [{"fat": "olive", "mass": 700}, {"fat": "coconut", "mass": 300}],
                                   "alkalis": [{"alkali": "NaOH"}], "water": {"water_to_alkali": 2.1},
                                   "superfat_pct": 5}
