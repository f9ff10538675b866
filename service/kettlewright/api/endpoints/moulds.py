"""POST /v1/moulds."""

from __future__ import annotations

import math
from collections.abc import Sequence
from types import MappingProxyType
from typing import Any, ClassVar

from kettlewright import limits
from kettlewright.api.door.fields import Choice, Flag, Length, Mass, Number, Text, Volume, Whole
from kettlewright.api.door.operations import Face, operation
from kettlewright.api.door.responses import ResponsePart
from kettlewright.api.door.strict import ListOf, Part, Strict
from kettlewright.api.door.tables import FIGURES
from kettlewright.api.links import Key, by_address, node_at, values_of
from kettlewright.api.parts.envelope import BaseResponse, Request, answer
from kettlewright.api.parts.moulds import MOULD_EXAMPLE, SHAPES, MouldInput, MouldSummary, mould_summary
from kettlewright.api.parts.units import UNITS_KEY
from kettlewright.errors import DomainError, Missing, gather, one_of
from kettlewright.pour import FILLING_OBJECTIVES, Mould, MouldAtHand, best_filling, fill_mould
from kettlewright.views import mould_section

__all__ = ["MouldsRequest", "MouldsResponse", "moulds"]


class FillInput(Strict):
    """How far to fill, by exactly one of the three."""

    exactly_one = (("volume", "depth", "mass"),)
    needed_with = MappingProxyType({"mass": ("density",)})

    volume_ml = Volume(bounds=limits.VOLUME, about="Over all cavities", example=3600)
    depth_mm = Length(bounds=limits.LENGTH, about="In each cavity", example=30)
    mass_g = Mass(bounds=limits.MASS, about="Over all cavities; needs the density", example=3600)
    density = Number(bounds=limits.ADDITION_DENSITY, about="Of the batter", unit="g/mL", example=1.0)

    @staticmethod
    def builds(**given: float) -> dict[str, float]:
        """The one way and the density."""
        ways = [name for name in ("volume_ml", "depth_mm", "mass_g") if name in given]
        if len(ways) != 1:
            raise one_of(ways or None)('Say how far to fill by exactly one of "volume", "depth" or "mass" with '
                                       '"density".')
        if ways == ["mass_g"] and "density" not in given:
            raise Missing('A fill by "mass" needs the "density" of the batter.', field=("density",))
        return given


class MouldAtHandInput(Strict):
    """A mould that may be filled for an order."""

    builds = MouldAtHand

    name = Text(required=True, about="Your name for it", example="long loaf")
    mould = MouldInput(required=True)
    at_most = Whole(bounds=limits.USES, about="How often it may be filled; default 1", unit="times",
                    example=2)


class OrderInput(Strict):
    """How much batter is to be moulded, by exactly one of the two."""

    exactly_one = (("volume", "mass"),)
    needed_with = MappingProxyType({"mass": ("density",)})

    volume_ml = Volume(bounds=limits.VOLUME, about="At least this much", example=9000)
    mass_g = Mass(bounds=limits.MASS, about="At least this much; needs the density", example=9000)
    density = Number(bounds=limits.ADDITION_DENSITY, about="Of the batter", unit="g/mL", example=1.0)

    @staticmethod
    def builds(volume_ml: float | None = None, mass_g: float | None = None, density: float | None = None) -> float:
        """The volume ordered."""
        if (volume_ml is None) == (mass_g is None):
            raise Missing('Give the order as "volume", or as "mass" with "density"; not both.')
        if mass_g is None:
            return volume_ml or 0.0
        if density is None:
            raise Missing('An order by "mass" needs the "density" of the batter.', field=("density",))
        return mass_g / density


