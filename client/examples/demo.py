"""Start the service on a free loopback port, plan two invented batches through the client, and write their sheets.

    .venv/bin/python client/examples/demo.py [folder for the sheets]

The service is stopped at the end, also after Ctrl-C.
"""

from __future__ import annotations

import contextlib
import json
import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from types import FrameType

from kettlewright_client import Batch, Client, ClientError, read_prices

HERE = Path(__file__).resolve().parent
START_S = 20.0
WORKSHOP = {"packaging": [{"name": "band", "per_bar": {"amount": "0.35", "currency": "EUR"}}],
            "labour": {"work_hours": 3.5, "per_hour": {"amount": "18.00", "currency": "EUR"}}, "overhead_pct": 12,
            "broken_pct": 2, "kept_back_count": 1, "selling": {"margin_pct": 40}}


def free_port() -> int:
    """A free port on the loopback."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@contextlib.contextmanager
def service() -> Iterator[Client]:
    """Start the service, give a client for it, and stop the service at the end."""
    port = free_port()
    process = subprocess.Popen(
        [sys.executable, "-m", "gunicorn", "--config", "python:kettlewright.gunicorn_conf",
         "--bind", f"127.0.0.1:{port}", "--workers", "1", "kettlewright.app:create_app()"],
        env={**os.environ, "KETTLEWRIGHT_LOG_LEVEL": "warning"})  # its log goes to the same terminal
    try:
        with Client(f"http://127.0.0.1:{port}", retries=0) as client:
            wait_until_ready(client, process)
            yield client
    finally:
        process.terminate()
        try:
            process.wait(timeout=12)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()


def wait_until_ready(client: Client, process: subprocess.Popen[bytes]) -> None:
    """Return when the service is ready."""
    give_up = time.monotonic() + START_S
    while True:
        if process.poll() is not None:
            raise SystemExit(f"The service stopped (code {process.returncode}); its messages are above.")
        try:
            client.readyz()
        except ClientError as error:
            if time.monotonic() > give_up:
                raise SystemExit(f"The service was not ready within {START_S:.0f} s: {error}") from None
            time.sleep(0.1)
        else:
            return


def print_plan(title: str, plan: Batch) -> None:
    """Print the plan in the order you do the steps."""
    length, mass = plan.units.length, plan.units.mass
    found = plan.lye.superfat
    print(f"\n{title}\n{'=' * len(title)}")
    print(f"superfat {found.achieved_pct:.1f} %, likely {found.likely_pct.min:.1f} to {found.likely_pct.max:.1f} %; "
          f"lye {plan.lye.solution.concentration_pct:.1f} %; pot {plan.vessels.pot:.0f} {plan.units.volume}, "
          f"jug {plan.vessels.jug:.0f} {plan.units.volume}")
    if found.dominant is not None:
        print(found.dominant.message)
    print("\nWeigh list")
    where = ""
    for row in plan.weigh_list:
        vessel = " ".join([row.where, row.portion or ""]).rstrip()
        if vessel != where:
            where = vessel
            print(f"  {where}")
        decimals = len(f"{row.step:.9f}".rstrip("0").partition(".")[2])  # 2.0 g, not 2 g, where the scale shows tenths
        figure = row.take or row.each_mix or row.weigh  # of a dilution, where the dose is too little for the scale
        once = ("" if row.each_mix is None else "for each mix ") + ("" if row.take is None else "of the dilution of ")
        print(f"    {figure:>9.{decimals}f} {row.unit:<3} {once}{row.name}{f', {row.form}' if row.form else ''}"
              f"{f', lot {row.lot}' if row.lot else ''}")
    print("\nPour, from the bottom up")
    for number, portion in enumerate(plan.portions, 1):
        height = "" if portion.layer is None else f"pour to {portion.layer.top:.1f} {length}"
        powder = "" if portion.dusting is None else \
            f"; then sift {portion.dusting.weigh:g} {plan.units.dose} {portion.dusting.name}"
        print(f"  {number}. {portion.name}: bucket of {portion.mass:.0f} {mass}, {height}{powder}")
    if plan.cuts is not None:
        bars = plan.cuts.bars
        print("\nCut")
        print(f"  {plan.cuts.loaves.count} loaves of {plan.cuts.loaves.width:g} {length}, {bars.count} bars of "
              f"{bars.length:g} x {bars.thickness:g} x {bars.height:.1f} {length}; "
              f"{plan.cuts.volume_yield_pct:.1f} % of the block")
        if bars.cured_mass is not None:
            print(f"  a cured bar: {bars.cured_mass.mid:.0f} {mass} ({bars.cured_mass.min:.0f} to "
                  f"{bars.cured_mass.max:.0f})")
    if plan.dates is not None:
        print(f"\nPour on {plan.dates.pour}, cut on {plan.dates.unmould}, in cure until {plan.dates.cure_until}, "
              f"on sale {plan.dates.release}")
    if plan.label is not None:
        for bar in plan.label.labels:
            quantity = "" if bar.net_quantity is None else f" {bar.net_quantity.text}"
            print(f"\nDraft of the label ({plan.label.market})\n  {bar.text}{quantity}")
    if plan.cost is not None:
        print(f"\nEach bar sold costs {plan.cost.bar.total.amount} {plan.cost.currency}"
              + "".join(f"; for a {one.by} of {one.asked_pct:g} % its price tag is {one.tag.amount}"
                        for one in plan.cost.selling))
    print("\nCautions")
    for caution in plan.cautions:
        print(f"  {caution.severity}: {caution.message}")
    print(f"  always: {', '.join(plan.standing_cautions)}")


def stop(number: int, frame: FrameType | None) -> None:
    """Exit in order on a signal (`number`, `frame`: of the signal)."""
    raise SystemExit(128 + number)


def main() -> None:
    """Plan both batches."""
    signal.signal(signal.SIGTERM, stop)
    folder = Path(sys.argv[1] if len(sys.argv) > 1 else "build")
    folder.mkdir(parents=True, exist_ok=True)
    with service() as client:
        for title, name in (("Kiln Dusk (invented)", "kiln_dusk"), ("Ember Round (invented)", "ember_round")):
            body = json.loads((HERE / f"{name}.json").read_text(encoding="utf-8"))
            sale = HERE / "sale" / f"{name}.json"
            if sale.exists():
                body |= json.loads(sale.read_text(encoding="utf-8"))
                body["prices"] = {**WORKSHOP, "ingredients": read_prices(HERE / "invented_prices.csv").ingredients}
            print_plan(title, client.batches(**body))
            sheet = folder / f"{name}.html"
            sheet.write_text(client.batch_sheet(**body), encoding="utf-8")
            print(f"\nThe batch sheet, with the cut face in it: {sheet}")


if __name__ == "__main__":
    try:
        main()
    except KeyboardInterrupt:
        sys.exit(130)
