"""A soak: the service under 70 % of its load for a time, through our client, with its memory watched.

    make soak MINUTES=30

It uses the loopback only, and writes its table to tests/benchmarks/SOAK.md every minute, so that a stop loses nothing.
It ends with 1 where a limit is broken.
"""

from __future__ import annotations

import argparse
import os
import signal
import sys
import tempfile
import time
from pathlib import Path

from api.gunicorn import running

from soak.load import Call, Callers, calls_made
from soak.memory import Memory, workers_of
from soak.report import Soak, page, write

OUT = Path(__file__).resolve().parents[1] / "benchmarks" / "SOAK.md"
_MEASURE_S, _SETTLE_S = 20.0, 5.0
_SHARE = 0.7
_GIVES_WAY = ("nice", "-n", "5")
"""The callers stand for other machines: where the processors are short, they must not be what is late. [words]"""


def _await_first(callers: Callers) -> None:
    """Until the processes have started and a call was made (`callers`)."""
    for _ in range(600):
        if callers.calls:
            return
        time.sleep(0.1)
    raise AssertionError("no call was made within a minute")


def capacity_of(port: int) -> float:
    """Calls a second that are answered when all callers call without a pause (`port`). [1/s]"""
    with calls_made(port, None) as callers:
        _await_first(callers)
        time.sleep(_SETTLE_S)
        begun = time.monotonic()
        time.sleep(_MEASURE_S)
        ended = time.monotonic()
    return sum(begun <= one.begun_s < ended and not one.lost for one in callers.take()) / (ended - begun)


def main() -> int:
    """Run it and write the table."""
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--minutes", type=float, default=30.0, metavar="M", help="how long (30)")
    options.add_argument("--out", type=Path, default=OUT, help="where the table goes")
    chosen = options.parse_args()
    # a stop ends the block below as an interrupt does, so that no process is left behind
    signal.signal(signal.SIGTERM, signal.default_int_handler)
    os.environ["GUNICORN_CMD_ARGS"] = "--max-requests 0"
    with tempfile.TemporaryDirectory(prefix="soak-") as made, running(Path(made), prefix=_GIVES_WAY) as service:
        print("measuring how much it can answer ...", flush=True)
        capacity = capacity_of(service.port)
        soak = Soak(f"make soak MINUTES={chosen.minutes:g}", chosen.minutes, capacity, capacity * _SHARE)
        print(f"{capacity:.0f} a second; sending {soak.rate:.0f} a second for {chosen.minutes:g} minutes", flush=True)
        _soak(soak, service.port, service.process.pid, chosen.out)
    print(f"written to {chosen.out}", *(["Limits broken:", *soak.broken] if soak.broken else ["No limit was broken."]),
          sep="\n")
    return 1 if soak.broken else 0


def _soak(soak: Soak, port: int, pid: int, out: Path) -> None:
    first_workers = set(workers_of(pid))
    with Memory(pid) as memory, calls_made(port, soak.rate) as callers:
        _await_first(callers)
        begun, done, waiting = time.monotonic(), 0, list[Call]()
        warm = begun + min(300.0, soak.minutes * 12)
        last = begun + soak.minutes * 60
        while (now := time.monotonic()) < last:
            time.sleep(min(begun + (done + 1) * 60, last) - now)
            since, until = begun + done * 60, time.monotonic()
            done += 1
            calls = callers.take()
            soak.add(calls)
            waiting += calls
            of_minute = [one for one in waiting if one.begun_s < until]
            waiting = [one for one in waiting if one.begun_s >= until]
            soak.growth = memory.since(warm)
            soak.workers_ended = len(first_workers - set(workers_of(pid)))
            soak.add_minute(str(done), of_minute, until - since, memory.at(until))
            write(page(soak, (until - begun) / 60, over=until >= last), out)
            print(" | ".join(str(cell) for cell in soak.rows[-1]), flush=True)
    soak.add(callers.take())
    write(page(soak, soak.minutes, over=True), out)


if __name__ == "__main__":
    sys.exit(main())
