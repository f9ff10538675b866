"""Money: exact, of real currencies, and parts that add up when they are shown."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from kettlewright.errors import DomainError, DomainErrors
from kettlewright.money import Money, decimal_of, one_currency, rounded, rounded_parts
from kettlewright.prices import Price

amounts = st.decimals(-10 ** 9, 10 ** 9, places=6)


@given(st.lists(amounts, min_size=1, max_size=12), st.integers(0, 5))
def test_parts_add_up_to_the_whole_and_none_is_a_step_off(parts: list[Decimal], digits: int) -> None:
    shares = rounded_parts(parts, digits)
    exact = sum(map(Fraction, parts), Fraction(0))
    whole = sum(map(Fraction, shares), Fraction(0))
    assert abs(whole - exact) * 10 ** digits <= Fraction(1, 2)
    for part, shown in zip(parts, shares, strict=True):
        assert abs(Fraction(shown) - Fraction(part)) * 10 ** digits < 1
        assert shown.as_tuple().exponent == -digits


def test_the_largest_rests_are_rounded_up() -> None:
    # 33.33 + 33.33 + 33.34: all rests alike, so the first gets the cent
    assert [str(part) for part in rounded_parts([Decimal(100) / 3] * 3, 2)] == ["33.34", "33.33", "33.33"]
    # 0.1 + 0.2 + 0.7 of 3 cents: 0.3, 0.6 and 2.1; the second has the largest rest
    assert [str(part) for part in rounded_parts([Decimal("0.003"), Decimal("0.006"), Decimal("0.021")], 2)] == [
        "0.00", "0.01", "0.02"]
    assert rounded_parts([], 2) == ()


def test_parts_of_another_whole_are_refused() -> None:
    with pytest.raises(DomainError, match="do not add up"):
        rounded_parts([Decimal(1), Decimal(2)], 2, whole=Decimal(4))


@pytest.mark.parametrize(("amount", "digits", "expected"), [
    ("0.005", 2, "0.00"), ("0.015", 2, "0.02"), ("0.025", 2, "0.02"), ("2.5", 0, "2"), ("3.5", 0, "4"),
    ("-0.001", 2, "0.00"), ("7", 2, "7.00"), ("123456789012345678901234567890.125", 2,
                                               "123456789012345678901234567890.12")])
def test_rounding_is_half_to_even_and_knows_no_negative_zero(amount: str, digits: int, expected: str) -> None:
    assert str(rounded(Decimal(amount), digits)) == expected


@pytest.mark.parametrize(("noisy", "meant"), [(0.1 + 0.2, "0.3"), (146.4, "146.4"), (3 * 1.1, "3.3"),
                                              (11.2 * 453.59237, "5080.234544"), (1e6, "1E+6"), (0.0, "0")])
def test_the_noise_of_binary_numbers_never_reaches_money(noisy: float, meant: str) -> None:
    assert decimal_of(noisy) == Decimal(meant)


@pytest.mark.parametrize("currency", ["EURO", "eur", "XXX", "XTS", "XAU", "QQQ", ""])
def test_what_is_not_paid_with_is_no_currency(currency: str) -> None:
    with pytest.raises(DomainError, match="is not an ISO 4217 currency"):
        Money(Decimal(1), currency)
    with pytest.raises(DomainErrors, match="is not an ISO 4217 currency"):
        Price("1", currency, 1000)


@pytest.mark.parametrize(("typed", "meant"), [("EURO", "EUR"), ("EUX", "EUR"), ("GBX", "GBP"), ("CHX", "CHE")])
def test_a_mistyped_currency_is_guessed_by_its_country(typed: str, meant: str) -> None:
    with pytest.raises(DomainError, match=f'Did you mean "{meant}"'):
        Money(Decimal(1), typed)
    with pytest.raises(DomainError, match=r"pay with\.$"):
        Money(Decimal(1), "QQQ")


def test_several_currencies_are_chosen_by_name() -> None:
    assert one_currency(["EUR", "EUR"]) == "EUR"
    assert one_currency([]) is None
    with pytest.raises(DomainError, match=r"CHF, EUR and USD\. Exchange rates are not known"):
        one_currency(["USD", "EUR", "CHF", "EUR"])


def test_a_price_is_that_of_a_gram_exactly() -> None:
    assert Price("6.40", "EUR", 1000).per_g == Decimal("0.0064")
    # 2.20462262 for the pound of 453.59237 g: a gram costs 0.004860361...
    assert Price("1", "GBP", 453.59237).per_g * Decimal("453.59237") == pytest.approx(Decimal(1), abs=Decimal("1e-25"))
    with pytest.raises(DomainErrors, match="A mass of 0 g is not possible"):
        Price("1", "EUR", 0)
