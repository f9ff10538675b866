"""Requests, wrong bodies, floods and slow clients for a service on port 8000 of the loopback.

It writes its tables as JSON, and runs in the container's network namespace, which has nothing but a loopback.
"""

from __future__ import annotations

import json
from collections import Counter
from concurrent.futures import ThreadPoolExecutor

from kettlewright.api.document.openapi import examples_of
from kettlewright.api.door.operations import OPERATIONS
from kettlewright.app import create_app
from siege.floods import flood
from siege.protocol import run_battery
from siege.report import Row, flood_table, protocol_table, table
from siege.slow_clients import probes_beside_slow_clients
from siege.wire import exchange, get, latencies, post
from siege.wrong_bodies import WRONG_BODIES

PORT = 8000


def main() -> None:
    """Attack it, and print the tables and what was not right."""
    broken: list[str] = []
    tables = {}
    rows: list[Row] = []
    create_app()  # registers the operations
    for found in OPERATIONS.values():
        sent = ([post(found.path, one["body"]) for one in examples_of(found.name)] if found.method == "POST" else
                [get(found.path)] if found.link is None and not set("<{") & set(found.path) else [])
        answers = [exchange(PORT, one, timeout=30) for one in sent * 5]
        if answers:
            rows.append([f"{found.method} {found.path}", len(answers),
                         _statuses(Counter(one.status for one in answers)), latencies(answers)])
            if {one.status for one in answers} != {200}:
                broken.append(f"{found.path}: {rows[-1]}")
    tables["Requests: every example of the contract, five times"] = table(
        ["request", "sent", "answers", "median / longest, s"], rows)

    outcomes = run_battery(PORT)
    wrong = [one for one in outcomes if not one.right]
    broken += [f"{one.name}: {one.status}" for one in wrong]
    tables["Raw protocol"] = protocol_table(outcomes)

    rows = []
    for name, (path, body) in WRONG_BODIES.items():
        request = post(path, body)
        with ThreadPoolExecutor(32) as callers:
            statuses = Counter(one.status for one in callers.map(
                lambda _, sent=request: exchange(PORT, sent, timeout=60), range(64)))
        rows.append([name, _statuses(statuses)])
        if 0 in statuses or 500 in statuses:
            broken.append(f"{name}: {statuses}")
    tables["Wrong bodies of 262 kB, 64 each, 32 at once"] = table(["body", "answers"], rows)

    heavy = [post(f"/v1/{name}", examples_of(name)[0]["body"])
             for name in ("purchases", "schedules", "fades", "batches")]
    floods = [(f"heavy POSTs, {count} at once", flood(PORT, heavy, count)) for count in (16, 64)]
    broken += [f"{name}: {one.statuses}, {one.probes.lost} probes lost" for name, one in floods
               if one.probes.lost or 0 in one.statuses or 500 in one.statuses]
    tables["Floods"] = flood_table(floods)

    slow = probes_beside_slow_clients(PORT, 200, 8.0)
    after = exchange(PORT, get("/readyz"), timeout=20).status
    tables["200 slow clients for 8 s, no proxy in front"] = (
        f"Probes lost: {slow.in_words().replace(' | ', '; median / longest, s: ')}. Afterwards `/readyz`: {after}. "
        "This is why a proxy must be in front.\n")
    if after != 200:
        broken.append(f"readyz after slow clients: {after}")
    print(json.dumps({"tables": tables, "broken": broken}))


def _statuses(found: Counter[int]) -> str:
    return ", ".join(f"{count} x {status or 'no answer'}" for status, count in sorted(found.items()))


if __name__ == "__main__":
    main()
