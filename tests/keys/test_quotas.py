"""Quotas: both edges, CPU time, the turn of the month on an injected clock, many threads."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta, timezone

import pytest
from kettlewright.keys import Quotas, new_key, seconds_to_next_month

KEY = new_key("anna", made=date(2027, 1, 1), requests_per_month=3, cpu_seconds_per_month=10)[1]
OTHER = replace(KEY, key_id="00000000")


class Clock:
    def __init__(self, now: datetime) -> None:
        self.now = now

    def __call__(self) -> datetime:
        return self.now


def test_the_last_request_of_a_quota_is_taken_and_the_next_is_not() -> None:
    quotas = Quotas(Clock(datetime(2027, 1, 15, tzinfo=UTC)))
    assert [quotas.take(KEY) for _ in range(5)] == [None, None, None, "requests", "requests"]
    assert quotas.used(KEY) == (3, 0.0)  # a refused request is not counted
    assert quotas.take(OTHER) is None  # each key has its own
    free = replace(KEY, key_id="11111111", requests_per_month=None, cpu_seconds_per_month=None)
    assert [quotas.take(free) for _ in range(100)] == [None] * 100


def test_cpu_seconds_are_used_up_when_they_reach_the_quota() -> None:
    quotas = Quotas(Clock(datetime(2027, 1, 15, tzinfo=UTC)))
    quotas.charge(KEY, 9.999)
    assert quotas.take(KEY) is None
    quotas.charge(KEY, 0.001)
    assert quotas.take(KEY) == "cpu_seconds"
    quotas.charge(KEY, 5)  # of a request that was begun before
    assert quotas.used(KEY) == (1, 15.0)
    assert quotas.take(OTHER) is None


@pytest.mark.parametrize(("last", "first"), [
    (datetime(2027, 1, 31, 23, 59, 59, 999_999, tzinfo=UTC), datetime(2027, 2, 1, tzinfo=UTC)),
    (datetime(2027, 12, 31, 23, 59, 59, tzinfo=UTC), datetime(2028, 1, 1, tzinfo=UTC)),
    (datetime(2028, 2, 29, 23, 59, 59, tzinfo=UTC), datetime(2028, 3, 1, tzinfo=UTC)),
    # on a clock an hour ahead the month of UTC turns at one o'clock
    (datetime(2027, 2, 1, 0, 59, 59, tzinfo=timezone(timedelta(hours=1))),
     datetime(2027, 2, 1, 1, 0, tzinfo=timezone(timedelta(hours=1))))])
def test_a_quota_begins_anew_with_the_month(last: datetime, first: datetime) -> None:
    clock = Clock(last)
    quotas = Quotas(clock)
    for _ in range(3):
        assert quotas.take(KEY) is None
    quotas.charge(KEY, 10)
    assert quotas.take(KEY) == "requests"
    clock.now = first
    assert quotas.used(KEY) == (0, 0.0)
    assert [quotas.take(KEY) for _ in range(4)] == [None, None, None, "requests"]


def test_the_same_month_of_another_year_is_another_month() -> None:
    clock = Clock(datetime(2027, 5, 5, tzinfo=UTC))
    quotas = Quotas(clock)
    quotas.charge(KEY, 10)
    clock.now = datetime(2028, 5, 5, tzinfo=UTC)
    assert quotas.take(KEY) is None


def test_a_clock_set_back_a_day_locks_nobody_out() -> None:
    clock = Clock(datetime(2027, 3, 1, 12, tzinfo=UTC))
    quotas = Quotas(clock)
    for _ in range(3):
        quotas.take(KEY)
    clock.now -= timedelta(hours=6)
    assert quotas.take(KEY) == "requests"  # still the same month
    clock.now = datetime(2027, 2, 28, 12, tzinfo=UTC)
    assert quotas.take(KEY) is None


def test_threads_together_get_no_more_than_the_quota() -> None:
    quotas = Quotas(Clock(datetime(2027, 1, 15, tzinfo=UTC)))
    key = replace(KEY, requests_per_month=500, cpu_seconds_per_month=None)
    with ThreadPoolExecutor(8) as pool:
        taken = list(pool.map(lambda _: quotas.take(key), range(2000)))
        list(pool.map(lambda _: quotas.charge(key, 0.5), range(2000)))
    assert taken.count(None) == 500
    assert quotas.used(key) == (500, 1000.0)


@pytest.mark.parametrize(("now", "seconds"), [
    (datetime(2027, 1, 31, 23, 59, 59, tzinfo=UTC), 1), (datetime(2027, 1, 31, 23, 59, 59, 1, tzinfo=UTC), 1),
    (datetime(2027, 1, 31, 23, 59, 58, 999_999, tzinfo=UTC), 2), (datetime(2027, 2, 1, tzinfo=UTC), 28 * 86_400),
    (datetime(2028, 2, 1, tzinfo=UTC), 29 * 86_400), (datetime(2027, 12, 1, tzinfo=UTC), 31 * 86_400),
    (datetime(2027, 12, 31, 12, tzinfo=UTC), 43_200),
    (datetime(2027, 2, 1, 0, 30, tzinfo=timezone(timedelta(hours=1))), 1_800)])
def test_the_wait_ends_with_the_month_of_utc(now: datetime, seconds: int) -> None:
    assert seconds_to_next_month(now) == seconds
