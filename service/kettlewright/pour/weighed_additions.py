"""An addition on the scale, and the largest mass that its limit allows."""

from __future__ import annotations

from dataclasses import dataclass

from kettlewright.pour.additions import Addition
from kettlewright.pour.dilution import Dilution
from kettlewright.recipe.weighing import round_down, round_nearest

__all__ = ["WeighedAddition", "largest_within_limit", "weigh_addition"]


@dataclass(frozen=True, slots=True)
class WeighedAddition:
    """An addition on the scale.

    Parameters
    ----------
    addition : Addition
        As requested. [addition]
    mass_g, weigh_g : float
        Exact, and on the scale; of a dispersion, all of it. [g]
    allowed_mass_g : float, optional
        The largest mass within its limit here. [g]
    dilution : Dilution, optional
        How to weigh it by dilution if the scale is too coarse. [g]
    """

    addition: Addition
    mass_g: float
    weigh_g: float
    allowed_mass_g: float | None
    dilution: Dilution | None = None

    @property
    def key(self) -> str:
        """Key derived from the name. [key]"""
        return self.addition.key

    @property
    def name(self) -> str:
        """The maker's name. [text]"""
        return self.addition.name

    @property
    def over_limit(self) -> bool:
        """Whether the requested dose is above the limit here. [yes or no]"""
        return self.allowed_mass_g is not None and self.mass_g > self.allowed_mass_g

    @property
    def oil_g(self) -> float:
        """Oil in the weighed mass. [g]"""
        contents = self.addition.contents
        return 0.0 if contents is None or not self.addition.in_batter else self.weigh_g * contents.fat_pct / 100


def largest_within_limit(limit_pct: float, rest_cured_g: float, *, pure_part: float = 1.0, cured_part: float = 1.0,
                         already_g: float = 0.0) -> float | None:
    """The largest mass of an ingredient that keeps within its limit in the cured bar.

    Parameters
    ----------
    limit_pct : float
        The most the cured bar may hold. [% of cured bar]
    rest_cured_g : float
        Cured mass of everything else. [g]
    pure_part, cured_part : float
        Per gram weighed: the part that the limit refers to, and the part that adds to the cured mass. [g/g]
    already_g : float
        Mass of the same ingredient in the rest. [g]

    Returns
    -------
    float, optional : m = L / (1 - L) * rest if all of it counts and stays; None if no mass reaches the limit. [g]

    References
    ----------
    .. [1] IFRA standards, category 9: a certificate states the largest share of a mixture in the finished product. Read
       second-hand that bar soap belongs to it.
    """
    share = limit_pct / 100
    below = pure_part - share * cured_part
    return None if below <= 0 else max(share * rest_cured_g - already_g, 0.0) / below


def weigh_addition(addition: Addition, mass_g: float, *, step_g: float, allowed_g: float | None = None,
                   down: bool = False, dilution: Dilution | None = None) -> WeighedAddition:
    """An addition on the scale.

    Parameters
    ----------
    addition : Addition
        As requested. [addition]
    mass_g : float
        Exact. [g]
    step_g : float
        Step of the fine scale. [g]
    allowed_g : float, optional
        The largest mass within its limit in this batter. [g]
    down : bool
        Rounding to the nearest step would exceed the limit. [yes or no]
    dilution : Dilution, optional
        How to weigh it by dilution if the scale is too coarse. [g]

    Returns
    -------
    WeighedAddition : [g]
    """
    weigh = round_down(mass_g, step_g) if down else round_nearest(mass_g, step_g)
    return WeighedAddition(addition, mass_g, weigh, allowed_g, dilution)
