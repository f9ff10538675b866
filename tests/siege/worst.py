"""The most expensive request of every operation, in every form of its reply and by its link."""

from __future__ import annotations

from api.addresses import address as written_address
from kettlewright.api.door.operations import OPERATIONS
from kettlewright.api.links.plans import link_of_plan

from siege.cost import Meter, peak_memory_mb
from siege.families import FAMILIES
from siege.knobs import Body, Family
from siege.report import BEFORE_CPU_S, table
from siege.search import Found, Worst, search

__all__ = ["HEAVY_LIMIT_S", "LIGHT_LIMIT_S", "worst_requests"]

HEAVY_LIMIT_S, LIGHT_LIMIT_S = 2.0, 0.5
_ADDRESS_MAX = 2_048


def worst_requests(cpu_s: float, *, seed: int = 1) -> tuple[str, dict[str, Body], list[str]]:
    """Search all families.

    Parameters
    ----------
    cpu_s : float
        For each. [s]
    seed : int
        Of the random numbers. [number]

    Returns
    -------
    (str, dict of str to Body, list of str) : a table, the worst bodies by operation, and what is above its limit
    """
    meter = Meter()
    rows: list[list[object]] = []
    bodies: dict[str, Body] = {}
    above: list[str] = []
    most: dict[str, float] = {}

    def note(name: str, family: Family, found: Found | None, worst: Worst, form: str, memory: str = "-") -> None:
        if found is None:
            return
        limit = HEAVY_LIMIT_S if OPERATIONS[family.operation].heavy else LIGHT_LIMIT_S
        if found.cost.cpu_s > limit:
            above.append(f"{name}: {found.cost.cpu_s:.2f} s, above {limit:g} s")
        rows.append([name, form, BEFORE_CPU_S.get(family.operation, "-"), f"{found.cost.cpu_s:.2f}",
                     f"{found.cost.sent / 1000:.1f}", f"{found.cost.received / 1000:.0f}", memory,
                     f"{worst.answers} of {worst.tried}"])

    for family in FAMILIES:
        operation = OPERATIONS[family.operation]
        name = f"POST {operation.path}"
        worst = search(family, meter, cpu_s, seed=seed)
        if worst.answered is not None:
            best = worst.answered
            if best.cost.cpu_s > most.get(family.operation, 0.0):
                bodies[family.operation], most[family.operation] = best.body, best.cost.cpu_s
            note(name, family, best, worst, "json", f"{peak_memory_mb(operation.path, best.body):.0f}")
            for form in operation.forms:
                if form not in ("json", "text"):  # text is one figure
                    cost = meter.post(operation.path, best.body, form)
                    note(name, family, Found(best.settings, best.body, cost), worst, form)
        note(name, family, worst.refused, worst, "refused")
        if family.link:
            linked = search(family, meter, cpu_s / 2, seed=seed, address=lambda body, of=family: _address(of, body))
            note(f"GET {operation.path}", family, linked.answered, linked, "json")
            note(f"GET {operation.path}", family, linked.refused, linked, "refused")
    head = ["request", "reply", "before, s", "CPU, s", "sent, kB", "reply, kB", "memory, MB", "answered of tried"]
    return table(head, rows), bodies, above


def _address(family: Family, body: Body) -> str | None:
    if family.operation == "batches":
        return link_of_plan(body).get("self")
    found = written_address(family.operation, body)
    return found if len(found) <= _ADDRESS_MAX else None
