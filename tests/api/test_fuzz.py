"""schemathesis against the service: every check, the same cases each time. A longer run, also over HTTP: make fuzz.

One part of the cases is made from the schemas; nearly all of those are refused, since no schema can say that shares add
up to 100. Three times as many are made from the examples of the contract with a few changes; most of those are
answered, so the checks also see what a right reply looks like. schemathesis has some 39,000 cases at the boundaries of
the schemas besides; they take over a minute and run with KETTLEWRIGHT_FUZZ_BOUNDARIES=1 only.
"""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Iterator
from typing import Any

import pytest
import schemathesis
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from kettlewright.api import routes
from kettlewright.api.door.operations import OPERATIONS
from kettlewright.app import create_app
from schemathesis.specs.openapi.checks import positive_data_acceptance

from api.near_examples import near_examples

assert routes
URL = os.environ.get("KETTLEWRIGHT_FUZZ_URL", "")
COUNT = int(os.environ.get("KETTLEWRIGHT_FUZZ_EXAMPLES", "12"))
schema = schemathesis.openapi.from_url(f"{URL}/openapi.json") if URL else schemathesis.openapi.from_wsgi(
    "/openapi.json", create_app())
# an address or a body that is too long is refused before anything in it is looked at
schema.config.checks.negative_data_rejection.expected_statuses += ["413", "414"]
schema.config.phases.coverage.enabled = os.environ.get("KETTLEWRIGHT_FUZZ_BOUNDARIES") == "1"
MODEST = settings(max_examples=COUNT, derandomize=True, database=None, deadline=None,
                  suppress_health_check=list(HealthCheck))
statuses: dict[str, Counter[int]] = {"from schemas": Counter(), "near examples": Counter()}


@pytest.fixture(scope="module", autouse=True)
def report(request: pytest.FixtureRequest) -> Iterator[None]:
    """At the end: how many cases were answered with what."""
    yield
    with request.config.pluginmanager.getplugin("capturemanager").global_and_fixture_disabled():
        total = sum(statuses.values(), Counter())
        for name, found in {**statuses, "all": total}.items():
            if found:
                print(f"\nfuzz, {name}: {found.total()} cases, {found[200] / found.total():.0%} of them answered 200; "
                      f"{dict(sorted(found.items()))}", end="")
    if all(statuses.values()) and not schema.config.phases.coverage.enabled:  # both parts ran
        assert total[200] >= total.total() / 3


def check(case: schemathesis.Case, kind: str) -> int:
    """Call the service and let every check look at its answer (`case`, `kind`: of the case)."""
    reply = case.call()
    # readable and well-formed may still be wrong (422)
    case.validate_response(reply, excluded_checks=[positive_data_acceptance])
    assert reply.status_code < 500
    statuses[kind][reply.status_code] += 1
    return int(reply.status_code)


@schema.parametrize()
@MODEST
def test_the_service_keeps_its_contract(case: schemathesis.Case) -> None:
    check(case, "from schemas")


@pytest.mark.parametrize("name", [found.name for found in OPERATIONS.values() if found.group != "service"])
def test_near_its_examples_the_service_answers_and_keeps_its_contract(name: str) -> None:
    operation = OPERATIONS[name]
    described = schema[operation.path][operation.method]
    found: Counter[int] = Counter()

    @settings(MODEST, max_examples=3 * COUNT)
    @given(st.data())
    def run(data: st.DataObject) -> None:
        made: dict[str, Any] = data.draw(near_examples(name))
        found[check(described.Case(media_type="application/json" if "body" in made else None, **made),
                    "near examples")] += 1

    run()
    assert found[200] >= 0.35 * found.total(), found
