"""What to weigh for a recipe: fats, alkali, water, acids and liquids, and what comes of it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from kettlewright.errors import Unsolvable
from kettlewright.ranges import Range
from kettlewright.recipe.acids import acid
from kettlewright.recipe.alkalis import AlkaliPortion
from kettlewright.recipe.fats import Fat, known_fat
from kettlewright.recipe.heat import (
    AlkaliInJug,
    Meeting,
    PeakTemperature,
    WaterInJug,
    batter_temperature,
    lye_heat_capacity,
    lye_temperature_for,
    peak_temperature,
)
from kettlewright.recipe.ingredients import Recipe
from kettlewright.recipe.lye_solution import density_is_valid, lye_volume
from kettlewright.recipe.soap import Saponified, Soap, mean_molar_mass, soap_made
from kettlewright.recipe.superfat import AcidInPot, AlkaliInPot, FatInPot, FloorCost, Superfat, superfat
from kettlewright.recipe.weighed import (
    DispersedFat,
    Lye,
    LyeAt,
    LyeSolution,
    WeighedAcid,
    WeighedAlkali,
    WeighedFat,
    WeighedLiquid,
    WeighedStock,
    Weighing,
)
from kettlewright.recipe.weighing import Scale, round_down, round_nearest
from kettlewright.recipe.workings import SILENT, Book, Formula
from kettlewright.reference import M_KOH, M_NAOH, MG_KOH_PER_MOL
from kettlewright.said import Said

__all__ = ["make_lye"]

_MOLAR_MASS = {"NaOH": M_NAOH, "KOH": M_KOH}
_ALKALI_NAMES = {"NaOH": Said("sodium hydroxide"), "KOH": Said("potassium hydroxide")}
_STRONGEST_LYE = 0.50
_AT_40_C = 40.0
_MISSING_WATER_STEPS = 1e-9

_TAKES = Formula("mass * part * SV / mg_per_mol")
_LEAST = Formula("max(mass - step / 2, 0) * part * SV / mg_per_mol")
_DEMAND = Formula("sum(takes)")
_EATEN = Formula("mass * strength * mol_per_g")
_NEEDED = Formula("(1 - superfat / 100) * fats + acids")
_PURE = Formula("share * needed * M")
_BOUGHT = Formula("pure / strength")
_BOUGHT_FLOOR = Formula("pure / strength - step / 2")
_DOWN = Formula("down_to(mass, step)")
_WATER = {"lye_concentration_pct": Formula("alkali * (1 - c / 100) / (c / 100)"),
          "water_to_alkali": Formula("alkali * ratio"), "water_pct_of_fats": Formula("fats * pct / 100")}
_ADDED = Formula("water - in_stocks - in_acids - in_liquids")
_NEAREST = Formula("nearest_to(mass, step)")
_LYE = Formula("alkali + water")
_CONCENTRATION = Formula("100 * alkali / lye")
_RATIO = Formula("water / alkali")
_DENSITY = Formula("lye / volume")
_BATTER = Formula("fats + acids + liquids + alkalis + added_water")

_ISO_3657 = "ISO 3657: mg of pure KOH per g of fat, from memory"
_EQUIVALENTS = "equivalents; molar masses computed"
_AS_BOUGHT = "purity divides"
_SCALE = "step of the scale; alkali down, so that rounding only leaves more fat free"
_TRADE = "water as asked, on alkali as weighed (pure, in stocks)"
_DEFINITION = "definition"


@dataclass(frozen=True, slots=True)
class _Masses:
    """What the maker puts in, on one chain: exact or weighed. [g]"""

    fats: tuple[float, ...]
    acids: tuple[float, ...]
    liquids: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class _Batch:
    """Masses on one chain, exact or weighed. [g]"""

    put_in: _Masses
    pure: tuple[float, ...]
    alkalis: tuple[float, ...]
    counted: float
    water_all: float
    water_added: float
    demand_mol: float
    acids_mol: float

    @property
    def total(self) -> float:
        put_in = self.put_in
        return math.fsum((*put_in.fats, *put_in.acids, *put_in.liquids, *self.alkalis, self.water_added))


def make_lye(recipe: Recipe, scale: Scale, *, sized_here: bool = False, dispersed: Sequence[DispersedFat] = (),
             expected_loss_pct: float | None = None, book: Book = SILENT) -> Lye:
    """What to weigh, how far the superfat can be off, and what comes out.

    Parameters
    ----------
    recipe : Recipe
        Fats by mass. [recipe]
    scale : Scale
        Steps of the scales. [g]
    sized_here : bool
        The service chose the size, so fats are weighed down to the step and never overfill. [yes or no]
    dispersed : sequence of DispersedFat
        Oil that additions bring into the pot; it counts as fat. [g]
    expected_loss_pct : float, optional
        Loss in cure, for what the cured bar holds. [% of batter]
    book : Book
        Keeps every line of what is weighed. [lines]

    Returns
    -------
    Lye : [g and the units of each part]

    Raises
    ------
    Unsolvable : something rounds to nothing on this scale, a stock is weaker than the lye asked, the lye would be
        beyond what water dissolves.

    Notes
    -----
    E = sum(m SV) / 56105.6; pure alkali = share ((1 - s) E + n_acid) M; as bought = pure / strength. Alkali is taken
    from the weighed fats and acids and rounded down, so that the superfat never falls below the one asked. A superfat
    kept over the whole range takes the lower end of every fat and weighing and the upper end of the purity, and half a
    step off the alkali.

    References
    ----------
    .. [1] Saponification value: mg of pure KOH per g of fat, ISO 3657. From memory.
    .. [2] Molar masses: IUPAC standard atomic weights. Computed.
    """
    fats = [known_fat(portion) for portion in recipe.fats]
    asked = tuple(portion.mass_g or 0.0 for portion in recipe.fats)
    all_fats = math.fsum(asked)
    exact_masses = _Masses(asked, tuple(portion.mass_for(all_fats) for portion in recipe.acids),
                           tuple(portion.mass_for(all_fats) for portion in recipe.liquids))
    if math.fsum(exact_masses.acids) > all_fats:
        raise Unsolvable(f"The acids weigh {math.fsum(exact_masses.acids):.6g} g and the fats {all_fats:.6g} g: that "
                         "would make salts, not soap. Look at the unit of the acids (they are on the fine scale).",
                         field=("acids",), allowed="less than the fats")
    weighed_masses = _weighed(exact_masses, fats, scale, sized_here)
    before = Book() if book.lines is not None and exact_masses != weighed_masses else SILENT
    exact = _batch(recipe, fats, exact_masses, dispersed, None, before)
    if book.lines is not None:
        book.lines.extend(replace(line, figure=f"before the scale: {line.figure}") for line in before.lines or ())
    weighed = _batch(recipe, fats, weighed_masses, dispersed, scale, book)
    alkalis = tuple(_weighed_alkali(portion, exact.pure[i], exact.alkalis[i], weighed.alkalis[i])
                    for i, portion in enumerate(recipe.alkalis))
    liquids = tuple(WeighedLiquid(portion, exact_masses.liquids[i], weighed_masses.liquids[i])
                    for i, portion in enumerate(recipe.liquids))
    ice = _ice(recipe, exact, weighed, scale)
    solution = _solution(recipe, alkalis, liquids, ice, weighed, book)
    all_weighed = math.fsum(weighed_masses.fats)
    found = superfat(
        _fats_in_pot(recipe, fats, weighed_masses, dispersed),
        [AlkaliInPot(alkali.key, alkali.name, alkali.weigh_g, alkali.portion.strength, alkali.portion.strength_range,
                     _MOLAR_MASS[alkali.key], alkali.stock is not None) for alkali in alkalis],
        [AcidInPot(portion.acid, acid(portion.acid).name, mass,
                   acid(portion.acid).mol_per_g * portion.strength_pct / 100)
         for mass, portion in zip(weighed_masses.acids, recipe.acids, strict=True)],
        asked_pct=recipe.asked_pct, readability_g=scale.readability_g,
        alkali_readability_g=scale.alkali_readability_g, dose_readability_g=scale.dose_readability_g, book=book)
    found = replace(found, floor_cost=_floor_cost(recipe, found, all_weighed))
    batter = book.work("fresh batter", _BATTER, "g", "sum of what is weighed", fats=all_weighed,
                       acids=math.fsum(weighed_masses.acids), liquids=math.fsum(weighed_masses.liquids),
                       alkalis=math.fsum(weighed.alkalis), added_water=weighed.water_added)
    return Lye(
        recipe=recipe, scale=scale,
        fats=tuple(WeighedFat(fat=fat, mass_g=asked[i], weigh_g=weighed_masses.fats[i], lot=recipe.fats[i].lot,
                              share_pct=100 * weighed_masses.fats[i] / all_weighed) for i, fat in enumerate(fats)),
        acids=tuple(WeighedAcid(acid=acid(portion.acid), mass_g=exact_masses.acids[i], weigh_g=weighed_masses.acids[i],
                                strength=portion.strength_pct / 100, lot=portion.lot)
                    for i, portion in enumerate(recipe.acids)),
        liquids=liquids, dispersed=tuple(dispersed), alkalis=alkalis,
        water=Weighing(exact.water_added, weighed.water_added), ice=ice, solution=solution, superfat=found,
        saponification_value=_blend(weighed_masses.fats, fats),
        soap=_soap(recipe, fats, alkalis, weighed, dispersed, found, solution, expected_loss_pct, book),
        mass_g=batter, exact_mass_g=exact.total, meeting=_meeting(recipe, all_weighed, solution, book))


def _weighed(exact: _Masses, fats: Sequence[Fat], scale: Scale, sized_here: bool) -> _Masses:
    fat_rounding = round_down if sized_here else round_nearest
    masses = tuple(fat_rounding(mass, scale.readability_g) for mass in exact.fats)
    for index, (fat, weigh) in enumerate(zip(fats, masses, strict=True)):
        if weigh <= 0:
            raise Unsolvable(f"{exact.fats[index]:.9g} g of {fat.name} is nothing on a scale with a step of "
                             f"{scale.readability_g:.9g} g; use a finer scale or make a larger batch.",
                             field=("fats", index))
    return _Masses(masses, tuple(round_nearest(mass, scale.dose_readability_g) for mass in exact.acids),
                   tuple(round_nearest(mass, scale.readability_g) for mass in exact.liquids))


def _fats_in_pot(recipe: Recipe, fats: Sequence[Fat], masses: _Masses,
                 dispersed: Sequence[DispersedFat]) -> list[FatInPot]:
    """Every fat the alkali can turn: the recipe's, those in liquids, those that additions bring."""
    found = [FatInPot(fat.key, fat.name, mass, fat.saponification_value)
             for mass, fat in zip(masses.fats, fats, strict=True)]
    for mass, portion in zip(masses.liquids, recipe.liquids, strict=True):
        if portion.fat_value is not None:
            found.append(FatInPot(portion.key, Said("the fat in {liquid}", liquid=portion.name), mass,
                                  portion.fat_value, portion.fat_pct / 100))
    return found + [FatInPot(one.key, Said("the oil in {addition}", addition=one.name), one.mass_g, one.value)
                    for one in dispersed]


