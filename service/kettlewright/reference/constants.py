"""Molar masses."""

from __future__ import annotations

from typing import Final

__all__ = ["MG_KOH_PER_MOL", "M_GLYCEROL", "M_KOH", "M_NAOH", "M_WATER", "PROVENANCES"]

M_NAOH: Final = 39.9971
"""Sodium hydroxide [g/mol]; computed from IUPAC standard atomic weights."""

M_KOH: Final = 56.1056
"""Potassium hydroxide [g/mol]; computed from IUPAC standard atomic weights."""

M_WATER: Final = 18.0153
"""Water [g/mol]; computed from IUPAC standard atomic weights."""

M_GLYCEROL: Final = 92.0940
"""Glycerol, C3H8O3 [g/mol]; computed from IUPAC standard atomic weights."""

MG_KOH_PER_MOL: Final = 1000 * M_KOH
"""One mol of potassium hydroxide [mg]: a saponification value is milligrams of it per gram."""

PROVENANCES = ("read", "second_hand", "memory", "computed", "own_decision")
"""How a figure or text is known: read in its source, read in a text about it, from memory, computed, decided "
"here. [words]"""
