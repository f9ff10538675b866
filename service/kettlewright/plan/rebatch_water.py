"""Water in soap that is melted down again: what is left, what to add, what evaporates.

Every share here is common practice or our own decision, without a source, so each comes with a wide range. Weighing
replaces it: a weighed loss, a measured liquid, the pot before and after melting.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from kettlewright import limits
from kettlewright.errors import Unsolvable, gather, one_of
from kettlewright.pour import BarMass
from kettlewright.recipe.weighing import round_nearest
from kettlewright.said import Said

__all__ = [
    "CURE_LOSES",
    "MELTING_LOSES_PCT",
    "WATER_IN_POT_PCT",
    "LiquidToAdd",
    "MeltingLiquid",
    "evaporated_so_far",
    "evaporates_in_cure",
    "evaporates_in_melting",
    "liquid_to_add",
]

WATER_IN_POT_PCT = (20.0, 25.0, 30.0)
"""Water in the pot from a stiff to a soft mass; a fresh batter of 33 % lye has about 20. [% by mass]"""
MELTING_LOSES_PCT = (1.0, 3.0, 6.0)
"""Evaporates from a covered pot. [% of what is in it]"""
CURE_LOSES = (0.5, 0.7, 1.0)
"""Part of its water that soap loses in cure. [1]"""
_NOISE = 1e-9
_HALF_LIVES_DAYS = (20.0, 10.0, 2.0)  # a thick block, a bar, thin shavings


@dataclass(frozen=True, slots=True)
class MeltingLiquid:
    """Liquid that soap is melted with.

    Parameters
    ----------
    name : str
        The maker's word for it. [text]
    mass_g, pct_of_offcuts : float, optional
        How much; at most one of them, and neither for as much as is usual. [g, %]
    water_pct : float, optional
        Water in it; 100 if it is water. [% by mass]

    Raises
    ------
    DomainErrors : both ways to give it, a number out of range, a liquid other than water whose water is not given.
    """

    name: str = "water"
    mass_g: float | None = None
    pct_of_offcuts: float | None = None
    water_pct: float | None = None

    def __post_init__(self) -> None:
        with gather() as checks:
            with checks.at():
                if self.mass_g is not None and self.pct_of_offcuts is not None:
                    raise one_of(True)('Give the liquid "mass" or "pct_of_offcuts", not both.', field=("mass",))
            limits.check_each(self, checks, mass_g=limits.KEEPS_BACK, pct_of_offcuts=limits.PART_PCT,
                              water_pct=limits.PART_PCT)
            with checks.at("water_pct"):
                if self.water_pct is None and not self.is_water:
                    raise one_of(None)(f'Give the water in "{self.name}": without it nobody knows how much has to '
                                       "evaporate.")

    @property
    def is_water(self) -> bool:
        """Whether it is water. [yes or no]"""
        return self.name.casefold() == "water"

    @property
    def water_part(self) -> float:
        """Water in it. [mass fraction]"""
        return 1.0 if self.water_pct is None else self.water_pct / 100


@dataclass(frozen=True, slots=True)
class LiquidToAdd:
    """The liquid on the scale.

    Parameters
    ----------
    name : str
        The maker's word for it. [text]
    is_water : bool
        It is water. [yes or no]
    weigh_g, water_g : float
        How much, on the scale; the water in it. [g]
    usual : BarMass
        How much of it takes the pot to the usual share of water, from a stiff to a soft mass. [g]
    assumed : bool
        No amount was given, so the usual one is used. [yes or no]
    """

    name: str | Said
    is_water: bool
    weigh_g: float
    water_g: float
    usual: BarMass
    assumed: bool


def evaporated_so_far(mass_g: float, *, fresh_water_part: float, lost_pct: float | None, days: float | None,
                      expected_loss_pct: float | None) -> BarMass:
    """Water that offcuts have lost since they were poured.

    Parameters
    ----------
    mass_g : float
        They weigh now. [g]
    fresh_water_part : float
        Water in the fresh soap. [mass fraction]
    lost_pct : float, optional
        Loss so far, weighed. [% of the fresh mass]
    days : float, optional
        Since the pour, where the loss is not known. [days]
    expected_loss_pct : float, optional
        Loss of the whole cure, as planned for bars. [% of the fresh mass]

    Returns
    -------
    BarMass : the three are equal where the loss was weighed. [g]

    Raises
    ------
    Unsolvable : a loss larger than all the water.

    Notes
    -----
    By days: loss = end (1 - 2**(-days / half-life)), the form of first-order drying. The least is a thick block that
    loses half its water, the most thin shavings that lose all of it. Half-lives of 20, 10 and 2 days are our own
    decision, no source.
    """
    if lost_pct is not None:
        _check_lost(lost_pct, fresh_water_part)
        parts = (lost_pct / 100,) * 3
    else:
        ends = [fresh_water_part * part for part in CURE_LOSES]
        if expected_loss_pct is not None:
            ends[0], ends[1] = min(ends[0], expected_loss_pct / 100), expected_loss_pct / 100
        parts = tuple(end * (1 - 2 ** (-(days or 0.0) / half))  # type: ignore[assignment]  # of three
                      for end, half in zip(ends, _HALF_LIVES_DAYS, strict=True))
    return BarMass(*(mass_g * part / (1 - part) for part in parts))


def _check_lost(lost_pct: float, water_part: float) -> None:
    most = math.floor(water_part * 100_000) / 1000  # rounded down, so that the value in the sentence is accepted
    if lost_pct > 100 * water_part * (1 + _NOISE):
        raise Unsolvable(f"Offcuts cannot have lost {lost_pct:.9g} %: that is more than all the water of their batch, "
                         f"{most:.9g} % of the fresh mass. Weigh a piece fresh and again now.", field=("lost_pct",),
                         value=lost_pct, allowed=f"at most {most:.9g} %")


def liquid_to_add(liquid: MeltingLiquid, *, offcuts_g: float, water: BarMass, step_g: float) -> LiquidToAdd:
    """How much liquid to melt offcuts with.

    Parameters
    ----------
    liquid : MeltingLiquid
        As requested. [g or %]
    offcuts_g : float
        All offcuts. [g]
    water : BarMass
        Water in them. [g]
    step_g : float
        Step of the scale. [g]

    Returns
    -------
    LiquidToAdd : [g]

    Notes
    -----
    L = (w M - W) / (part - w) takes offcuts M with water W to a share w of water; `part` is the water in the liquid.
    The least is for the wettest offcuts and a stiff mass, the most for the driest and a soft one.
    """
    usual = BarMass(*(_up_to(share / 100, offcuts_g, held, liquid.water_part)
                      for share, held in zip(WATER_IN_POT_PCT, reversed(water.ends), strict=True)))
    assumed = liquid.mass_g is None and liquid.pct_of_offcuts is None
    exact = usual.mid_g if assumed else liquid.mass_g if liquid.mass_g is not None \
        else offcuts_g * (liquid.pct_of_offcuts or 0.0) / 100
    weigh = round_nearest(exact, step_g)
    name = Said("water") if liquid.is_water else liquid.name
    return LiquidToAdd(name, liquid.is_water, weigh, weigh * liquid.water_part, usual, assumed)


def _up_to(share: float, offcuts_g: float, held_g: float, part: float) -> float:
    if part <= share:  # too little water in it to reach that share
        return 0.0
    return max(share * offcuts_g - held_g, 0.0) / (part - share)


def evaporates_in_melting(pot_g: float, water_g: float, melting_loss_pct: float | None) -> BarMass:
    """What evaporates while the soap melts.

    Parameters
    ----------
    pot_g, water_g : float
        Offcuts and liquid, and the water in them. [g]
    melting_loss_pct : float, optional
        Weighed by the maker; the usual range if not given. [% of what is in the pot]

    Returns
    -------
    BarMass : never more than the water. [g]
    """
    parts: Sequence[float] = MELTING_LOSES_PCT if melting_loss_pct is None else (melting_loss_pct,) * 3
    return BarMass(*(min(pot_g * part / 100, water_g) for part in parts))


def evaporates_in_cure(mass_g: float, water: BarMass, loss_pct: float | None) -> BarMass:
    """What the bars lose in cure.

    Parameters
    ----------
    mass_g : float
        As poured. [g]
    water : BarMass
        Water in that. [g]
    loss_pct : float, optional
        Expected by the maker. [% of the mass as poured]

    Returns
    -------
    BarMass : never more than the water. [g]
    """
    if loss_pct is not None:
        return BarMass(*(mass_g * loss_pct / 100,) * 3)
    return BarMass(*(held * part for held, part in zip(water.ends, CURE_LOSES, strict=True)))