def _batch(recipe: Recipe, fats: Sequence[Fat], masses: _Masses, dispersed: Sequence[DispersedFat],
           scale: Scale | None, book: Book) -> _Batch:
    """Alkali and water for these fats, acids and liquids; with a scale, as it shows them."""
    in_pot = _fats_in_pot(recipe, fats, masses, dispersed)
    demand = book.work("full demand of the fats", _DEMAND, "mol", _ISO_3657, takes=[
        book.work(f"{one.name} takes", _TAKES, "mol", _ISO_3657, mass=one.mass_g, part=one.part, SV=one.value.mid,
                  mg_per_mol=MG_KOH_PER_MOL) for one in in_pot])
    eaten = [book.work(f"{acid(portion.acid).name} eats", _EATEN, "mol", "acid hydrogens; molar masses computed",
                       mass=mass, strength=portion.strength_pct / 100, mol_per_g=acid(portion.acid).mol_per_g)
             for mass, portion in zip(masses.acids, recipe.acids, strict=True)]
    acids_mol = math.fsum(eaten)
    at_least = recipe.superfat_at_least_pct is not None
    # the discount leaves fat over; an acid takes all of its alkali, so the discount must not touch it
    needed = book.work("alkali needed", _NEEDED, "mol", _EQUIVALENTS, superfat=recipe.asked_pct,
                       fats=_least_demand(in_pot, scale, book) if at_least else demand,
                       acids=_least_eaten(recipe, masses, scale) if at_least else acids_mol)
    pure, alkalis = [], []
    for index, portion in enumerate(recipe.alkalis):
        mass = _alkali(portion, needed, scale, at_least, index, book)
        pure.append(mass * portion.strength)
        alkalis.append(mass)
    in_stocks = math.fsum(mass - pure[i] for i, mass in enumerate(alkalis) if recipe.alkalis[i].brings_water)
    in_acids = math.fsum(mass * (1 - portion.strength_pct / 100)
                         for mass, portion in zip(masses.acids, recipe.acids, strict=True))
    in_liquids = math.fsum(mass * portion.water_pct / 100
                           for mass, portion in zip(masses.liquids, recipe.liquids, strict=True))
    counted = math.fsum(pure[i] if recipe.alkalis[i].brings_water else mass for i, mass in enumerate(alkalis))
    water_all = _water(recipe, counted, math.fsum(masses.fats), book)
    added = book.work("water to add", _ADDED, "g", _DEFINITION, water=water_all, in_stocks=in_stocks,
                      in_acids=in_acids, in_liquids=in_liquids)
    _check_water(added, water_all, in_stocks, in_acids, in_liquids)
    added = max(added, 0.0)
    if scale is not None:
        added = book.work("water on the scale", _NEAREST, "g", "step of the scale", mass=added,
                          step=scale.readability_g)
        water_all = added + in_stocks + in_acids + in_liquids
    strength = math.fsum(pure) / (counted + water_all)
    if strength > _STRONGEST_LYE + 1e-9:
        raise Unsolvable(f"The lye would hold {100 * strength:.4g} % pure alkali; above 50 % it does not stay "
                         "dissolved. Use more water: a water_to_alkali of 1.5 to 2.5 is usual.", field=("water",),
                         allowed="at most 50 % pure alkali")
    return _Batch(masses, tuple(pure), tuple(alkalis), counted, water_all, added, demand, acids_mol)


