"""Prices: what is requested is left after tax and fees, whatever the step, and margin is never taken for markup."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from kettlewright.errors import DomainErrors
from kettlewright.money import EXACTLY, Money
from kettlewright.release import PriceStep, SalesTax, SellingOptions, ShopFees, sell


def eur(amount: str) -> Money:
    return Money(Decimal(amount), "EUR")


def test_margin_is_of_the_price_and_markup_on_the_cost() -> None:
    margin, markup = sell(Decimal(6), SellingOptions(margin_pct=40, markup_pct=40), currency="EUR", bars=Decimal(10))
    assert (margin.tag, margin.profit) == (10, 4)
    assert (markup.tag, markup.profit) == (Decimal("8.40"), Decimal("2.40"))
    assert margin.margin_pct == 40
    assert margin.markup_pct == pytest.approx(200 / 3)
    assert (margin.batch_gross, margin.batch_profit) == (100, 40)


def test_tax_and_fees_are_worked_into_the_price() -> None:
    # by hand: fees are 3 % of the gross price, 1.2 net: 0.036 of net; and 0.30 / 3 bars. Margin 40 %:
    # net = (3 + 0.10) / (1 - 0.40 - 0.036) = 5.496454; with the tax 6.595745
    options = SellingOptions(margin_pct=40, sales_tax=SalesTax(20), fees=ShopFees(3, eur("0.30"), 3))
    one, = sell(Decimal(3), options, currency="EUR", bars=Decimal(1))
    assert one.net_exact == Decimal("5.4965")
    assert one.tag == Decimal("6.60")
    # 6.60 = 5.50 net + 1.10 tax; fees 0.198 + 0.10; left 5.50 - 0.298 - 3 = 2.202
    assert (one.gross, one.net, one.sales_tax, one.fees, one.profit) == tuple(map(Decimal, (
        "6.60", "5.50", "1.10", "0.298", "2.202")))
    assert one.margin_pct == pytest.approx(100 * 2.202 / 5.5)
    on_top, = sell(Decimal(3), SellingOptions(margin_pct=40, sales_tax=SalesTax(20, "on_top"),
                                           fees=ShopFees(3, eur("0.30"), 3)), currency="EUR", bars=Decimal(1))
    assert on_top.tag == on_top.net == Decimal("5.50")
    assert on_top.gross == Decimal("6.60")
    # markup 40 %: net = (3 x 1.4 + 0.10) / (1 - 0.036) = 4.460581
    markup, = sell(Decimal(3), SellingOptions(markup_pct=40, sales_tax=SalesTax(20), fees=ShopFees(3, eur("0.30"), 3)),
                   currency="EUR", bars=Decimal(1))
    assert markup.net_exact == Decimal("4.4606")


costs = st.decimals(Decimal("0.01"), 1000, places=4)


@given(costs, st.integers(0, 800), st.integers(0, 2000), st.integers(0, 300), st.integers(0, 150), st.booleans(),
       st.sampled_from([("0.50", "0"), ("1", "0.90"), ("5", "4.99"), ("0.05", "0"), ("0.01", "0")]))
def test_a_price_that_goes_up_to_a_step_leaves_at_least_what_was_requested(
        cost: Decimal, margin: int, markup: int, tax: int, fee: int, included: bool, step: tuple[str, str]) -> None:
    options = SellingOptions(margin / 10, markup / 10, SalesTax(tax / 10, "included" if included else "on_top"),
                       ShopFees(fee / 10, eur("0.30"), 2), PriceStep(*map(Decimal, step)))
    try:
        found = sell(cost, options, currency="EUR", bars=Decimal(10))
    except DomainErrors:
        assert margin / 10 + fee / 10 * (1 + tax / 1000) > 99.8
        return
    by_margin, by_markup = found
    assert by_margin.margin_pct is not None
    assert by_margin.margin_pct >= margin / 10 - 1e-9
    assert by_markup.markup_pct is not None
    assert by_markup.markup_pct >= markup / 10 - 1e-9
    for one in found:
        assert (one.tag - Decimal(step[1])) % Decimal(step[0]) == 0
        assert one.net + one.sales_tax == one.gross
        assert one.cost + one.fees + one.profit == one.net
        lower = one.tag - Decimal(step[0])
        exact = one.net_exact * (1 + Decimal(tax) / 1000 if included else 1)
        assert lower < exact + Decimal("0.0001")  # no step higher than needed
        assert one.tag > exact - Decimal("0.0001")


def test_a_price_that_is_a_step_already_stays() -> None:
    # 1 / 0.6 x 1.2 is 2 exactly, and no noise of a third may lift it to 2.50
    one, = sell(Decimal(1), SellingOptions(margin_pct=40, sales_tax=SalesTax(20), price_step=PriceStep(Decimal("0.5"))),
                currency="EUR", bars=Decimal(1))
    assert one.tag == 2
    # and where it does stay in the last of 60 digits: 30.50 of three bars, margin 60 %, tax 20 %, are 30.50 exactly
    third, = sell(EXACTLY.divide(Decimal("30.5"), Decimal(3)), SellingOptions(
        margin_pct=60, sales_tax=SalesTax(20), price_step=PriceStep(Decimal("0.5"))), currency="EUR", bars=Decimal(3))
    assert third.tag == Decimal("30.5")


def test_without_a_step_the_tag_is_rounded_to_the_coin_and_says_what_it_leaves() -> None:
    one, = sell(Decimal("4.36"), SellingOptions(markup_pct=40), currency="EUR", bars=Decimal(1))
    assert one.tag == Decimal("6.10")  # 6.104
    assert one.markup_pct == pytest.approx(100 * (6.10 / 4.36 - 1))
    yen, = sell(Decimal(430), SellingOptions(markup_pct=50), currency="JPY", bars=Decimal(1))
    assert str(yen.tag) == "645"


def test_a_bar_that_costs_nothing_has_no_markup_and_a_price_of_nothing_no_margin() -> None:
    one, = sell(Decimal(0), SellingOptions(markup_pct=50), currency="EUR", bars=Decimal(1))
    assert (one.tag, one.margin_pct, one.markup_pct) == (0, None, None)


@pytest.mark.parametrize(("options", "words"), [
    ({}, 'Give "margin_pct"'), ({"margin_pct": 100}, "from 0 to 99.9 %: a margin of 100 %"),
    ({"margin_pct": -1}, "A margin of -1 % of the net price .* from 0 to 99.9 %"),
    ({"markup_pct": -1}, "A markup of -1 % of the cost .* from 0 to 100,000 %")])
def test_a_margin_of_all_of_the_price_is_refused(options: dict[str, float], words: str) -> None:
    with pytest.raises(DomainErrors, match=words):
        SellingOptions(**options)
    assert SellingOptions(margin_pct=99.9, markup_pct=100)


@pytest.mark.parametrize(("fee", "possible"), [(39.9, True), (40, False), (60, False)])
def test_margin_and_fees_cannot_take_the_whole_price(fee: float, possible: bool) -> None:
    options = SellingOptions(margin_pct=60, fees=ShopFees(fee))
    if possible:
        assert sell(Decimal(1), options, currency="EUR", bars=Decimal(1))[0].tag == 1000
    else:
        with pytest.raises(DomainErrors, match=f"No price is high enough: .* take {60 + fee:g} % of the net price"):
            sell(Decimal(1), options, currency="EUR", bars=Decimal(1))


@pytest.mark.parametrize(("step", "ends_on", "words"), [
    ("0", "0", "is not possible"), ("1", "1", "is not within a step"), ("0.5", "0.90", "is not within")])
def test_a_step_must_lead_somewhere(step: str, ends_on: str, words: str) -> None:
    with pytest.raises(DomainErrors, match=words):
        PriceStep(Decimal(step), Decimal(ends_on))


def test_a_step_finer_than_the_coin_cannot_be_paid() -> None:
    options = SellingOptions(margin_pct=1, price_step=PriceStep(Decimal("0.5"), Decimal("0.001")))
    with pytest.raises(DomainErrors, match=r"0\.001 EUR cannot be paid: there are 2 decimals"):
        sell(Decimal(1), options, currency="EUR", bars=Decimal(1))
    with pytest.raises(DomainErrors, match=r"0\.5 JPY cannot be paid: there are 0 decimals"):
        sell(Decimal(1), SellingOptions(margin_pct=1, price_step=PriceStep(Decimal("0.5"))), currency="JPY",
             bars=Decimal(1))


def test_taxes_and_fees_have_bounds() -> None:
    for wrong in (lambda: SalesTax(-1), lambda: SalesTax(101), lambda: SalesTax(20, "hidden"), lambda: ShopFees(91),
                  lambda: ShopFees(bars_per_order=0.5)):
        with pytest.raises(DomainErrors):
            wrong()
