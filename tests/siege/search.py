"""A search for the most expensive request of an operation: at random first, then up the hill from the best."""

from __future__ import annotations

import random
import time
from collections.abc import Callable
from dataclasses import dataclass

from kettlewright.api import endpoints
from kettlewright.api.door.operations import OPERATIONS

from siege.cost import Cost, Meter
from siege.knobs import Body, Family, Settings

__all__ = ["Found", "Worst", "search"]

assert endpoints
_BODY_BYTES = 262_144


@dataclass(frozen=True, slots=True)
class Found:
    """A request and what it cost.

    Parameters
    ----------
    settings : mapping
        Of the knobs of its family. [settings]
    body : mapping
        The request. [as in JSON]
    cost : Cost
        What it cost. [cost]
    """

    settings: Settings
    body: Body
    cost: Cost


@dataclass(frozen=True, slots=True)
class Worst:
    """The most expensive requests found.

    Parameters
    ----------
    family : Family
        Of which family. [family]
    answered, refused : Found, optional
        The worst that was answered with 200, and the worst that was refused. [requests]
    tried, answers : int
        Requests that were tried, and that were answered with 200. [requests]
    """

    family: Family
    answered: Found | None
    refused: Found | None
    tried: int
    answers: int


def search(family: Family, meter: Meter, cpu_s: float, *, seed: int = 1,
           address: Callable[[Body], str | None] | None = None) -> Worst:
    """Search a family until so much CPU is spent, or eight times as long by the clock.

    Parameters
    ----------
    family : Family
        What to search. [family]
    meter : Meter
        Measures. [meter]
    cpu_s : float
        How much. [s]
    seed : int
        Of the random numbers. [number]
    address : callable, optional
        Makes the address of a body, for requests by a link; none where it would be too long. [function]

    Returns
    -------
    Worst

    Raises
    ------
    AssertionError : a request was answered with anything but 200 or a refusal.
    """
    rng = random.Random(seed)
    path = OPERATIONS[family.operation].path
    best: dict[bool, Found] = {}
    tries = tried = answers = 0
    begun, begun_clock = time.process_time(), time.monotonic()
    while (spent := time.process_time() - begun) < cpu_s and time.monotonic() - begun_clock < 8 * cpu_s:
        from_best = best.get(True, best.get(False)) if rng.random() < 0.8 else best.get(False)
        climbing = from_best is not None and spent > 0.35 * cpu_s
        if tries < len(family.starts):
            settings = family.starts[tries]
        else:
            settings = family.step(rng, from_best.settings) if climbing and from_best else family.draw(rng)
        tries += 1
        body = family.body(settings)
        if body is None or not _completed(body, meter):
            continue
        link = None if address is None else address(body)
        if address is not None and link is None:
            continue
        tried += 1
        cost = meter.post(path, body) if link is None else meter.get(link)
        if cost.status not in (200, 400, 413, 422):
            raise AssertionError(f"{family.operation} answered {cost.status}: {cost.said} to {settings}")
        if cost.sent > _BODY_BYTES:
            continue
        answers += cost.status == 200
        known = best.get(cost.status == 200)
        if known is None or cost.cpu_s > known.cost.cpu_s:
            # the lesser of two: other programs share the caches, and what is made once counts only the first time
            cost = min(cost, meter.post(path, body) if link is None else meter.get(link), key=lambda one: one.cpu_s)
            if known is None or cost.cpu_s > known.cost.cpu_s:
                best[cost.status == 200] = Found(settings, body, cost)
    return Worst(family, best.get(True), best.get(False), tried, answers)


def _completed(body: Body, meter: Meter) -> bool:
    """Whether a body could be completed: one with a plan needs the plan's identity."""
    if "identity" in body:
        body["identity"] = meter.identity(body["plan"])
        return bool(body["identity"])
    return True
