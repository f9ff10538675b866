"""What a supplier says is in a fragrance."""

from __future__ import annotations

from kettlewright import limits
from kettlewright.api.door.fields import Number, Text
from kettlewright.api.door.strict import Strict
from kettlewright.pour import Constituent

__all__ = ["ConstituentInput"]


class ConstituentInput(Strict):
    """One line of a supplier's composition, by number or by name."""

    exactly_one = (("cas", "name"),)

    builds = Constituent

    cas = Text(about="CAS number; its check digit must be right", example="5989-27-5")
    name = Text(about="In place of it, the name of a listed allergen", example="Limonene")
    pct = Number(required=True, bounds=limits.SHARE_PCT, about="Of the fragrance as bought", unit="% by mass",
                 example=0.45)
