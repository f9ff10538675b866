"""The identity of a plan."""

from __future__ import annotations

import json
from typing import Any

from hypothesis import given
from hypothesis import strategies as st
from kettlewright.identity import identity_of


def test_the_identity_is_that_of_a_plain_digest() -> None:
    # worked out anew: SHA-256 of data version and request, keys in order, numbers as texts of nine digits
    import hashlib

    assert identity_of({"b": [1, 2.5], "a": "x"}, "2026.1") == identity_of({"a": "x", "b": [1.0, 2.5]}, "2026.1")
    text = '["2026.1",{"a":"x","b":["1","2.5"]}]'
    number = int.from_bytes(hashlib.sha256(text.encode()).digest(), "big")
    letters = "".join("0123456789ABCDEFGHJKMNPQRSTVWXYZ"[(number // 32 ** place) % 32] for place in range(10))
    assert identity_of({"a": "x", "b": [1, 2.5]}, "2026.1") == f"{letters[:5]}-{letters[5:]}"


@given(st.dictionaries(st.text(max_size=5), st.one_of(st.integers(-1000, 1000), st.booleans(), st.text(max_size=5),
                                                      st.lists(st.floats(-100, 100), max_size=3)), max_size=5))
def test_the_order_of_keys_does_not_matter_and_everything_else_does(body: dict[str, Any]) -> None:
    again = json.loads(json.dumps(dict(reversed(list(body.items())))))
    assert identity_of(body, "1") == identity_of(again, "1")
    assert identity_of({**body, "one more": 1}, "1") != identity_of(body, "1")
    assert identity_of(body, "2") != identity_of(body, "1")
    assert identity_of({**body, "locale": "de"}, "1", leave_out=("locale",)) == identity_of(
        {key: value for key, value in body.items() if key != "locale"}, "1")
