"""The identity of a plan."""

from __future__ import annotations

import hashlib
import json
from typing import Any

from hypothesis import given
from hypothesis import strategies as st
from kettlewright.identity import identity_of


def digest(text: str) -> str:
    """Worked out anew: SHA-256 of data version and request, keys in order, numbers as texts of nine digits."""
    number = int.from_bytes(hashlib.sha256(text.encode()).digest(), "big")
    letters = "".join("0123456789ABCDEFGHJKMNPQRSTVWXYZ"[(number // 32 ** place) % 32] for place in range(10))
    return f"{letters[:5]}-{letters[5:]}"


def test_the_identity_is_that_of_a_plain_digest() -> None:
    assert identity_of({"b": [1, 2.5], "a": "x"}, "2026.1") == identity_of({"a": "x", "b": [1.0, 2.5]}, "2026.1")
    assert identity_of({"a": "x", "b": [1, 2.5]}, "2026.1") == digest('["2026.1",{"a":"x","b":["1","2.5"]}]')


def test_every_number_and_character_has_one_spelling() -> None:
    numbers = [-0.0, 0.1, 1 / 3, 123456789.5, 10**12, 1e-7, 2.5e300, True, None]
    assert identity_of({"a": numbers}, "1") == digest(
        '["1",{"a":["0","0.1","0.333333333","123456790","1e+12","1e-07","2.5e+300",true,null]}]')
    # ASCII only, whatever the text
    assert identity_of({"\u00e4": "\x7f \u20ac \n", "B": {}}, "1") == digest(
        r'["1",{"B":{},"\u00e4":"\u007f \u20ac \n"}]')
    assert identity_of({"a": "\x7f"}, "1") == digest(r'["1",{"a":"\u007f"}]')


@given(st.dictionaries(st.text(max_size=5), st.one_of(st.integers(-1000, 1000), st.booleans(), st.text(max_size=5),
                                                      st.lists(st.floats(-100, 100), max_size=3)), max_size=5))
def test_the_order_of_keys_does_not_matter_and_everything_else_does(body: dict[str, Any]) -> None:
    again = json.loads(json.dumps(dict(reversed(list(body.items())))))
    assert identity_of(body, "1") == identity_of(again, "1")
    assert identity_of({**body, "one more": 1}, "1") != identity_of(body, "1")
    assert identity_of(body, "2") != identity_of(body, "1")
    assert identity_of({**body, "locale": "de"}, "1", leave_out=("locale",)) == identity_of(
        {key: value for key, value in body.items() if key != "locale"}, "1")
