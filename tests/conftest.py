"""Short ways to say a recipe in a test."""

from __future__ import annotations

import pytest
from hypothesis import settings

settings.register_profile("kettlewright", derandomize=True, database=None, deadline=None, max_examples=60)
settings.load_profile("kettlewright")


def pytest_configure(config: pytest.Config) -> None:
    config.addinivalue_line("markers", "long: a longer run, a target of its own")
