"""Blends against brute force on small cases, known optima, and the words of what cannot be."""

from __future__ import annotations

import itertools
from decimal import Decimal
from typing import Any

import pytest
from kettlewright.errors import DomainError, DomainErrors
from kettlewright.plan import plan_blend
from kettlewright.ranges import Range
from kettlewright.recipe import AlkaliPortion, FatPortion, Profile, Recipe, Scale, WaterRule
from kettlewright.recipe.blend_constraints import FatAtHand, Objective, PropertyLimits
from kettlewright.recipe.blends import Blend, blend_fats

CHEAPEST = Objective(kind="cheapest")


def at_hand(name: str, value: float = 190, price: str | None = None, acids: dict[str, float] | None = None,
            **more: float) -> FatAtHand:
    own: dict[str, Any] = {"saponification_value": Range(value - 2, value + 2)}
    if acids:
        own = {"profile": Profile(acids, 0)}
    return FatAtHand(fat=FatPortion(name=name, share_pct=100, **own),
                     price_per_g=None if price is None else Decimal(price), **more)


def shares(found: Blend) -> dict[str, float]:
    return {share.key: share.share_pct for share in found.shares}


def test_the_cheapest_of_two_meets_its_wish_just_so() -> None:
    # the dear fat of 250 brings 190 up to 205: x 250 + (1 - x) 190 = 205, x = 25 %
    found = blend_fats([at_hand("plain", 190, "0.003"), at_hand("rich", 250, "0.005")],
                       [PropertyLimits(prop="saponification_value", min=205)], CHEAPEST)
    assert shares(found) == {"plain": pytest.approx(75), "rich": pytest.approx(25)}
    assert found.price_per_g is not None
    assert float(found.price_per_g) == pytest.approx(0.0035)
    assert (found.saponification_value.min, found.saponification_value.max) == (pytest.approx(203), pytest.approx(207))


THREE = [("a", {"C12:0": 50.0, "C18:1": 50.0}, "0.004"), ("b", {"C16:0": 40.0, "C18:1": 60.0}, "0.002"),
         ("c", {"C18:1": 80.0, "C18:2": 20.0}, "0.003")]


@pytest.mark.parametrize(("lauric", "oleic", "linoleic"), [(10, 55, 20), (20, 50, 10), (0, 65, 20), (5, 60, 3)])
def test_against_brute_force_in_steps_of_one_percent(lauric: float, oleic: float, linoleic: float) -> None:
    best = None
    for a, b in itertools.product(range(101), repeat=2):
        c = 100 - a - b
        if c < 0 or 0.5 * a < lauric or 0.5 * a + 0.6 * b + 0.8 * c < oleic or 0.2 * c > linoleic:
            continue
        cost = 0.004 * a + 0.002 * b + 0.003 * c
        best = cost if best is None else min(best, cost)
    found = blend_fats([at_hand(name, price=price, acids=acids) for name, acids, price in THREE],
                       [PropertyLimits(prop="fatty_acid", of="C12:0", min=lauric),
                        PropertyLimits(prop="fatty_acid", of="C18:1", min=oleic),
                        PropertyLimits(prop="group", of="polyunsaturated", max=linoleic)], CHEAPEST)
    assert best is not None
    assert found.price_per_g is not None
    # never dearer than the grid, and not cheaper by more than a step of it
    assert best - 0.005 <= 100 * float(found.price_per_g) <= best + 1e-9


def test_bounds_of_a_fat_and_its_stock_hold() -> None:
    fats = [at_hand("cheap", 190, "0.001", stock_g=300), at_hand("dear", 190, "0.002", at_most_pct=60),
            at_hand("fixed", 190, "0.009", exactly_pct=10), at_hand("spare", 190, "0.005", at_least_pct=2)]
    found = blend_fats(fats, [], CHEAPEST, fats_g=1000)
    assert shares(found) == {"cheap": pytest.approx(30), "dear": pytest.approx(58), "fixed": pytest.approx(10),
                             "spare": pytest.approx(2)}


@pytest.mark.parametrize(("kind", "share"), [("least", 20), ("most", 70)])
def test_least_and_most_of_a_fat(kind: str, share: float) -> None:
    fats = [at_hand("palm", 190, at_least_pct=10, at_most_pct=70), at_hand("lard", 195, at_most_pct=80)]
    assert shares(blend_fats(fats, [], Objective(kind=kind, fat="palm")))["palm"] == pytest.approx(share)


def test_the_closest_of_the_same_fats_is_the_recipe_itself() -> None:
    reference = [FatPortion("olive", mass_g=500), FatPortion("coconut", mass_g=300), FatPortion("castor", mass_g=200)]
    at = [FatAtHand(fat=FatPortion(key, share_pct=100)) for key in ("castor", "olive", "coconut", "lard")]
    found = blend_fats(at, [], Objective(kind="closest"), reference=reference)
    assert shares(found) == {"castor": pytest.approx(20), "olive": pytest.approx(50), "coconut": pytest.approx(30)}
    assert found.distance_pct == pytest.approx(0, abs=1e-6)


RECIPE = Recipe(fats=(FatPortion("olive", mass_g=500), FatPortion("palm", mass_g=250),
                      FatPortion("coconut", mass_g=250)),
                superfat_pct=5, alkalis=(AlkaliPortion("NaOH"),), water=WaterRule(water_to_alkali=2))


