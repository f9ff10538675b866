"""How far the check of one request goes: it stops after `FAULTS_MAX` errors, so that a wrong body costs no more than a
right one and its problem stays short."""

from __future__ import annotations

from collections.abc import Hashable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar

from marshmallow import ValidationError

__all__ = ["FAULTS_MAX", "Check", "checking", "current_check", "leaves", "unchecked"]

FAULTS_MAX = 50
"""Errors after which the check stops. [number]"""


def leaves(messages: object) -> int:
    """How many errors marshmallow's messages hold (`messages`). [number]"""
    if isinstance(messages, dict) and not {"detail", "code"} <= messages.keys():
        return sum(map(leaves, messages.values()))
    return sum(map(leaves, messages)) if isinstance(messages, list) else 1


class Check:
    """What the check of one request found so far."""

    __slots__ = ("_listed", "_most", "found", "skipped")

    def __init__(self, most: float = FAULTS_MAX) -> None:
        self._most = most
        self._listed: set[Hashable] = set()
        self.found = 0
        self.skipped = 0

    @property
    def over(self) -> bool:
        """Whether the check has stopped. [yes or no]"""
        return self.found >= self._most

    def skip(self, places: int) -> None:
        """Count what is not looked at any more (`places`: fields or items) [number]."""
        self.skipped += places

    def note(self, before: int, error: ValidationError) -> None:
        """Count the errors of a field (`before`: `found` when its check began, `error`: all it raised)."""
        self.found = max(self.found, before + leaves(error.messages))

    def first(self, names: Hashable) -> bool:
        """Whether a list of known names has not been shown yet; from then on it has (`names`: what identifies it)."""
        if self._most == float("inf"):
            return True
        known = names in self._listed
        self._listed.add(names)
        return not known


_UNLIMITED = Check(float("inf"))
_current: ContextVar[Check] = ContextVar("current_check", default=_UNLIMITED)


def current_check() -> Check:
    """The check that governs what is loaded now; outside a request one that never stops."""
    return _current.get()


@contextmanager
def checking() -> Iterator[Check]:
    """Let a new check govern what is loaded inside the block; what it skipped goes with the error it ends in."""
    check = Check()
    token = _current.set(check)
    try:
        yield check
    except ValidationError as error:
        error.kwargs["not_checked"] = check.skipped
        raise
    finally:
        _current.reset(token)


@contextmanager
def unchecked() -> Iterator[None]:
    """Load something beforehand inside the block: its errors count once, when the check comes to it."""
    token = _current.set(_UNLIMITED)
    try:
        yield
    finally:
        _current.reset(token)
