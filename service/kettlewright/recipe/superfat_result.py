"""The superfat of a batch: its value, its ranges, and what each input contributes."""

from __future__ import annotations

from dataclasses import dataclass

from kettlewright.ranges import Range
from kettlewright.said import Said

__all__ = ["Dominant", "FloorCost", "InputShare", "Superfat"]


@dataclass(frozen=True, slots=True)
class InputShare:
    """What one input contributes to the spread.

    Parameters
    ----------
    input, key, name : str
        "saponification_value", "strength", "alkali_weighing", "fat_weighing" or "acid_weighing"; of which ingredient.
        [text]
    variance_share_pct : float
        Its share of the variance. [%]
    """

    input: str
    key: str
    name: str
    variance_share_pct: float


@dataclass(frozen=True, slots=True)
class Dominant:
    """The input that contributes most to the spread.

    Parameters
    ----------
    input, key, variance_share_pct
        As for `InputShare`. [text, %]
    likely_pct_if_known : Range
        The likely superfat, recalculated with this input exactly at its middle. [% of full demand]
    text : Said
        The same as a sentence, with the remedy. [text]
    """

    input: str
    key: str
    variance_share_pct: float
    likely_pct_if_known: Range
    text: Said


@dataclass(frozen=True, slots=True)
class FloorCost:
    """The cost of keeping a superfat over the whole declared range.

    Parameters
    ----------
    extra_superfat_pct : float
        Superfat above the requested one, on average. [points]
    extra_free_fat_mass_g : float
        The same as mass of fat without alkali. [g]
    text : Said
        The same as a sentence. [text]
    """

    extra_superfat_pct: float
    extra_free_fat_mass_g: float
    text: Said


@dataclass(frozen=True, slots=True)
class Superfat:
    """Superfat of the weighed batch.

    Parameters
    ----------
    asked_pct, achieved_pct : float
        As requested; and of the weighed masses with every range at its nominal value. [% of full demand]
    likely_pct : Range
        Range of about 95 of 100 batches of this recipe. [% of full demand]
    worst_case_pct : Range
        Every input at its most harmful end at once; for a fat, over all its published ranges. [% of full demand]
    inputs : tuple of InputShare
        Largest share of the variance first. [%]
    dominant : Dominant, optional
        The first of them; None if nothing is uncertain. [%]
    floor_cost : FloorCost, optional
        For a superfat kept over the whole range. [points, g]
    demand_mol, least_demand_mol : float
        Full demand of the fats, and the demand if all errors lower the superfat. [mol]
    """

    asked_pct: float
    achieved_pct: float
    likely_pct: Range
    worst_case_pct: Range
    inputs: tuple[InputShare, ...] = ()
    dominant: Dominant | None = None
    floor_cost: FloorCost | None = None
    demand_mol: float = 0.0
    least_demand_mol: float = 0.0