def test_a_replaced_fat_leaves_the_others_and_gets_new_alkali() -> None:
    at = [FatAtHand(fat=FatPortion(key, share_pct=100)) for key in ("lard", "shea", "tallow_beef")]
    found = plan_blend(at, Objective(kind="replace", fat="palm"), Scale(), recipe=RECIPE)
    got = shares(found.blend)
    assert "palm" not in got
    assert (got["olive"], got["coconut"]) == (pytest.approx(50), pytest.approx(25))
    assert found.lye is not None
    assert found.recipe is not None
    # lard 192 to 203: (500 x 190 + 250 x 256.5 + 250 x 197.5) / 56105.6 x 0.95 x 39.9971; palm would have taken 141.5
    assert found.recipe.fats[0].fat == "lard"
    assert found.lye.lye.alkalis[0].mass_g == pytest.approx(141.206, abs=0.01)


def test_wishes_that_cannot_be_met_name_the_least_relaxation() -> None:
    fats = [at_hand("a", acids={"C12:0": 50, "C18:1": 50}), at_hand("b", acids={"C18:1": 80, "C18:2": 20})]
    with pytest.raises(DomainErrors) as caught:
        blend_fats(fats, [PropertyLimits(prop="fatty_acid", of="C12:0", min=20),
                          PropertyLimits(prop="fatty_acid", of="C18:1", min=75)],
                   Objective(kind="least", fat="a"))
    details = {error.field: error.detail for error in caught.value.errors}
    # 20 % lauric needs 40 % of a, and then 0.4 x 50 + 0.6 x 80 = 68 % oleic; 75 % oleic leaves 8.33 % lauric
    kept = "is not possible. With everything else kept, at least"
    assert details[("wishes", 0)] == f"C12:0 of at least 20 % {kept} 8.33333 % is."
    assert details[("wishes", 1)] == f"C18:1 of at least 75 % {kept} 68 % is."


def test_where_no_single_wish_is_to_blame_all_are_changed_least() -> None:
    fats = [at_hand("a", acids={"C12:0": 100}), at_hand("b", acids={"C18:1": 100}), at_hand("c", acids={"C18:2": 100})]
    with pytest.raises(DomainErrors) as caught:
        blend_fats(fats, [PropertyLimits(prop="fatty_acid", of=of, min=60) for of in ("C12:0", "C18:1", "C18:2")],
                   Objective(kind="least", fat="a"))
    assert all("No single constraint is the cause" in fault.detail for fault in caught.value.errors)


def test_bounds_that_fill_less_than_everything_are_reported_at_the_fats() -> None:
    fats = [at_hand("a", at_most_pct=40), at_hand("b", at_most_pct=50)]
    with pytest.raises(DomainErrors) as caught:
        blend_fats(fats, [], Objective(kind="least", fat="a"))
    details = {error.field: error.detail for error in caught.value.errors}
    assert "at most 50 % is" in details[("fats", 0, "at_most_pct")]
    assert "at most 60 % is" in details[("fats", 1, "at_most_pct")]


@pytest.mark.parametrize(("fats", "wishes", "objective", "words"), [
    ([at_hand("a")], [], CHEAPEST, "price for every fat"),
    ([at_hand("a")], [PropertyLimits(prop="fatty_acid", of="C18:1", min=1)], Objective(kind="least", fat="a"),
     "are not known"),
    ([at_hand("a")], [PropertyLimits(prop="iodine_value", min=1)], Objective(kind="least", fat="a"), "is not known"),
    ([at_hand("a")], [], Objective(kind="least", fat="b"), "not among the fats at hand"),
    ([at_hand("a", stock_g=5)], [], Objective(kind="least", fat="a"), "fats_mass"),
    ([at_hand("a")], [], Objective(kind="closest"), 'needs a "recipe"'),
    ([at_hand("a")], [], Objective(kind="replace", fat="palm"), 'no "palm" to replace')])
def test_what_is_not_known_is_requested(fats: list[FatAtHand], wishes: list[PropertyLimits], objective: Objective,
                                        words: str) -> None:
    with pytest.raises((DomainError, DomainErrors), match=words):
        blend_fats(fats, wishes, objective)


@pytest.mark.parametrize(("given", "words"), [
    ({"prop": "hardness", "min": 1}, "is not a known property"),
    ({"prop": "group", "of": "soft", "min": 1}, "is not a known group"),
    ({"prop": "fatty_acid", "of": "C99:9", "min": 1}, "is not a known fatty acid"),
    ({"prop": "fatty_acid", "min": 1}, 'needs "of"'),
    ({"prop": "iodine_value", "of": "C18:1", "min": 1}, '"of" belongs'),
    ({"prop": "iodine_value"}, '"min", "max" or both'),
    ({"prop": "iodine_value", "min": 5, "max": 4}, "is greater than")])
def test_a_wish_that_says_nothing_is_rejected(given: dict[str, Any], words: str) -> None:
    with pytest.raises(DomainErrors, match=words):
        PropertyLimits(**given)


def test_properties_of_a_blend_are_means_by_mass() -> None:
    found = blend_fats([at_hand("a", acids={"C18:1": 100}, exactly_pct=40), at_hand("b", acids={"C18:2": 100})], [],
                       Objective(kind="most", fat="b"))
    # triolein and trilinolein by periodictable: 3 and 6 x 253.809 over 885.43 and 879.38, in percent
    assert found.iodine_value == pytest.approx(0.4 * 85.995 + 0.6 * 173.17, abs=0.05)
    assert found.groups == {"saturated": 0, "monounsaturated": pytest.approx(40), "polyunsaturated": pytest.approx(60),
                            "hydroxy": 0}
