"""The batch that results from given masses: the lye, the superfat and its ranges, the soap, the batter."""

from __future__ import annotations

import math
from collections.abc import Sequence

from kettlewright import amounts
from kettlewright.copies import replace
from kettlewright.ranges import Range
from kettlewright.recipe.acids import acid
from kettlewright.recipe.alkalis import AlkaliPortion
from kettlewright.recipe.fats import Fat, fat_kind
from kettlewright.recipe.heat import AlkaliInJug, PeakTemperature, WaterInJug, lye_heat_capacity, peak_temperature
from kettlewright.recipe.in_pot import InPot, fats_in_pot
from kettlewright.recipe.ingredients import Recipe
from kettlewright.recipe.lye_result import Lye, LyeAt, LyeSolution, LyeVolume, Potful
from kettlewright.recipe.lye_solution import density_is_valid, lye_volume
from kettlewright.recipe.meeting import Meeting, batter_temperature, lye_temperature_for
from kettlewright.recipe.soap import Saponified, Soap, mean_molar_mass, soap_made
from kettlewright.recipe.superfat import AcidInPot, AlkaliInPot, superfat
from kettlewright.recipe.superfat_result import FloorCost, Superfat
from kettlewright.recipe.weighed import (
    DispersedFat,
    MassToWeigh,
    WeighedAcid,
    WeighedAlkali,
    WeighedFat,
    WeighedLiquid,
    WeighedStock,
)
from kettlewright.recipe.weighing import Scale
from kettlewright.recipe.workings import SILENT, Book, Formula
from kettlewright.reference import M_KOH, M_NAOH, MG_KOH_PER_MOL
from kettlewright.said import Said

__all__ = ["DEFINITION", "MOLAR_MASS", "lye_of", "potful_of"]

MOLAR_MASS = {"NaOH": M_NAOH, "KOH": M_KOH}
_ALKALI_NAMES = {"NaOH": Said("sodium hydroxide"), "KOH": Said("potassium hydroxide")}
_AT_40_C = 40.0

_LYE = Formula("alkali + water")
_CONCENTRATION = Formula("100 * alkali / lye")
_RATIO = Formula("water / alkali")
_DENSITY = Formula("lye / volume")
_BATTER = Formula("fats + acids + liquids + alkalis + added_water")
DEFINITION = "definition"


