"""Response of /v1/portions."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, ClassVar

from kettlewright.api.door.fields import Choice, Dose, Flag, Length, Mass, Number, Text, Volume
from kettlewright.api.door.responses import ResponsePart
from kettlewright.api.door.strict import ListOf, Part
from kettlewright.api.parts.envelope import BaseResponse
from kettlewright.api.parts.moulds import MouldSummary
from kettlewright.pour import ARRANGEMENTS, BASES, CARRIERS
from kettlewright.units import from_base

__all__ = ["Division", "DosedAddition", "FilledPortion", "PortionColumn", "PortionLayer", "PortionsResponse"]


class Dilution(ResponsePart):
    """How to weigh what is too little for the scale."""

    weigh_g = Dose(about="Of the addition", example=1)
    carrier_g = Dose(data_key="carrier_weigh", about="Of oil, water or glycerol to stir it into", example=19)
    take_g = Dose(data_key="take_mass", about="Dilution to add to the batter, exact", example=1.3)
    take_weigh_g = Dose(about="The same on the scale", example=1.3)
    carrier_in_take_g = Dose(data_key="carrier_mass", about="Carrier that goes in with it; oil gets no alkali and "
                             "stays free on top of the superfat", example=1.23)


class DosedAddition(ResponsePart):
    """An addition to weigh."""

    omitted = ("allowed_mass", "dilution")

    key = Text(about="A slug of the name", example="red_iron_oxide")
    name = Text(about="Your name for it", example="red iron oxide")
    mass_g = Dose(about="Exact", example=9.57)
    weigh_g = Dose(about="On the scale", example=9.6)
    allowed_mass_g = Dose(about="The most its limit allows in this portion alone; left out without a limit",
                          example=31.8)
    dilution = Part(Dilution, about="If the scale is too coarse for the dose (fewer than ten steps)")


class WeighedDusting(ResponsePart):
    """Powder to sift."""

    omitted = ("colour",)

    key = Text(about="A slug of the name", example="kaolin")
    name = Text(about="The powder", example="kaolin")
    mass_g = Dose(about="Exact", example=5.93)
    weigh_g = Dose(about="On the scale", example=5.9)
    area_cm2 = Number(data_key="area", about="Surface it covers, over all cavities", unit="cm2", example=988)
    colour = Text(about="As given", example="#ffffff")


class PortionLayer(ResponsePart):
    """Where a portion is in each cavity."""

    bottom_mm = Length(about="Height of its bottom", example=0)
    top_mm = Length(about="Height of its top: pour to this mark", example=16.5)
    below_rim_mm = Length(about="From there up to the rim", example=42.5)


class PortionColumn(ResponsePart):
    """Where a portion is between upright dividers, across the width of a box."""

    start_mm = Length(about="From the first wall", example=0)
    end_mm = Length(about="From the first wall", example=78)


class Borrowed(ResponsePart):
    """Batter out of another bucket."""

    key = Text(about="Of the lender", example="deep_red")
    name = Text(about="Its name", example="deep red")
    mass_g = Mass(about="Exact, its additions in it", example=212)
    weigh_g = Mass(about="On the scale", example=212)


class FilledPortion(ResponsePart):
    """A bucket to fill."""

    omitted = ("dusting", "column", "free_fat_mass", "superfat_pct")

    key = Text(about="A slug of the name", example="deep_red")
    name = Text(about="Your name for it", example="deep red")
    batter_mass_g = Mass(about="Plain batter, exact; the batch's additions are in it", example=1596.15)
    weigh_g = Mass(about="That plain batter on the scale", example=1596)
    mass_g = Mass(about="The full bucket, its own additions and what it borrowed in it, before it lends",
                  example=1639.4)
    volume_ml = Volume(about="The full bucket", example=1640)
    additions = ListOf(Part(DosedAddition), about="Stirred into this bucket")
    borrowed = ListOf(Part(Borrowed), about="Taken out of other buckets")
    lent_mass_g = Mass(about="What other buckets take out of it", example=0)
    free_fat_mass_g = Mass(attribute="free_fat.mass_g", about="Oil of additions in it that gets no alkali", example=34)
    superfat_pct = Number(about="Of this bucket, where that oil shifts it", unit="%", example=7.1)
    dusting = Part(WeighedDusting, about="Powder sifted on top")
    layer = Part(PortionLayer, allow_none=True, about="Where it is; null without a mould of known depth, and when "
                 "mingled or in columns")
    column = Part(PortionColumn, about="Where it is, between dividers in a box")
    colour = Text(allow_none=True, about="For the picture", example="#7d2f22")


class OverflowLayer(ResponsePart):
    """A portion's part in the overflow mould."""

    key = Text(about="Of the portion", example="plain")
    name = Text(about="Its name", example="plain")
    layer = Part(PortionLayer, allow_none=True, about="Where it is; null if heights are not known")


class Overflow(ResponsePart):
    """What did not go into the mould."""

    mass_g = Mass(about="In the overflow mould, over all cavities", example=320)
    volume_ml = Volume(about="The same", example=318)
    depth_mm = Length(allow_none=True, about="How high it is there; null if not known", example=24)
    layers = ListOf(Part(OverflowLayer), about="Its layers")


class KeptBack(ResponsePart):
    """Plain batter set aside, the batch's additions in it."""

    mass_g = Mass(about="Exact", example=50)
    weigh_g = Mass(about="On the scale", example=50)


