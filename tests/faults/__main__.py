"""Faults, as a table: what was tried, requests sent, lost with our client, lost with curl.

    make faults

Three instances with one worker each run behind nginx with docker/proxy.conf, on the loopback. 4 threads send light
requests by curl, without retries, and 4 call our client as it is, while one fault at a time is made. It takes about six
minutes, needs nginx, and root for some rows; it writes its table to tests/benchmarks/FAULTS.md after every row. It ends
with 1 where a request is lost that must not be.
"""

from __future__ import annotations

import argparse
import datetime
import os
import platform
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from siege.load import Load
from siege.report import Row, table
from siege.servers import has_nginx, proxied

from faults import folders, machine, network, processes
from faults.scene import Fault, NotRun, Scene

OUT = Path(__file__).resolve().parents[1] / "benchmarks" / "FAULTS.md"
FAULTS = (*processes.FAULTS, *machine.FAULTS, *folders.FAULTS, *network.FAULTS)


def run(fault: Fault) -> tuple[Row, list[str]]:
    """One fault (`fault`): its row, and what was lost that must not be."""
    with tempfile.TemporaryDirectory(prefix="faults-") as made:
        folder = Path(made)
        try:
            start = fault.prepare(folder)
        except NotRun as missing:
            return [fault.name, "not run", "-", "not run", "-", str(missing)], []
        try:
            with proxied(folder, unlimited=True, prefix=start.prefix, variables=start.variables,
                         **start.settings) as (proxy, instances):
                scene = Scene(folder, proxy, instances)
                with Load(proxy.port, dict(start.headers), pause_s=0.02) as load:
                    time.sleep(1)
                    try:
                        note = fault.act(scene)
                    except NotRun as missing:
                        note = f"not run: {missing}"
                    time.sleep(1)
        finally:
            start.undo()
    lost = ", ".join(f"{count} x {outcome}" for outcome, count in sorted(load.raw.items()) if outcome != "200")
    failed = ", ".join(f"{count} x {error}" for error, count in sorted(load.client_errors.items()))
    broken = [f"{fault.name}: {failed}"] if fault.client_keeps_all and failed else []
    broken += [f"{fault.name}: {lost}"] if fault.curl_keeps_all and lost else []
    return [fault.name, load.client_made, f"{load.client_lost}" + (f" ({failed})" if failed else ""), load.raw_made,
            f"{load.raw_lost}" + (f" ({lost})" if lost else ""), note], broken


def main() -> int:
    """Run them and write the table."""
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--only", default="", metavar="TEXT", help="only faults with this in their name; no file")
    options.add_argument("--out", type=Path, default=OUT, help="where the table goes")
    chosen = options.parse_args()
    # a stop ends the blocks below as an interrupt does, so that no process is left behind
    signal.signal(signal.SIGTERM, signal.default_int_handler)
    if not has_nginx():
        print("Not run: this needs nginx.", file=sys.stderr)
        return 2
    rows: list[Row] = []
    broken: list[str] = []
    for fault in FAULTS:
        if chosen.only in fault.name:
            try:
                row, lost = run(fault)
            except Exception as error:  # the others are run all the same
                row, lost = [fault.name, "-", "-", "-", "-", "not run to its end"], [f"{fault.name}: {error}"[:300]]
            rows.append(row)
            broken += lost
            print(" | ".join(str(cell) for cell in row), flush=True)
            if not chosen.only:
                chosen.out.write_text(_page(rows, broken), encoding="utf-8")
    print("\n".join(["", "Lost that must not be:", *broken] if broken else ["", "Nothing was lost that must not be."]))
    return 1 if broken else 0


def _page(rows: list[Row], broken: list[str]) -> str:
    now = datetime.datetime.now(datetime.UTC).strftime("%Y-%m-%d %H:%M UTC")
    commit = subprocess.run(["git", "describe", "--always", "--dirty", "--abbrev=12"], capture_output=True, text=True,
                            cwd=OUT.parent).stdout.strip()
    version = subprocess.run(["nginx", "-v"], capture_output=True, text=True).stderr.strip().rpartition("/")[2]
    return (f"# Faults\n\nWritten by `make faults`, {now}, commit {commit}. Three instances with one worker each "
            f"behind nginx {version} with `docker/proxy.conf` (without its limits for each address: here all requests "
            f"come from one), on the loopback; {os.cpu_count()} processors, shared with other programs; CPython "
            f"{platform.python_version()}, {platform.system()}. Under every fault 4 threads send light requests by "
            "curl without retries (`GET /v1/fats/olive`, `POST /v1/lye`, a process each), and 4 call `lye()` of our "
            "client as it is. Lost is whatever did not end with 200 or a result. Each row has its own instances.\n\n"
            + table(["what was tried", "calls of our client", "lost", "requests by curl", "lost", "what came of it"],
                    rows)
            + "\n## Lost that must not be\n\n" + ("".join(f"- {one}\n" for one in broken) or "None.\n"))


if __name__ == "__main__":
    sys.exit(main())
