"""Table of the operations and the forms of their replies, for the client, the command and the stub."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any

from kettlewright_client.results import (
    Actuals,
    Batch,
    Blend,
    Costs,
    Cure,
    Cuts,
    Fade,
    FatEntry,
    Fats,
    Labels,
    Lye,
    Mould,
    Portions,
    Purchases,
    Scaled,
    Schedule,
)

__all__ = ["FATS_BY", "MEDIA_TYPES", "OPERATIONS", "Operation"]

MEDIA_TYPES: Mapping[str, str] = MappingProxyType({
    "json": "application/json", "html": "text/html", "svg": "image/svg+xml", "ics": "text/calendar",
    "csv": "text/csv", "text": "text/plain"})
FATS_BY = ("search", "kind", "saponification_value_min", "saponification_value_max", "iodine_value_min",
           "iodine_value_max", "fatty_acid", "fatty_acid_min_pct", "fatty_acid_max_pct")


@dataclass(frozen=True, slots=True)
class Operation:
    """An operation of the service.

    Parameters
    ----------
    method, path : str
        HTTP method, and path; a part in braces is filled in. [text]
    summary : str
        What it does. [text]
    gives : type, optional
        Class of its result; without one the result is a mapping. [class]
    forms : tuple of str
        Other forms of its reply, as in `format`. [words]
    needs : mapping
        For a reply without a class: required keys, with their types. [classes]
    """

    method: str
    path: str
    summary: str
    gives: type[Any] | None = None
    forms: tuple[str, ...] = ()
    needs: Mapping[str, type[Any]] = field(default_factory=dict)


OPERATIONS: Mapping[str, Operation] = MappingProxyType({
    "lye": Operation("POST", "/v1/lye", "what to weigh for a recipe", Lye, ("html",)),
    "scaling": Operation("POST", "/v1/scaling", "scale a recipe", Scaled),
    "moulds": Operation("POST", "/v1/moulds", "volume of a mould, or which moulds to fill", Mould, ("svg",)),
    "portions": Operation("POST", "/v1/portions", "what goes into each bucket", Portions, ("svg",)),
    "fades": Operation("POST", "/v1/fades", "doses of a fade", Fade, ("svg",)),
    "cuts": Operation("POST", "/v1/cuts", "cut a block into bars", Cuts, ("svg",)),
    "cure": Operation("POST", "/v1/cure", "dates of a batch, and its drying curve", Cure, ("svg", "ics")),
    "schedules": Operation("POST", "/v1/schedules", "a calendar of several batches", Schedule, ("ics",)),
    "blends": Operation("POST", "/v1/blends", "shares of the fats you have that meet constraints", Blend),
    "batches": Operation("POST", "/v1/batches", "a whole batch", Batch, ("html", "svg", "ics")),
    "actuals": Operation("POST", "/v1/batches/actuals", "what you really weighed, and what to do next", Actuals),
    "labels": Operation("POST", "/v1/labels", "what labels must list, and the net quantity they may state", Labels),
    "costs": Operation("POST", "/v1/costs", "what a batch and a bar cost", Costs),
    "purchases": Operation("POST", "/v1/purchases", "which packs to buy", Purchases),
    "fats": Operation("GET", "/v1/fats", "the table of fats", Fats),
    "fat": Operation("GET", "/v1/fats/{key}", "one fat, with sources", FatEntry),
    "cautions": Operation("GET", "/v1/cautions", "all cautions", needs={"cautions": list}),
    "sources": Operation("GET", "/v1/sources", "all sources of the figures", needs={"sources": list}),
    "healthz": Operation("GET", "/healthz", "whether the service is alive", needs={"status": str}),
    "readyz": Operation("GET", "/readyz", "whether it is ready", needs={"status": str}),
    "version": Operation("GET", "/version", "versions of service and data",
                         needs={"version": str, "data_version": str}),
})
