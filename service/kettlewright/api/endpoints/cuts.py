"""POST /v1/cuts."""

from __future__ import annotations

from typing import Any, ClassVar

from kettlewright import cautions as caution_texts
from kettlewright import limits
from kettlewright.api.door.fields import Choice, Length, Mass, Number, Text, Volume, Whole
from kettlewright.api.door.operations import Face, operation
from kettlewright.api.door.responses import ResponsePart
from kettlewright.api.door.strict import ListOf, Part, Strict
from kettlewright.api.links import Key, by_address, values_of
from kettlewright.api.parts.envelope import BaseResponse, Request, answer
from kettlewright.api.parts.ranges import MassRange
from kettlewright.api.parts.units import UNITS_KEY
from kettlewright.plan import CutOptions
from kettlewright.pour import BarCut, Block, Finish, LoafCut, Tolerance, Trim, cut_block
from kettlewright.pour.mould.shapes import PIECE_FORMS
from kettlewright.views import cut_plan

__all__ = ["CutInput", "CutsOfBatch", "CutsRequest", "CutsResponse", "cut_keys", "cuts"]


class BlockInput(Strict):
    """What is on the cutting table."""

    builds = Block

    length_mm = Length(required=True, bounds=limits.LENGTH, about="Bars are cut along it", example=400)
    width_mm = Length(required=True, bounds=limits.LENGTH, about="Loaves are cut across it", example=320)
    height_mm = Length(required=True, bounds=limits.LENGTH, about="Height", example=60)


class TrimInput(Strict):
    """What is cut off the ends first, its cut included."""

    builds = Trim

    start_mm = Length(bounds=limits.DEPTH_OFF, about="Cut off at the start; default 0", example=4)
    end_mm = Length(bounds=limits.DEPTH_OFF, about="Cut off at the end; default 0", example=4)


class LoafInput(Strict):
    """How the block is cut across its width."""

    builds = LoafCut

    width_mm = Length(required=True, bounds=limits.LENGTH, about="Of a loaf", example=75)
    kerf_mm = Length(bounds=limits.KERF, about="Default the bars'", example=1)
    trim = Part(TrimInput, about="Default the bars'")


class BarInput(Strict):
    """How a loaf is cut along its length, by exactly one of the three."""

    exactly_one = (("thickness", "count", "mass"),)

    builds = BarCut

    thickness_mm = Length(bounds=limits.LENGTH, about="Of a bar", example=25)
    count = Whole(bounds=limits.BARS_COUNT, about="Equal bars of a loaf", unit="bars", example=15)
    mass_g = Mass(bounds=limits.MASS, about="Of a bar: cured where expected_loss_pct is given, else wet; needs the "
                  "density", example=110)


class ToleranceInput(Strict):
    """How far a cut may be off, either way."""

    builds = Tolerance

    length_mm = Length(bounds=limits.KERF, about="Along the block's length; default 1 mm", example=1)
    width_mm = Length(bounds=limits.KERF, about="Along the block's width; default 1 mm", example=1)
    height_mm = Length(bounds=limits.KERF, about="Of the height; default 2 mm", example=2)
    density_pct = Number(bounds=limits.TOLERANCE_PCT, about="Of the density; default 1", unit="%", example=1)


class _CutFields(Strict):
    """What is said of a cut, with or without its block."""

    bar = Part(BarInput, required=True, about="The bars")
    loaf = Part(LoafInput, about="The loaves; without it the block is one loaf, untrimmed across")
    kerf_mm = Length(bounds=limits.KERF, about="Width of a cut; default 0", example=1)
    trim = Part(TrimInput, about="Cut off the ends first")
    tolerance = Part(ToleranceInput, about="Tolerances of the cuts")
    planing_mm = Length(bounds=limits.KERF, about="Taken off the top of each bar; of box-shaped bars only", example=1)
    bevel_mm = Length(bounds=limits.KERF, about="Leg of the bevel on all edges of each bar; of box-shaped bars only",
                      example=2)

    def build(self, data: dict[str, Any]) -> Any:
        """Planing and bevel are one finish (`data`)."""
        finish = {name: data.pop(name) for name in ("planing_mm", "bevel_mm") if name in data}
        return super().build({**data, "finish": Finish(**finish)} if finish else data)


class CutInput(_CutFields):
    """How a block is cut into loaves and bars; rounds of an upright tube are cut along its height."""

    builds = CutOptions


class CutsRequest(_CutFields, Request):
    """A block to cut."""

    block = Part(BlockInput, required=True, about="The block")
    density = Number(bounds=limits.ADDITION_DENSITY, about="Of the block; masses need it", unit="g/mL", example=1.02)
    expected_loss_pct = Number(bounds=limits.LOSS_PCT, about="Loss in cure, as a share of the mass of a whole bar as "
                               "cut", unit="%", example=11)


class CutBlock(ResponsePart):
    """The block."""

    length_mm = Length(about="Bars are cut along it", example=400)
    width_mm = Length(about="Loaves are cut across it", example=320)
    height_mm = Length(about="Height; of a round its diameter", example=60)


class CutLoaves(ResponsePart):
    """The loaves."""

    count = Whole(about="All of them", unit="loaves", example=4)
    length_mm = Length(about="Of each", example=400)
    width_mm = Length(about="Of each", example=75)
    height_mm = Length(about="Of each", example=60)


class FacePoint(ResponsePart):
    """A point of the outline of a piece."""

    across_mm = Length(about="From its left end", example=0)
    up_mm = Length(about="From the table", example=0)


