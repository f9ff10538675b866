"""What a shelf of 200 batches costs: seconds of CPU and bytes. Run: .venv/bin/python tests/benchmarks/shelf.py

Every batch has a plan of its own (losses differ, so identities do), three weighings with lots, and a record. Another
shelf holds 200 batches of one plan. The service answers in this process; the shelf's file is on the disk of the
temporary folder.
"""

from __future__ import annotations

import json
import os
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

TESTS = Path(__file__).parents[1]
sys.path.insert(0, str(TESTS))  # before the imports that need it

from client.in_process import in_process, over  # noqa: E402
from kettlewright.app import create_app  # noqa: E402
from kettlewright_client import Client  # noqa: E402
from kettlewright_shelf import Shelf  # noqa: E402
from kettlewright_shelf.exchange import export_json  # noqa: E402

BODY: dict[str, Any] = json.loads((TESTS.parent / "client/examples/kiln_dusk.json").read_text(encoding="utf-8"))
BATCHES = 200
ROUNDS = 7


def main() -> None:
    """Fill both shelves and print a table."""
    client = over(in_process(create_app().test_client()))[0]
    print("| shelf | file | export as JSON | recall of a lot | of all 200 batches | stock | recall as a command |")
    print("| --- | --- | --- | --- | --- | --- | --- |")
    with tempfile.TemporaryDirectory() as folder:
        for name, plans in (("200 plans, 200 batches", BATCHES), ("1 plan, 200 batches", 1)):
            print(_row(name, _filled(Path(folder) / f"{plans}.db", plans, client)))


def _filled(path: Path, plans: int, client: Client) -> Path:
    with Shelf(path, today="2027-06-01") as shelf:
        for lot in range(20):
            shelf.add_lot("olive", f"O-{lot}", 30_000)
            shelf.add_lot("NaOH", f"N-{lot}", 10_000)
        for index in range(BATCHES):
            body = {**BODY, "expected_loss_pct": 9 + index % plans / 100, "title": f"Batch {index}"}
            number = shelf.add_plan(body, client, number=f"27-{index:03}", made_on=f"2027-0{1 + index // 40}-01")
            shelf.weigh(number, "olive", 2138, lot=f"O-{index // 10}")
            shelf.weigh(number, "coconut", 855)
            shelf.weigh(number, "NaOH", 400, lot=f"N-{index // 10}", anyway=True)
            shelf.record(number, "in_pot", client)
    return path


def _row(name: str, path: Path) -> str:
    with Shelf(path, today="2027-06-01") as shelf:
        one, every = shelf.recall("O-7"), {use.number for use in shelf.uses()}
        assert ({use.number for use in one}, len(every)) == ({f"27-{n:03}" for n in range(70, 80)}, BATCHES)
        seconds = [_seconds(do) for do in (lambda: shelf.recall("O-7"), shelf.uses, shelf.stock)]
        exported = path.with_suffix(".json")
        export_json(shelf, exported)
    command = [sys.executable, "-m", "kettlewright_shelf", "--shelf", str(path), "recall", "O-7"]
    seconds.append(_seconds(lambda: subprocess.run(command, check=True, capture_output=True, env=dict(os.environ))))
    sizes = " | ".join(f"{file.stat().st_size:,} B" for file in (path, exported))
    return f"| {name} | {sizes} | {' | '.join(f'{1000 * one:.0f} ms' for one in seconds)} |"


def _seconds(do: Callable[[], object]) -> float:
    """CPU time of this process and its children, the median of some rounds: a busy machine does not change it much."""
    found = []
    for _ in range(ROUNDS):
        start = sum(os.times()[:4])
        do()
        found.append(sum(os.times()[:4]) - start)
    return statistics.median(found)


if __name__ == "__main__":
    main()
