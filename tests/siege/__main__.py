"""A siege of the service: the most expensive requests, floods, wrong bodies, broken protocol, slow clients, a proxy.

    make siege

It takes a few minutes, uses the loopback only, and writes its tables to tests/benchmarks/SIEGE.md. It ends with 1 where
a limit is broken.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from kettlewright.api.links.plans import link_of_plan

from siege.floods import flood, flood_by_client
from siege.load import kill, terminate
from siege.protocol import run_battery
from siege.proxy import slow_clients_behind_proxy, slow_requests_behind_proxy, under_load
from siege.report import flood_table, head, protocol_table, table, wrong_table
from siege.servers import has_nginx, running
from siege.slow_clients import probes_beside_slow_clients
from siege.wire import get, post
from siege.worst import worst_requests
from siege.wrong_bodies import send_wrong_bodies

OUT = Path(__file__).resolve().parents[1] / "benchmarks" / "SIEGE.md"
MEMORY_MB = 512


@contextmanager
def _folder() -> Iterator[Path]:
    with tempfile.TemporaryDirectory(prefix="siege-") as made:
        yield Path(made)


def main() -> int:
    """Run it all and write the tables."""
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--cpu", type=float, default=2.0, metavar="S", help="CPU for each family of requests (2)")
    options.add_argument("--seed", type=int, default=1, metavar="N", help="of the random numbers (1)")
    options.add_argument("--out", type=Path, default=OUT, help="where the tables go")
    chosen = options.parse_args()
    broken: list[str] = []
    text = [head("make siege")]

    def say(title: str, body: str) -> None:
        print(f"\n## {title}\n\n{body}", flush=True)
        text.append(f"## {title}\n\n{body}\n")

    costs, bodies, above = worst_requests(chosen.cpu, seed=chosen.seed)
    broken += above
    say("The most expensive requests that were found", costs)

    with _folder() as folder, running(folder) as service:
        link = link_of_plan(_linkable(bodies)).get("self", "/v1/fats")
        floods = []
        heavy = [post(f"/v1/{name}", bodies[name]) for name in ("purchases", "schedules", "fades") if name in bodies]
        for count in (4, 16, 64):
            floods.append(("heavy POSTs", flood(service.port, heavy, count)))
        floods.append(("heavy links", flood(service.port, [get(link)], 48)))
        by_client, pause = flood_by_client(service.port, bodies["purchases"], 24)
        floods.append(("our client, heavy, 10 retries", by_client))
        say("Floods", flood_table(floods) + f"\nAfter a 503 with `Retry-After: 1` our client came again after "
            f"{pause:.2f} s at the earliest.\n")
        for name, one in floods:
            if one.probes.lost or one.without_retry_after or 0 in one.statuses or 500 in one.statuses:
                broken.append(f"{name} x {one.count}: {one.statuses}, {one.probes.lost} probes lost")
        if pause < 1.0:
            broken.append(f"the client came again after {pause:.2f} s")
        outcomes = run_battery(service.port)
        say("Raw protocol, gunicorn alone", protocol_table(outcomes))
        broken += [f"{one.name}: {one.status}" for one in outcomes if not one.right]

    with _folder() as folder, running(folder) as service:
        wrong = send_wrong_bodies(service)
        say(f"Wrong bodies; all processes together may hold {MEMORY_MB} MB", wrong_table(wrong))
        broken += [f"{one.name}: {one.statuses}, {one.memory_mb:.0f} MB" for one in wrong
                   if 0 in one.statuses or 500 in one.statuses or one.memory_mb > MEMORY_MB or one.workers_lost]

    with _folder() as folder, running(folder) as service:
        alone = probes_beside_slow_clients(service.port, 200, 8.0)
    rows = [["200 slow clients, gunicorn alone", *alone.in_words().split(" | ")]]
    if has_nginx():
        with _folder() as folder:
            slow = slow_clients_behind_proxy(folder)
        rows.append(["200 slow clients, nginx before 3 instances", *slow.in_words().split(" | ")])
        with _folder() as folder:
            stuck = slow_requests_behind_proxy(folder)
        rows.append([f"6 requests that are stopped after 4 s ({stuck.statuses}; begun {stuck.started} times), nginx "
                     "before 3 instances", *stuck.probes.in_words().split(" | ")])
        if slow.lost or stuck.probes.lost or stuck.statuses != {503: 6} or stuck.started != 6:
            broken.append(f"behind nginx: {rows}")
    say("Slow clients and slow requests", table(["what", "probes lost", "probe: median / longest, s"], rows))

    if has_nginx():
        ends = []
        for name, end in (("SIGTERM, one after another", terminate), ("kill -9, one after another", kill)):
            with _folder() as folder:
                seen = under_load(folder, end)
            ends.append([name, ", ".join(f"{count} x {outcome}" for outcome, count in sorted(seen.raw.items())),
                         f"{seen.client_lost} of {seen.client_made}"])
            if seen.client_lost or (end is terminate and seen.raw_lost):
                broken.append(f"{name}: {dict(seen.raw)}, {dict(seen.client_errors)}")
        say("Instances that end and start again under load, behind nginx",
            table(["how", "light requests by curl, without retries", "calls of our client lost"], ends))
    else:
        say("Behind a proxy", "nginx is not installed here, so `docker/proxy.conf` was not run.\n")

    text.append("## Limits broken\n\n" + ("".join(f"- {one}\n" for one in broken) or "None.\n"))
    chosen.out.write_text("\n".join(text), encoding="utf-8")
    print("\n".join(["", "Limits broken:", *broken] if broken else ["", "No limit was broken."]))
    return 1 if broken else 0


def _linkable(bodies: dict[str, dict[str, object]]) -> dict[str, object]:
    """A heavy batch that goes into a link: as many equal buckets as compress into it."""
    batch = bodies["batches"]
    for count in range(40, 0, -1):
        portions = batch.get("portions")
        if not isinstance(portions, list):
            break
        fewer = [{**one, "share_pct": 100 / min(count, len(portions))} for one in portions[:count]]
        smaller = {**batch, "portions": fewer}
        if "self" in link_of_plan(smaller):
            return smaller
    return batch


if __name__ == "__main__":
    sys.exit(main())
