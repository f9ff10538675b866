"""How far a batch can be from the requested superfat, and which input matters most."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from kettlewright.copies import replace
from kettlewright.ranges import Range
from kettlewright.recipe.superfat_result import Dominant, InputShare, Superfat
from kettlewright.recipe.workings import SILENT, Book, Formula
from kettlewright.reference import MG_KOH_PER_MOL
from kettlewright.said import Said

__all__ = ["AcidInPot", "AlkaliInPot", "FatInPot", "superfat"]

_COVERAGE_FACTOR = 2  # about 95 % (JCGM 100, read second-hand)
_GUM = "JCGM 100 (GUM), type B, read second-hand"

_SUPERFAT = Formula("100 * (1 - (alkali - acids) / fats)")
_SPREAD = Formula("sqrt(sum(squares))")
_LIKELY_LOW = Formula("max(middle - k * u, lowest)")
_LIKELY_HIGH = Formula("min(middle + k * u, highest)")


@dataclass(frozen=True, slots=True)
class FatInPot:
    """Fat that the alkali can saponify, on its own or in a liquid.

    Parameters
    ----------
    key, name : str
        Of the fat, or of the liquid that contains it. [text]
    mass_g : float
        As weighed. [g]
    value : Range
        Saponification value of the fat. [mg KOH per g fat]
    part : float
        Fat in the weighed ingredient. [mass fraction]
    """

    key: str
    name: str
    mass_g: float
    value: Range
    part: float = 1.0

    def mol(self, mass_g: float, value: float) -> float:
        """Alkali it takes (`mass_g` [g], `value` [mg KOH per g fat]). [mol]"""
        return mass_g * self.part * value / MG_KOH_PER_MOL


@dataclass(frozen=True, slots=True)
class AlkaliInPot:
    """A weighed alkali.

    Parameters
    ----------
    key, name : str
        "NaOH" or "KOH", and its name. [text]
    mass_g : float
        Mass weighed; for a stock, of the solution. [g]
    strength : float
        Pure alkali in it, as used in calculations. [mass fraction]
    strength_range : Range
        Range of the pure alkali in it. [mass fraction]
    molar_mass : float
        [g/mol]
    stock : bool
        It is a solution. [yes or no]
    """

    key: str
    name: str
    mass_g: float
    strength: float
    strength_range: Range
    molar_mass: float
    stock: bool = False


@dataclass(frozen=True, slots=True)
class AcidInPot:
    """A weighed acid.

    Parameters
    ----------
    key, name : str
        Of the acid. [text]
    mass_g : float
        As weighed. [g]
    mol_per_g : float
        Alkali that one gram of it takes. [mol/g]
    """

    key: str
    name: str
    mass_g: float
    mol_per_g: float


@dataclass(frozen=True, slots=True)
class _Input:
    """An uncertain input: its group, its index in the group, and its range."""

    kind: str
    key: str
    name: str
    group: str
    index: int
    range: Range
    harm: int  # 1: a larger value lowers the superfat; -1: a smaller one does


def superfat(fats: Sequence[FatInPot], alkalis: Sequence[AlkaliInPot], acids: Sequence[AcidInPot] = (), *,
             asked_pct: float, readability_g: float, alkali_readability_g: float, dose_readability_g: float,
             book: Book = SILENT) -> Superfat:
    """Superfat of the weighed masses: a value, a likely range and a worst case.

    Parameters
    ----------
    fats, alkalis, acids : sequences, n >= 1, n >= 1, n >= 0
        The masses on the scale. [g and the units of each part]
    asked_pct : float
        The requested superfat. [% of full demand]
    readability_g, alkali_readability_g, dose_readability_g : float
        Steps of the scales for fats, alkalis and acids; the error is half a step either way. [g]
    book : Book
        Records the lines. [lines]

    Returns
    -------
    Superfat : [% of full demand]

    Notes
    -----
    s = 1 - (sum(A p / M) - n_acid) / E with E = sum(m SV) / 56105.6. s is monotonic in each input, so the corners are
    exact. The likely range treats each input as rectangular, independent and centred on the middle of its range:
    u = half-width / sqrt(3), then the root of the sum of squares of slope times u, twice that either way, limited to
    the worst case. A gain error common to both scales cancels and is not included.

    References
    ----------
    .. [1] JCGM 100 (GUM), type B evaluation and the law of propagation. Read second-hand.
    """
    steps = (readability_g / 2, alkali_readability_g / 2, dose_readability_g / 2)
    inputs = _inputs(fats, alkalis, acids, *steps)
    pot = _FatsInPot(fats, alkalis, acids)
    achieved = _superfat_pct(pot.nominal, book, "achieved superfat")
    slopes = [pot.slope_pct(one) for one in inputs]
    found = _ranges(pot, inputs, slopes, book)
    total = math.fsum(found.variances)
    shares = [InputShare(one.kind, one.key, one.name, 100 * variance / total if total else 0.0)
              for one, variance in zip(inputs, found.variances, strict=True)]
    by_size = sorted(range(len(inputs)), key=lambda index: -shares[index].variance_share_pct)
    dominant = None
    if total > 0:
        first = by_size[0]
        known = [replace(one, range=Range(one.range.mid, one.range.mid)) if index == first else one
                 for index, one in enumerate(inputs)]
        narrowed = _ranges(pot, known, slopes, SILENT).likely
        dominant = Dominant(shares[first].input, shares[first].key, shares[first].variance_share_pct, narrowed,
                            _dominant_text(inputs[first], shares[first].variance_share_pct, found.likely, narrowed))
    return Superfat(asked_pct=asked_pct, achieved_pct=achieved, likely_pct=found.likely, worst_case_pct=found.worst,
                    inputs=tuple(shares[index] for index in by_size if shares[index].variance_share_pct > 0),
                    dominant=dominant, demand_mol=pot.middle[2], least_demand_mol=found.least_demand_mol)


def _inputs(fats: Sequence[FatInPot], alkalis: Sequence[AlkaliInPot], acids: Sequence[AcidInPot], fat_error: float,
            alkali_error: float, acid_error: float) -> list[_Input]:
    """Mass and strength of each alkali, value and mass of each fat, mass of each acid."""
    def weighing(kind: str, one: FatInPot | AlkaliInPot | AcidInPot, group: str, index: int, error: float,
                 harm: int) -> _Input:
        error = min(error, one.mass_g)  # a mass is never negative, and an ingredient left out has no error
        return _Input(kind, one.key, one.name, group, index, Range(one.mass_g - error, one.mass_g + error), harm)

    found = []
    for index, alkali in enumerate(alkalis):
        found.append(weighing("alkali_weighing", alkali, "alkali", index, alkali_error, 1))
        name = Said("{alkali} stock", alkali=alkali.name) if alkali.stock else alkali.name
        found.append(_Input("strength", alkali.key, name, "strength", index, alkali.strength_range, 1))
    for index, fat in enumerate(fats):
        found.append(_Input("saponification_value", fat.key, fat.name, "value", index, fat.value, -1))
        found.append(weighing("fat_weighing", fat, "fat", index, fat_error, -1))
    found += [weighing("acid_weighing", acid, "acid", index, acid_error, -1) for index, acid in enumerate(acids)]
    return found


class _FatsInPot:
    """The weighed masses, and the alkali that they hold and take when some inputs are changed."""

    def __init__(self, fats: Sequence[FatInPot], alkalis: Sequence[AlkaliInPot], acids: Sequence[AcidInPot]) -> None:
        self.fats, self.alkalis, self.acids = fats, alkalis, acids
        self.nominal = self.mol(self._weighed([one.strength for one in alkalis]))
        # the slopes are taken here, for every input
        self.middle = self.mol(self._weighed([one.strength_range.mid for one in alkalis]))

    def _weighed(self, strengths: Sequence[float]) -> list[float]:
        """The inputs as weighed, with these strengths of the alkalis. [units of the inputs]"""
        return [*(value for one, strength in zip(self.alkalis, strengths, strict=True)
                  for value in (one.mass_g, strength)),
                *(value for one in self.fats for value in (one.value.mid, one.mass_g)),
                *(one.mass_g for one in self.acids)]

    def mol(self, values: Sequence[float]) -> tuple[float, float, float]:
        """Alkali, the part that acids take, and the full demand of the fats (`values`: of all inputs, in the order of
        `_inputs`). [mol]"""
        of_alkalis = 2 * len(self.alkalis)
        of_fats = of_alkalis + 2 * len(self.fats)
        alkali = math.fsum([mass * strength / one.molar_mass for one, mass, strength in zip(
            self.alkalis, values[:of_alkalis:2], values[1:of_alkalis:2], strict=True)])
        acid = math.fsum([mass * one.mol_per_g for one, mass in zip(self.acids, values[of_fats:], strict=True)])
        demand = math.fsum([one.mol(mass, value) for one, value, mass in zip(
            self.fats, values[of_alkalis:of_fats:2], values[of_alkalis + 1:of_fats:2], strict=True)])
        return alkali, acid, demand

    def slope_pct(self, one: _Input) -> float:
        """Change of the superfat per unit of an input, with all inputs at their middle. [points per unit]"""
        alkali, acid, demand = self.middle
        if one.group == "alkali":
            part = self.alkalis[one.index]
            return 100 * part.strength_range.mid / part.molar_mass / demand
        if one.group == "strength":
            part = self.alkalis[one.index]
            return 100 * part.mass_g / part.molar_mass / demand
        if one.group == "acid":
            return 100 * self.acids[one.index].mol_per_g / demand
        fat = self.fats[one.index]
        bound = (alkali - acid) / demand
        mol_per_unit = fat.mol(1, fat.value.mid) if one.group == "fat" else fat.mol(fat.mass_g, 1)
        return 100 * bound * mol_per_unit / demand


def _superfat_pct(mol: tuple[float, float, float], book: Book, figure: str) -> float:
    """The superfat of alkali, acids and fats (`mol`: as of `_FatsInPot.mol`)."""
    alkali, acid, demand = mol
    return book.work(figure, _SUPERFAT, "% of full demand", "definition: alkali left out, by equivalents",
                     alkali=alkali, acids=acid, fats=demand)


@dataclass(frozen=True, slots=True)
class _Ranges:
    likely: Range
    worst: Range
    variances: list[float]
    least_demand_mol: float


def _ranges(pot: _FatsInPot, inputs: Sequence[_Input], slopes: Sequence[float], book: Book) -> _Ranges:
    def corner(side: int) -> list[float]:
        return [one.range.widest.max if one.harm == side else one.range.widest.min for one in inputs]

    middle = _superfat_pct(pot.mol([one.range.mid for one in inputs]), book, "superfat with every input at its middle")
    worst = pot.mol(corner(1))
    lowest = _superfat_pct(worst, book, "superfat, worst case, lower end")
    highest = _superfat_pct(pot.mol(corner(-1)), book, "superfat, worst case, upper end")
    # if acids take more alkali than there is, more than 100 % is free: then more fat lowers the figure, and the corners
    # turn
    lowest, highest = min(lowest, middle, highest), max(lowest, middle, highest)
    variances = [(slope * one.range.half_width) ** 2 / 3 for slope, one in zip(slopes, inputs, strict=True)]
    u = book.work("standard uncertainty of the superfat", _SPREAD, "points", _GUM, squares=variances)
    return _Ranges(
        Range(book.work("superfat, likely, lower end", _LIKELY_LOW, "% of full demand", _GUM, middle=middle,
                        k=_COVERAGE_FACTOR, u=u, lowest=lowest),
              book.work("superfat, likely, upper end", _LIKELY_HIGH, "% of full demand", _GUM, middle=middle,
                        k=_COVERAGE_FACTOR, u=u, highest=highest)),
        Range(lowest, highest), variances, worst[2])


def _dominant_text(one: _Input, share_pct: float, likely: Range, narrowed: Range) -> Said:
    # adding 0 turns a -0.0 into 0.0
    low, high, less_low, less_high = (round(end, 1) + 0.0 for end in (likely.min, likely.max, narrowed.min,
                                                                      narrowed.max))
    from_to = Said("the likely range of {low:.1f} to {high:.1f} % to one of {less_low:.1f} to {less_high:.1f} %",
                   low=low, high=high, less_low=less_low, less_high=less_high)
    if one.kind == "saponification_value":
        return Said("The range of the saponification value of {name} accounts for {share:.0f} % of the spread: a "
                    "certificate with the lot's value would narrow {from_to}.", name=one.name, share=share_pct,
                    from_to=from_to)
    if one.kind == "strength":
        return Said("The uncertain strength of the {name} accounts for {share:.0f} % of the spread: a certificate of "
                    "the lot, or a titration, would narrow {from_to}.", name=one.name, share=share_pct, from_to=from_to)
    return Said("The step of the scale for {name} accounts for {share:.0f} % of the spread: a finer scale, or a larger "
                "batch, would narrow {from_to}.", name=one.name, share=share_pct, from_to=from_to)
