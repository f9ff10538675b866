"""schemathesis against the service: every check, the same cases each time. A longer run, also over HTTP: make fuzz.

One part of the cases is made from the schemas; nearly all of those are refused, since no schema can say that shares add
up to 100. Three times as many are random requests that make sense, a quarter of them with one change; most of those
are answered, so the checks also see what a right reply looks like. schemathesis has some 39,000 cases at the boundaries
of the schemas besides; they take over a minute and run with FUZZ_BOUNDARIES=1 only.
"""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Iterator
from typing import Any
from urllib.parse import parse_qs

import pytest
import schemathesis
from digest.draw import Draw
from digest.random_requests import request_of
from digest.spoil import spoiled
from hypothesis import HealthCheck, settings
from kettlewright.api import endpoints
from kettlewright.api.door.operations import OPERATIONS
from kettlewright.app import create_app
from schemathesis.specs.openapi.checks import positive_data_acceptance

assert endpoints
URL = os.environ.get("FUZZ_URL", "")
COUNT = int(os.environ.get("FUZZ_EXAMPLES", "12"))
schema = schemathesis.openapi.from_url(f"{URL}/openapi.json") if URL else schemathesis.openapi.from_wsgi(
    "/openapi.json", create_app())
# an address or a body that is too long is refused before anything in it is looked at
schema.config.checks.negative_data_rejection.expected_statuses += ["413", "414"]
schema.config.phases.coverage.enabled = os.environ.get("FUZZ_BOUNDARIES") == "1"
MODEST = settings(max_examples=COUNT, derandomize=True, database=None, deadline=None,
                  suppress_health_check=list(HealthCheck))
statuses: dict[str, Counter[int]] = {"from schemas": Counter(), "random requests": Counter()}


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
def test_random_requests_are_answered_and_keep_the_contract(name: str) -> None:
    found: Counter[int] = Counter()
    for number in range(3 * COUNT):
        draw = Draw(f"{name}/{number}")
        made = request_of(draw, name)
        if draw.chance(0.25):
            made = spoiled(draw, made)
        operation = OPERATIONS[made["operation"]]  # one with a body, or its twin by address
        case = schema[operation.path][operation.method].Case(**_parts(operation.path, made))
        found[check(case, "random requests")] += 1
    # a quarter is spoilt on purpose, and of 36 cases that quarter varies by five
    assert found[200] >= 0.6 * found.total(), found


def _parts(template: str, made: dict[str, Any]) -> dict[str, Any]:
    """A request by the names that schemathesis gives to its parts (`template`: of the path, `made`: the request)."""
    path, _, query = made["path"].partition("?")
    parts: dict[str, Any] = {"query": {key: values if len(values) > 1 else values[0]
                                       for key, values in parse_qs(query).items()}}
    if "{key}" in template:
        parts["path_parameters"] = {"key": path.rsplit("/", 1)[1]}
    if "accept" in made:
        parts["headers"] = {"Accept": made["accept"]}
    if "body" in made:
        parts |= {"body": made["body"], "media_type": "application/json"}
    return parts
