"""What a request costs: seconds of CPU of the process, in a child that is ended when it takes too long."""

from __future__ import annotations

import json
import multiprocessing
import re
import time
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from kettlewright.app import create_app
from kettlewright.settings import Settings

__all__ = ["Cost", "Meter", "peak_memory_mb"]

_IDENTITY = re.compile(r"[0-9A-Z]{5}-[0-9A-Z]{5}")


@dataclass(frozen=True, slots=True)
class Cost:
    """What one request cost.

    Parameters
    ----------
    status : int
        Of the answer. [code]
    cpu_s : float
        CPU of the process, all its threads. [s]
    sent, received : int
        Size of request and answer. [bytes]
    said : str
        The first error, where there is one. [text]
    """

    status: int
    cpu_s: float
    sent: int
    received: int
    said: str = ""


class Meter:
    """A service in this process, its requests measured one at a time.

    Its limit of seconds is so far away that no request is stopped.
    """

    def __init__(self) -> None:
        self.client = create_app(Settings(heavy_seconds=120)).test_client()

    def post(self, path: str, body: dict[str, Any], accept: str = "") -> Cost:
        """The cost of a POST (`path`, `body`, `accept`: as `format=`)."""
        sent = json.dumps(body, separators=(",", ":"))
        return self._ask("POST", f"{path}?format={accept}" if accept else path, sent)

    def get(self, address: str) -> Cost:
        """The cost of a link (`address`)."""
        return self._ask("GET", address, "")

    def identity(self, plan: dict[str, Any]) -> str:
        """The identity that a refusal names for a plan with a wrong one; empty where the plan itself is refused."""
        answer = self.client.post("/v1/batches?field=identity", json=plan)
        return answer.get_data(as_text=True).strip() if answer.status_code == 200 else ""

    def _ask(self, method: str, address: str, sent: str) -> Cost:
        begun = time.process_time()
        answer = self.client.open(address, method=method, data=sent or None,
                                  content_type="application/json" if sent else None)
        data = answer.get_data()
        spent = time.process_time() - begun
        said = ""
        if answer.status_code >= 400:
            said = str((answer.get_json(silent=True) or {}).get("detail", ""))[:200]
        return Cost(answer.status_code, spent, len(sent) or len(address), len(data), said)


def _in_child(path: str, body: dict[str, Any], accept: str, pipe: Any) -> None:
    meter = Meter()
    meter.post(path, {})
    Path("/proc/self/clear_refs").write_text("5", encoding="ascii")  # the largest so far is forgotten
    before = _status_kb("VmRSS")
    meter.post(path, body, accept)
    pipe.send((_status_kb("VmHWM") - before) / 1024)


def _status_kb(name: str) -> int:
    lines = Path("/proc/self/status").read_text(encoding="ascii").splitlines()
    return next(int(line.split()[1]) for line in lines if line.startswith(name))


def peak_memory_mb(path: str, body: dict[str, Any], accept: str = "") -> float:
    """How far a request raises the largest memory of a fresh process (`path`, `body`, `accept`). [MB]"""
    context = multiprocessing.get_context("spawn")
    here, there = context.Pipe()
    child = context.Process(target=_in_child, args=(path, body, accept, there))
    child.start()
    raised = float(here.recv()) if here.poll(120) else float("nan")
    child.join(10)
    if child.is_alive():
        child.kill()
    return raised
