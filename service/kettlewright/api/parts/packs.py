"""A pack that is bought: what is in it, and its price."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kettlewright import limits
from kettlewright.api.door.fields import Mass, Text, Whole
from kettlewright.api.door.strict import Part, Strict
from kettlewright.api.parts.own_fats import fat_key_if_known
from kettlewright.api.parts.prices import amount_text, currency_text
from kettlewright.errors import one_of
from kettlewright.prices import Price
from kettlewright.release import Pack

__all__ = ["PackInput", "PackPriceInput", "mass_or_count"]


def mass_or_count(given: Mapping[str, float], prefix: str = "") -> tuple[float, bool]:
    """A mass or a number of pieces, and which of them it is (`given`; `prefix` of the names of fields).

    [g or pieces, yes or no]
    """
    if len(given) != 1:
        found = "both were given" if given else "neither was given"
        raise one_of(given or None)(f'Give "{prefix}mass", or "{prefix}count" of what is bought by the count; {found}.',
                                    field=(f"{prefix}mass",))
    [(name, value)] = given.items()
    return float(value), name == "count"


class PackPriceInput(Strict):
    """The price of a pack, and what is in it."""

    exactly_one = (("per_mass", "per_count"),)

    amount = amount_text()
    currency = currency_text()
    per_mass_g = Mass(bounds=limits.MASS, about="What is in it; this or per_count", example=5000)
    per_count = Whole(bounds=limits.PIECES_COUNT, about="Pieces in it, of what is bought by the count", unit="pieces",
                      example=100)

    @staticmethod
    def builds(amount: str, currency: str, **content: float) -> tuple[Price, bool]:
        """The price, and whether its pack holds pieces."""
        how_much, counted = mass_or_count({name.removeprefix("per_"): value for name, value in content.items()}, "per_")
        return Price(amount, currency, how_much), counted


class PackInput(Strict):
    """A pack that may be bought."""

    key = Text(required=True, convert=fat_key_if_known, about="Key of the ingredient in it, or name of a fat",
               example="olive")
    name = Text(about="For your own use", example="olive oil, 5 kg can")
    price = Part(PackPriceInput, required=True, about="Of a whole pack; per_mass or per_count is what is in it")
    supplier = Text(about="Who sells it", example="the mill")
    at_most = Whole(bounds=limits.PACKS_COUNT, about="How many may be bought; default any number",
                    unit="packs", example=4)

    @staticmethod
    def builds(price: tuple[Price, bool], **given: Any) -> Pack:
        """A pack."""
        return Pack(price=price[0], counted=price[1], **given)
