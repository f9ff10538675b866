"""The batter on the scale: what each bucket holds, what is stirred in, where each layer lies."""

from __future__ import annotations

from dataclasses import dataclass

from kettlewright.curing import loss_used
from kettlewright.names import slug
from kettlewright.pour.additions import WeighedAddition
from kettlewright.pour.buckets import Portion
from kettlewright.pour.cured_mix import Mix, together
from kettlewright.pour.moulds import Mould
from kettlewright.recipe.weighed import Weighing

__all__ = ["Borrowed", "Column", "Division", "Layer", "Overflow", "OverflowLayer", "WeighedDusting",
           "WeighedPortion"]

_NOTHING = 1e-9


@dataclass(frozen=True, slots=True)
class Layer:
    """Where a portion lies in the mould.

    Parameters
    ----------
    bottom_mm, top_mm : float
        Heights in each cavity. [mm]
    """

    bottom_mm: float
    top_mm: float


@dataclass(frozen=True, slots=True)
class Column:
    """Where a portion stands between upright dividers, across the width of a box.

    Parameters
    ----------
    start_mm, end_mm : float
        From the first wall. [mm]
    """

    start_mm: float
    end_mm: float


@dataclass(frozen=True, slots=True)
class OverflowLayer:
    """A portion's part in the overflow mould.

    Parameters
    ----------
    key, name : str
        Of the portion. [text]
    layer : Layer, optional
        Where it lies, where heights are known. [mm]
    """

    key: str
    name: str
    layer: Layer | None


@dataclass(frozen=True, slots=True)
class Overflow:
    """What did not go into the mould.

    Parameters
    ----------
    mass_g, volume_ml : float
        In the overflow mould, all cavities. [g, mL]
    depth_mm : float, optional
        How high it stands, where known. [mm]
    layers : tuple of OverflowLayer
        What it is of. [mm]
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
    """

    name: str
    mass_g: float
    weigh_g: float
    area_cm2: float

    @property
    def key(self) -> str:
        """A slug of the name. [key]"""
        return slug(self.name)


@dataclass(frozen=True, slots=True)
class Borrowed:
    """Batter that comes from another bucket, its additions in it.

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
        As asked. [portion]
    batter_mass_g, weigh_g : float
        Plain batter (the batch's additions in it): exact, and on the scale. [g]
    mass_g, volume_ml : float
        The full bucket, before it lends. [g, mL]
    additions : tuple of WeighedAddition
        Stirred in. [g]
    mix : Mix
        What reaches the mould is made of. [g]
    mould_mass_g, mould_volume_ml : float
        What reaches a mould. [g, mL]
    borrowed : tuple of Borrowed
        Taken from other buckets. [g]
    lent_mass_g : float
        What other buckets take. [g]
    overflow_volume_ml : float
        Of what reaches a mould, the part in the overflow mould. [mL]
    dusting : WeighedDusting, optional
        Sifted on top. [g]
    layer : Layer, optional
        Where it lies, in a mould of known form. [mm]
    column : Column, optional
        Where it stands, between dividers in a box. [mm]
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

    @property
    def key(self) -> str:
        """A slug of the name. [key]"""
        return self.portion.key

    @property
    def name(self) -> str:
        """The maker's name. [text]"""
        return self.portion.name

    @property
    def in_mould(self) -> Mix:
        """What of it lies in the mould; its powder too, unless all of it overflows. [g]"""
        part = self.mould_part
        return self.mix.times(part).dusted(self._powder_g) if part > _NOTHING else Mix(0.0, 0.0, {})

    @property
    def in_overflow(self) -> Mix:
        """What of it lies in the overflow mould. [g]"""
        part = self.mould_part
        return self.mix.times(1 - part) if part > _NOTHING else self.mix.dusted(self._powder_g)

    @property
    def mould_part(self) -> float:
        """Of what reaches a mould, the part that is not in the overflow mould. [1]"""
        return 1 - self.overflow_volume_ml / self.mould_volume_ml

    @property
    def _powder_g(self) -> float:
        return 0.0 if self.dusting is None else self.dusting.mass_g

    @property
    def made_batter_g(self) -> float:
        """Batter the bucket makes, own additions not counted: what it borrows and what it lends in it. [g]"""
        borrowed = sum(borrowing.share_pct for borrowing in self.portion.borrows)
        return self.batter_mass_g / (1 - borrowed / 100)

    @property
    def colour(self) -> str | None:
        """For the picture. [text]"""
        return self.portion.colour


@dataclass(frozen=True, slots=True)
class Division:
    """The whole batch, shared out.

    Parameters
    ----------
    pot_mass_g, pot_volume_ml : float
        In the pot, the batch's additions in it. [g, mL]
    additions : tuple of WeighedAddition
        The batch's own. [g]
    portions : tuple of WeighedPortion
        In pour order. [g]
    residue_mass_g : float
        What stays in the pot: its residue, and what is below one step of the scale. [g]
    mould_mass_g, mould_volume_ml : float
        What the mould receives, the overflow not; powders have mass, no volume. [g, mL]
    mould : Mould, optional
        Where it goes. [mould]
    missing_depth_mm : float, optional
        From the top layer to the fill limit, where known. [mm]
    loss_pct : float, optional
        Loss in cure; none where all the water is taken as lost. [% of the whole piece]
    overflow : Overflow, optional
        What did not go into the mould. [g]
    kept_back : Weighing, optional
        Plain batter set aside out of the pot, the batch's additions in it. [g]
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
    kept_back: Weighing | None = None

    @property
    def whole(self) -> Mix:
        """What lies in mould and overflow, powders included. [g]"""
        return together(mix for portion in self.portions for mix in (portion.in_mould, portion.in_overflow))

    @property
    def loss_taken_pct(self) -> float:
        """Loss in cure that limits, allergens and net quantity are judged with. [% of all that is poured]"""
        whole = self.whole
        return loss_used(whole.mass_g, self.loss_pct, water_g=whole.water_g)
