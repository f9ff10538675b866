"""When to repeat a request, and how long to wait first."""

from __future__ import annotations

import random
import time
from collections.abc import Mapping
from datetime import UTC, datetime
from email.utils import parsedate_to_datetime

__all__ = ["LONGEST_PAUSE_S", "REPEATABLE", "pause_before", "requested_pause"]

REPEATABLE = frozenset({429, 502, 503, 504})
LONGEST_PAUSE_S = 8.0
_FIRST_PAUSE_S = 0.25


def pause_before(attempt: int, headers: Mapping[str, str] | None = None) -> float:
    """How long to wait before a request is repeated.

    Parameters
    ----------
    attempt : int
        How many attempts failed before the last one. [times]
    headers : mapping, optional
        Headers of the last reply. [text]

    Returns
    -------
    float : doubles each time, with jitter, and at least Retry-After; at most `LONGEST_PAUSE_S`. [s]
    """
    own = min(_FIRST_PAUSE_S * 2.0 ** min(attempt, 20), LONGEST_PAUSE_S) * random.uniform(0.5, 1.0)
    return min(max(own, requested_pause(headers or {})), LONGEST_PAUSE_S)


def requested_pause(headers: Mapping[str, str]) -> float:
    """Read Retry-After, in seconds or as a date (RFC 9110, 10.2.3).

    A date counts from the reply's own Date header if there is one, so that the clocks need not agree.

    Parameters
    ----------
    headers : mapping
        Headers of a reply. [text]

    Returns
    -------
    float : 0 if there is none that can be read. [s]
    """
    value = headers.get("Retry-After", "").strip()
    if value.isascii() and value.isdigit():
        return float(value)
    until = _seconds_of(value)
    if until is None:
        return 0.0
    now = _seconds_of(headers.get("Date", ""))
    return max(until - (time.time() if now is None else now), 0.0)


def _seconds_of(date: str) -> float | None:
    try:
        found: datetime = parsedate_to_datetime(date)
        return (found if found.tzinfo else found.replace(tzinfo=UTC)).timestamp()
    except (TypeError, ValueError, IndexError, OverflowError):
        return None
