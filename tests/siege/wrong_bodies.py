"""Many wrong bodies of the largest size at once: what is answered, and how much memory the service takes."""

from __future__ import annotations

import json
import time
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from api.gunicorn import Running

from siege.wire import exchange, get, post

__all__ = ["WRONG_BODIES", "WrongBodies", "send_wrong_bodies"]

_BYTES = 262_144


def _filled(start: str, item: str, end: str) -> bytes:
    count = (_BYTES - len(start) - len(end)) // (len(item) + 1)
    return (start + ",".join([item] * count) + end).encode()


def _unknown_fields() -> bytes:
    return json.dumps({f"{number:x}": 1 for number in range(24_000)}).encode()[:_BYTES]


WRONG_BODIES: dict[str, tuple[str, bytes]] = {
    "unknown fields": ("/v1/lye", _unknown_fields()),
    "a list of wrong fats": ("/v1/lye", _filled('{"fats": [', '{"fat":"oliv","mass":-1}', "]}")),
    "wrong items of unions": ("/v1/moulds", _filled('{"moulds": [', '{"name":"a","mould":{"shape":"bx"}}', "]}")),
    "one key again and again": ("/v1/batches", _filled("{", '"recipe": 1', "}")),
    "a tree of lists": ("/v1/batches", _filled('{"recipe": [', "[[[[[1]]]]]", "]}")),
    "long numbers": ("/v1/costs", _filled('{"rows": [', "9" * 300, "]}")),
    "wrong needs": ("/v1/purchases", _filled('{"packs": [], "needs": [', '{"name":"","mass":"x"}', "]}")),
    "one endless text": ("/v1/lye", b'{"fats": "' + b"x" * (_BYTES - 12) + b'"}'),
}


@dataclass(frozen=True, slots=True)
class WrongBodies:
    """What came of it.

    Parameters
    ----------
    name : str
        Of the body. [text]
    statuses : mapping
        How many answers of each status. [answers]
    largest_answer : int
        Of all. [bytes]
    memory_mb : float
        What all processes of the service hold together after it, shared pages counted once. [MB]
    workers_lost : int
        Workers that ended. [processes]
    """

    name: str
    statuses: dict[int, int]
    largest_answer: int
    memory_mb: float
    workers_lost: int


def _workers(service: Running) -> set[str]:
    pid = service.process.pid
    with open(f"/proc/{pid}/task/{pid}/children", encoding="utf-8") as children:
        return set(children.read().split())


def _memory_mb(service: Running) -> float:
    """Proportional set sizes; Python keeps what it took, so this is close to the most that was held."""
    lines = [line for pid in (str(service.process.pid), *_workers(service))
             for line in Path(f"/proc/{pid}/smaps_rollup").read_text(encoding="utf-8").splitlines()
             if line.startswith("Pss:")]
    return sum(int(line.split()[1]) for line in lines) / 1024


def send_wrong_bodies(service: Running, count: int = 64) -> list[WrongBodies]:
    """Send each wrong body many times at once (`service`, `count`)."""
    exchange(service.port, get("/openapi.yaml"), timeout=30)
    time.sleep(1)  # the child that made it ends, and is not a lost worker
    found = []
    for name, (path, body) in WRONG_BODIES.items():
        before = _workers(service)
        with ThreadPoolExecutor(count) as callers:
            request: Any = post(path, body)
            answers = list(callers.map(lambda _, sent=request: exchange(service.port, sent, timeout=90), range(count)))
        found.append(WrongBodies(
            name, dict(sorted(Counter(one.status if one.whole else 0 for one in answers).items())),
            max(len(one.body) for one in answers), _memory_mb(service), len(before - _workers(service))))
    return found
