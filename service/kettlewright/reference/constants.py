"""Molar masses."""

from __future__ import annotations

from typing import Final

__all__ = ["M_GLYCEROL", "M_KOH", "M_NAOH", "M_WATER"]

M_NAOH: Final = 39.9971
"""Sodium hydroxide [g/mol]; computed from IUPAC standard atomic weights."""

M_KOH: Final = 56.1056
"""Potassium hydroxide [g/mol]; computed from IUPAC standard atomic weights."""

M_WATER: Final = 18.0153
"""Water [g/mol]; computed from IUPAC standard atomic weights."""

M_GLYCEROL: Final = 92.0940
"""Glycerol, C3H8O3 [g/mol]; computed from IUPAC standard atomic weights."""
