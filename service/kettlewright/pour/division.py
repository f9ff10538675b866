"""The batter on the scale: the content of each bucket, its additions, the position of each layer."""

from __future__ import annotations

from dataclasses import dataclass

from kettlewright.curing import loss_used
from kettlewright.names import slug
from kettlewright.pour.cured_mix import Mix, together
from kettlewright.pour.mould.moulds import Mould
from kettlewright.pour.requested_portions import Portion
from kettlewright.pour.weighed_additions import WeighedAddition
from kettlewright.recipe.weighed import MassToWeigh

__all__ = ["Borrowed", "Column", "Division", "FreeFat", "Layer", "Overflow", "OverflowLayer", "WeighedDusting",
           "WeighedPortion"]

_NOTHING = 1e-9


@dataclass(frozen=True, slots=True)
class Layer:
    """Position of a portion in the mould.

    Parameters
    ----------
    bottom_mm, top_mm : float
        Heights in each cavity. [mm]
    below_rim_mm : float
        From its top up to the rim of the lined mould, as a ruler laid across the mould shows it. [mm]
    """

    bottom_mm: float
    top_mm: float
    below_rim_mm: float


@dataclass(frozen=True, slots=True)
class FreeFat:
    """Oil of additions in a bucket that gets no alkali.

    Parameters
    ----------
    mass_g : float
        In the full bucket, what it borrowed in it. [g]
    demand_mol : float
        Alkali that would turn it into soap, at the middle of its saponification value. [mol]
    of_pot : float
        Fraction of the pot that the bucket holds at its fullest. [1]
    """

    mass_g: float
    demand_mol: float
    of_pot: float


@dataclass(frozen=True, slots=True)
class Column:
    """Position of a portion between upright dividers, across the width of a box.

    Parameters
    ----------
    start_mm, end_mm : float
        From the first wall. [mm]
    """

    start_mm: float
    end_mm: float


@dataclass(frozen=True, slots=True)
class OverflowLayer:
    """A portion in the overflow mould.

    Parameters
    ----------
    key, name : str
        Of the portion. [text]
    layer : Layer, optional
        Its position, if heights are known. [mm]
    """

    key: str
    name: str
    layer: Layer | None


@dataclass(frozen=True, slots=True)
class Overflow:
    """Batter in the overflow mould.

    Parameters
    ----------
    mass_g, volume_ml : float
        In the overflow mould, all cavities. [g, mL]
    depth_mm : float, optional
        Its height, if known. [mm]
    layers : tuple of OverflowLayer
        The portions in it. [mm]
    """

    mass_g: float
    volume_ml: float
    depth_mm: float | None
    layers: tuple[OverflowLayer, ...]


@dataclass(frozen=True, slots=True)
class WeighedDusting:
    """Powder to sift.

    Parameters
    ----------
    name : str
        The powder. [text]
    mass_g, weigh_g : float
        Exact, and on the scale. [g]
    area_cm2 : float
        Surface it covers, all cavities. [cm2]
    colour : str, optional
        Of its line in the picture, as "#rrggbb". [text]
    """

    name: str
    mass_g: float
    weigh_g: float
    area_cm2: float
    colour: str | None = None

    @property
    def key(self) -> str:
        """Key derived from the name. [key]"""
        return slug(self.name)


@dataclass(frozen=True, slots=True)
class Borrowed:
    """Batter from another bucket, including its additions.

    Parameters
    ----------
    key, name : str
        Of the lender. [text]
    mass_g, weigh_g : float
        Exact, and on the scale. [g]
    """

    key: str
    name: str
    mass_g: float
    weigh_g: float


