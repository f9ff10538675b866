"""Request and reply of /v1/moulds."""

from __future__ import annotations

from types import MappingProxyType
from typing import Any, ClassVar, cast

from kettlewright import limits, pour
from kettlewright.api.door.fields import Choice, Flag, Length, Mass, Number, Text, Volume, Whole
from kettlewright.api.door.strict import ListOf, Part, Strict, Union
from kettlewright.api.schemas.envelope import BaseResponse, Request, ResponsePart
from kettlewright.errors import DomainError, Missing, one_of
from kettlewright.pour import FILLING_OBJECTIVES, Mould, MouldAtHand, Shape
from kettlewright.pour.mould.shapes import Dimension

__all__ = ["SHAPES", "MouldInput", "MouldSummary", "MouldsRequest", "MouldsResponse"]

_AROUND = ("count", "liner_mm", "headspace_mm")


class _Shaped(Strict):
    """What every mould has beside its dimensions."""

    count = Whole(bounds=limits.CAVITIES_COUNT, about="Equal moulds or cavities; default 1", unit="moulds",
                  example=1)
    liner_mm = Length(bounds=limits.DEPTH_OFF, about="Thickness of the liner; default 0", example=0)
    headspace_mm = Length(bounds=limits.DEPTH_OFF, about="Space left free below the rim; default 0", example=6)

    def build(self, data: dict[str, Any]) -> Any:
        """Make the shape of its dimensions and the mould around it (`data`)."""
        around = {name: data.pop(name) for name in _AROUND if name in data}
        make_shape = pour.SHAPES[data.pop("shape")]
        return super().build({"make_shape": make_shape, "dimensions": data, "around": around})

    @staticmethod
    def builds(make_shape: Any, dimensions: dict[str, float], around: dict[str, Any]) -> Mould:
        """A mould of its parts."""
        return Mould(make_shape(**dimensions), **around)


def _dimension(one: Dimension) -> Number:
    more: dict[str, Any] = {"required": one.required, "bounds": one.bounds, "about": one.about, "example": one.example}
    if one.measure == "sides":
        return Whole(unit="sides", **more)
    return Volume(**more) if one.measure == "volume" else Length(**more)


def _schema_of(shape: type[Shape]) -> _Shaped:
    """The fields of a shape's dimensions, as it states them."""
    fields = {"shape": Choice([shape.key], required=True, about="Shape"),
              **{one.name: _dimension(one) for one in shape.dimensions}}
    keys = {one.name: one.key for one in shape.dimensions}
    rules = (tuple(keys[name] for name in shape.one_of),) if shape.one_of else ()
    made = type(f"{shape.__name__}Mould", (_Shaped,), {"__doc__": shape.about, "__module__": __name__,
                                                       "exactly_one": rules, **fields})
    return cast(_Shaped, made())


SHAPES = {key: _schema_of(shape) for key, shape in pour.SHAPES.items()}


def MouldInput(**more: Any) -> Union:
    """A mould in a request: one of the shapes (`more`: options of the field)."""
    return Union("shape", SHAPES, name="MouldInput", about=more.pop("about", "A mould"), **more)


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


class Areas(ResponsePart):
    """Surfaces, over all cavities."""

    bottom = Number(about="At the bottom", unit="cm2", example=988)
    top = Number(about="At the fill limit", unit="cm2", example=988)


class Fill(ResponsePart):
    """Batter standing in the mould."""

    depth_mm = Length(allow_none=True, about="Height in each cavity; null for a measured mould without depth",
                      example=30)
    volume_ml = Volume(about="Over all cavities", example=3600)
    mass_g = Mass(allow_none=True, about="Over all cavities; null without density", example=3600)
    area_cm2 = Number(data_key="area", allow_none=True, about="Surface over all cavities; null for a measured mould "
                      "without depth", unit="cm2", example=1200)


class ProfilePoint(ResponsePart):
    """How wide a cavity is at a height."""

    height_mm = Length(about="From its bottom", example=0)
    width_mm = Length(about="Of its section there", example=70)


class MouldSummary(ResponsePart):
    """What a mould holds."""

    omitted: ClassVar[tuple[str, ...]] = ("fill",)

    volume_ml = Volume(attribute="mould.volume_ml", about="Up to the headspace, over all cavities", example=5335.2)
    brim_volume_ml = Volume(attribute="mould.brim_volume_ml", about="Up to the rim, over all cavities", example=5928)
    areas = Part(Areas, allow_none=True, about="Surfaces; null for a measured mould without depth")
    profile = ListOf(Part(ProfilePoint), attribute="mould.profile", about="Width of one cavity's section at rising "
                     "heights, straight between them; empty for a measured mould")
    fill = Part(Fill, about="If a fill was requested")


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

    omitted: ClassVar[tuple[str, ...]] = ("fill", "filling")

    filling = Part(Filling, about="How an order is met")
