"""Replies in other forms than JSON: the lines of a CSV, one figure as text."""

from __future__ import annotations

import csv
import io

from werkzeug.test import TestResponse

BY_LINK = "/v1/lye?fat=olive,mass:700&fat=coconut,mass:300&superfat_pct=5&alkali=NaOH,purity:98&water=water_to_alkali:2"


def rows(reply: TestResponse) -> list[list[str]]:
    """The lines of a reply in CSV."""
    assert reply.status_code == 200, reply.text
    assert reply.content_type == "text/csv; charset=utf-8; header=present"
    return lines_of(reply.data.decode("utf-8"))


def lines_of(text: str) -> list[list[str]]:
    """The lines of a CSV, its form checked as RFC 4180 has it."""
    assert not text.startswith("\ufeff")
    assert text.endswith("\r\n")
    assert "\n" not in text.replace("\r\n", "")
    found = list(csv.reader(io.StringIO(text, newline=""), strict=True))
    assert {len(row) for row in found} == {len(found[0])}
    return found


def figure(reply: TestResponse) -> str:
    assert reply.status_code == 200, reply.text
    assert reply.content_type == "text/plain; charset=utf-8"
    return reply.text
