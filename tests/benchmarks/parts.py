"""CPU time of the parts of a request, in process: body, load, maths, dump, encode, and the sheet's HTML.

    cd tests/benchmarks; ../../.venv/bin/python parts.py [--service FOLDER]

With --service it measures another version, such as the `service` folder of an older commit; its parts are found by the
names that both have. Each part is repeated, and the fastest tenth is averaged: the rest is what else the machine did.
"""

from __future__ import annotations

import argparse
import contextlib
import gc
import json
import statistics
import sys
import time
from collections.abc import Callable
from functools import partial
from importlib import import_module
from pathlib import Path
from typing import Any

HERE = Path(__file__).resolve().parent
DEMO = HERE.parents[1] / "client" / "examples" / "kiln_dusk.json"
LYE = {"fats": [{"fat": "olive", "mass": 500}, {"fat": "coconut", "mass": 300}, {"fat": "shea", "mass": 200}],
       "superfat_pct": 5, "alkalis": [{"alkali": "NaOH", "purity_pct": 98}],
       "water": {"lye_concentration_pct": 33}, "temperatures": {"water": 20, "fats": 38}}


def cost(call: Callable[[], object], seconds: float) -> float:
    """CPU time of a call, the mean of the fastest tenth. [microseconds]"""
    call()
    taken = []
    gc.collect()
    gc.disable()
    end = time.perf_counter() + seconds
    while time.perf_counter() < end or len(taken) < 10:
        began = time.process_time_ns()
        call()
        taken.append(time.process_time_ns() - began)
    gc.enable()
    return statistics.fmean(sorted(taken)[: max(len(taken) // 10, 3)]) / 1000


def parts_of(name: str, body: dict[str, Any], seconds: float) -> dict[str, float]:
    """CPU times of one request, by part. [microseconds]"""
    app = import_module("kettlewright.app").create_app()
    found = import_module("kettlewright.api.door.operations").OPERATIONS[name]
    read = import_module("kettlewright.api.door.strict_json").read_object
    checking = import_module("kettlewright.api.door.checking").checking
    load = getattr(found, "load", None) or found.request.load
    dump = getattr(found, "dump", None) or found.response.dump
    sent = json.dumps(body).encode()
    taken = {}
    with found.request.governing(body):
        def loading() -> Any:
            with contextlib.nullcontext() if hasattr(found, "load") else checking():
                return load(body)

        def maths() -> Any:
            result = found.view(**loaded, **({"request_body": body} if found.named_by_body else {}))
            return result if found.self_link is None else {**result, "links": found.self_link(body)}

        loaded, result = loading(), None
        result = maths()
        document = dump(result)
        with app.test_request_context("/"):
            try:
                encode = import_module("kettlewright.api.door.encoding").encoded
            except ModuleNotFoundError:
                def encode(document: Any) -> Any:
                    return app.json.dumps(document, ensure_ascii=False, separators=(",", ":")).encode()
            taken = {"body": cost(lambda: read(sent), seconds), "load": cost(loading, seconds),
                     "maths": cost(maths, seconds), "dump": cost(lambda: dump(result), seconds),
                     "encode": cost(lambda: encode(document), seconds)}
            if name == "batches":
                taken["html"] = cost(lambda: found.faces["html"].render(document), seconds)
    client = app.test_client()
    for form in ("json", "html"):
        head = {"Accept": "application/json" if form == "json" else "text/html", "Host": "localhost"}
        if form in found.forms:
            taken[f"whole, {form}"] = cost(partial(client.post, found.path, data=sent, headers=head,
                                                   content_type="application/json"), seconds)
    return taken


def main() -> None:
    """Measure and print a table."""
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--service", type=Path)
    options.add_argument("--seconds", type=float, default=1.0)
    chosen = options.parse_args()
    if chosen.service:
        sys.path.insert(0, str(chosen.service.resolve()))
    found = {name: parts_of(name, body, chosen.seconds)
             for name, body in (("lye", LYE), ("batches", json.loads(DEMO.read_text(encoding="utf-8"))))}
    print(f"{'part':12} {'lye':>8} {'batches':>8}   microseconds")
    for part in found["batches"]:
        print(f"{part:12} " + " ".join(f"{taken[part]:8.0f}" if part in taken else f"{'':8}"
                                       for taken in found.values()))


if __name__ == "__main__":
    main()
