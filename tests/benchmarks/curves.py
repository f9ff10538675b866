"""How time grows with a request: measured in process, drawn, and the exponent fitted; writes curves.svg and CURVES.md.

    make curves

Each request is run several times and the least CPU time counts. The exponent is that of the part which grows: the
slope of log(time - time of the smallest) against log(size), over the upper sizes. n log n appears as 1.1 to 1.3.
"""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from about import commit_of
from kettlewright.api.door.encoding import encoded
from kettlewright.api.door.operations import OPERATIONS, run
from kettlewright.app import create_app
from kettlewright.reference.fats import fats
from servers import HERE

__all__ = ["CURVES", "Curve", "exponent", "measured"]

Body = dict[str, Any]
LIMIT = 1.35
_FATS = sorted(key for key, fat in fats().items() if fat.kind == "triglyceride")


@dataclass(frozen=True, slots=True)
class Curve:
    """One way in which a request grows.

    Parameters
    ----------
    name, operation : str
        What grows, and in which operation. [text]
    sizes : tuple of int
        How many. [number]
    body : callable
        Makes the body of a size. [function]
    program : bool
        It is solved by an integer program, which has no such bound. [yes or no]
    """

    name: str
    operation: str
    sizes: tuple[int, ...]
    body: Callable[[int], Body]
    program: bool = False


def _shares(count: int) -> list[float]:
    shares = [round(100 / count, 6)] * count
    shares[-1] = round(100 - sum(shares[:-1]), 6)
    return shares


def _recipe(count: int, total: float | None = None) -> Body:
    fats_: list[Body] = []
    for place, share in enumerate(_shares(count)):
        key: Body = ({"fat": _FATS[place]} if place < len(_FATS) else
                     {"name": f"oil {place}", "saponification_value": {"min": 186, "max": 190}})
        fats_.append({**key, **({"share_pct": share} if total is None else {"mass": total / count})})
    return {"fats": fats_, "superfat_pct": 5, "alkalis": [{"alkali": "NaOH", "purity_pct": 98}],
            "water": {"lye_concentration_pct": 33}}


def _portions(count: int) -> list[Body]:
    return [{"name": f"part {place}", "share_pct": share, "additions": [
        {"name": f"clay {place}", "kind": "clay", "dose": 5, "basis": "g_per_kg_batter"}]}
        for place, share in enumerate(_shares(count))]


def _batch(count: int, arrangement: str) -> Body:
    return {"recipe": _recipe(4), "mould": {"shape": "box", "length": 400, "width": 300, "depth": 150},
            "arrangement": arrangement, "portions": _portions(count), "cut": {"loaf": {"width": 70}, "bar": {
                "thickness": 25}}}


def _bars(count: int) -> Body:
    return {"block": {"length": 10.0 * count + 5, "width": 80, "height": 60}, "bar": {"thickness": 10}, "density": 1}


def _moulds(count: int) -> Body:
    return {"moulds": [{"name": f"mould {place}", "at_most": 3, "mould": {
        "shape": "measured", "volume": 100 + 37 * place, "depth": 40}} for place in range(count)],
        "order": {"volume": 150.0 * count}}


def _schedule(count: int) -> Body:
    last = date(2027, 1, 4) + timedelta(days=60)
    return {"earliest": "2027-01-04", "moulds": [{"name": "slab", "count": 4}], "pours_per_day_count": 2,
            "places": {"batches_count": 40},
            "batches": [{"name": f"design {place}", "count": 2, "mould": "slab", "release": last.isoformat(),
                         "unmould_days": 1, "cure_days": 28} for place in range(count)]}


def _swatches(count: int) -> Body:
    return {"swatches": [{"dose": 12.0 * place / count, "lab": {
        "lightness": 90 - 60 * place / count, "a": 2 + 10 * place / count, "b": 8}} for place in range(count)],
        "kind": "plant", "portions": [{"name": f"part {place}", "mass": 500} for place in range(5)]}


def _layers_of_a_fade(count: int) -> Body:
    return {**_swatches(3), "portions": [{"name": f"part {place}", "mass": 500} for place in range(count)],
            "carry_over": True}


def _weighings(count: int) -> Body:
    return {"weighings": [{"day": round(90 * place / count, 3), "mass": round(110 + 20 * math.exp(-4 * place / count)
                                                                           + 0.05 * (place % 3), 2)}
                          for place in range(count)], "on": [{"day": 28}]}


