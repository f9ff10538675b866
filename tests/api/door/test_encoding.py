"""Replies are encoded as Python's own JSON encoder does it."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from kettlewright.api.door.encoding import encoded
from kettlewright.digits import nine_digits

NUMBERS = st.floats(allow_nan=False, allow_infinity=False).map(nine_digits) | st.integers(-10**30, 10**30)
VALUES = st.recursive(st.none() | st.booleans() | NUMBERS | st.text(st.characters(exclude_categories=["Cs"])),
                      lambda inside: st.lists(inside, max_size=4) | st.dictionaries(st.text("abe-0.:", max_size=9),
                                                                                    inside, max_size=4))


def by_python(document: Any) -> bytes:
    return json.dumps(document, ensure_ascii=False, separators=(",", ":")).encode()


@given(st.dictionaries(st.text(max_size=9), VALUES, max_size=5))
def test_bytes_are_those_of_the_standard_library(document: dict[str, Any]) -> None:
    assert encoded(document) == by_python(document)


@pytest.mark.parametrize("number", [1e-4, 9.99999999e-5, 1e-5, -1.5e-5, 0.00001234, 1e-9, 5e-324, 1e15, 1e16, 1.5e22,
                                    1e300, 0.0, -0.0, 123456789.0, 2**63, 2**64, -(2**63) - 1])
def test_numbers_at_both_ends(number: float) -> None:
    for document in ({"a": number}, {"a": [number]}, {"a": [0.5, number, 1]}):
        assert encoded(document) == by_python(document)


@pytest.mark.parametrize("text", ["e-5", "1e-5", "0.00001", "\x00\x1f\x7f\u2028\u2029", "é\U0001f9fc", '"\\/'])
def test_texts_are_kept(text: str) -> None:
    assert json.loads(encoded({"text": text, text: (1, None)})) == {"text": text, text: [1, None]}
    assert encoded({"text": text, text: (1, None)}) == by_python({"text": text, text: (1, None)})
