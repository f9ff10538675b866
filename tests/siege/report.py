"""The table of a siege, as Markdown."""

from __future__ import annotations

import os
import platform
from collections.abc import Sequence

from siege.floods import Flood
from siege.protocol import Outcome
from siege.wrong_bodies import WrongBodies

__all__ = ["BEFORE_CPU_S", "Row", "flood_table", "head", "protocol_table", "table", "wrong_table"]

BEFORE_CPU_S = {"moulds": 16.4, "batches": 21.2, "labels": 24.4, "costs": 13.6, "actuals": 12.3, "schedules": 7.4,
                "purchases": 6.9, "lye": 3.9}
"""Worst seconds of CPU found by hand before limits were set, by operation. [s]"""

Row = Sequence[object]


def table(head: Row, rows: Sequence[Row]) -> str:
    """A table (`head`, `rows`)."""
    lines = [head, ["---"] * len(head), *rows]
    return "\n".join("| " + " | ".join(str(cell) for cell in line) + " |" for line in lines) + "\n"


def head(command: str) -> str:
    """What was measured, and with what (`command`)."""
    memory = os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES") / 2**30
    return (f"# Siege\n\nWritten by `{command}`. Machine: {os.cpu_count()} processors, shared with other programs; "
            f"{memory:.0f} GiB; CPython {platform.python_version()}, {platform.system()}. Seconds of CPU are those of "
            "the whole process; a processor that is shared makes them up to a third larger.\n\n")


def _statuses(found: dict[int, int]) -> str:
    return ", ".join(f"{count} x {status or 'no answer'}" for status, count in found.items())


def flood_table(rows: Sequence[tuple[str, Flood]]) -> str:
    """Floods by name (`rows`)."""
    return table(
        ["flood", "at once", "answers", "503 without Retry-After", "probes lost", "probe: median / longest, s"],
        [[name, one.count, _statuses(one.statuses), one.without_retry_after, *one.probes.in_words().split(" | ")]
         for name, one in rows])


def wrong_table(rows: Sequence[WrongBodies]) -> str:
    """Wrong bodies (`rows`)."""
    return table(["64 at once of 262 kB", "answers", "largest answer, kB", "memory together, MB", "workers lost"],
                 [[one.name, _statuses(one.statuses), f"{one.largest_answer / 1000:.1f}", f"{one.memory_mb:.0f}",
                   one.workers_lost] for one in rows])


def protocol_table(rows: Sequence[Outcome]) -> str:
    """Protocol (`rows`)."""
    return table(["sent", "status", "right", "s"], [[one.name, one.status or "closed", "yes" if one.right else "NO",
                                                     f"{one.seconds:.2f}"] for one in rows])
