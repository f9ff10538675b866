"""What to weigh for a recipe: fats, alkali, water and acids, and what comes of it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from kettlewright.errors import Unsolvable
from kettlewright.ranges import Range
from kettlewright.recipe.acids import Acid, acid
from kettlewright.recipe.alkalis import AlkaliPortion
from kettlewright.recipe.fats import Fat, known_fat
from kettlewright.recipe.ingredients import Recipe
from kettlewright.recipe.lye_solution import PeakTemperature, lye_volume, naoh_peak_temperature
from kettlewright.recipe.soap import Saponified, Soap, mean_molar_mass, soap_made
from kettlewright.recipe.superfat import AcidInPot, AlkaliInPot, FatInPot, Superfat, superfat
from kettlewright.recipe.weighing import Scale, round_down, round_nearest
from kettlewright.reference import M_KOH, M_NAOH, MG_KOH_PER_MOL, Source

__all__ = ["Lye", "LyeSolution", "WeighedAcid", "WeighedAlkali", "WeighedFat", "Weighing", "make_lye"]

_MOLAR_MASS = {"NaOH": M_NAOH, "KOH": M_KOH}
_ALKALI_NAMES = {"NaOH": "sodium hydroxide", "KOH": "potassium hydroxide"}
_STRONGEST_LYE = 0.50
_AT_40_C = 40.0
_MISSING_WATER_STEPS = 1e-9


@dataclass(frozen=True, slots=True)
class Weighing:
    """One thing on the scale.

    Parameters
    ----------
    mass_g : float
        Exact, from the masses asked. [g]
    weigh_g : float
        What the scale shows. [g]
    """

    mass_g: float
    weigh_g: float


@dataclass(frozen=True, slots=True)
class WeighedFat:
    """A fat to weigh.

    Parameters
    ----------
    fat : Fat
        What is known of it. [fat]
    mass_g, weigh_g, share_pct : float
        Exact, on the scale, and its share of the weighed fats. [g, g, % of fats]
    lot : str, optional
        Lot number. [text]
    """

    fat: Fat
    mass_g: float
    weigh_g: float
    share_pct: float
    lot: str | None

    @property
    def key(self) -> str:
        """Key of the fat. [key]"""
        return self.fat.key

    @property
    def name(self) -> str:
        """Name of the fat. [text]"""
        return self.fat.name


@dataclass(frozen=True, slots=True)
class WeighedAcid:
    """An acid to weigh.

    Parameters
    ----------
    acid : Acid
        What is known of it. [acid]
    mass_g, weigh_g : float
        As bought: exact, and on the scale. [g]
    strength : float
        Acid in it; the rest is water. [mass fraction]
    lot : str, optional
        Lot number. [text]
    """

    acid: Acid
    mass_g: float
    weigh_g: float
    strength: float
    lot: str | None

    @property
    def key(self) -> str:
        """Key of the acid. [key]"""
        return self.acid.key

    @property
    def name(self) -> str:
        """Name of the acid. [text]"""
        return self.acid.name


@dataclass(frozen=True, slots=True)
class WeighedStock:
    """A stock solution to weigh.

    Parameters
    ----------
    mass_g, weigh_g, water_mass_g : float
        Solution: exact, on the scale, and the water in what is weighed. [g]
    """

    mass_g: float
    weigh_g: float
    water_mass_g: float


@dataclass(frozen=True, slots=True)
class WeighedAlkali:
    """An alkali to weigh.

    Parameters
    ----------
    key, name : str
        "NaOH" or "KOH", and its name. [text]
    mass_pure_g : float
        Pure alkali, exact. [g]
    mass_g, weigh_g : float
        As bought (the solution, of a stock): exact, and on the scale. [g]
    weigh_pure_g : float
        Pure alkali in what is weighed. [g]
    stock : WeighedStock, optional
        Where it comes as a solution. [g]
    portion : AlkaliPortion
        As asked. [alkali]
    """

    key: str
    name: str
    mass_pure_g: float
    mass_g: float
    weigh_g: float
    weigh_pure_g: float
    stock: WeighedStock | None
    portion: AlkaliPortion

    @property
    def lot(self) -> str | None:
        """Lot number. [text]"""
        return self.portion.lot


@dataclass(frozen=True, slots=True)
class LyeSolution:
    """The lye in the jug, from what is weighed.

    Parameters
    ----------
    mass_g : float
        Alkali as weighed and all water. [g]
    concentration_pct : float
        Alkali as weighed (of stocks: pure) in it. [% by mass]
    concentration_pure_pct : float
        Pure alkali in it. [% by mass]
    water_to_alkali : float
        Water for one part of alkali as weighed. [g/g]
    density, volume_ml : float
        At 40 degC. [g/mL, mL]
    peak_temperature : PeakTemperature, optional
        Known for dry sodium hydroxide into water of a known temperature. [degC]
    """

    mass_g: float
    concentration_pct: float
    concentration_pure_pct: float
    water_to_alkali: float
    density: float
    volume_ml: float
    peak_temperature: PeakTemperature | None

    @property
    def peak_range(self) -> Range | None:
        """The peak temperature alone. [degC]"""
        return None if self.peak_temperature is None else self.peak_temperature.range


@dataclass(frozen=True, slots=True)
class Lye:
    """Everything of one recipe: what to weigh, how far it can be off, what comes out.

    Parameters
    ----------
    recipe, scale : Recipe, Scale
        As asked. [recipe, scale]
    fats, acids, alkalis, water : weighings
        In the order asked. [g]
    solution : LyeSolution
        The jug. [lye]
    superfat : Superfat
        Of what is weighed. [% of full demand]
    saponification_value : Range
        Of the weighed blend. [mg KOH per g fat]
    soap : Soap
        Of fresh batter. [g]
    mass_g : float
        Fresh batter, of what is weighed. [g]
    exact_mass_g : float
        Fresh batter, of the exact masses. [g]
    """

    recipe: Recipe
    scale: Scale
    fats: tuple[WeighedFat, ...]
    acids: tuple[WeighedAcid, ...]
    alkalis: tuple[WeighedAlkali, ...]
    water: Weighing
    solution: LyeSolution
    superfat: Superfat
    saponification_value: Range
    soap: Soap
    mass_g: float
    exact_mass_g: float

    @property
    def fats_mass_g(self) -> float:
        """All fats as weighed. [g]"""
        return math.fsum(fat.weigh_g for fat in self.fats)

    @property
    def water_mass_g(self) -> float:
        """All water in the lye, wherever it came from. [g]"""
        return self.solution.mass_g * (1 - self.solution.concentration_pct / 100)

    @property
    def sources(self) -> tuple[Source, ...]:
        """What the figures of the fats rest on, each once. [sources]"""
        return tuple(dict.fromkeys(source for fat in self.fats for source in fat.fat.sources))


@dataclass(frozen=True, slots=True)
class _Batch:
    """Masses on one chain, exact or weighed. [g]"""

    fats: tuple[float, ...]
    acids: tuple[float, ...]
    pure: tuple[float, ...]
    alkalis: tuple[float, ...]
    water_all: float
    water_added: float

    @property
    def total(self) -> float:
        return math.fsum((*self.fats, *self.acids, *self.alkalis, self.water_added))


def make_lye(recipe: Recipe, scale: Scale, *, sized_here: bool = False) -> Lye:
    """What to weigh, how far the superfat can be off, and what comes out.

    Parameters
    ----------
    recipe : Recipe
        Fats by mass. [recipe]
    scale : Scale
        Steps of the scales. [g]
    sized_here : bool
        The service chose the size, so fats are weighed down to the step and never overfill. [yes or no]

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
    from the weighed fats and acids and rounded down, so that the superfat never falls below the one asked.

    References
    ----------
    .. [1] Saponification value: mg of pure KOH per g of fat, ISO 3657. From memory.
    .. [2] Molar masses: IUPAC standard atomic weights. Computed.
    """
    fats = [known_fat(portion) for portion in recipe.fats]
    asked = [portion.mass_g or 0.0 for portion in recipe.fats]
    all_fats = math.fsum(asked)
    acid_mass = [portion.mass_for(all_fats) for portion in recipe.acids]
    exact = _batch(recipe, fats, asked, acid_mass, alkali_step_g=None, water_step_g=None)

    fat_rounding = round_down if sized_here else round_nearest
    weighed_fats = [fat_rounding(mass, scale.readability_g) for mass in asked]
    weighed_acids = [round_nearest(mass, scale.dose_readability_g) for mass in acid_mass]
    for index, (fat, weigh) in enumerate(zip(fats, weighed_fats, strict=True)):
        if weigh <= 0:
            raise Unsolvable(f"{asked[index]:.9g} g of {fat.name} is nothing on a scale with a step of "
                             f"{scale.readability_g:.9g} g; use a finer scale or make a larger batch.",
                             field=("fats", index))
    weighed = _batch(recipe, fats, weighed_fats, weighed_acids,
                     alkali_step_g=scale.alkali_readability_g, water_step_g=scale.readability_g)
    alkalis = tuple(_weighed_alkali(portion, exact.pure[i], exact.alkalis[i], weighed.alkalis[i])
                    for i, portion in enumerate(recipe.alkalis))
    return Lye(
        recipe=recipe, scale=scale,
        fats=tuple(WeighedFat(fat=fat, mass_g=asked[i], weigh_g=weighed.fats[i], lot=recipe.fats[i].lot,
                              share_pct=100 * weighed.fats[i] / math.fsum(weighed.fats))
                   for i, fat in enumerate(fats)),
        acids=tuple(WeighedAcid(acid=acid(portion.acid), mass_g=exact.acids[i], weigh_g=weighed.acids[i],
                                strength=portion.strength_pct / 100, lot=portion.lot)
                    for i, portion in enumerate(recipe.acids)),
        alkalis=alkalis, water=Weighing(exact.water_added, weighed.water_added),
        solution=_solution(recipe, alkalis, weighed),
        superfat=superfat(
            [FatInPot(mass, fat.saponification_value) for mass, fat in zip(weighed.fats, fats, strict=True)],
            [AlkaliInPot(alkali.weigh_g, alkali.portion.strength, alkali.portion.strength_range,
                         _MOLAR_MASS[alkali.key]) for alkali in alkalis],
            [AcidInPot(mass, acid(portion.acid).mol_per_g * portion.strength_pct / 100)
             for mass, portion in zip(weighed.acids, recipe.acids, strict=True)],
            asked_pct=recipe.superfat_pct, readability_g=scale.readability_g,
            alkali_readability_g=scale.alkali_readability_g, dose_readability_g=scale.dose_readability_g),
        saponification_value=_blend(weighed.fats, fats), soap=_soap(recipe, fats, alkalis, weighed),
        mass_g=weighed.total, exact_mass_g=exact.total)


def _batch(recipe: Recipe, fats: Sequence[Fat], fat_g: Sequence[float], acid_g: Sequence[float], *,
           alkali_step_g: float | None, water_step_g: float | None) -> _Batch:
    """Alkali and water for these fats and acids; with steps, as the scale shows them."""
    demand = math.fsum(mass * fat.saponification_value.mid
                       for mass, fat in zip(fat_g, fats, strict=True)) / MG_KOH_PER_MOL
    eaten = _acid_mol(recipe, acid_g)
    # the discount leaves fat over; an acid takes all of its alkali, so the discount must not touch it
    mol = (1 - recipe.superfat_pct / 100) * demand + eaten
    shares = [(portion.share_pct if portion.share_pct is not None else 100.0) / 100 for portion in recipe.alkalis]
    pure, alkalis = [], []
    for index, (share, portion) in enumerate(zip(shares, recipe.alkalis, strict=True)):
        needed = share * mol * _MOLAR_MASS[portion.alkali]
        mass = needed / portion.strength
        if alkali_step_g is not None:
            mass, bought = round_down(mass, alkali_step_g), mass
            if mass <= 0:
                raise Unsolvable(f"{bought:.3g} g of {portion.alkali} is nothing on a scale with a step of "
                                 f"{alkali_step_g:.9g} g; use a finer scale or make a larger batch.",
                                 field=("alkalis", index))
        pure.append(mass * portion.strength)
        alkalis.append(mass)
    in_stocks = math.fsum(mass - pure[i] for i, mass in enumerate(alkalis) if recipe.alkalis[i].stock is not None)
    in_acids = math.fsum(mass * (1 - portion.strength_pct / 100)
                         for mass, portion in zip(acid_g, recipe.acids, strict=True))
    counted = math.fsum(pure[i] if recipe.alkalis[i].stock is not None else mass for i, mass in enumerate(alkalis))
    water_all = recipe.water.water_mass(alkali_g=counted, fats_g=math.fsum(fat_g))
    added = water_all - in_stocks - in_acids
    if added < -_MISSING_WATER_STEPS * max(water_all, 1.0):
        where = " and the acid solutions" if in_acids else ""
        raise Unsolvable(
            f"The stock{where} bring {in_stocks + in_acids:.6g} g of water, but the lye asked holds only "
            f"{water_all:.6g} g: the stock is weaker than the target. Use a stronger stock or ask for more water.",
            field=("water",))
    added = max(added, 0.0)
    if water_step_g is not None:
        added = round_nearest(added, water_step_g)
        water_all = added + in_stocks + in_acids
    strength = math.fsum(pure) / (counted + water_all)
    if strength > _STRONGEST_LYE + 1e-9:
        raise Unsolvable(f"The lye would hold {100 * strength:.4g} % pure alkali; above 50 % it does not stay "
                         "dissolved. Use more water: a water_to_alkali of 1.5 to 2.5 is usual.", field=("water",),
                         allowed="at most 50 % pure alkali")
    return _Batch(tuple(fat_g), tuple(acid_g), tuple(pure), tuple(alkalis), water_all, added)


def _acid_mol(recipe: Recipe, acid_g: Sequence[float]) -> float:
    return math.fsum(mass * portion.strength_pct / 100 * acid(portion.acid).mol_per_g
                     for mass, portion in zip(acid_g, recipe.acids, strict=True))


def _weighed_alkali(portion: AlkaliPortion, pure_g: float, mass_g: float, weigh_g: float) -> WeighedAlkali:
    weigh_pure = weigh_g * portion.strength
    stock = None if portion.stock is None else WeighedStock(mass_g, weigh_g, weigh_g - weigh_pure)
    return WeighedAlkali(key=portion.alkali, name=_ALKALI_NAMES[portion.alkali], mass_pure_g=pure_g, mass_g=mass_g,
                         weigh_g=weigh_g, weigh_pure_g=weigh_pure, stock=stock, portion=portion)


def _solution(recipe: Recipe, alkalis: Sequence[WeighedAlkali], weighed: _Batch) -> LyeSolution:
    counted = math.fsum(alkali.weigh_pure_g if alkali.stock else alkali.weigh_g for alkali in alkalis)
    pure = {alkali.key: alkali.weigh_pure_g for alkali in alkalis}
    mass = counted + weighed.water_all
    volume = lye_volume(pure, mass, _AT_40_C)
    peak = None
    if recipe.temperatures.water_c is not None and len(alkalis) == 1 and alkalis[0].key == "NaOH" \
            and alkalis[0].stock is None:
        peak = naoh_peak_temperature(naoh_pure_g=alkalis[0].weigh_pure_g, lye_g=mass, water_g=weighed.water_all,
                                     water_c=recipe.temperatures.water_c)
    return LyeSolution(mass_g=mass, concentration_pct=100 * counted / mass,
                       concentration_pure_pct=100 * math.fsum(pure.values()) / mass,
                       water_to_alkali=weighed.water_all / counted, density=mass / volume, volume_ml=volume,
                       peak_temperature=peak)


def _blend(fat_g: Sequence[float], fats: Sequence[Fat]) -> Range:
    total = math.fsum(fat_g)

    def mean(end: str) -> float:
        return math.fsum(mass * float(getattr(fat.saponification_value, end))
                         for mass, fat in zip(fat_g, fats, strict=True)) / total

    return Range(mean("min"), mean("max"))


def _soap(recipe: Recipe, fats: Sequence[Fat], alkalis: Sequence[WeighedAlkali], weighed: _Batch) -> Soap:
    mol = [alkali.weigh_pure_g / _MOLAR_MASS[alkali.key] for alkali in alkalis]
    demand = math.fsum(mass * fat.saponification_value.mid
                       for mass, fat in zip(weighed.fats, fats, strict=True)) / MG_KOH_PER_MOL
    turned = min((math.fsum(mol) - _acid_mol(recipe, weighed.acids)) / demand, 1.0)
    parts = [Saponified(mass, fat.saponification_value.mid / MG_KOH_PER_MOL, fat.kind, turned)
             for mass, fat in zip(weighed.fats, fats, strict=True)]
    for mass, portion in zip(weighed.acids, recipe.acids, strict=True):
        kind = acid(portion.acid)
        if kind.fatty:
            parts.append(Saponified(mass * portion.strength_pct / 100, kind.mol_per_g, "fatty_acid", 1.0))
    return soap_made(parts, alkali_molar_mass=mean_molar_mass(mol, [_MOLAR_MASS[alkali.key] for alkali in alkalis]),
                     batter_g=weighed.total)
