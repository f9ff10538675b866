"""What a report says, in the same order for text and page: figures, tables, and the requests of each day."""

from __future__ import annotations

import calendar
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from kettlewright.report.lines import NO_KEY, NO_OPERATION, Tally
from kettlewright.report.percentiles import RELATIVE_ERROR, Percentiles
from kettlewright.report.usage import OTHERS, Sums, Usage

__all__ = ["Bar", "Outline", "Table", "outline_of"]

_SLOWEST = 5
_MOST_BARS = 62
_MEANINGS = {
    400: "The request could not be read: broken JSON, or an address that does not follow the rules.",
    401: "No key, or one that is not valid.",
    403: "The key does not allow this, or a page of another site sent it.",
    404: "There is nothing at this address.",
    405: "The address exists, but not for this method.",
    406: "The reply does not exist in the requested format.",
    408: "The request did not arrive in time.",
    413: "The body was too large.",
    414: "The address was too long; send it as POST.",
    415: "The body was not JSON in UTF-8.",
    421: "The host name is unknown; put it into KETTLEWRIGHT_HOSTS if it is yours.",
    422: "A value was not valid; the reply said which and what is allowed.",
    429: "The quota was used up, or too many requests came at once.",
    431: "The headers were too large.",
    500: "A fault of the service. Find the line with the same request id in the log, and report it.",
    502: "The service did not answer the proxy.",
    503: "All slots were busy, or the calculation reached its limit of seconds.",
    504: "The service did not answer the proxy in time.",
}


@dataclass(frozen=True, slots=True)
class Table:
    """A table.

    Parameters
    ----------
    title, note : str
        Above it. [text]
    header : tuple of str
        Of its columns; the first is text, and so is the last where `text_last`. [text]
    rows : tuple of tuple of str
        As printed. [text]
    text_last : bool
        The last column is a sentence. [yes or no]
    """

    title: str
    note: str
    header: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    text_last: bool = False


@dataclass(frozen=True, slots=True)
class Bar:
    """Requests of a day or a month.

    Parameters
    ----------
    label, short : str
        The day or month, and in a few letters. [text]
    requests, failed : int
        All; of these not answered with a result. [requests]
    """

    label: str
    short: str
    requests: int
    failed: int


@dataclass(frozen=True, slots=True)
class Outline:
    """A report.

    Parameters
    ----------
    title, period : str
        What it is about. [text]
    figures : tuple of (str, str)
        The main figures, each with its name. [text]
    bars_title : str
        What the bars are. [text]
    bars : tuple of Bar
        In the order of time. [bars]
    tables : tuple of Table
        In order. [tables]
    notes : tuple of str
        On what was read. [sentences]
    """

    title: str
    period: str
    figures: tuple[tuple[str, str], ...]
    bars_title: str
    bars: tuple[Bar, ...]
    tables: tuple[Table, ...]
    notes: tuple[str, ...]


def outline_of(usage: Usage, tally: Tally) -> Outline:
    """What to say.

    Parameters
    ----------
    usage : Usage
        The sums. [sums]
    tally : Tally
        The lines that were read. [lines]

    Returns
    -------
    Outline
    """
    total, times = usage.total, usage.times
    whose = usage.member or "All members"
    title = f"{whose}: {_month(usage.month)}" if usage.month else f"{whose}: use of the service"
    bars_title, bars = _bars(usage)
    days = sorted(day for day in usage.by_day if day != OTHERS)
    tables: list[Table] = []
    if total.requests:
        if usage.member is None:
            tables.append(_members(usage))
        tables += [_operations(usage), _slowest(usage), _errors(usage)]
    return Outline(title, f"{_day(days[0])} to {_day(days[-1])} (UTC)" if days else "No requests.",
                   _figures(total, times), bars_title, bars, tuple(table for table in tables if table.rows),
                   tuple(_notes(tally)))


def _figures(total: Sums, times: Percentiles) -> tuple[tuple[str, str], ...]:
    found = [("requests", f"{total.requests:,}"), ("CPU time", _duration(total.cpu_milliseconds)),
             (f"refused (4xx), {_share(total.refused, total.requests)}", f"{total.refused:,}"),
             (f"failed (5xx), {_share(total.failed, total.requests)}", f"{total.failed:,}")]
    if times.count:
        found += [("half answered within", _ms(times.at(0.5))), ("95 % answered within", _ms(times.at(0.95))),
                  ("99 % answered within", _ms(times.at(0.99)))]
    return tuple(found)


def _bars(usage: Usage) -> tuple[str, tuple[Bar, ...]]:
    """A bar for each day between the first and the last, or of the month; for each month where those are too many."""
    days = sorted(date.fromisoformat(day) for day in usage.by_day if day != OTHERS)
    if not days:
        return "", ()
    first, last = days[0], days[-1]
    if usage.month:
        first = date(int(usage.month[:4]), int(usage.month[5:]), 1)
        last = first.replace(day=calendar.monthrange(first.year, first.month)[1])
    if (last - first).days >= _MOST_BARS:
        by_month: dict[str, Sums] = {}
        for day in days:
            by_month.setdefault(f"{day:%Y-%m}", Sums()).add_all(usage.by_day[day.isoformat()])
        return "Requests per month", tuple(_bar(label, label, sums) for label, sums in by_month.items())
    found: list[Bar] = []
    for number in range((last - first).days + 1):
        day = first + timedelta(days=number)
        short = str(day.day) if usage.month else f"{day.day} {calendar.month_abbr[day.month]}"
        found.append(_bar(day.isoformat(), short, usage.by_day.get(day.isoformat(), Sums())))
    return "Requests per day", tuple(found)