class MouldsRequest(Request):
    """A mould and how far to fill it; or moulds at hand and an order."""

    exactly_one = (("mould", "moulds"),)
    needed_with = MappingProxyType({"moulds": ("order",), "order": ("moulds",), "fill": ("mould",),
                                    "objective": ("moulds",)})

    mould = MouldInput()
    fill = Part(FillInput, about="How far to fill the mould")
    moulds = ListOf(Part(MouldAtHandInput), at_least=1, at_most=40, about="In place of mould: those at hand")
    order = Part(OrderInput, about="With moulds: how much to mould")
    objective = Choice(FILLING_OBJECTIVES, about="With moulds: least batter left over (default), or fewest pours")

    @staticmethod
    def builds(**given: Any) -> dict[str, Any]:
        """One of the two kinds of request."""
        one, several = given.keys() & {"mould", "fill"}, given.keys() & {"moulds", "order", "objective"}
        if one and several:
            raise DomainError('Give one "mould" with its "fill", or "moulds" with an "order"; not both.',
                              field=("moulds" if "moulds" in given else "mould",))
        wanted = ("moulds", "order") if several else ("mould",)
        missing = [name for name in wanted if name not in given]
        if missing:
            raise Missing(f'"{missing[0]}" is required.', field=(missing[0],))
        return given


class MouldUse(ResponsePart):
    """A mould that is filled."""

    key = Text(about="A slug of its name", example="long_loaf")
    name = Text(about="Your name for it", example="long loaf")
    times = Whole(about="How often", unit="times", example=2)
    volume_ml = Volume(about="Each time, to its headspace", example=1625)


class Filling(ResponsePart):
    """How an order is met."""

    uses = ListOf(Part(MouldUse), about="Moulds that are filled, in the order given")
    left_over_ml = Volume(about="Excess over the order", example=120)
    pours_count = Whole(about="Moulds filled in all", unit="times", example=3)
    proven_optimal = Flag(about="No better filling exists; false if the node limit was reached", example=True)


class MouldsResponse(BaseResponse, MouldSummary):
    """What a mould holds, with cautions and sources; for an order, what all that are filled hold together."""

    omitted: ClassVar[tuple[str, ...]] = (*MouldSummary.omitted, "filling")

    filling = Part(Filling, about="How an order is met")


@operation("POST", "/v1/moulds", name="moulds", group="pour", heavy=True,
           request=MouldsRequest, response=MouldsResponse, main_table=FIGURES, summary="What a mould holds",
           description="Volume and surfaces up to the headspace and to the rim, and the depth of a given volume or "
           "mass. Volumes, masses and areas are for all cavities together, depths and heights for each. With `moulds` "
           "and an `order` in place of `mould`: which of your moulds to fill, and how often.",
           faces={"svg": Face("image/svg+xml", mould_section)})
def moulds(mould: Mould | None = None, fill: dict[str, float] | None = None,
           moulds: Sequence[MouldAtHand] = (), order: float = 0.0, objective: str = "least_left_over") -> object:
    """What a mould holds, or which moulds meet an order (the loaded request)."""
    if mould is None:
        found = best_filling(moulds, order, objective)
        brim = math.fsum(use.times * one.mould.brim_volume_ml for use in found.uses for one in moulds
                         if one.key == use.key)
        return answer("moulds", mould={"volume_ml": found.volume_ml, "brim_volume_ml": brim, "profile": ()}, areas=None,
                      name=None, shape=None, count=None, fill=None, filling=found)
    with gather() as checks, checks.at("fill"):
        filled = None if fill is None else fill_mould(mould, **fill)
    return answer("moulds", **mould_summary(mould, filled), filling=None)


_AT_HAND = {name: ("mould", name) for shape in SHAPES.values() for name in node_at(shape, ())}

by_address(
    "moulds",
    Key(name="mould", into=("mould",), head="shape", example=MOULD_EXAMPLE, about="A mould, by its shape"),
    Key(name="fill", into=("fill",), example="depth:30", about="How far to fill it"),
    Key(name="at_hand", into=("moulds",), many=True, head="name", deeper=_AT_HAND, about="In place of mould: one of "
        "those at hand, by your name for it", example="long loaf,shape:box,length:250,width:100,depth:65,at_most:4"),
    Key(name="order", into=("order",), example="volume:9000", about="With at_hand: how much to mould"),
    *values_of(MouldsRequest, "objective", "locale"), UNITS_KEY)
