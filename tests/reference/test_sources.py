"""Sources say how they were read."""

from __future__ import annotations

from kettlewright.reference import SOURCES


def test_sources_say_how_they_were_read() -> None:
    for key, source in SOURCES.items():
        assert source.key == key
        assert any(word in source.how_read for word in ("read", "computed", "memory", "second-hand", "own decision",
                                                       "common practice"))
