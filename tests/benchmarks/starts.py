"""How long a start takes, and how much memory workers use once they have answered everything."""

from __future__ import annotations

import contextlib
import json
import os
import socket
import statistics
import subprocess
import sys
import time
from collections.abc import Mapping

from load import Case
from servers import HERE, free_port, gunicorn, started
from trial import bodies, reply_to

__all__ = ["memory_when_warm", "seconds_to_the_first_answer"]

_EXAMPLES = HERE.parents[1] / "service" / "kettlewright" / "api" / "endpoints" / "examples"
_APP = "kettlewright.app:create_app()"
_COMPILED = {"PYTHONDONTWRITEBYTECODE": ""}  # as installed: with it, each start compiles every module of a checkout


def seconds_to_the_first_answer(base: Mapping[str, str], times: int) -> str:
    """A section: from the command to the first reply of /v1/lye (`base`: environment of the other commit, `times`)."""
    found: dict[str, list[float]] = {"base": [], "new": []}
    imports: dict[str, list[float]] = {"base": [], "new": []}
    for _ in range(times):
        for name, environment in (("base", base), ("new", {})):
            found[name].append(_start(environment))
            imports[name].append(_import(environment))
    rows = [f"| {name} | {statistics.median(found[name]):.2f} ({min(found[name]):.2f} to {max(found[name]):.2f}) | "
            f"{statistics.median(imports[name]):.2f} |" for name in found]
    return ("## Start\n\nSeconds from the command to the first reply of `/v1/lye`, two workers, and the CPU seconds of "
            "making the application alone, with the contract and templates that children of gunicorn make; goal: at "
            "most 1 s to the first reply.\n\n| | first reply | "
            "application |\n| --- | --- | --- |\n" + "\n".join(rows) + "\n")


def _start(environment: Mapping[str, str]) -> float:
    port, case = free_port(), Case("", "POST", "/v1/lye", body=bodies()["lye"])
    begun = time.perf_counter()
    with started([sys.executable, "-m", "gunicorn", "--config", "python:kettlewright.gunicorn_conf", "--bind",
                  f"127.0.0.1:{port}", "--workers", "2", _APP], port, {**environment, **_COMPILED}):
        reply_to(port, case)
        return time.perf_counter() - begun


def _import(environment: Mapping[str, str]) -> float:
    code = "import time; from kettlewright.app import create_app; create_app(); print(time.process_time())"
    made = subprocess.run([sys.executable, "-c", code], env={**os.environ, **environment, **_COMPILED},
                          capture_output=True, text=True, check=True)
    return float(made.stdout)


def memory_when_warm(base: Mapping[str, str]) -> str:
    """A section: memory of two workers after every example of every operation (`base`: as above)."""
    rows = []
    for name, environment in (("base", base), ("new", {})):
        with gunicorn(_APP, environment, workers=2) as server:
            fresh = server.memory_mb()
            for _ in range(6):
                _every_example(server.port)
            time.sleep(1)
            warm = server.memory_mb()
        rows.append(f"| {name} | {warm.part:.0f} | {warm.own:.0f} | {warm.with_main:.0f} | {warm.resident:.0f} | "
                    f"{fresh.with_main:.0f} |")
    return ("## Memory\n\n"
            "MB once two workers have answered every example: their own pages (USS); with their part of the pages that "
            "they share with each other and the main process (PSS); the main process with its part too, also before "
            "the first request; and all pages, in each process (RSS). Goal: two warm workers at most 140 MB.\n\n"
            "| | two workers, PSS | two workers, USS | with the main process, PSS | the same, RSS | before the first "
            "request, PSS |\n| --- | --- | --- | --- | --- | --- |\n" + "\n".join(rows) + "\n")


def _every_example(port: int) -> None:
    for path in sorted(_EXAMPLES.glob("*.json")):
        for example in json.loads(path.read_text(encoding="utf-8")):
            name = "batches/actuals" if path.stem == "actuals" else path.stem
            case = Case("", "POST", f"/v1/{name}", body=json.dumps(example["body"]).encode())
            # two connections at once, so that each worker takes one
            with contextlib.suppress(SystemExit), socket.create_connection(("127.0.0.1", port)):
                reply_to(port, case)
                reply_to(port, case)