class CutBars(ResponsePart):
    """The bars."""

    omitted = ("cured_mass",)

    count = Whole(about="All of them", unit="bars", example=60)
    length_mm = Length(about="Of each: the loaf's width", example=75)
    thickness_mm = Length(about="Of each", example=25)
    height_mm = Length(about="Of each", example=60)
    form = Choice(PIECE_FORMS, about="What they look like from the cut side: a rectangle (bar), slanted or curved at "
                  "the sides, a circle or the filled part of it, half a circle, an ellipse, a regular polygon")
    face = ListOf(Part(FacePoint), about="Their outline from there, straight between the points; empty if the "
                  "loaves of a slanted mould differ")
    mass = Part(MassRange, allow_none=True, about="Wet, of one bar; null without density")
    cured_mass = Part(MassRange, about="Of one bar after the loss in cure; left out if that is not given")


class Offcut(ResponsePart):
    """A piece that is not a bar."""

    name = Text(about="Where it comes from", example="side rest")
    length_mm = Length(about="Along the block's length", example=400)
    width_mm = Length(about="Along the block's width", example=8)
    height_mm = Length(about="Height", example=60)
    mass_g = Mass(allow_none=True, about="Wet; null without density", example=195.8)


class CutPositions(ResponsePart):
    """Near edge of each cut, from the block's start."""

    loaf_cuts_mm = ListOf(Length(example=3), data_key="loaf", about="Across the width")
    bar_cuts_mm = ListOf(Length(example=4), data_key="bar", about="Along the length")
    loaf_starts_mm = ListOf(Length(example=4), data_key="loaf_starts", about="Where each loaf begins, across the width")
    bar_starts_mm = ListOf(Length(example=4), data_key="bar_starts", about="Where each bar begins, along the length")


class LayerShare(ResponsePart):
    """A layer's part of a bar."""

    key = Text(about="Of the portion", example="plain")
    share_pct = Number(about="By volume", unit="% of bar", example=20)


class BarKind(ResponsePart):
    """Bars that are alike: in slanted moulds the outer ones differ."""

    count = Whole(about="How many", unit="bars", example=60)
    first_loaf = Whole(about="Where the first of them is: its loaf", unit="number, from 1", example=1)
    first_bar = Whole(about="And its place in that loaf", unit="number, from 1", example=1)
    volume_ml = Volume(about="Of one", example=112)
    mass = Part(MassRange, allow_none=True, about="Wet, of one; null without density")
    layers = ListOf(Part(LayerShare), about="What it holds, where flat layers are known")


class Turned(ResponsePart):
    """The same loaves and bars with the block turned by a quarter."""

    bars_count = Whole(about="Bars it would give", unit="bars", example=56)
    volume_yield_pct = Number(about="Bars, of the block", unit="% by volume", example=82)


class Rebatch(ResponsePart):
    """What the offcuts come to."""

    mass_g = Mass(about="All offcuts, wet", example=880)
    bars_count = Whole(about="Bars of the planned mass that they would make, melted down", unit="bars", example=7)


class CutsOfBatch(ResponsePart):
    """How the block is cut."""

    omitted: ClassVar[tuple[str, ...]] = ("turned",)

    block = Part(CutBlock, about="The block that is cut, its largest extents")
    loaves = Part(CutLoaves, about="The loaves")
    bars = Part(CutBars, about="The bars")
    offcuts = ListOf(Part(Offcut), about="Every piece that is not a bar")
    kerf_mass_g = Mass(allow_none=True, about="Lost to the blade between pieces; null without density", example=36.7)
    rebatch = Part(Rebatch, allow_none=True, about="What the offcuts add up to; null without density")
    shavings_mass_g = Mass(allow_none=True, about="Lost to planing and bevelling; null without density", example=0)
    volume_yield_pct = Number(about="Bars, of the block", unit="% by volume", example=87.9)
    kinds = ListOf(Part(BarKind), about="Bars that are alike, the most numerous first")
    turned = Part(Turned, about="What turning a box-shaped block by a quarter would give, if it gives any bars")
    positions = Part(CutPositions, about="Where to cut")


class CutsResponse(BaseResponse, CutsOfBatch):
    """How the block is cut, with cautions and sources."""


@operation("POST", "/v1/cuts", name="cuts", group="pour", heavy=True, request=CutsRequest, response=CutsResponse,
           main_table="kinds", summary="A block cut into loaves and bars",
           description="How many bars, their size, where to cut, the mass of a bar within the tolerance of the cut, "
           "and every offcut. Bars, offcuts, kerf and shavings add up to the block.",
           faces={"svg": Face("image/svg+xml", cut_plan)})
def cuts(block: Block, bar: BarCut, **more: Any) -> object:
    """A block cut into loaves and bars (the loaded request)."""
    found = cut_block(block, bar, **more)
    return answer("cuts", caution_texts.of_cuts(found), result=found, rebatch=found.rebatch)


def cut_keys(*where: str) -> tuple[Key, ...]:
    """Keys of how a block is cut, at the top of a body or inside it (`where`). [keys]"""
    return (
        Key(name="loaf", into=(*where, "loaf"), example="width:75", about="The loaves; without it the block is one "
            "loaf", deeper={"trim_start": ("trim", "start"), "trim_end": ("trim", "end")}),
        Key(name="bar", into=(*where, "bar"), example="thickness:25", about="The bars"),
        Key(name="trim", into=(*where, "trim"), example="start:4,end:4", about="Cut off the ends first"),
        Key(name="tolerance", into=(*where, "tolerance"), example="length:1,width:1,height:2", about="Tolerances of "
            "the cuts"),
        *values_of(CutInput, "kerf", "planing", "bevel", within=where))


by_address(
    "cuts",
    Key(name="block", into=("block",), example="length:400,width:320,height:60", about="The block"),
    *cut_keys(), *values_of(CutsRequest, "density", "expected_loss_pct", "locale"), UNITS_KEY)
