"""Portions as they are requested."""

from __future__ import annotations

import pytest
from kettlewright.pour import Portion
from kettlewright.pour.requested_portions import Borrowing


def test_a_bucket_has_something_of_its_own() -> None:
    with pytest.raises(ValueError, match="some of it must be its own"):
        Portion("c", share_pct=50, borrows=(Borrowing("a", 60), Borrowing("b", 40)))
    assert Portion("c", share_pct=50, borrows=(Borrowing("a", 60), Borrowing("b", 39.9))).borrows
    with pytest.raises(ValueError, match='two of "a"'):
        Portion("c", share_pct=50, borrows=(Borrowing("a", 10), Borrowing("A", 10)))
