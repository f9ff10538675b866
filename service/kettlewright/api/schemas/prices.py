"""Prices in requests and replies: an amount as a decimal text, a currency, and what it buys."""

from __future__ import annotations

from kettlewright import limits
from kettlewright.api.fields import Mass, Strict, Text
from kettlewright.api.schemas.envelope import Told
from kettlewright.prices import Price

__all__ = ["PriceAsked", "PriceTold"]


class PriceAsked(Strict):
    """A price by mass."""

    builds = Price

    amount = Text(required=True, pattern=r"\d{1,9}(\.\d{1,6})?", like='an amount such as "6.40", as a text',
                  about="How much, as a decimal text", example="6.40")
    currency = Text(required=True, pattern=r"[A-Z]{3}", like='a currency such as "EUR" (ISO 4217)', about="ISO 4217",
                    example="EUR")
    per_mass_g = Mass(required=True, bounds=limits.MASS, about="What it buys", example=1000)


class PriceTold(Told):
    """A price by mass."""

    amount = Text(about="How much, as a decimal text", example="6.40")
    currency = Text(about="ISO 4217", example="EUR")
    per_mass_g = Mass(about="What it buys", example=1000)
