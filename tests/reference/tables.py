"""The files of the tables, as they are and spoiled."""

from __future__ import annotations

from importlib import resources

FOLDER = resources.files("kettlewright.reference")


def table(name: str, before: str = "", after: str = "") -> str:
    text = FOLDER.joinpath(name).read_text(encoding="utf-8")
    assert before in text
    return text.replace(before, after, 1) if before else text
