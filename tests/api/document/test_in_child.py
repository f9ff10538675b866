"""What a child process makes is read by its parent; if the child fails, the parent makes it."""

from __future__ import annotations

import os

import pytest
from kettlewright.api.document import in_child
from kettlewright.api.document.in_child import made_in_child


def test_it_is_made_in_another_process_and_read_as_often_as_wanted() -> None:
    result = made_in_child(lambda: {"pid": os.getpid(), "text": "x" * 1_000_000})
    assert result() == result()
    assert result()["pid"] != os.getpid()


def test_what_the_child_cannot_make_is_made_here(monkeypatch: pytest.MonkeyPatch) -> None:
    here = os.getpid()

    def make() -> str:
        if os.getpid() != here:
            raise RuntimeError("not in a child")
        return "made here"

    monkeypatch.setattr(in_child, "_WAIT_SECONDS", 0.3)
    assert made_in_child(make)() == "made here"