CURVES = (
    Curve("fats", "lye", (1, 2, 4, 8, 15, 30, 60), lambda count: _recipe(count, 1000)),
    Curve("portions of a batch", "batches", (1, 2, 4, 8, 15, 30, 60), lambda count: _batch(count, "columns")),
    Curve("layers of a batch", "batches", (1, 2, 4, 8, 15, 30, 60), lambda count: _batch(count, "layers")),
    Curve("layers of a fade", "fades", (4, 8, 15, 30, 40), _layers_of_a_fade),
    Curve("bars", "cuts", (8, 15, 30, 60, 120, 250, 500), _bars),
    Curve("swatches", "fades", (4, 8, 15, 30, 40), _swatches),
    Curve("weighings", "cure", (3, 6, 12, 25, 50, 100, 200), _weighings),
    Curve("moulds at hand", "moulds", (1, 2, 5, 10, 20, 40), _moulds, program=True),
    Curve("batches of a schedule", "schedules", (1, 2, 5, 10, 20), _schedule, program=True))


def measured(curve: Curve, *, repeats: int = 5) -> list[float]:
    """The least CPU time of each size (`curve`, `repeats`). [ms]"""
    found = []
    for size in curve.sizes:
        body, operation, times = curve.body(size), OPERATIONS[curve.operation], []
        for _ in range(repeats):
            begun = time.process_time()
            encoded(run(operation, body))
            times.append(time.process_time() - begun)
        found.append(min(times) * 1000)
    return found


def exponent(sizes: tuple[int, ...], times: list[float]) -> float:
    """The exponent of the part that grows, by least squares over the upper sizes (`sizes`, `times`). [number]"""
    least = min(times)
    points = [(math.log(size - sizes[0]), math.log(time_ - least))
              for size, time_ in list(zip(sizes, times, strict=True))[-3:] if time_ > least]
    if len(points) < 2:
        return 0.0
    x, y = (sum(part) / len(points) for part in zip(*points, strict=True))
    return sum((a - x) * (b - y) for a, b in points) / sum((a - x) ** 2 for a, _ in points)


def _draw(found: list[tuple[Curve, list[float], float]]) -> None:
    import matplotlib
    matplotlib.use("svg")
    from matplotlib import pyplot
    pyplot.rcParams.update({"svg.fonttype": "none", "svg.hashsalt": "kettlewright", "font.size": 8})
    figure, axes = pyplot.subplots(3, 3, figsize=(9, 7), constrained_layout=True)
    for axis, (curve, times, slope) in zip(axes.flat, found, strict=True):
        axis.plot(curve.sizes, times, "o-", color="#1f5a7a", markersize=3, linewidth=1)
        axis.set_title(f"{OPERATIONS[curve.operation].path}, exponent {slope:.2f}"
                       f"{', integer program' if curve.program else ''}", fontsize=8)
        axis.set_xlabel(curve.name)
        axis.set_ylabel("CPU, ms")
        axis.set_ylim(bottom=0)
        axis.spines[["top", "right"]].set_visible(False)
    for axis in axes.flat:
        axis.locator_params(nbins=5)
    figure.savefig(HERE / "curves.svg", metadata={"Date": None})


def main() -> None:
    """Measure all curves, draw them, and write the page."""
    create_app()
    found = []
    for curve in CURVES:
        times = measured(curve)
        found.append((curve, times, exponent(curve.sizes, times)))
        print(f"{curve.name:24} {found[-1][2]:5.2f}  " + ", ".join(
            f"{size}: {one:.2f}" for size, one in zip(curve.sizes, times, strict=True)), flush=True)
    _draw(found)
    rows = "\n".join(f"| {curve.name} | `{OPERATIONS[curve.operation].path}` | {curve.sizes[0]} to {curve.sizes[-1]} | "
                     f"{times[0]:.2f} | {times[-1]:.2f} | {slope:.2f} | {'integer program' if curve.program else ''} |"
                     for curve, times, slope in found)
    (HERE / "CURVES.md").write_text(
        f"# How time grows\n\n{date.today()}, commit {commit_of('HEAD')}; CPU time of one calculation in process, from "
        "the body to the bytes of the reply, the least of five. The exponent is that of the part that grows, over the "
        "last three sizes; n log n appears as 1.1 to 1.3. `tests/api/test_growth.py` counts executed lines for every "
        "list of the contract and fails above n log n.\n\n"
        "| what grows | operation | sizes | least, ms | most, ms | exponent | |\n| --- | --- | --- | --- | --- | --- | "
        f"--- |\n{rows}\n\n![Time against size](curves.svg)\n", encoding="utf-8")
    steep = [curve.name for curve, _, slope in found if slope > LIMIT and not curve.program]
    if steep:
        raise SystemExit(f"Steeper than n log n: {', '.join(steep)}")


if __name__ == "__main__":
    main()
