"""The size of a batch that fills a mould, or uses up the rest of an addition."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from kettlewright.copies import replace
from kettlewright.errors import UnknownIngredient, Unsolvable
from kettlewright.pour.additions import Addition
from kettlewright.pour.batter import Batter
from kettlewright.pour.buckets import pour_exactly
from kettlewright.pour.mould.moulds import Mould
from kettlewright.pour.requested_portions import Portion, Residue
from kettlewright.settling import settle

__all__ = ["factor_to_fill", "factor_to_use_up", "shares_of_layers", "shares_of_pour"]

_STEPS_MAX = 60
_CLOSE = 1e-12


def grown(batter: Batter, factor: float) -> Batter:
    """The batter multiplied by a factor (`batter` [g], `factor` [1]). [g]"""
    fats = None if batter.fats_mass_g is None else batter.fats_mass_g * factor
    water = None if batter.water_mass_g is None else batter.water_mass_g * factor
    return replace(batter, mass_g=batter.mass_g * factor, fats_mass_g=fats, water_mass_g=water)


def factor_to_fill(batter: Batter, volume_ml: float, portions: Sequence[Portion],
                   additions: Sequence[Addition] = (), *, residue: Residue | None = None,
                   mould: Mould | None = None, arrangement: str = "layers") -> float:
    """Factor at which a batter, divided and with its additions, fills a volume.

    Parameters
    ----------
    batter : Batter
        At factor 1, exact. [g, g/mL]
    volume_ml : float
        To be filled. [mL]
    portions : sequence of Portion, length n >= 1
        By share. [portions]
    additions : sequence of Addition
        The batch's own. [additions]
    residue : Residue, optional
        What stays behind. [g]
    mould : Mould, optional
        For portions by the depth of their layer: as much is made as the layers need. [mould]
    arrangement : str
        For "separate", the largest portion fills its cavity. [key]

    Returns
    -------
    float : [1]

    Raises
    ------
    Unsolvable : no size fits, such as additions of fixed mass that fill the mould on their own.
    """
    residue = residue or Residue()
    if portions[0].layer_depth_mm is not None:
        return _factor_for_layers(batter, portions, additions, residue, mould)
    if arrangement == "separate" and all(portion.share_pct is not None for portion in portions):
        # each portion has a cavity: the largest fills its own, the others are lower
        volume_ml = volume_ml / len(portions) * 100 / max(portion.share_pct or 0.0 for portion in portions)
    stays_ml = (residue.of_pot_g + len(portions) * residue.portion_g) / batter.density
    start = (volume_ml + stays_ml) / batter.volume_ml  # exact except for the additions, which add a few percent
    return _root(lambda factor: pour_exactly(grown(batter, factor), portions, additions, residue=residue).mould_ml
                 - volume_ml, start, scale=volume_ml)


def _factor_for_layers(batter: Batter, portions: Sequence[Portion], additions: Sequence[Addition], residue: Residue,
                       mould: Mould | None) -> float:
    def wanted(factors: Sequence[float]) -> tuple[float]:
        # doses of fixed mass in the pot change the share of fats a little
        poured = pour_exactly(grown(batter, factors[0]), portions, additions, residue=residue, mould=mould)
        plain = math.fsum(bucket.plain_g for bucket in poured.buckets)
        return (factors[0] * ((plain + residue.of_pot_g) / poured.pot_g),)

    return settle(wanted, (1.0,), close=_CLOSE, what="The size that fills the layers")[0]


def shares_of_layers(portions: Sequence[Portion], batter: Batter, additions: Sequence[Addition] = (), *,
                     residue: Residue | None = None, mould: Mould) -> tuple[Portion, ...]:
    """Portions by the depth of their layers, converted to shares of the batch made for them.

    Fats rounded down give slightly less than the layers need: then all layers are slightly thinner, and none
    is missing.

    Parameters
    ----------
    portions, batter, additions, residue, mould
        As for `pour_exactly`; portions by share stay as they are. [portions, g, mould]

    Returns
    -------
    tuple of Portion : by share. [%]
    """
    return tuple(portions) if portions[0].layer_depth_mm is None else shares_of_pour(
        portions, batter, additions, residue=residue, mould=mould)


def shares_of_pour(portions: Sequence[Portion], batter: Batter, additions: Sequence[Addition] = (), *,
                   residue: Residue | None = None, mould: Mould | None = None) -> tuple[Portion, ...]:
    """Portions in any form, converted to shares of the poured batter.

    Parameters
    ----------
    portions, batter, additions, residue, mould
        As for `pour_exactly`. [portions, g, mould]

    Returns
    -------
    tuple of Portion : by share. [%]
    """
    poured = pour_exactly(batter, portions, additions, residue=residue, mould=mould)
    of_pot = [bucket.poured_batter_g for bucket in poured.buckets]
    total = math.fsum(of_pot)
    return tuple(replace(portion, layer_depth_mm=None, mass_g=None, share_pct=100 * mass / total)
                 for portion, mass in zip(portions, of_pot, strict=True))


def factor_to_use_up(batter: Batter, additions: Sequence[Addition], key: str, mass_g: float) -> float:
    """Factor at which the batch uses up the rest of an addition.

    Parameters
    ----------
    batter : Batter
        At factor 1, exact. [g, g/mL]
    additions : sequence of Addition
        The batch's own. [additions]
    key : str
        Its key. [key]
    mass_g : float
        Mass left of it. [g]

    Returns
    -------
    float : [1]

    Raises
    ------
    DomainError : no such addition among them.
    Unsolvable : its dose is a fixed mass, which no size changes.
    """
    for addition in additions:
        if addition.key == key:
            if addition.basis == "mass":
                raise Unsolvable(f'The dose of "{addition.name}" is a fixed mass; only a dose based on fats '
                                 "or batter can set the size.", field=("key",), value=key)
            return mass_g / addition.mass_in(batter_g=batter.mass_g, fats_g=batter.fats_mass_g)
    have = ", ".join(addition.key for addition in additions) or "none"
    raise UnknownIngredient(f'There is no addition "{key}" in "additions"; given are: {have}.',
                            field=("key",), value=key)


def _root(excess: Callable[[float], float], start: float, *, scale: float) -> float:
    """Where a rising, nearly straight function is 0: secants, each a better guess than the last."""
    left, right = start, start * 0.999
    at_left, at_right = excess(left), excess(right)
    for _ in range(_STEPS_MAX):
        if abs(at_right) <= _CLOSE * scale:
            return right
        if at_right == at_left:
            break
        guess = right - at_right * (right - left) / (at_right - at_left)
        if guess <= 0:
            break
        left, at_left = right, at_right
        right, at_right = guess, excess(guess)
    raise Unsolvable("No size of this batch fills the mould; look at the additions of fixed mass and the residue.")
