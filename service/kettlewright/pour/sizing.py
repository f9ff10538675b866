"""How large a batch must be to fill a mould, or to use up what is left of an addition."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from kettlewright.errors import DomainError, Unsolvable
from kettlewright.pour.additions import Addition
from kettlewright.pour.batter import Batter
from kettlewright.pour.buckets import Portion, Residue, pour_exactly

__all__ = ["factor_to_fill", "factor_to_use_up"]

_STEPS_MAX = 60
_CLOSE = 1e-12


def grown(batter: Batter, factor: float) -> Batter:
    """The same batter, more of it (`batter` [g], `factor` [1]). [g]"""
    fats = None if batter.fats_mass_g is None else batter.fats_mass_g * factor
    return replace(batter, mass_g=batter.mass_g * factor, fats_mass_g=fats)


def factor_to_fill(batter: Batter, volume_ml: float, portions: Sequence[Portion],
                   additions: Sequence[Addition] = (), *, residue: Residue | None = None) -> float:
    """Factor at which a batter, shared out and with its additions, fills a volume.

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

    Returns
    -------
    float : [1]

    Raises
    ------
    Unsolvable : no size does it, such as additions of fixed mass that fill the mould by themselves.
    """
    residue = residue or Residue()
    stays_ml = (residue.pot_g + len(portions) * residue.portion_g) / batter.density
    start = (volume_ml + stays_ml) / batter.volume_ml  # right but for the additions, which add a few percent
    return _root(lambda factor: pour_exactly(grown(batter, factor), portions, additions, residue=residue).mould_ml
                 - volume_ml, start, scale=volume_ml)


def factor_to_use_up(batter: Batter, additions: Sequence[Addition], key: str, mass_g: float) -> float:
    """Factor at which the batch takes all that is left of an addition.

    Parameters
    ----------
    batter : Batter
        At factor 1, exact. [g, g/mL]
    additions : sequence of Addition
        The batch's own. [additions]
    key : str
        Which one. [key]
    mass_g : float
        What is left of it. [g]

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
                raise Unsolvable(f'The dose of "{addition.name}" is a fixed mass; only a dose on fats or batter tells '
                                 "a size.", field=("key",), value=key)
            return mass_g / addition.mass_in(batter_g=batter.mass_g, fats_g=batter.fats_mass_g)
    have = ", ".join(addition.key for addition in additions) or "none"
    raise DomainError(f'There is no addition "{key}" in "additions"; given are: {have}.', field=("key",), value=key)


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
