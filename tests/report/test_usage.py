"""Sums of the report: the same as those of a library for tables, and of bounded size."""

from __future__ import annotations

import random

import pandas as pd
import pytest
from kettlewright.report import LoggedRequest, usage_of


def drawn_requests(count: int) -> list[LoggedRequest]:
    drawn = random.Random(7)
    return [LoggedRequest(f"2026-{drawn.choice((9, 10, 11)):02d}-{drawn.randint(1, 30):02d}",
                  drawn.choice(("mill-lane", "north-quay", "(no key)")), drawn.choice(("lye", "batches", "cuts")),
                  drawn.choice((200, 200, 200, 304, 400, 422, 429, 500, 503)), drawn.expovariate(0.1),
                  drawn.expovariate(0.2), drawn.randrange(5_000), drawn.randrange(90_000)) for _ in range(count)]


ENTRIES = drawn_requests(1_500)
FRAME = pd.DataFrame([{name: getattr(one, name) for name in LoggedRequest.__slots__} for one in ENTRIES])
FRAME["month"] = FRAME["day"].str[:7]


def test_members_and_months_are_summed_as_a_library_for_tables_sums_them() -> None:
    usage = usage_of(ENTRIES)
    wanted = FRAME.groupby(["month", "member"])
    assert set(usage.by_member) == set(wanted.groups)
    for key, rows in wanted:
        found = usage.by_member[key]
        assert (found.requests, found.request_bytes, found.reply_bytes) == (
            len(rows), rows["request_bytes"].sum(), rows["reply_bytes"].sum())
        assert (found.refused, found.failed) == (rows["status"].between(400, 499).sum(), (rows["status"] >= 500).sum())
        assert found.cpu_milliseconds == pytest.approx(rows["cpu_milliseconds"].sum())


def test_operations_days_and_statuses_are_summed_too() -> None:
    usage = usage_of(ENTRIES)
    for name, rows in FRAME.groupby("operation"):
        sums, times = usage.by_operation[str(name)]
        assert sums.requests == times.count == len(rows)
        exact = sorted(rows["milliseconds"])[-(-95 * len(rows) // 100) - 1]  # nearest rank
        assert times.at(0.95) == pytest.approx(exact, rel=0.0101)
    assert {day: sums.requests for day, sums in usage.by_day.items()} == FRAME["day"].value_counts().to_dict()
    assert dict(usage.statuses) == FRAME["status"].value_counts().to_dict()
    assert usage.total.requests == usage.times.count == len(FRAME)


@pytest.mark.parametrize(("member", "month"), [("mill-lane", None), (None, "2026-10"), ("north-quay", "2026-11"),
                                               ("nobody", None), (None, "2025-01")])
def test_a_report_on_a_member_or_a_month_holds_its_requests_only(member: str | None, month: str | None) -> None:
    usage = usage_of(ENTRIES, member=member, month=month)
    rows = FRAME[((FRAME["member"] == member) | (member is None)) & ((FRAME["month"] == month) | (month is None))]
    assert usage.total.requests == len(rows)
    assert usage.total.cpu_milliseconds == pytest.approx(rows["cpu_milliseconds"].sum())


def test_names_without_end_do_not_make_it_grow_and_nothing_is_left_out() -> None:
    usage = usage_of(LoggedRequest(f"{1000 + number}-01-01", f"m{number}", f"o{number}", 200, 1.0, 1.0, 1, 1)
                     for number in range(6_000))
    assert usage.total.requests == 6_000
    for found, most in ((usage.by_member, 1_001), (usage.by_operation, 201), (usage.by_day, 4_001)):
        assert len(found) == most
    assert sum(sums.requests for sums in usage.by_member.values()) == 6_000
    assert sum(sums.requests for sums in usage.by_day.values()) == 6_000
