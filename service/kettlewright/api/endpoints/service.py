"""The service's own addresses: /healthz, /readyz, /version."""

from __future__ import annotations

import math

from kettlewright import __version__
from kettlewright.api.door.fields import Text
from kettlewright.api.door.operations import operation
from kettlewright.api.door.problems import Problem
from kettlewright.api.door.responses import ResponsePart
from kettlewright.api.door.strict import Part
from kettlewright.api.parts.coop import coop_version
from kettlewright.api.parts.envelope import CoopDataVersion
from kettlewright.ranges import Range
from kettlewright.recipe import AlkaliPortion, FatPortion, Recipe, Scale, WaterRule, make_lye
from kettlewright.reference import DATA_VERSION, fats

__all__ = ["StateResponse", "VersionResponse", "healthz", "readyz", "version"]


class StateResponse(ResponsePart):
    """Whether the service is there."""

    omitted = ("coop_data",)

    status = Text(about="ok", example="ok")
    coop_data = Part(CoopDataVersion, about="Of /readyz: the operator's data folder, if there is one")


class VersionResponse(ResponsePart):
    """Versions."""

    omitted = ("coop_data",)

    version = Text(about="Of the service", example="0.2.0")
    data_version = Text(about="Of the tables", example="2026.1")
    coop_data = Part(CoopDataVersion, about="Of the operator's data folder, if there is one")


@operation("GET", "/healthz", name="healthz", response=StateResponse, group="service", summary="Whether the service is "
           "alive", description="For the probe that restarts a process that hangs: it computes nothing.")
def healthz() -> object:
    """Whether the service is alive."""
    return {"status": "ok"}


@operation("GET", "/readyz", name="readyz", response=StateResponse, group="service", statuses=(503,),
           summary="Whether tables are loaded and a known calculation agrees", description="For the probe that sends "
           "requests to an instance only while it is ready.")
def readyz() -> object:
    """Whether tables are loaded and a known calculation agrees."""
    # 1000 g of a fat of 192 mg/g at 5 %: 192000 / 56105.6 x 0.95 x 39.9971 = 130.031 g, worked by hand
    lye = make_lye(Recipe(fats=(FatPortion(name="known", saponification_value=Range(192, 192), mass_g=1000),),
                          superfat_pct=5, alkalis=(AlkaliPortion("NaOH"),), water=WaterRule(water_to_alkali=2)),
                   Scale())
    if not fats() or not math.isclose(lye.alkalis[0].mass_g, 130.031, rel_tol=1e-5):
        raise Problem(503, "A known calculation does not agree; this instance must not be used.")
    return {"status": "ok", "coop_data": coop_version()}


@operation("GET", "/version", name="version", response=VersionResponse, group="service",
           summary="Versions of service and data",
           description="The data version changes with every figure of the tables.")
def version() -> object:
    """Versions of service and data."""
    return {"version": __version__, "data_version": DATA_VERSION, "coop_data": coop_version()}

