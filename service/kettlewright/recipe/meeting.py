"""The temperatures of lye, fats and batter when lye and fats meet."""

from __future__ import annotations

from dataclasses import dataclass

from kettlewright.recipe.heat import HEAT_BALANCE
from kettlewright.recipe.workings import SILENT, Book, Formula

__all__ = ["Meeting", "batter_temperature", "lye_temperature_for"]

FATS_KJ_PER_KG_K = 2.0  # liquid fats, 1.9 to 2.2: from memory
FATS_MELTING_KJ_PER_KG = 110.0  # hard fats, 90 to 130: from memory
_MET = Formula("(fats * cp_fats * fats_c + lye * cp_lye * lye_c - solid * melting) / (fats * cp_fats + lye * cp_lye)")
_LYE_FOR = Formula("pour_c + (fats * cp_fats * (pour_c - fats_c) + solid * melting) / (lye * cp_lye)")


@dataclass(frozen=True, slots=True)
class Meeting:
    """Temperatures when lye and fats meet; saponification warms the batter further.

    Parameters
    ----------
    batter_c : float, optional
        Of the batter, if both temperatures are known. [degC]
    lye_c : float, optional
        The lye temperature needed for the requested batter temperature. [degC]
    """

    batter_c: float | None
    lye_c: float | None


def batter_temperature(*, fats_g: float, fats_c: float, solid_g: float, lye_g: float, lye_c: float,
                       cp_lye: float, cp_fats: float = FATS_KJ_PER_KG_K, melting: float = FATS_MELTING_KJ_PER_KG,
                       book: Book = SILENT) -> float:
    """Temperature of the batter when fats and lye meet.

    Parameters
    ----------
    fats_g, solid_g, lye_g : float
        All fats, the part of them that is still solid, and the lye. [g]
    fats_c, lye_c : float
        Their temperatures. [degC]
    cp_lye, cp_fats : float
        Heat capacities. [kJ/(kg K)]
    melting : float
        Of the solid part. [kJ/kg]
    book : Book
        Records the line. [line]

    Returns
    -------
    float : heat of saponification not counted. [degC]

    References
    ----------
    .. [1] Heat balance. Fats 2.0 kJ/(kg K) and 110 kJ/kg: from memory.
    """
    return book.work("batter where fats and lye meet", _MET, "degC", HEAT_BALANCE, fats=fats_g, cp_fats=cp_fats,
                     fats_c=fats_c, lye=lye_g, cp_lye=cp_lye, lye_c=lye_c, solid=solid_g, melting=melting)


def lye_temperature_for(*, pour_c: float, fats_g: float, fats_c: float, solid_g: float, lye_g: float, cp_lye: float,
                        cp_fats: float = FATS_KJ_PER_KG_K, melting: float = FATS_MELTING_KJ_PER_KG,
                        book: Book = SILENT) -> float:
    """Lye temperature that gives a batter of `pour_c`; the inverse of `batter_temperature`.

    Parameters
    ----------
    pour_c, fats_g, fats_c, solid_g, lye_g, cp_lye, cp_fats, melting, book
        As for `batter_temperature`; `pour_c` is the batter's target temperature. [degC, g, kJ/(kg K), kJ/kg]

    Returns
    -------
    float : [degC]

    References
    ----------
    .. [1] Heat balance.
    """
    return book.work("lye temperature for the pour", _LYE_FOR, "degC", HEAT_BALANCE, pour_c=pour_c, fats=fats_g,
                     cp_fats=cp_fats, fats_c=fats_c, solid=solid_g, melting=melting, lye=lye_g, cp_lye=cp_lye)
