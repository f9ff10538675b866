"""When a request is made again, and how long to wait before."""

from __future__ import annotations

import random
import time
from collections.abc import Mapping
from datetime import UTC, datetime
from email.utils import parsedate_to_datetime

__all__ = ["LONGEST_PAUSE_S", "REPEATABLE", "asked_pause", "pause_before"]

REPEATABLE = frozenset({429, 502, 503, 504})
LONGEST_PAUSE_S = 8.0
_FIRST_PAUSE_S = 0.25


def pause_before(attempt: int, headers: Mapping[str, str] | None = None) -> float:
    """How long to wait before a request is made again.

    Parameters
    ----------
    attempt : int
        How many went wrong before the last. [times]
    headers : mapping, optional
        Of the reply that said to come again. [text]

    Returns
    -------
    float : twice as long each time, with jitter, and no shorter than the service asks; never beyond a ceiling. [s]
    """
    own = min(_FIRST_PAUSE_S * 2.0 ** min(attempt, 20), LONGEST_PAUSE_S) * random.uniform(0.5, 1.0)
    return min(max(own, asked_pause(headers or {})), LONGEST_PAUSE_S)


def asked_pause(headers: Mapping[str, str]) -> float:
    """What Retry-After asks for, in seconds or as a date (RFC 9110, 10.2.3).

    A date is counted from the reply's own Date where it has one, so that two clocks need not agree.

    Parameters
    ----------
    headers : mapping
        Of a reply. [text]

    Returns
    -------
    float : 0 where nothing that can be read is asked. [s]
    """
    told = headers.get("Retry-After", "").strip()
    if told.isascii() and told.isdigit():
        return float(told)
    until = _seconds_of(told)
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