def lye_of(recipe: Recipe, scale: Scale, *, fats: Sequence[Fat], exact: InPot, weighed: InPot,
           dispersed: Sequence[DispersedFat] = (), ice: MassToWeigh | None = None,
           expected_loss_pct: float | None = None, errors: Scale | None = None, book: Book = SILENT) -> Lye:
    """Everything that follows from the masses; no mass is chosen here.

    Parameters
    ----------
    recipe : Recipe
        As requested. [recipe]
    scale, errors : Scale
        Steps of the scales; steps for the errors, if something was weighed in several parts. [g]
    fats : sequence of Fat
        Figures of each fat of the recipe. [fats]
    exact, weighed : InPot
        As requested, and as the scale shows it. [g]
    dispersed : sequence of DispersedFat
        Oil in additions. [g]
    ice : MassToWeigh, optional
        The part of the water that is ice. [g]
    expected_loss_pct : float, optional
        Loss in cure. [% of a bar as cut]
    book : Book
        Records the lines. [lines]

    Returns
    -------
    Lye : [g and the units of each part]
    """
    steps = errors or scale
    requested, masses = exact.recipe_masses, weighed.recipe_masses
    alkalis = tuple(_weighed_alkali(portion, exact.pure[i], exact.alkalis[i], weighed.alkalis[i])
                    for i, portion in enumerate(recipe.alkalis))
    liquids = _weighed_liquids(recipe, exact, weighed)
    solution = _solution(recipe, alkalis, liquids, ice, weighed, book)
    all_weighed = math.fsum(masses.fats)
    found = superfat(
        fats_in_pot(recipe, fats, masses, dispersed),
        [AlkaliInPot(alkali.key, alkali.name, alkali.weigh_g, alkali.portion.strength, alkali.portion.strength_range,
                     MOLAR_MASS[alkali.key], alkali.stock is not None) for alkali in alkalis],
        [AcidInPot(portion.acid, acid(portion.acid).name, mass,
                   acid(portion.acid).mol_per_g * portion.strength_pct / 100)
         for mass, portion in zip(masses.acids, recipe.acids, strict=True)],
        asked_pct=recipe.asked_pct, readability_g=steps.readability_g,
        alkali_readability_g=steps.alkali_readability_g, dose_readability_g=steps.dose_readability_g, book=book)
    found = replace(found, floor_cost=_floor_cost(recipe, found, all_weighed))
    batter = book.work("fresh batter", _BATTER, "g", "sum of what is weighed", fats=all_weighed,
                       acids=math.fsum(masses.acids), liquids=math.fsum(masses.liquids),
                       alkalis=math.fsum(weighed.alkalis), added_water=weighed.water_added)
    return Lye(
        recipe=recipe, scale=scale,
        fats=_weighed_fats(recipe, fats, exact, weighed),
        acids=tuple(WeighedAcid(acid=acid(portion.acid), mass_g=requested.acids[i], weigh_g=masses.acids[i],
                                strength=portion.strength_pct / 100, lot=portion.lot)
                    for i, portion in enumerate(recipe.acids)),
        liquids=liquids, dispersed=tuple(dispersed), alkalis=alkalis,
        water=MassToWeigh(exact.water_added, weighed.water_added), ice=ice, solution=solution, superfat=found,
        saponification_value=_blend(masses.fats, fats),
        soap=_soap(recipe, fats, alkalis, weighed, dispersed, found, solution, expected_loss_pct, book),
        mass_g=batter, exact_mass_g=exact.total, meeting=_meeting(recipe, all_weighed, solution, book))


def potful_of(recipe: Recipe, fats: Sequence[Fat], exact: InPot, weighed: InPot) -> Potful:
    """What is in the pot, without superfat, heat and soap: a size needs no more.

    Parameters
    ----------
    recipe, fats, exact, weighed
        As for `lye_of`. [g]

    Returns
    -------
    Potful : the same figures as `lye_of`. [g, mL]
    """
    masses = weighed.recipe_masses
    lye_g = weighed.counted + weighed.water_all
    pure = {portion.alkali: mass * portion.strength for portion, mass in zip(recipe.alkalis, weighed.alkalis,
                                                                             strict=True)}
    return Potful(
        fats=_weighed_fats(recipe, fats, exact, weighed), liquids=_weighed_liquids(recipe, exact, weighed),
        solution=LyeVolume(lye_g, lye_volume(pure, lye_g, _AT_40_C)), water_mass_g=weighed.water_all,
        mass_g=_BATTER(fats=math.fsum(masses.fats), acids=math.fsum(masses.acids), liquids=math.fsum(masses.liquids),
                       alkalis=math.fsum(weighed.alkalis), added_water=weighed.water_added))


def _weighed_fats(recipe: Recipe, fats: Sequence[Fat], exact: InPot, weighed: InPot) -> tuple[WeighedFat, ...]:
    requested, masses = exact.recipe_masses.fats, weighed.recipe_masses.fats
    total = math.fsum(masses)
    return tuple(WeighedFat(fat=fat, mass_g=requested[i], weigh_g=masses[i], lot=recipe.fats[i].lot,
                            share_pct=100 * masses[i] / total) for i, fat in enumerate(fats))


def _weighed_liquids(recipe: Recipe, exact: InPot, weighed: InPot) -> tuple[WeighedLiquid, ...]:
    return tuple(WeighedLiquid(portion, exact.recipe_masses.liquids[i], weighed.recipe_masses.liquids[i])
                 for i, portion in enumerate(recipe.liquids))