def _least_demand(in_pot: Sequence[FatInPot], scale: Scale | None, book: Book) -> float:
    """Demand with every fat at the lower end of its range and of its weighing. [mol]"""
    step = 0.0 if scale is None else scale.readability_g
    return book.work("least demand of the fats", _DEMAND, "mol", _ISO_3657, takes=[
        book.work(f"{one.name} takes at the least", _LEAST, "mol", _ISO_3657, mass=one.mass_g, step=step, part=one.part,
                  SV=one.value.min, mg_per_mol=MG_KOH_PER_MOL) for one in in_pot])


def _least_eaten(recipe: Recipe, masses: _Masses, scale: Scale | None) -> float:
    error = 0.0 if scale is None else scale.dose_readability_g / 2
    return math.fsum(max(mass - error, 0.0) * portion.strength_pct / 100 * acid(portion.acid).mol_per_g
                     for mass, portion in zip(masses.acids, recipe.acids, strict=True))


def _alkali(portion: AlkaliPortion, needed_mol: float, scale: Scale | None, at_least: bool, index: int,
            book: Book) -> float:
    """One alkali as bought: exact, or down to the step of the scale. [g]"""
    name = portion.alkali
    pure = book.work(f"pure {name}", _PURE, "g", _EQUIVALENTS, needed=needed_mol, M=_MOLAR_MASS[name],
                     share=(portion.share_pct if portion.share_pct is not None else 100.0) / 100)
    if not at_least:
        bought = book.work(f"{name} as bought", _BOUGHT, "g", _AS_BOUGHT, pure=pure, strength=portion.strength)
    else:
        # kept over the range: the strongest it can be, and half a step less, since the scale may show half too little
        bought = book.work(f"{name} as bought", _BOUGHT_FLOOR, "g", _AS_BOUGHT, pure=pure,
                           strength=portion.strength_range.max,
                           step=0.0 if scale is None else scale.alkali_readability_g)
    if scale is None:
        return max(bought, 0.0)
    step = scale.alkali_readability_g
    mass = book.work(f"{name} on the scale", _DOWN, "g", _SCALE, mass=bought, step=step)
    if mass <= 0:
        raise Unsolvable(f"{max(bought, 0.0):.3g} g of {name} is nothing on a scale with a step of {step:.9g} g; use a "
                         "finer scale or make a larger batch.", field=("alkalis", index))
    return mass


