"""What is left of each lot, worked by hand; mass in = mass out over random batches."""

from __future__ import annotations

import math

from hypothesis import given
from hypothesis import strategies as st
from kettlewright_shelf.stock import BatchRows, LotOnShelf, PlannedRow, Weighed, left_of, uses_of

OLD = LotOnShelf("olive", "A", 1000, "2027-01-02", "2027-12-31")
NEW = LotOnShelf("olive", "B", 1000, "2027-01-01", "2028-12-31")


def place(lot: str = "", key: str = "olive") -> tuple[str, str, str, str, str]:
    return ("fat", "pot", "", key, lot)


def batch(number: str, mass_g: float, lot: str = "", *weighed: Weighed, share: float = 1.0) -> BatchRows:
    return BatchRows(number, "ID", "2027-02-01", 10, {place(lot): PlannedRow("olive", mass_g, share)},
                     {place(lot): weighed} if weighed else {})


def taken(*batches: BatchRows) -> list[tuple[str, str, float, str]]:
    return [(use.number, use.lot, use.mass_g, use.basis) for use in uses_of(batches, [NEW, OLD])]


def test_a_lot_that_nobody_named_is_the_one_that_ends_first() -> None:
    assert taken(batch("1", 700)) == [("1", "A", 700, "assumed")]
    assert taken(batch("1", 700), batch("2", 700)) == [
        ("1", "A", 700, "assumed"), ("2", "A", 300, "assumed"), ("2", "B", 400, "assumed")]


def test_what_no_lot_has_is_of_no_lot() -> None:
    assert taken(batch("1", 2500)) == [("1", "A", 1000, "assumed"), ("1", "B", 1000, "assumed"),
                                       ("1", "", 500, "assumed")]


def test_the_plan_names_a_lot_and_the_scale_has_the_last_word() -> None:
    assert taken(batch("1", 700, "B")) == [("1", "B", 700, "planned")]
    assert taken(batch("1", 700, "B", Weighed("A", 690), Weighed("", 12))) == [
        ("1", "A", 690, "weighed"), ("1", "B", 12, "weighed")]


def test_an_assumption_never_takes_what_a_later_batch_weighed() -> None:
    assert taken(batch("1", 700), batch("2", 900, "", Weighed("A", 900))) == [
        ("2", "A", 900, "weighed"), ("1", "A", 100, "assumed"), ("1", "B", 600, "assumed")]


def test_a_lot_that_was_used_up_is_not_assumed() -> None:
    gone = LotOnShelf("olive", "A", 1000, "2027-01-02", "2027-12-31", used_up_on="2027-01-20")
    assert [(use.lot, use.mass_g) for use in uses_of([batch("1", 700)], [gone, NEW])] == [("B", 700)]
    assert [left.left_g for left in left_of([gone], [], today="2027-02-01")] == [0]


def test_of_a_dilution_the_share_comes_out_of_the_lot() -> None:
    # 1 g of dye in 20 g of oil: 21 g on the scale hold 1 g of the lot
    assert taken(batch("1", 1.0, "", Weighed("A", 42), share=1 / 21)) == [("1", "A", 2.0, "weighed")]


def test_the_oldest_comes_first_and_past_means_after_its_day() -> None:
    for today, past in (("2027-12-31", False), ("2028-01-01", True)):
        first, second = left_of([NEW, OLD], uses_of([batch("1", 700)], [NEW, OLD]), today=today)
        assert (first.lot, first.left_g, first.past) == ("A", 300, past)
        assert (second.lot, second.left_g, second.past) == ("B", 1000, False)


masses = st.floats(0.1, 2000)
rows = st.tuples(masses, st.sampled_from(["", "A", "B", "C"]),
                 st.lists(st.tuples(st.sampled_from(["", "A", "B"]), masses), max_size=3))


@given(st.lists(rows, max_size=6), st.lists(masses, min_size=1, max_size=3))
def test_what_was_taken_is_what_the_batches_hold(batches: list[tuple[float, str, list[tuple[str, float]]]],
                                                 received: list[float]) -> None:
    lots = [LotOnShelf("olive", name, mass, f"2027-01-0{index + 1}")
            for index, (name, mass) in enumerate(zip("ABC", received, strict=False))]
    made = [batch(str(index), mass, lot, *(Weighed(*one) for one in weighed))
            for index, (mass, lot, weighed) in enumerate(batches)]
    uses = uses_of(made, lots)
    for one in made:
        [(where, row)] = one.planned.items()
        wanted = sum(part.mass_g for part in one.weighed[where]) if one.weighed else row.mass_g
        assert math.isclose(sum(use.mass_g for use in uses if use.number == one.number), wanted, rel_tol=1e-9)
    assumed = [use for use in uses if use.basis == "assumed" and use.lot]
    for left in left_of(lots, uses, today="2027-06-01"):
        assert math.isclose(left.left_g + left.used_g, left.received_g, abs_tol=1e-9)
        if any(use.lot == left.lot for use in assumed):
            assert left.left_g >= -1e-6  # an assumption never takes more than there is