def _weighed_alkali(portion: AlkaliPortion, pure_g: float, mass_g: float, weigh_g: float) -> WeighedAlkali:
    weigh_pure = weigh_g * portion.strength
    stock = None if portion.stock is None else WeighedStock(mass_g, weigh_g, weigh_g - weigh_pure)
    return WeighedAlkali(key=portion.alkali, name=_ALKALI_NAMES[portion.alkali], mass_pure_g=pure_g, mass_g=mass_g,
                         weigh_g=weigh_g, weigh_pure_g=weigh_pure, stock=stock, portion=portion)


def _solution(recipe: Recipe, alkalis: Sequence[WeighedAlkali], liquids: Sequence[WeighedLiquid],
              ice: MassToWeigh | None, weighed: InPot, book: Book) -> LyeSolution:
    pure = {alkali.key: alkali.weigh_pure_g for alkali in alkalis}
    water = weighed.water_all
    mass = book.work("the lye", _LYE, "g", DEFINITION, alkali=weighed.counted, water=water)
    volume = book.read_off("volume of the lye at 40 degC", lye_volume(pure, mass, _AT_40_C), "mL",
                           "density tables of SOURCES.md; volumes add", f"at {100 * sum(pure.values()) / mass:.4g} %")
    at = None
    if recipe.temperatures.lye_c is not None:
        given = recipe.temperatures.lye_c
        there = lye_volume(pure, mass, given)
        at = LyeAt(given, mass / there, there, all(
            density_is_valid(alkali, math.fsum(pure.values()) / mass, given) for alkali in pure))
    return LyeSolution(
        mass_g=mass, water_mass_g=water,
        concentration_pct=book.work("lye concentration", _CONCENTRATION, "%", DEFINITION, alkali=weighed.counted,
                                    lye=mass),
        concentration_pure_pct=book.work("lye concentration, pure alkali", _CONCENTRATION, "%", DEFINITION,
                                         alkali=math.fsum(pure.values()), lye=mass),
        water_to_alkali=None if weighed.counted == 0 else book.work(
            "water to alkali", _RATIO, "g/g", DEFINITION, water=water, alkali=weighed.counted),
        density=book.work("density of the lye at 40 degC", _DENSITY, "g/mL", DEFINITION, lye=mass, volume=volume),
        volume_ml=volume, peak_temperature=_peak(recipe, alkalis, liquids, ice, weighed, mass, book),
        at_temperature=at, heat_capacity=lye_heat_capacity(pure, mass))


def _peak(recipe: Recipe, alkalis: Sequence[WeighedAlkali], liquids: Sequence[WeighedLiquid], ice: MassToWeigh | None,
          weighed: InPot, lye_g: float, book: Book) -> PeakTemperature | None:
    water_c = recipe.temperatures.water_c
    if water_c is None or weighed.counted == 0:
        return None
    waters = [WaterInJug(liquid.name, liquid.water_mass_g, 0.0 if liquid.portion.frozen else
                         water_c if liquid.portion.temperature_c is None else liquid.portion.temperature_c,
                         liquid.portion.frozen) for liquid in liquids]
    if ice is not None:
        waters.append(WaterInJug("ice", ice.weigh_g, 0.0, True))
    in_jug = [AlkaliInJug(alkali.key, alkali.weigh_pure_g,
                          None if alkali.portion.stock is None else alkali.portion.stock.concentration_pct,
                          None if alkali.portion.stock is None else alkali.portion.stock.temperature_c)
              for alkali in alkalis]
    acids = [(one, mass * one.strength_pct / 100)
             for one, mass in zip(recipe.acids, weighed.recipe_masses.acids, strict=True) if not acid(one.acid).fatty]
    return peak_temperature(in_jug, waters, lye_g=lye_g, water_g=weighed.water_all, water_c=water_c,
                            ice_can_be_g=weighed.water_added, acids_g=math.fsum(mass for _, mass in acids),
                            acids_mol=math.fsum(mass * acid(one.acid).mol_per_g for one, mass in acids),
                            acids_kj=math.fsum(acid(one.acid).heat_kj(mass, dissolved=one.strength_pct < 100)
                                               for one, mass in acids), book=book)