class DispersionToMake(ResponsePart):
    """A jar to make before the pour."""

    key = Text(about="Of the addition", example="madder")
    name = Text(about="Its name", example="madder")
    carrier = Choice(CARRIERS, about="What it is stirred into")
    carrier_name = Text(about="The same in words", example="sunflower oil (linoleic)")
    dry_weigh_g = Dose(data_key="weigh", about="Of the dry addition", example=9.2)
    carrier_weigh_g = Dose(about="Of the carrier", example=27.6)
    used_g = Dose(data_key="used_mass", about="What all its doses take, as weighed", example=33.4)
    left_g = Dose(data_key="left_mass", about="What is left of it", example=3.4)


class MixingStep(ResponsePart):
    """What to stir in next."""

    key = Text(attribute="portion", allow_none=True, about="Of the bucket; null for the pot", example="deep_red")
    name = Text(about="Of bucket or pot", example="deep red")
    additions = ListOf(Text(example="cedar and lavender"), about="Names of what goes in now")
    borrows = ListOf(Text(example="deep red"), about="Names of the portions whose batter goes in now")
    when = Choice(["ahead", "at_pour"], about="at_pour: just before you pour this bucket, not earlier")


class OnBasis(Number):
    """A dose in the unit of its basis: one by mass is in the unit of doses."""

    def _serialize(self, value: Any, attr: str | None, obj: Any, **more: Any) -> float | None:
        basis = obj["basis"] if isinstance(obj, Mapping) else obj.basis
        return super()._serialize(from_base(value, "dose") if basis == "mass" else value, attr, obj, **more)


class LargestDose(ResponsePart):
    """The largest dose that keeps within."""

    portion = Text(allow_none=True, about="Key of the portion; null for the batch's own", example="deep_red")
    dose = OnBasis(about="In the unit of its basis: send it back and the limit is kept", unit="% or g/kg; with basis "
                   "mass in the unit of units.dose", example=2.31)
    basis = Choice(BASES, about="As given")
    mass_g = Dose(about="Its mass in the batch made with it; of a dispersion, all of it", example=41.2)


class PortionMass(ResponsePart):
    """The mass of a portion with the largest doses."""

    portion = Text(about="Key of the portion", example="deep_red")
    mass_g = Mass(about="The full bucket, its own additions included", example=1638)


class Limit(ResponsePart):
    """An ingredient held to its limit on the cured bar; out of pot and buckets it counts together."""

    key = Text(about="Of the addition", example="cedar_and_lavender")
    name = Text(about="Its name", example="cedar and lavender")
    limit_pct = Number(about="Largest share of the cured bar; the lowest limit given",
                       unit="% of cured bar", example=2.4)
    portion = Text(about="Key of the portion with the most of it", example="deep_red")
    portion_pct = Number(about="Share in that portion alone", unit="% of cured portion", example=2.62)
    bar = Text(allow_none=True, about="The bar with the most of it, in words; null if bars are not known",
               example="the bar")
    bar_pct = Number(allow_none=True, about="Share in that bar", unit="% of cured bar", example=0.81)
    exceeded = Flag(about="Whether that bar (that portion, if bars are not known) is above the limit",
                    example=False)
    largest_doses = ListOf(Part(LargestDose), attribute="largest", about="If it is exceeded: doses that meet the "
                           "limits. You may send back all of them, or only those of one ingredient (the latter is not "
                           "checked in a batch with very many additions)")
    portion_masses = ListOf(Part(PortionMass), attribute="masses", about="If portions are given by mass: their masses "
                            "with those doses; else empty")


class Division(ResponsePart):
    """The batch, shared out."""

    omitted: ClassVar[tuple[str, ...]] = ("overflow", "kept_back")

    additions = ListOf(Part(DosedAddition), attribute="division.additions", about="The batch's own, into the pot")
    portions = ListOf(Part(FilledPortion), attribute="division.portions", about="Buckets, in pour order")
    residue_mass_g = Mass(attribute="division.residue_mass_g", about="What stays in the pot: its residue, and "
                          "what is below one step of the scale", example=15.5)
    pot_mass_g = Mass(attribute="division.pot_mass_g", about="All in the pot, the batch's additions in it",
                      example=5335.5)
    mould_mass_g = Mass(attribute="division.mould_mass_g", about="What goes into the mould, powders included",
                        example=5361.6)
    overflow = Part(Overflow, attribute="division.overflow", about="What went into the overflow mould")
    kept_back = Part(KeptBack, attribute="division.kept_back", about="Plain batter set aside")
    dispersions = ListOf(Part(DispersionToMake), attribute="bench.dispersions", about="Jars to make before the pour")
    mixing_order = ListOf(Part(MixingStep), attribute="bench.mixing_order", about="Order of stirring, if something "
                          "thickens fast or is borrowed; not the order of the pour")
    bucket_order = ListOf(Text(example="deep_red"), attribute="bench.bucket_order", about="Keys of the portions in the "
                          "order to fill and stir their buckets: lenders first")
    limits = ListOf(Part(Limit), attribute="bench.limits", about="Ingredients with a limit: the portion and the cut "
                    "bar with the most of each")


class PortionsResponse(BaseResponse, Division):
    """The batch, shared out."""

    omitted: ClassVar[tuple[str, ...]] = ("overflow", "kept_back", "mould")

    arrangement = Choice(ARRANGEMENTS, about="How the portions lie")
    mould = Part(MouldSummary, attribute="filled", about="Where they go, if it was given")