@dataclass(frozen=True, slots=True)
class WeighedPortion:
    """One bucket to fill.

    Parameters
    ----------
    portion : Portion
        As requested. [portion]
    batter_mass_g, weigh_g : float
        Plain batter (including the batch's additions): exact, and on the scale. [g]
    mass_g, volume_ml : float
        The full bucket, before it lends. [g, mL]
    additions : tuple of WeighedAddition
        Stirred in. [g]
    mix : Mix
        Composition of the batter that reaches the mould. [g]
    mould_mass_g, mould_volume_ml : float
        Batter that reaches a mould. [g, mL]
    borrowed : tuple of Borrowed
        Taken from other buckets. [g]
    lent_mass_g : float
        Batter that other buckets take. [g]
    overflow_volume_ml : float
        Part of that in the overflow mould. [mL]
    dusting : WeighedDusting, optional
        Sifted on top. [g]
    layer : Layer, optional
        Its position in a mould of known form. [mm]
    column : Column, optional
        Its position between dividers in a box. [mm]
    free_fat : FreeFat, optional
        Oil of additions in it, if any. [g]
    superfat_pct : float, optional
        Of this bucket, where that oil shifts it; known once the lye is. [%]
    """

    portion: Portion
    batter_mass_g: float
    weigh_g: float
    mass_g: float
    volume_ml: float
    additions: tuple[WeighedAddition, ...]
    dusting: WeighedDusting | None
    layer: Layer | None
    mix: Mix
    mould_mass_g: float
    mould_volume_ml: float
    column: Column | None = None
    borrowed: tuple[Borrowed, ...] = ()
    lent_mass_g: float = 0.0
    overflow_volume_ml: float = 0.0
    free_fat: FreeFat | None = None
    superfat_pct: float | None = None

    @property
    def key(self) -> str:
        """Key derived from the name. [key]"""
        return self.portion.key

    @property
    def name(self) -> str:
        """The maker's name. [text]"""
        return self.portion.name

    @property
    def in_mould(self) -> Mix:
        """Its part in the mould, including its powder unless all of it overflows. [g]"""
        part = self.mould_part
        return self.mix.times(part).dusted(self._powder_g) if part > _NOTHING else Mix(0.0, 0.0, {})

    @property
    def powder_in_mould_g(self) -> float:
        """Its powder, unless all of it overflows. [g]"""
        return self._powder_g if self.mould_part > _NOTHING else 0.0

    @property
    def in_overflow(self) -> Mix:
        """Its part in the overflow mould. [g]"""
        part = self.mould_part
        return self.mix.times(1 - part) if part > _NOTHING else self.mix.dusted(self._powder_g)

    @property
    def mould_part(self) -> float:
        """Fraction of the poured batter that is not in the overflow mould. [1]"""
        return 1 - self.overflow_volume_ml / self.mould_volume_ml

    @property
    def _powder_g(self) -> float:
        return 0.0 if self.dusting is None else self.dusting.mass_g

    @property
    def made_batter_g(self) -> float:
        """Batter of the bucket, own additions not counted, including what it borrows and lends. [g]"""
        borrowed = sum(borrowing.share_pct for borrowing in self.portion.borrows)
        return self.batter_mass_g / (1 - borrowed / 100)

    @property
    def colour(self) -> str | None:
        """For the picture. [text]"""
        return self.portion.colour


@dataclass(frozen=True, slots=True)
class Division:
    """The whole batch, divided.

    Parameters
    ----------
    pot_mass_g, pot_volume_ml : float
        In the pot, including the batch's additions. [g, mL]
    additions : tuple of WeighedAddition
        The batch's own. [g]
    portions : tuple of WeighedPortion
        In pour order. [g]
    residue_mass_g : float
        Batter left in the pot: its residue, and less than one step of the scale. [g]
    mould_mass_g, mould_volume_ml : float
        Content of the mould without the overflow; powders count by mass, not by volume. [g, mL]
    mould : Mould, optional
        The mould. [mould]
    missing_depth_mm : float, optional
        From the top layer to the fill limit, if known. [mm]
    loss_pct : float, optional
        Loss in cure; None if all the water is taken to be lost. [% of the whole piece]
    overflow : Overflow, optional
        Batter in the overflow mould. [g]
    kept_back : MassToWeigh, optional
        Plain batter set aside from the pot, including the batch's additions. [g]
    """

    pot_mass_g: float
    pot_volume_ml: float
    additions: tuple[WeighedAddition, ...]
    portions: tuple[WeighedPortion, ...]
    residue_mass_g: float
    mould_mass_g: float
    mould_volume_ml: float
    mould: Mould | None
    missing_depth_mm: float | None
    loss_pct: float | None
    overflow: Overflow | None = None
    kept_back: MassToWeigh | None = None

    @property
    def whole(self) -> Mix:
        """Composition of everything in mould and overflow, including powders. [g]"""
        return together(mix for portion in self.portions for mix in (
            (portion.in_mould, portion.in_overflow) if portion.overflow_volume_ml else (portion.in_mould,)))

    @property
    def loss_taken_pct(self) -> float:
        """Loss in cure used for limits, allergens and net quantity. [% of all that is poured]"""
        whole = self.whole
        return loss_used(whole.mass_g, self.loss_pct, water_g=whole.water_g)
