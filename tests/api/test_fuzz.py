"""schemathesis against the app in process: every check, the same cases each time. A longer run: make fuzz."""

from __future__ import annotations

import os

import schemathesis
from hypothesis import HealthCheck, settings
from kettlewright.app import create_app
from schemathesis.specs.openapi.checks import positive_data_acceptance

schema = schemathesis.openapi.from_wsgi("/openapi.json", create_app())


@schema.parametrize()
@settings(max_examples=int(os.environ.get("KETTLEWRIGHT_FUZZ_EXAMPLES", "40")), derandomize=True, database=None,
          deadline=None, suppress_health_check=list(HealthCheck))
def test_the_service_keeps_its_contract(case: schemathesis.Case) -> None:
    reply = case.call()
    # no schema can say that shares add up to 100: readable and well-formed may still be wrong (422)
    case.validate_response(reply, excluded_checks=[positive_data_acceptance])
    assert reply.status_code < 500
