"""What a property test draws does not hang on which other tests are loaded."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.internal.conjecture import providers


def _drawn() -> list[float]:
    found: list[float] = []

    @settings(max_examples=200, database=None, derandomize=True)
    @given(st.floats(0, 1000))
    def draw(value: float) -> None:
        found.append(value)

    draw()
    return found


def test_the_examples_are_the_same_whatever_is_imported(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = _drawn()
    (tmp_path / "more_constants.py").write_text("\n".join(f"X{n} = {n}.2718281" for n in range(900)), encoding="utf-8")
    monkeypatch.syspath_prepend(str(tmp_path))
    import more_constants

    assert more_constants.__name__ in sys.modules
    assert _drawn() == before


def test_hypothesis_still_asks_the_function_that_is_replaced() -> None:
    assert "NO_CONSTANTS" in providers._get_local_constants.__code__.co_names
    assert not providers.HypothesisProvider(None)._local_constants.floats