def _water(recipe: Recipe, counted_g: float, fats_g: float, book: Book) -> float:
    rule = recipe.water
    if rule.lye_concentration_pct is not None:
        return book.work("all water", _WATER["lye_concentration_pct"], "g", _TRADE, alkali=counted_g,
                         c=rule.lye_concentration_pct)
    if rule.water_to_alkali is not None:
        return book.work("all water", _WATER["water_to_alkali"], "g", _TRADE, alkali=counted_g,
                         ratio=rule.water_to_alkali)
    return book.work("all water", _WATER["water_pct_of_fats"], "g", _TRADE, fats=fats_g,
                     pct=rule.water_pct_of_fats or 0.0)


def _check_water(added: float, water_all: float, in_stocks: float, in_acids: float, in_liquids: float) -> None:
    if added >= -_MISSING_WATER_STEPS * max(water_all, 1.0):
        return
    bring = [what for what, mass in (("stock", in_stocks), ("acid solutions", in_acids), ("liquids", in_liquids))
             if mass]
    remedy = "the stock is weaker than the target. Use a stronger stock or ask for more water." if in_stocks else \
        "use less of them or ask for more water."
    raise Unsolvable(f"The {' and the '.join(bring)} bring {in_stocks + in_acids + in_liquids:.6g} g of water, but the "
                     f"lye asked holds only {water_all:.6g} g: {remedy}", field=("water",))


