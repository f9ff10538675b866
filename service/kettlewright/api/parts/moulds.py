"""A mould in requests and responses."""

from __future__ import annotations

from typing import Any, ClassVar, cast

from kettlewright import limits, pour
from kettlewright.api.door.fields import Choice, Length, Mass, Number, Text, Volume, Whole
from kettlewright.api.door.responses import ResponsePart
from kettlewright.api.door.strict import ListOf, Part, Strict, Union
from kettlewright.pour import Mould, Shape, mould_in_words
from kettlewright.pour.mould.shapes import Dimension

__all__ = ["MOULD_EXAMPLE", "SHAPES", "MouldInput", "MouldSummary", "mould_summary"]

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
    cavity_mass_g = Mass(allow_none=True, about="In one cavity; null if they differ", example=3600)


class ProfilePoint(ResponsePart):
    """How wide a cavity is at a height."""

    height_mm = Length(about="From its bottom", example=0)
    width_mm = Length(about="Of its section there", example=70)


class MouldSummary(ResponsePart):
    """What a mould holds."""

    omitted: ClassVar[tuple[str, ...]] = ("fill", "name", "shape", "count")

    name = Text(about="Count, shape and inside dimensions in words",
                example="box: length 380 mm, width 260 mm, depth 60 mm")
    shape = Choice(tuple(SHAPES), about="As given")
    count = Whole(about="Cavities", unit="cavities", example=1)
    volume_ml = Volume(attribute="mould.volume_ml", about="Up to the headspace, over all cavities", example=5335.2)
    brim_volume_ml = Volume(attribute="mould.brim_volume_ml", about="Up to the rim, over all cavities", example=5928)
    areas = Part(Areas, allow_none=True, about="Surfaces; null for a measured mould without depth")
    profile = ListOf(Part(ProfilePoint), attribute="mould.profile", about="Width of one cavity's section at rising "
                     "heights, straight between them; empty for a measured mould")
    fill = Part(Fill, about="If a fill was requested")


def mould_summary(mould: Mould, fill: object = None) -> dict[str, Any]:
    """What a response says of one mould (`mould`, its `fill`)."""
    return {"mould": mould, "name": mould_in_words(mould), "shape": mould.shape.key, "count": mould.count,
            "areas": mould.areas, "fill": fill}


MOULD_EXAMPLE = "box,length:380,width:260,depth:60,headspace:6"
"""A mould in an address. [text]"""