def _bar(label: str, short: str, sums: Sums) -> Bar:
    return Bar(label, short, sums.requests, sums.refused + sums.failed)


def _members(usage: Usage) -> Table:
    rows = [(member, "" if month == OTHERS else month, f"{sums.requests:,}", f"{sums.refused:,}", f"{sums.failed:,}",
             _duration(sums.cpu_milliseconds), _share(sums.cpu_milliseconds, usage.total.cpu_milliseconds),
             _size(sums.request_bytes), _size(sums.reply_bytes))
            for (month, member), sums in sorted(usage.by_member.items(),
                                                key=lambda one: (one[0][0], -one[1].cpu_milliseconds, one[0][1]))]
    return Table("Members and months", "", ("member", "month", "requests", "refused", "failed", "CPU time",
                                            "of all CPU", "received", "sent"), tuple(rows))


def _operations(usage: Usage) -> Table:
    rows = [(name, f"{sums.requests:,}", _duration(sums.cpu_milliseconds),
             _ms(sums.cpu_milliseconds / sums.requests), _ms(times.at(0.5)), _ms(times.at(0.95)), _ms(times.at(0.99)),
             _ms(times.largest))
            for name, (sums, times) in sorted(usage.by_operation.items(),
                                              key=lambda one: (-one[1][0].cpu_milliseconds, one[0]))]
    return Table("Operations", "Sorted by CPU time. The time of a request ends with the end of its reply.",
                 ("operation", "requests", "CPU time", "CPU each", "p50", "p95", "p99", "longest"), tuple(rows))


def _slowest(usage: Usage) -> Table:
    slow = sorted(usage.by_operation.items(), key=lambda one: (-one[1][1].at(0.99), one[0]))[:_SLOWEST]
    return Table("Slowest operations", "Sorted by p99.",
                 ("operation", "p99", "longest", "requests"),
                 tuple((name, _ms(times.at(0.99)), _ms(times.largest), f"{sums.requests:,}")
                       for name, (sums, times) in slow))


def _errors(usage: Usage) -> Table:
    rows = [(str(status), f"{count:,}", _share(count, usage.total.requests),
             _MEANINGS.get(status, "")) for status, count in sorted(usage.statuses.items()) if status >= 400]
    return Table("Error replies", "", ("status", "requests", "share", "what it means"), tuple(rows),
                 text_last=True)


def _notes(tally: Tally) -> list[str]:
    notes = [f"Read: {tally.lines:,} lines in {tally.files:,} {'file' if tally.files == 1 else 'files'}. Requests of "
             f"all members: {tally.requests:,}; other messages of the service: {tally.messages:,}, errors among them: "
             f"{tally.errors:,}; lines of other programs: {tally.others:,}; lines that could not be read: "
             f"{tally.broken:,}.",
             "p50, p95 and p99 are the times within which 50, 95 and 99 % of the requests were answered, each within "
             f"{RELATIVE_ERROR * 100:.0f} % of the exact one. CPU time is that of all threads that worked on the "
             "requests.",
             f"{NO_KEY}: requests without a key. {NO_OPERATION}: pages, and addresses that do not exist. Probes that "
             "succeed are not in the log."]
    if tally.unreadable:
        notes.insert(0, "NOT COMPLETE, because these could not be read to their end: " + "; ".join(tally.unreadable))
    return notes


def _month(month: str) -> str:
    return f"{calendar.month_name[int(month[5:])]} {month[:4]}"


def _day(day: str) -> str:
    found = date.fromisoformat(day)
    return f"{found.day} {calendar.month_name[found.month]} {found.year}"


def _ms(milliseconds: float) -> str:
    if milliseconds >= 9_995:
        return f"{milliseconds / 1000:,.1f} s"
    return f"{milliseconds:.0f} ms" if milliseconds >= 99.5 else f"{milliseconds:.2g} ms"


def _duration(milliseconds: float) -> str:
    seconds = milliseconds / 1000
    return f"{seconds / 3600:,.2f} h" if seconds >= 36_000 else f"{seconds:,.1f} s"


def _share(part: float, total: float) -> str:
    return f"{part / total * 100:.1f} %" if total else "-"


def _size(count: int) -> str:
    for factor, unit in ((10**9, "GB"), (10**6, "MB"), (10**3, "kB")):
        if count >= factor:
            return f"{count / factor:,.1f} {unit}"
    return f"{count} B"


def widths_of(table: Table) -> Sequence[int]:
    """How wide each column is (`table`). [characters]"""
    return [max(len(row[column]) for row in (table.header, *table.rows)) for column in range(len(table.header))]