def _ice(recipe: Recipe, exact: _Batch, weighed: _Batch, scale: Scale) -> Weighing | None:
    part = recipe.water.ice_pct / 100
    if not part:
        return None
    on_scale = round_nearest(weighed.water_added * part, scale.readability_g)
    return Weighing(exact.water_added * part, min(on_scale, weighed.water_added))


def _weighed_alkali(portion: AlkaliPortion, pure_g: float, mass_g: float, weigh_g: float) -> WeighedAlkali:
    weigh_pure = weigh_g * portion.strength
    stock = None if portion.stock is None else WeighedStock(mass_g, weigh_g, weigh_g - weigh_pure)
    return WeighedAlkali(key=portion.alkali, name=_ALKALI_NAMES[portion.alkali], mass_pure_g=pure_g, mass_g=mass_g,
                         weigh_g=weigh_g, weigh_pure_g=weigh_pure, stock=stock, portion=portion)


def _solution(recipe: Recipe, alkalis: Sequence[WeighedAlkali], liquids: Sequence[WeighedLiquid], ice: Weighing | None,
              weighed: _Batch, book: Book) -> LyeSolution:
    pure = {alkali.key: alkali.weigh_pure_g for alkali in alkalis}
    water = weighed.water_all
    mass = book.work("the lye", _LYE, "g", _DEFINITION, alkali=weighed.counted, water=water)
    volume = book.read_off("volume of the lye at 40 degC", lye_volume(pure, mass, _AT_40_C), "mL",
                           "density tables of SOURCES.md; volumes add", f"at {100 * sum(pure.values()) / mass:.4g} %")
    at = None
    if recipe.temperatures.lye_c is not None:
        told = recipe.temperatures.lye_c
        there = lye_volume(pure, mass, told)
        at = LyeAt(told, mass / there, there, all(
            density_is_valid(alkali, math.fsum(pure.values()) / mass, told) for alkali in pure))
    return LyeSolution(
        mass_g=mass, water_mass_g=water,
        concentration_pct=book.work("lye concentration", _CONCENTRATION, "%", _DEFINITION, alkali=weighed.counted,
                                    lye=mass),
        concentration_pure_pct=book.work("lye concentration, pure alkali", _CONCENTRATION, "%", _DEFINITION,
                                         alkali=math.fsum(pure.values()), lye=mass),
        water_to_alkali=book.work("water to alkali", _RATIO, "g/g", _DEFINITION, water=water, alkali=weighed.counted),
        density=book.work("density of the lye at 40 degC", _DENSITY, "g/mL", _DEFINITION, lye=mass, volume=volume),
        volume_ml=volume, peak_temperature=_peak(recipe, alkalis, liquids, ice, weighed, mass, book),
        at_temperature=at, heat_capacity=lye_heat_capacity(pure, mass))


