"""What goes into each bucket, before any rounding: portions as they are asked, and the batter shared out among them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from kettlewright import limits
from kettlewright.errors import DomainError, Unsolvable, gather
from kettlewright.names import slug
from kettlewright.pour.additions import Addition
from kettlewright.pour.batter import Batter
from kettlewright.pour.moulds import Mould

__all__ = ["Dusting", "Portion", "Poured", "Residue", "check_distinct", "pour_exactly", "whole_batch"]

_STEPS_MAX = 60


@dataclass(frozen=True, slots=True)
class Dusting:
    """Powder sifted on top of a layer.

    Parameters
    ----------
    name : str
        The powder. [text]
    coverage : float
        How much of it. [g/m2]
    """

    name: str
    coverage: float

    def __post_init__(self) -> None:
        limits.COVERAGE.check(self.coverage, "coverage")


@dataclass(frozen=True, slots=True)
class Residue:
    """Batter that never reaches the mould.

    Parameters
    ----------
    pot_g, portion_g : float
        Left in the pot, and in each bucket. [g]
    """

    pot_g: float = 0.0
    portion_g: float = 0.0

    def __post_init__(self) -> None:
        limits.KEEPS_BACK.check(self.pot_g, "pot")
        limits.KEEPS_BACK.check(self.portion_g, "portion")


@dataclass(frozen=True, slots=True)
class Portion:
    """One bucket, in pour order from the bottom.

    Parameters
    ----------
    name : str
        The maker's name for it. [text]
    share_pct, mass_g, layer_depth_mm : float, optional
        Exactly one: of the pot less its residue; the full bucket, own additions included; how thick its layer is in a
        mould. [%, g, mm]
    additions : tuple of Addition
        Stirred into this bucket. [additions]
    dusting : Dusting, optional
        Sifted on top of it. [powder]
    colour : str, optional
        For the picture, "#rrggbb". [text]

    Raises
    ------
    Faults : both or none of share and mass, a doubled addition, a colour that is none.
    """

    name: str
    share_pct: float | None = None
    mass_g: float | None = None
    layer_depth_mm: float | None = None
    additions: tuple[Addition, ...] = ()
    dusting: Dusting | None = None
    colour: str | None = None

    def __post_init__(self) -> None:
        with gather() as checks:
            with checks.at():
                ways = [name.removesuffix("_g").removesuffix("_mm")
                        for name in ("share_pct", "mass_g", "layer_depth_mm") if getattr(self, name) is not None]
                if len(ways) != 1:
                    given = "none was" if not ways else f"{' and '.join(ways)} were"
                    raise DomainError('Give a portion exactly one of "share_pct", "mass" and "layer_depth"; '
                                      f"{given} given.", field=("share_pct",))
            with checks.at():
                if self.layer_depth_mm is not None:
                    limits.LENGTH.check(self.layer_depth_mm, "layer_depth")
            with checks.at():
                if self.share_pct is not None:
                    limits.SHARE_PCT.check(self.share_pct, "share_pct")
            with checks.at():
                if self.mass_g is not None:
                    limits.MASS.check(self.mass_g, "mass")
            with checks.at("additions"):
                check_distinct([addition.key for addition in self.additions], "addition")

    @property
    def key(self) -> str:
        """A slug of the name. [key]"""
        return slug(self.name)


def check_distinct(keys: Sequence[str], what: str) -> None:
    """Refuse a key that stands twice (`keys` [keys], `what` they are [text]).

    Raises
    ------
    DomainError : names the second place.
    """
    for index, key in enumerate(keys):
        if key in keys[:index]:
            raise DomainError(f'There are two of "{key}"; give each {what} a name of its own.', field=(index, "name"),
                              value=key)


@dataclass(frozen=True, slots=True)
class _Bucket:
    """One portion, exact. [g, mL]"""

    plain_g: float
    fats_g: float | None
    own_g: tuple[float, ...]
    mass_g: float
    volume_ml: float
    mould_g: float
    mould_ml: float


@dataclass(frozen=True, slots=True)
class Poured:
    """The batch shared out on exact masses.

    Parameters
    ----------
    pot_g, pot_ml : float
        In the pot, the batch's additions in it. [g, mL]
    additions_g : tuple of float
        The batch's own additions. [g]
    buckets : tuple
        One for each portion. [g, mL]
    """

    pot_g: float
    pot_ml: float
    additions_g: tuple[float, ...]
    buckets: tuple[_Bucket, ...]

    @property
    def mould_ml(self) -> float:
        """What the mould receives. [mL]"""
        return math.fsum(bucket.mould_ml for bucket in self.buckets)

    @property
    def mould_g(self) -> float:
        """What the mould receives, powders not counted. [g]"""
        return math.fsum(bucket.mould_g for bucket in self.buckets)


def whole_batch() -> tuple[Portion, ...]:
    """The one portion of a batch that names none. [portions]"""
    return (Portion(name="batter", share_pct=100.0),)


def pour_exactly(batter: Batter, portions: Sequence[Portion], additions: Sequence[Addition] = (), *,
                 residue: Residue | None = None, mould: Mould | None = None) -> Poured:
    """Share a batter out, before any rounding.

    Parameters
    ----------
    batter : Batter
        Before any addition. [g, g/mL]
    portions : sequence of Portion, length n >= 1
        In pour order. [portions]
    additions : sequence of Addition
        The batch's own, into the pot. [additions]
    residue : Residue, optional
        What stays behind. [g]
    mould : Mould, optional
        Where it goes; portions by the depth of their layer need it. [mould]

    Returns
    -------
    Poured : [g, mL]

    Raises
    ------
    Faults, Unsolvable : nothing left for the mould, additions heavier than their portion, a dose on unknown fats.
    """
    residue = residue or Residue()
    with gather() as checks:
        added = []
        for index, addition in enumerate(additions):
            with checks.at("additions", index):
                added.append(addition.mass_in(batter_g=batter.mass_g, fats_g=batter.fats_mass_g))
    in_pot = [(addition, mass) for addition, mass in zip(additions, added, strict=True) if addition.in_batter]
    if math.fsum(mass for _, mass in in_pot) > batter.mass_g:
        raise Unsolvable("The additions of the batch weigh more than its batter; check the doses and their basis.",
                         field=("additions",))
    pot_g = batter.mass_g + math.fsum(mass for _, mass in in_pot)
    pot_ml = batter.volume_ml + math.fsum(mass / (addition.density or batter.density) for addition, mass in in_pot)
    available = pot_g - residue.pot_g
    if available <= 0:
        raise Unsolvable(f"A residue of {residue.pot_g:.6g} g leaves nothing of {pot_g:.6g} g in the pot.",
                         field=("residue", "pot"), value=residue.pot_g, allowed=f"below {pot_g:.6g} g")
    fats_share = None if batter.fats_mass_g is None else batter.fats_mass_g / pot_g
    buckets = []
    with gather() as checks:
        for index, portion in enumerate(portions):
            with checks.at("portions", index):
                layer_ml = _layer_volume(portions, index, mould)
                buckets.append(_bucket(portion, available, fats_share, pot_g / pot_ml, residue.portion_g, layer_ml))
    return Poured(pot_g, pot_ml, tuple(added), tuple(buckets))


def _layer_volume(portions: Sequence[Portion], index: int, mould: Mould | None) -> float | None:
    """Volume of a layer told by its depth, all cavities. [mL]"""
    depth = portions[index].layer_depth_mm
    if depth is None:
        return None
    if mould is None or mould.fill_height_mm is None:
        raise Unsolvable("A layer by its depth needs the mould, and of a measured one its depth.",
                         field=("layer_depth",))
    bottom = math.fsum(portion.layer_depth_mm or 0.0 for portion in portions[:index])
    top = bottom + depth
    if top > mould.fill_height_mm * (1 + 1e-9):
        raise Unsolvable(f"The layers stand {top:.6g} mm high here, and up to its headspace the mould is "
                         f"{mould.fill_height_mm:.6g} mm deep.", field=("layer_depth",), value=depth,
                         allowed=f"at most {max(mould.fill_height_mm - bottom, 0):.6g} mm")
    return mould.count * (mould.cavity.volume_to(top) - mould.cavity.volume_to(bottom))


def _plain_for_volume(portion: Portion, layer_ml: float, fats_share: float | None, density: float,
                      stays_g: float) -> float:
    """Plain batter so that what leaves the bucket fills a layer. [g]"""
    stirred = [addition for addition in portion.additions if addition.in_batter]
    rates = [(addition.per_batter + addition.per_fats * (fats_share or 0.0), addition.density or density)
             for addition in stirred]
    fixed_ml = math.fsum(addition.fixed_g / (addition.density or density) for addition in stirred)
    fixed_g = math.fsum(addition.fixed_g for addition in stirred)
    ml_per_g = 1 / density + math.fsum(rate / heavy for rate, heavy in rates)
    g_per_g = 1 + math.fsum(rate for rate, _ in rates)
    wanted, plain = layer_ml, 0.0
    for _ in range(_STEPS_MAX):  # what stays behind has the bucket's own density, which hardly depends on its size
        plain = (wanted - fixed_ml) / ml_per_g
        mass = plain * g_per_g + fixed_g
        next_wanted = layer_ml + stays_g * wanted / mass if mass > 0 else layer_ml
        if abs(next_wanted - wanted) <= 1e-12 * layer_ml:
            break
        wanted = next_wanted
    return plain


def _bucket(portion: Portion, available_g: float, fats_share: float | None, density: float,
            stays_g: float, layer_ml: float | None = None) -> _Bucket:
    stirred = [addition for addition in portion.additions if addition.in_batter]
    if portion.share_pct is not None:
        plain = available_g * portion.share_pct / 100
    elif layer_ml is not None:
        plain = _plain_for_volume(portion, layer_ml, fats_share, density, stays_g)
    else:
        # the full bucket is given; its doses grow with the plain batter, so it follows from one equation
        rate = math.fsum(addition.per_batter + addition.per_fats * (fats_share or 0.0) for addition in stirred)
        plain = ((portion.mass_g or 0.0) - math.fsum(addition.fixed_g for addition in stirred)) / (1 + rate)
    fats = None if fats_share is None else plain * fats_share
    with gather() as checks:
        own = []
        for index, addition in enumerate(portion.additions):
            with checks.at("additions", index):
                own.append(addition.mass_in(batter_g=max(plain, 0.0), fats_g=fats))
    inside = [(addition, mass) for addition, mass in zip(portion.additions, own, strict=True) if addition.in_batter]
    added = math.fsum(mass for _, mass in inside)
    if plain <= 0 or added > plain:
        raise Unsolvable(f'The additions of "{portion.name}" weigh {added:.6g} g, more than its plain batter '
                         f"({max(plain, 0.0):.6g} g); check the doses and their basis.", field=("additions",))
    mass = plain + added
    if stays_g >= mass:
        raise Unsolvable(f'A residue of {stays_g:.6g} g leaves nothing of the {mass:.6g} g of "{portion.name}".',
                         value=stays_g, allowed=f"a residue below {mass:.6g} g")
    volume = plain / density + math.fsum(m / (addition.density or density) for addition, m in inside)
    return _Bucket(plain, fats, tuple(own), mass, volume, mass - stays_g, volume * (mass - stays_g) / mass)
