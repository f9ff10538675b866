"""Additions in a request, and batter that never reaches the mould."""

from __future__ import annotations

from typing import Any

from kettlewright import limits
from kettlewright.api.door.fields import Choice, Flag, Mass, Number, Text
from kettlewright.api.door.strict import ListOf, Part, Strict
from kettlewright.api.links import Key
from kettlewright.api.parts.coop import current_coop
from kettlewright.api.parts.fat_values import SaponificationRange
from kettlewright.api.parts.own_fats import fat_key, own_value_in
from kettlewright.pour import BASES, CARRIERS, KINDS, Addition, Constituent, Contains, Dispersion, Residue
from kettlewright.units import to_base

__all__ = ["AdditionInput", "ConstituentInput", "DispersionInput", "ResidueInput", "addition_key"]

class ContainsInput(Strict):
    """What an addition is dispersed in."""

    builds = Contains

    water_pct = Number(bounds=limits.PART_PCT, about="Water in it", unit="% by mass", example=30)
    fat_pct = Number(bounds=limits.PART_PCT, about="Oil in it: in additions to the whole batch it gets alkali, in a "
                     "portion it stays free", unit="% by mass", example=70)
    fat = Text(convert=fat_key, about="Which oil: a key of /v1/fats or own_fats, or its name", example="sunflower")
    saponification_value = Part(SaponificationRange, about="In place of fat")

    def build(self, data: dict[str, Any]) -> Any:
        """Put the value of a fat of own_fats in place of its key (`data`)."""
        return super().build(own_value_in(data, named=True))


class DispersionInput(Strict):
    """What an addition is stirred into before the pour; its dose is then of the dry addition."""

    builds = Dispersion

    carrier = Choice(CARRIERS, required=True, about="oil counts as fat in additions to the whole batch and stays free "
                     "in a portion; water evaporates in the cure; glycerol stays in the bar")
    strength_pct = Number(required=True, bounds=limits.DISPERSION_PCT, about="Dry addition in it", unit="% by mass",
                          example=25)
    fat = Text(convert=fat_key, about="Which oil: a key of /v1/fats or own_fats, or its name", example="sunflower")
    saponification_value = Part(SaponificationRange, about="In place of fat")
    spare_pct = Number(bounds=limits.PART_PCT, about="Extra, for what sticks to the jar; default 10",
                       unit="% of the doses", example=10)

    def build(self, data: dict[str, Any]) -> Any:
        """Put the value of a fat of own_fats in place of its key (`data`)."""
        return super().build(own_value_in(data, named=True))


class ConstituentInput(Strict):
    """One line of a supplier's composition, by number or by name."""

    exactly_one = (("cas", "name"),)

    builds = Constituent

    cas = Text(about="CAS number; its check digit must be right", example="5989-27-5")
    name = Text(about="In place of it, the name of a listed allergen", example="Limonene")
    pct = Number(required=True, bounds=limits.SHARE_PCT, about="Of the fragrance as bought", unit="% by mass",
                 example=0.45)


class AdditionInput(Strict):
    """Something that goes into the pot or into one bucket."""

    name = Text(required=True, about="Your name for it", example="red iron oxide")
    kind = Choice(KINDS, required=True, about="What it is; a spray goes on top and counts in no total")
    dose = Number(required=True, bounds=limits.DOSE, about="How much, in the unit of its basis", unit="% or g/kg; "
                  "with basis mass in the unit of units.dose", example=6)
    basis = Choice(BASES, required=True, about="What the dose refers to: all fats or all batter before additions; in a "
                   "portion, its share of them",
                   example="g_per_kg_batter")
    density = Number(bounds=limits.ADDITION_DENSITY, about="The batter's if not given", unit="g/mL", example=0.95)
    limit_pct = Number(bounds=limits.LIMIT_PCT, about="Largest share of the cured bar, from the supplier's certificate",
                       unit="% of cured bar", example=2.4)
    inci = Text(about="Name on a label, or colour index number", example="CI 77491")
    lot = Text(about="Lot number", example="R-2")
    contains = Part(ContainsInput, about="Oil or water in it as bought; the dose includes them")
    dispersion = Part(DispersionInput, about="What you stir it into before the pour; the dose is that of the dry "
                      "addition, and you weigh the dispersion into the batter")
    thickens_fast = Flag(about="It brings the batter to trace within minutes: it is stirred in last", example=True)
    allergens = ListOf(Part(ConstituentInput), at_most=200, about="The supplier's composition of a fragrance, as far "
                       "as it is given")

    @staticmethod
    def builds(**given: Any) -> Addition:
        """An addition, a dose by mass in grams; a fragrance with the composition that the co-op knows."""
        use = current_coop.get()
        if use is not None and given["kind"] == "fragrance" and "allergens" not in given:
            given["allergens"] = use.composition_of(given["name"])
        if given["basis"] == "mass":
            given["dose"] = to_base(given["dose"], "dose")
        return Addition(**given)


class ResidueInput(Strict):
    """Batter that never reaches the mould."""

    pot_g = Mass(bounds=limits.KEEPS_BACK, about="Left in the pot; default 0", example=15)
    portion_g = Mass(bounds=limits.KEEPS_BACK, about="Left in each bucket; default 0", example=4)

    kept_back_g = Mass(bounds=limits.KEEPS_BACK, about="Plain batter set aside from the pot, for a test or a repair; "
                       "default 0", example=50)

    builds = Residue


def addition_key(*within: str) -> Key:
    """Key of an addition; `within` is the key of the portions and their field it may go into. [key]"""
    into_bucket = (within[0], within[1]) if within else None
    return Key(name="addition", into=("additions",), many=True, head="name", within=into_bucket,
               example="red iron oxide,kind:colourant,dose:6,basis:g_per_kg_batter", about="An addition"
               + (": into the pot, or into the portion named by to" if within else ""))
