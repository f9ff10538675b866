"""Money in requests and responses: an amount as a decimal text, a currency, and what it buys."""

from __future__ import annotations

from decimal import Decimal

from kettlewright import limits
from kettlewright.api.door.fields import Mass, Text
from kettlewright.api.door.responses import ResponsePart
from kettlewright.api.door.strict import Strict
from kettlewright.money import Money
from kettlewright.prices import Price

__all__ = ["AMOUNT", "CURRENCY", "MoneyAmount", "MoneyInput", "PriceInput", "PricePerMass", "amount_text",
           "currency_text"]

AMOUNT = r"\d{1,9}(\.\d{1,6})?"
CURRENCY = r"[A-Z]{3}"


def amount_text(*, required: bool = True, about: str = "Amount, as decimal text", example: str = "6.40") -> Text:
    """An amount as a text: JSON numbers are binary, and 0.10 is none (`required`, `about`, `example`). [field]"""
    return Text(required=required, pattern=AMOUNT, like='an amount such as "6.40", as text', about=about,
                example=example)


def currency_text() -> Text:
    """A currency. [field]"""
    return Text(required=True, pattern=CURRENCY, like='a currency such as "EUR" (ISO 4217)', about="ISO 4217",
                example="EUR")


class MoneyInput(Strict):
    """An amount of money."""

    amount = amount_text(example="18.00")
    currency = currency_text()

    @staticmethod
    def builds(amount: str, currency: str) -> Money:
        """The amount, exact."""
        return Money(Decimal(amount), currency)


class MoneyAmount(ResponsePart):
    """An amount of money."""

    amount = Text(about="Amount, as decimal text", example="4.3606")
    currency = Text(about="ISO 4217", example="EUR")


class PriceInput(Strict):
    """A price by mass; best of the pack that is really bought."""

    builds = Price

    amount = amount_text()
    currency = currency_text()
    per_mass_g = Mass(required=True, bounds=limits.MASS, about="What it buys", example=1000)


class PricePerMass(ResponsePart):
    """A price by mass."""

    amount = Text(about="Amount, as decimal text", example="6.40")
    currency = Text(about="ISO 4217", example="EUR")
    per_mass_g = Mass(about="What it buys", example=1000)

