"""Request and reply of /v1/portions."""

from __future__ import annotations

from typing import Any, ClassVar

from kettlewright import limits
from kettlewright.api.fields import Choice, Dose, Length, ListOf, Mass, Number, Part, Strict, Text, Volume
from kettlewright.api.own_fats import check_fat_key, current_own_fats
from kettlewright.api.schemas.constituents import ConstituentAsked
from kettlewright.api.schemas.envelope import Answer, Request, ScaleSteps, Told, scale_of
from kettlewright.api.schemas.moulds import MouldAsked, MouldTold
from kettlewright.api.schemas.own_fats import SaponificationRange
from kettlewright.api.units import to_base
from kettlewright.pour import ARRANGEMENTS, BASES, KINDS, Addition, Batter, Contains, Dusting, Portion, Residue

__all__ = ["ADDITIONS_MAX", "PORTIONS_MAX", "AdditionAsked", "AdditionTold", "PortionAsked", "PortionTold",
           "PortionsReply", "PortionsRequest", "ResidueAsked"]

ADDITIONS_MAX = 40
PORTIONS_MAX = 60


class ContainsAsked(Strict):
    """What an addition is dispersed in."""

    builds = Contains

    water_pct = Number(bounds=limits.PART_PCT, about="Water in it", unit="% by mass", example=30)
    fat_pct = Number(bounds=limits.PART_PCT, about="Oil in it: of the batch's own additions its alkali is counted, in "
                     "one portion it stays free", unit="% by mass", example=70)
    fat = Text(check=check_fat_key, about="Which oil: a key of /v1/fats or own_fats", example="sunflower")
    saponification_value = Part(SaponificationRange, about="In place of fat")

    def build(self, data: dict[str, Any]) -> Any:
        """Put a fat of own_fats in place of its key (`data`)."""
        own = current_own_fats.get().get(data.get("fat", ""))
        if own is not None:
            data = {**data, "fat": None, "saponification_value": own.value_range}
        return super().build(data)


class AdditionAsked(Strict):
    """Something that goes into the pot or into one bucket."""

    name = Text(required=True, about="Your name for it", example="red iron oxide")
    kind = Choice(KINDS, required=True, about="What it is; a spray goes on top and into no sum")
    dose = Number(required=True, bounds=limits.DOSE, about="How much, as the basis counts it", unit="% or g/kg; "
                  "with basis mass in the unit of units.dose", example=6)
    basis = Choice(BASES, required=True, about="What the dose is counted on: for the batch's additions all fats or the "
                   "batter before any addition, for a portion's that portion's share of them",
                   example="g_per_kg_batter")
    density = Number(bounds=limits.ADDITION_DENSITY, about="The batter's where not given", unit="g/mL", example=0.95)
    limit_pct = Number(bounds=limits.LIMIT_PCT, about="The most the cured bar may hold, from the supplier's "
                       "certificate", unit="% of cured bar", example=2.4)
    inci = Text(about="Name on a label, or colour index number", example="CI 77491")
    lot = Text(about="Lot number", example="R-2")
    contains = Part(ContainsAsked, about="Oil or water it is dispersed in")
    allergens = ListOf(Part(ConstituentAsked), at_most=200, about="The supplier's composition of a fragrance, as far "
                       "as it is told")

    @staticmethod
    def builds(**given: Any) -> Addition:
        """An addition, a dose by mass in grams."""
        if given["basis"] == "mass":
            given["dose"] = to_base(given["dose"], "dose")
        return Addition(**given)


class DustingAsked(Strict):
    """Powder sifted on top of a layer."""

    builds = Dusting

    name = Text(required=True, about="The powder", example="kaolin")
    coverage = Number(required=True, bounds=limits.COVERAGE, about="How much of it", unit="g/m2", example=60)


class PortionAsked(Strict):
    """One bucket; all portions by share, all by mass, or all by the depth of their layers."""

    builds = Portion

    name = Text(required=True, about="Your name for it", example="deep red")
    share_pct = Number(bounds=limits.SHARE_PCT, about="Of the pot less its residue", unit="%", example=30)
    mass_g = Mass(bounds=limits.MASS, about="The full bucket, its own additions included", example=1640)
    layer_depth_mm = Length(bounds=limits.LENGTH, about="How thick its layer is in the mould; then the batch is as "
                            "large as its layers", example=12)
    additions = ListOf(Part(AdditionAsked), at_most=ADDITIONS_MAX, about="Stirred into this bucket")
    dusting = Part(DustingAsked, about="Powder sifted on top of this layer")
    colour = Text(pattern=r"#[0-9A-Fa-f]{6}", like='a colour such as "#7d2f22"', about="For the picture",
                  example="#7d2f22")


class ResidueAsked(Strict):
    """Batter that never reaches the mould."""

    pot_g = Mass(bounds=limits.KEEPS_BACK, about="Left in the pot; 0 where not given", example=15)
    portion_g = Mass(bounds=limits.KEEPS_BACK, about="Left in each bucket; 0 where not given", example=4)

    builds = Residue


class BatterAsked(Strict):
    """The batter before any addition."""

    builds = Batter

    mass_g = Mass(required=True, bounds=limits.MASS, about="All of it", example=5335)
    density = Number(required=True, bounds=limits.ADDITION_DENSITY, about="Of the batter", unit="g/mL", example=1.0)
    fats_mass_g = Mass(bounds=limits.MASS, about="Fats in it; a dose on fats needs it", example=3747)


