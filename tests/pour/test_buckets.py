"""Batter kept back, and batter that one bucket takes of another: by hand, and stirred step by step."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from kettlewright.errors import DomainErrors, Unsolvable
from kettlewright.plan import plan_batch
from kettlewright.pour import Addition, Batter, Box, Mould, Portion, Residue, TaperedBox, divide
from kettlewright.pour.buckets import pour_exactly
from kettlewright.pour.requested_portions import Borrowing
from kettlewright.recipe import Scale
from portions import half_of
from recipes import FINE, SHARES


def test_a_carry_over_is_a_chain_of_borrowing() -> None:
    # worked by hand: 300 g poured of each at 8, 4, 2 and 1 g/kg make 562.5, 525, 450 and 300 g
    dye = Addition("dye", "colourant", 8, "g_per_kg_batter", density=1.0)
    portions = [Portion("a", share_pct=25, additions=(dye,)), Portion("b", share_pct=25, borrows=half_of("a")),
                Portion("c", share_pct=25, borrows=half_of("b")), Portion("d", share_pct=25, borrows=half_of("c"))]
    found = divide(Batter(1200, 1.0, 800), portions, scale=FINE)
    assert [one.made_batter_g for one in found.portions] == pytest.approx([562.5, 525, 450, 300])
    assert [one.batter_mass_g for one in found.portions] == pytest.approx([562.5, 262.5, 225, 150])
    assert found.portions[0].additions[0].mass_g == pytest.approx(4.5)
    # what each bucket holds of the dye, by the kilogram of its batter
    held = [one.mix.pure_g("dye") / one.mix.batter_g * 1000 for one in found.portions]
    assert held == pytest.approx([8, 4, 2, 1])


@st.composite
def chains(draw: st.DrawFn) -> list[Portion]:
    count = draw(st.integers(2, 5))
    shares = draw(st.lists(st.integers(1, 20), min_size=count, max_size=count))
    order = draw(st.permutations(range(count)))  # a bucket borrows of those before it here, wherever they are poured
    portions = []
    for index in range(count):
        lenders = [other for other in order[:order.index(index)] if draw(st.booleans())]
        parts = draw(st.lists(st.integers(1, 90 // max(len(lenders), 1)), min_size=len(lenders),
                              max_size=len(lenders)))
        own = (Addition(f"own {index}", "colourant", draw(st.integers(1, 40)), "g_per_kg_batter", density=2.0),)
        portions.append(Portion(f"p{index}", share_pct=100 * shares[index] / sum(shares), additions=own,
                                borrows=tuple(Borrowing(f"p{other}", part)
                                              for other, part in zip(lenders, parts, strict=True))))
    return portions


@given(chains())
def test_nothing_is_lost_when_buckets_borrow(portions: list[Portion]) -> None:
    found = pour_exactly(Batter(1000, 1.0, 700), portions, residue=Residue(20, 2, 50))
    assert math.fsum(bucket.plain_g for bucket in found.buckets) == pytest.approx(930)
    # what is poured of each is its share, its own additions apart
    assert [bucket.poured_batter_g for bucket in found.buckets] == pytest.approx(
        [930 * (portion.share_pct or 0) / 100 for portion in portions])
    lent = math.fsum(bucket.lent_g for bucket in found.buckets)
    borrowed = math.fsum(mass for bucket in found.buckets for mass in bucket.borrowed_g)
    assert lent == pytest.approx(borrowed, abs=1e-9)
    own = math.fsum(mass for bucket in found.buckets for mass in bucket.own_g)
    stays = 2 * len(portions)
    assert math.fsum(bucket.mould_g for bucket in found.buckets) == pytest.approx(930 + own - stays)


@given(chains())
def test_buckets_hold_what_stirring_step_by_step_gives(portions: list[Portion]) -> None:
    found = divide(Batter(1000, 1.0, 700), portions, scale=FINE)
    by_key = {one.key: one for one in found.portions}
    masses: dict[str, dict[str, Fraction]] = {}
    while len(masses) < len(portions):  # fill a bucket once those it borrows from are stirred
        for one in found.portions:
            if one.key in masses or any(lender.key not in masses for lender in one.borrowed):
                continue
            held = {"batter": Fraction(one.batter_mass_g), one.additions[0].key: Fraction(one.additions[0].mass_g)}
            for lender in one.borrowed:
                whole = sum(masses[lender.key].values())
                for what, mass in masses[lender.key].items():
                    held[what] = held.get(what, Fraction(0)) + mass * Fraction(lender.mass_g) / whole
            masses[one.key] = held
    for key, held in masses.items():
        mix = by_key[key].mix
        whole = mix.batter_g + sum(part.pure_g for part in mix.parts.values())
        assert mix.batter_g / whole == pytest.approx(float(held["batter"] / sum(held.values())))
        for what, mass in held.items():
            if what != "batter":
                assert mix.pure_g(what) / whole == pytest.approx(float(mass / sum(held.values())))


def test_a_bucket_by_mass_pours_that_mass_whatever_it_borrows() -> None:
    ochre = Addition("ochre", "colourant", 30, "g_per_kg_batter", density=4.0)
    fixed = Addition("clay", "clay", 12, "mass", density=2.5)
    batter = Batter(1000, 1.0, 700)
    first = divide(batter, [Portion("a", mass_g=500, additions=(ochre,)), Portion("b", mass_g=533.5, additions=(fixed,),
                                                                                 borrows=half_of("a"))],
                   scale=Scale(readability_g=20))
    poured = [one.mass_g - one.lent_mass_g for one in first.portions]
    assert poured == pytest.approx([500, 533.5])


def test_a_layer_by_depth_lies_where_it_was_requested_whatever_it_borrows() -> None:
    mould = Mould(TaperedBox(220, 95, 200, 80, 70))
    ochre = Addition("ochre", "colourant", 30, "g_per_kg_batter", density=4.0)
    plan = plan_batch(SHARES, mould, FINE, residue=Residue(20, 3, 15), portions=[
        Portion("a", layer_depth_mm=12, additions=(ochre,)), Portion("b", layer_depth_mm=18, borrows=half_of("a")),
        Portion("c", layer_depth_mm=20)])
    tops = [portion.layer.top_mm for portion in plan.division.portions if portion.layer is not None]
    assert tops == pytest.approx([12, 30, 50], abs=1e-4)


def test_what_is_kept_back_is_weighed_and_comes_off_the_pot() -> None:
    found = divide(Batter(1000, 1.0, 700), [Portion("all", share_pct=100)], scale=Scale(), residue=Residue(15, 0, 40.4))
    assert found.kept_back is not None
    assert (found.kept_back.mass_g, found.kept_back.weigh_g) == (40.4, 40)
    assert found.portions[0].weigh_g == 944
    assert found.residue_mass_g == pytest.approx(1000 - 944 - 40)
    assert divide(Batter(1000, 1.0, 700), [Portion("all", share_pct=100)], scale=Scale()).kept_back is None


def test_a_mould_is_filled_beside_what_is_kept_back() -> None:
    mould = Mould(Box(250, 80, 70))
    plan = plan_batch(SHARES, mould, FINE, residue=Residue(10, 0, 200))
    assert plan.division.mould_volume_ml == pytest.approx(1400, rel=1e-6)
    assert plan.batter.mass_g == pytest.approx(1400 * plan.batter.density + 210, rel=1e-6)
    assert ("aside", 200) in [(row.where, pytest.approx(row.weigh_g)) for row in plan.weigh_list]


@pytest.mark.parametrize(("borrows", "words"), [
    ({"a": "b", "b": "a"}, "in a circle"), ({"a": "a"}, "borrow from itself"), ({"a": "x"}, 'no portion "x"')])
def test_who_cannot_lend_is_reported(borrows: dict[str, str], words: str) -> None:
    portions = [Portion(name, share_pct=50, borrows=half_of(borrows[name]) if name in borrows else ())
                for name in ("a", "b")]
    with pytest.raises((DomainErrors, Unsolvable), match=words):
        pour_exactly(Batter(1000, 1.0), portions)


@given(chains(), st.sampled_from([0.1, 1.0, 7.0]), st.floats(0, 30), st.floats(0, 3), st.floats(0, 60))
def test_the_scale_shows_every_gram_of_the_pot(portions: list[Portion], step: float, pot: float, each: float,
                                               kept: float) -> None:
    batter = Batter(1234.5, 1.02, 870)
    in_pot = (Addition("sugar", "sugar", 1.3, "pct_of_batter"),)
    try:
        found = divide(batter, portions, in_pot, residue=Residue(pot, each, kept), scale=Scale(step, 0.1, 0.1))
    except (Unsolvable, DomainErrors):
        return
    back = 0.0 if found.kept_back is None else found.kept_back.weigh_g
    weighed = math.fsum(one.weigh_g for one in found.portions)
    assert found.residue_mass_g >= 0
    assert weighed + back + found.residue_mass_g == pytest.approx(found.pot_mass_g)
    assert found.residue_mass_g >= pot - 1e-6 or found.residue_mass_g == 0
    assert found.residue_mass_g < pot + 2 * step + 1e-6  # nothing is left that could be weighed into a bucket
    for one in found.portions:
        assert abs(one.weigh_g - one.batter_mass_g) <= 2 * step + 1e-6
        assert one.mix.mass_g == pytest.approx(one.mould_mass_g)
    exact = math.fsum(one.batter_mass_g for one in found.portions)
    assert exact + pot + kept == pytest.approx(found.pot_mass_g)
    # buckets = plain batter + own additions + borrowed; mould = buckets - lent - what stays in them
    for one in found.portions:
        own = math.fsum(added.mass_g for added in one.additions if added.addition.in_batter)
        assert one.mass_g == pytest.approx(one.batter_mass_g + own + math.fsum(
            lender.mass_g for lender in one.borrowed))
        assert one.mould_mass_g == pytest.approx(one.mass_g - one.lent_mass_g - each)
