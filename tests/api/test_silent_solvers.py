"""Nothing of a solver, and no warning of a library, reaches stdout, stderr or the log."""

from __future__ import annotations

import logging
import random
import warnings
from contextlib import suppress
from typing import Any

import pytest
from kettlewright.api import endpoints
from kettlewright.api.document.openapi import examples_of
from kettlewright.api.door.operations import OPERATIONS, run
from kettlewright.errors import DomainError, DomainErrors
from marshmallow import ValidationError
from siege.families import FAMILIES

assert endpoints
SOLVED = ("purchases", "schedules", "moulds", "blends", "cure", "fades")


def _bodies(name: str) -> list[dict[str, Any]]:
    """Examples, and requests at random: some have no answer, some stop at a limit of nodes."""
    rng = random.Random(5)
    found = [example["body"] for example in examples_of(name)]
    for family in FAMILIES:
        if family.operation == name:
            made = (family.body(family.draw(rng)) for _ in range(6))
            found += [body for body in made if body is not None]
    return found


@pytest.mark.parametrize("name", SOLVED)
def test_a_solver_says_nothing(name: str, capfd: pytest.CaptureFixture[str], caplog: pytest.LogCaptureFixture) -> None:
    caplog.set_level(logging.DEBUG)
    with warnings.catch_warnings(record=True) as warned:
        warnings.simplefilter("always")
        for body in _bodies(name):
            with suppress(DomainError, DomainErrors, ValidationError):  # no answer is an answer
                run(OPERATIONS[name], body)
    assert capfd.readouterr() == ("", "")
    assert [str(one.message) for one in warned] == []
    assert caplog.records == []