class PortionsRequest(Request):
    """A batter to share out."""

    batter = Part(BatterAsked, required=True, about="The batter before any addition")
    portions = ListOf(Part(PortionAsked), required=True, at_least=1, at_most=PORTIONS_MAX, about="Buckets, in pour "
                      "order from the bottom")
    additions = ListOf(Part(AdditionAsked), at_most=ADDITIONS_MAX, about="The batch's own, into the pot")
    residue = Part(ResidueAsked, about="What stays behind")
    mould = MouldAsked(about="Where it goes; layers and powders need it")
    arrangement = Choice(ARRANGEMENTS, about="How the portions lie: flat layers (where not given); columns "
                         "between upright dividers; mingled: swirled, masses but no heights; separate: one per cavity")
    scale = Part(ScaleSteps, about="Steps of the scales")
    expected_loss_pct = Number(bounds=limits.LOSS_PCT, about="Loss in cure, of the batter's mass; a limit needs it",
                               unit="%", example=11)

    def build(self, data: dict[str, Any]) -> Any:
        """Fill in the usual scale (`data`)."""
        return super().build({"scale": scale_of(), **data})


class AdditionTold(Told):
    """An addition to weigh."""

    omitted = ("allowed_mass",)

    key = Text(about="A slug of the name", example="red_iron_oxide")
    name = Text(about="Your name for it", example="red iron oxide")
    mass_g = Dose(about="Exact", example=9.57)
    weigh_g = Dose(about="On the scale", example=9.6)
    allowed_mass_g = Dose(about="The most its limit allows here; left out without a limit", example=31.8)


class DustingTold(Told):
    """Powder to sift."""

    key = Text(about="A slug of the name", example="kaolin")
    name = Text(about="The powder", example="kaolin")
    mass_g = Dose(about="Exact", example=5.93)
    weigh_g = Dose(about="On the scale", example=5.9)
    area_cm2 = Number(data_key="area", about="Surface it covers, over all cavities", unit="cm2", example=988)


class LayerTold(Told):
    """Where a portion lies in each cavity."""

    bottom_mm = Length(about="Height of its bottom", example=0)
    top_mm = Length(about="Height of its top: pour to this mark", example=16.5)


class ColumnTold(Told):
    """Where a portion stands between upright dividers, across the width of a box."""

    start_mm = Length(about="From the first wall", example=0)
    end_mm = Length(about="From the first wall", example=78)


class PortionTold(Told):
    """A bucket to fill."""

    omitted = ("dusting", "column")

    key = Text(about="A slug of the name", example="deep_red")
    name = Text(about="Your name for it", example="deep red")
    batter_mass_g = Mass(about="Plain batter, exact; the batch's additions are in it", example=1596.15)
    weigh_g = Mass(about="That plain batter on the scale", example=1596)
    mass_g = Mass(about="The full bucket, its own additions in it", example=1639.4)
    volume_ml = Volume(about="The full bucket", example=1640)
    additions = ListOf(Part(AdditionTold), about="Stirred into this bucket")
    dusting = Part(DustingTold, about="Powder sifted on top")
    layer = Part(LayerTold, allow_none=True, about="Where it lies; null without a mould of known depth, and when "
                 "mingled or in columns")
    column = Part(ColumnTold, about="Where it stands, between dividers in a box")
    colour = Text(allow_none=True, about="For the picture", example="#7d2f22")


class OverflowLayerTold(Told):
    """A portion's part in the overflow mould."""

    key = Text(about="Of the portion", example="plain")
    name = Text(about="Its name", example="plain")
    layer = Part(LayerTold, allow_none=True, about="Where it lies; null where heights are not known")


class OverflowTold(Told):
    """What did not go into the mould."""

    mass_g = Mass(about="In the overflow mould, over all cavities", example=320)
    volume_ml = Volume(about="The same", example=318)
    depth_mm = Length(allow_none=True, about="How high it stands there; null where not known", example=24)
    layers = ListOf(Part(OverflowLayerTold), about="What it is of")


class DivisionTold(Told):
    """The batch, shared out."""

    omitted: ClassVar[tuple[str, ...]] = ("overflow",)

    additions = ListOf(Part(AdditionTold), attribute="division.additions", about="The batch's own, into the pot")
    portions = ListOf(Part(PortionTold), attribute="division.portions", about="Buckets, in pour order")
    residue_mass_g = Mass(attribute="division.residue_mass_g", about="What stays in the pot: its residue, and "
                          "what is below one step of the scale", example=15.5)
    pot_mass_g = Mass(attribute="division.pot_mass_g", about="All in the pot, the batch's additions in it",
                      example=5335.5)
    mould_mass_g = Mass(attribute="division.mould_mass_g", about="What the mould receives, powders included",
                        example=5361.6)
    overflow = Part(OverflowTold, attribute="division.overflow", about="What went into the overflow mould")


class PortionsReply(Answer, DivisionTold):
    """The batch, shared out."""

    omitted: ClassVar[tuple[str, ...]] = ("overflow", "mould")

    arrangement = Choice(ARRANGEMENTS, about="How the portions lie")
    mould = Part(MouldTold, attribute="filled", about="Where they go, if it was told")
