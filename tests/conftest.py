"""What every test may use: one client of the service, and the settings of hypothesis."""

from __future__ import annotations

import pytest
from flask.testing import FlaskClient
from hypothesis import settings
from hypothesis.internal.conjecture import providers

settings.register_profile("kettlewright", derandomize=True, database=None, deadline=None, max_examples=60)
settings.load_profile("kettlewright")

# Hypothesis also draws the constants it finds in every module that is loaded, so that an example would depend on
# which tests run beside it. It has no setting for that; `tests/test_independence.py` notices if this name goes.
NO_CONSTANTS = providers.Constants()
providers._get_local_constants = lambda: NO_CONSTANTS


def pytest_configure(config: pytest.Config) -> None:
    config.addinivalue_line("markers", "long: a longer run, a target of its own")


@pytest.fixture(scope="session")
def client() -> FlaskClient:
    """A client of one service, which keeps nothing between requests."""
    from kettlewright.app import create_app
    from kettlewright.settings import Settings

    # where other tests take the processors, a calculation needs many times its usual seconds
    return create_app(Settings(heavy_seconds=100)).test_client()
