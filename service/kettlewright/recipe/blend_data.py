"""Figures of a fat that a blend's constraints and objective are made of, at the middle of each range."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from kettlewright.errors import Missing
from kettlewright.ranges import Range
from kettlewright.recipe.blend_constraints import PropertyLimits
from kettlewright.recipe.fats import FatPortion, known_fat
from kettlewright.reference import fat as table_fat
from kettlewright.reference import fatty_acid_constants, iodine_value_of

__all__ = ["BlendFat", "blend_fat", "coefficients_of", "in_group", "unknown_property"]


@dataclass(frozen=True, slots=True)
class BlendFat:
    """A fat's figures for a blend, at the middle of each range.

    Parameters
    ----------
    key, name : str
        Its key and name. [text]
    value : Range
        Saponification value. [mg KOH per g fat]
    iodine : float, optional
        Iodine value; None if unknown. [g iodine per 100 g]
    acids : mapping of str to float, optional
        Fatty acids, adding up to 100; None if unknown. [% of fatty acids]
    """

    key: str
    name: str
    value: Range
    iodine: float | None
    acids: Mapping[str, float] | None


def blend_fat(portion: FatPortion) -> BlendFat:
    """The figures of a fat of the table, or of the maker's own with its profile.

    Parameters
    ----------
    portion : FatPortion
        The fat. [fat]

    Returns
    -------
    BlendFat : [units of each]

    Raises
    ------
    UnknownIngredient : the table has no such fat.
    """
    found = known_fat(portion)
    iodine = acids = None
    if portion.fat is not None:
        record = table_fat(portion.fat)
        shares = {share.notation: share.mid_pct for share in record.fatty_acids}
        total = math.fsum(shares.values())
        acids = {notation: 100 * share / total for notation, share in shares.items()} if total else None
        ends = record.iodine_value
        if ends is not None:
            known = [end for end in (ends.min, ends.max) if end is not None]
            iodine = math.fsum(known) / len(known)
    elif portion.profile is not None:
        acids = dict(portion.profile.fatty_acids)
        iodine = iodine_value_of(acids, portion.profile.unsaponifiable_pct)
    return BlendFat(found.key, found.name, found.saponification_value, iodine, acids)


def in_group(group: str, notation: str) -> bool:
    """Whether a fatty acid counts in a group; a hydroxy acid counts only as that.

    Parameters
    ----------
    group : str
        One of `GROUPS`. [key]
    notation : str
        The fatty acid, such as "18:1". [notation]

    Returns
    -------
    bool : [yes or no]
    """
    if "OH" in notation:
        return group == "hydroxy"
    bonds = fatty_acid_constants()[notation].double_bonds
    return group == ("saturated", "monounsaturated", "polyunsaturated")[min(bonds, 2)]


def coefficients_of(constraint: PropertyLimits, made: Sequence[BlendFat]) -> np.ndarray:
    """What one percent of each fat contributes to the property.

    Parameters
    ----------
    constraint : PropertyLimits
        The property. [property]
    made : sequence of BlendFat, length n
        The fats. [units of each]

    Returns
    -------
    array of shape (n,) : [units of the property]

    Raises
    ------
    Missing : a fat's figure is unknown.
    """
    values = []
    for one in made:
        if constraint.prop == "saponification_value":
            values.append(one.value.mid)
        elif constraint.prop == "iodine_value":
            if one.iodine is None:
                raise unknown_property("iodine value", one)
            values.append(one.iodine)
        else:
            if one.acids is None:
                raise unknown_property("fatty acids", one)
            values.append(one.acids.get(constraint.of or "", 0.0) if constraint.prop == "fatty_acid" else
                          math.fsum(share for notation, share in one.acids.items()
                                    if in_group(constraint.of or "", notation)))
    return np.array(values) / 100


def unknown_property(what: str, one: BlendFat, field: str = "property") -> Missing:
    """The error for a fat whose figure is unknown.

    Parameters
    ----------
    what : str
        "iodine value" or "fatty acids". [text]
    one : BlendFat
        The fat. [fat]
    field : str
        The field that needs the figure. [path]

    Returns
    -------
    Missing : [error]
    """
    return Missing(f'The {what} of "{one.name}" {"is" if what == "iodine value" else "are"} not known: give its '
                   '"profile", or leave it out.', field=(field,))