def _peak(recipe: Recipe, alkalis: Sequence[WeighedAlkali], liquids: Sequence[WeighedLiquid], ice: Weighing | None,
          weighed: _Batch, lye_g: float, book: Book) -> PeakTemperature | None:
    water_c = recipe.temperatures.water_c
    if water_c is None:
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
    return peak_temperature(in_jug, waters, lye_g=lye_g, water_g=weighed.water_all, water_c=water_c,
                            ice_can_be_g=weighed.water_added, book=book)


def _meeting(recipe: Recipe, fats_g: float, solution: LyeSolution, book: Book) -> Meeting | None:
    told = recipe.temperatures
    if told.fats_c is None or (told.lye_c is None and told.pour_c is None):
        return None
    solid = fats_g * told.fats_solid_pct / 100
    batter = None if told.lye_c is None else batter_temperature(
        fats_g=fats_g, fats_c=told.fats_c, solid_g=solid, lye_g=solution.mass_g, lye_c=told.lye_c,
        cp_lye=solution.heat_capacity, book=book)
    needed = None if told.pour_c is None else lye_temperature_for(
        pour_c=told.pour_c, fats_g=fats_g, fats_c=told.fats_c, solid_g=solid, lye_g=solution.mass_g,
        cp_lye=solution.heat_capacity, book=book)
    return Meeting(batter, needed)


def _floor_cost(recipe: Recipe, found: Superfat, fats_g: float) -> FloorCost | None:
    if recipe.superfat_at_least_pct is None:
        return None
    extra = found.achieved_pct - recipe.superfat_at_least_pct
    free = fats_g * extra / 100
    return FloorCost(extra, free, Said(
        "Kept at {floor:.9g} % over the whole declared range, the superfat is {average:.1f} % on average: {extra:.1f} "
        "points, or about {free:.0f} g of fat, more than asked.", floor=recipe.superfat_at_least_pct,
        average=found.achieved_pct, extra=extra, free=free))


def _blend(fat_g: Sequence[float], fats: Sequence[Fat]) -> Range:
    total = math.fsum(fat_g)

    def mean(end: str) -> float:
        return math.fsum(mass * float(getattr(fat.saponification_value, end))
                         for mass, fat in zip(fat_g, fats, strict=True)) / total

    return Range(mean("min"), mean("max"))


def _soap(recipe: Recipe, fats: Sequence[Fat], alkalis: Sequence[WeighedAlkali], weighed: _Batch,
          dispersed: Sequence[DispersedFat], found: Superfat, solution: LyeSolution, loss_pct: float | None,
          book: Book) -> Soap:
    mol = [alkali.weigh_pure_g / _MOLAR_MASS[alkali.key] for alkali in alkalis]
    turned = min((math.fsum(mol) - weighed.acids_mol) / weighed.demand_mol, 1.0)
    put_in = weighed.put_in
    parts = [Saponified(mass, fat.saponification_value.mid / MG_KOH_PER_MOL, fat.kind, turned,
                        fat.acid_value / MG_KOH_PER_MOL) for mass, fat in zip(put_in.fats, fats, strict=True)]
    for mass, liquid in zip(put_in.liquids, recipe.liquids, strict=True):
        if liquid.fat_value is not None:
            parts.append(Saponified(mass * liquid.fat_pct / 100, liquid.fat_value.mid / MG_KOH_PER_MOL, "triglyceride",
                                    turned))
    parts += [Saponified(one.mass_g, one.value.mid / MG_KOH_PER_MOL, "triglyceride", turned) for one in dispersed]
    for mass, portion in zip(put_in.acids, recipe.acids, strict=True):
        kind = acid(portion.acid)
        if kind.fatty:
            parts.append(Saponified(mass * portion.strength_pct / 100, kind.mol_per_g, "fatty_acid", 1.0))
    return soap_made(parts, alkali_molar_mass=mean_molar_mass(mol, [_MOLAR_MASS[alkali.key] for alkali in alkalis]),
                     batter_g=weighed.total, water_g=solution.water_mass_g, loss_pct=loss_pct,
                     superfat_pct=found.achieved_pct, worst_superfat_pct=found.worst_case_pct.min,
                     demand_mol=weighed.demand_mol, book=book)