def _meeting(recipe: Recipe, fats_g: float, solution: LyeSolution, book: Book) -> Meeting | None:
    given = recipe.temperatures
    if given.fats_c is None or (given.lye_c is None and given.pour_c is None):
        return None
    solid = fats_g * given.fats_solid_pct / 100
    batter = None if given.lye_c is None else batter_temperature(
        fats_g=fats_g, fats_c=given.fats_c, solid_g=solid, lye_g=solution.mass_g, lye_c=given.lye_c,
        cp_lye=solution.heat_capacity, book=book)
    needed = None if given.pour_c is None else lye_temperature_for(
        pour_c=given.pour_c, fats_g=fats_g, fats_c=given.fats_c, solid_g=solid, lye_g=solution.mass_g,
        cp_lye=solution.heat_capacity, book=book)
    return Meeting(batter, needed)


def _floor_cost(recipe: Recipe, found: Superfat, fats_g: float) -> FloorCost | None:
    if recipe.superfat_at_least_pct is None:
        return None
    extra = found.achieved_pct - recipe.superfat_at_least_pct
    free = fats_g * extra / 100
    return FloorCost(extra, free, Said(
        "To keep {floor:.9g} % over the whole declared range, the superfat averages {average:.1f} %: {extra:.1f} "
        "percentage points more than requested, or about {free} of fat.", floor=recipe.superfat_at_least_pct,
        average=found.achieved_pct, extra=extra, free=amounts.mass(free, places=0)))


def _blend(fat_g: Sequence[float], fats: Sequence[Fat]) -> Range:
    total = math.fsum(fat_g)

    def mean(end: str) -> float:
        return math.fsum(mass * float(getattr(fat.saponification_value, end))
                         for mass, fat in zip(fat_g, fats, strict=True)) / total

    return Range(mean("min"), mean("max"))


def _soap(recipe: Recipe, fats: Sequence[Fat], alkalis: Sequence[WeighedAlkali], weighed: InPot,
          dispersed: Sequence[DispersedFat], found: Superfat, solution: LyeSolution, loss_pct: float | None,
          book: Book) -> Soap:
    mol = [alkali.weigh_pure_g / MOLAR_MASS[alkali.key] for alkali in alkalis]
    turned = max(min((math.fsum(mol) - weighed.acids_mol) / weighed.demand_mol, 1.0), 0.0)
    recipe_masses = weighed.recipe_masses
    parts = [Saponified(mass, fat.saponification_value.mid / MG_KOH_PER_MOL, fat.kind, turned,
                        fat.acid_value / MG_KOH_PER_MOL) for mass, fat in zip(recipe_masses.fats, fats, strict=True)]
    for mass, liquid in zip(recipe_masses.liquids, recipe.liquids, strict=True):
        if liquid.fat_value is not None:
            parts.append(Saponified(mass * liquid.fat_pct / 100, liquid.fat_value.mid / MG_KOH_PER_MOL,
                                    fat_kind(liquid.fat), turned))
    parts += [Saponified(one.mass_g, one.value.mid / MG_KOH_PER_MOL, one.kind, turned) for one in dispersed]
    for mass, portion in zip(recipe_masses.acids, recipe.acids, strict=True):
        kind = acid(portion.acid)
        if kind.fatty:
            parts.append(Saponified(mass * portion.strength_pct / 100, kind.mol_per_g, "fatty_acid", 1.0))
    # the oil of additions is among the parts, so it must be in what they are a part of
    batter = math.fsum((weighed.total, *(one.mass_g for one in dispersed)))
    return soap_made(parts, alkali_molar_mass=mean_molar_mass(mol, [MOLAR_MASS[alkali.key] for alkali in alkalis]),
                     batter_g=batter, water_g=solution.water_mass_g, loss_pct=loss_pct,
                     superfat_pct=found.achieved_pct, worst_superfat_pct=found.worst_case_pct.min,
                     demand_mol=weighed.demand_mol, least_demand_mol=found.least_demand_mol, book=book)
