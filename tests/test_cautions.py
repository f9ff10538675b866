"""Cautions: a stable catalogue, and triggers on both sides of each threshold."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from pathlib import Path

import kettlewright
import pytest
from catalogues import catalogue
from kettlewright.app import create_app
from kettlewright.cautions import CATALOGUE, SEVERITIES, Caution, of_cuts, of_division, of_lye, standing, worst_severity
from kettlewright.plan import plan_portions
from kettlewright.pour import (
    Addition,
    BarCut,
    Batter,
    Block,
    Box,
    Dusting,
    Mould,
    Portion,
    cut_block,
    divide,
)
from kettlewright.recipe import AcidPortion, AlkaliPortion, FatPortion, Recipe, Scale, Stock, WaterRule, make_lye
from recipes import own_fat, recipe

STABLE_KEYS = [
    "alkali-corrosive", "alkali-into-water", "no-reactive-metal", "ventilate", "first-aid-water",
    "no-vinegar-on-skin", "lye-unattended", "clean-up-gloves", "raw-soap-gloves", "ph-not-proof",
    "poison-centre-number", "local-law", "rebatch-known-soap", "hot-soap-mass",
    "several-mixes", "lye-hot", "lye-strong", "store-lye", "stock-may-crystallise",
    "mixing-out-of-reach", "dispersion-oil-free", "superfat-negative",
    "superfat-may-be-negative", "superfat-margin-thin", "rebatch-or-discard", "density-assumed", "range-widened",
    "value-taken-as-exact", "figure-from-memory", "lot-value-needed", "value-and-acids-disagree",
    "purity-implausible", "acid-eats-lye",
    "scale-too-coarse", "mould-underfilled", "layer-thin", "height-estimated",
    "heavy-slab", "alcohol-spray", "fragrance-flammable",
    "fragrance-limit-exceeded", "fragrance-limit-in-portion", "dose-too-fine", "borrowed-additions",
    "thickens-fast",
    "fragrance-limit-unknown", "colourant-status-unknown", "dust",
    "natural-colour-stains", "swatch-missed",
    "label-name-unknown", "label-name-uncertain", "allergen-prohibited", "net-quantity-short",
    "no-soap-by-rule", "overheating", "price-missing", "pack-missing", "rows-not-reported",
    "superfat-not-kept", "lye-of-plan-outdated",
    "lye-left-over", "scent-in-hot-soap", "water-left-estimated", "lye-not-dissolved"]


def keys(requested: Recipe, scale: Scale | None = None) -> dict[str, Caution]:
    return {caution.key: caution for caution in of_lye(make_lye(requested, scale or Scale()))}


def of_addition(addition: Addition, *, loss: float = 10) -> dict[str, Caution]:
    found = plan_portions(Batter(1000, 1.0, 700), [Portion("all", share_pct=100, additions=(addition,))], Scale(),
                          expected_loss_pct=loss)
    return {caution.key: caution for caution in found.cautions}


def test_keys_are_stable_and_say_what_they_rest_on() -> None:
    assert list(CATALOGUE) == STABLE_KEYS
    for key, entry in CATALOGUE.items():
        assert entry.key == key
        assert entry.severity in SEVERITIES[1:]
        assert entry.text.endswith(".")
        assert entry.basis
        assert entry.place in ("lye", "pot", "sifting", "pouring", "unmoulding", "label")


def test_lye_never_comes_without_its_standing_cautions() -> None:
    for operation in ("lye", "scaling", "batches"):
        assert {"alkali-corrosive", "alkali-into-water", "first-aid-water", "no-vinegar-on-skin",
                "no-reactive-metal"} <= set(standing(operation))
    assert standing("moulds") == ("no-reactive-metal",)
    assert "local-law" in standing("batches")
    assert standing("fats") == ()


def test_what_always_holds_is_never_triggered_as_well() -> None:
    assert not set(standing("batches")) & set(keys(recipe(own_fat(1000, 190, 5), water_c=20)))


def test_the_most_severe_is_reported() -> None:
    made = [Caution("a", severity, "") for severity in ("info", "danger", "warning")]
    assert worst_severity(made) == "danger"
    assert worst_severity(made[:1]) == "info"
    assert worst_severity([]) == "none"


@pytest.mark.parametrize(("superfat", "severity"), [(1.0, "superfat-may-be-negative"), (3.9, "superfat-margin-thin"),
                                                    (8.0, None)])
def test_a_range_that_reaches_zero_is_graded_by_how_likely_it_is(superfat: float, severity: str | None) -> None:
    # SV 190 +/- 6 and purity 98 +/- 1: likely +/- 3.7 points, worst case +/- 4.3 points
    requested = recipe(own_fat(1000, 190, 6), superfat=superfat, alkalis=(AlkaliPortion("NaOH", purity_pct=98),))
    found = {"superfat-may-be-negative", "superfat-margin-thin", "superfat-negative"} & set(keys(requested))
    assert found == ({severity} if severity else set())


def test_a_batch_that_may_be_lye_heavy_is_reported_what_would_cure_it() -> None:
    requested = recipe(own_fat(1000, 190, 6, name="my olive"), superfat=1,
                       alkalis=(AlkaliPortion("NaOH", purity_pct=98),))
    message = keys(requested)["superfat-may-be-negative"].message
    assert "my olive accounts for 91 % of the spread: a certificate" in message
    enough = float(message.split("Request ")[1].split(" %")[0])
    assert make_lye(replace(requested, superfat_pct=enough), Scale()).superfat.likely_pct.min > 0
    assert enough < 6


@pytest.mark.parametrize(("water_c", "ratio", "severity"), [
    (0, 12, None), (25, 12, None), (30, 12, "info"), (5, 4, "info"), (20, 2.6, "warning"), (20, 2, "warning"),
    (60, 1.6, "danger")])
def test_hot_lye_is_graded_by_how_hot_it_gets(water_c: float, ratio: float, severity: str | None) -> None:
    found = keys(recipe(own_fat(1000, 190), water=WaterRule(water_to_alkali=ratio), water_c=water_c)).get("lye-hot")
    assert (found.severity if found else None) == severity


def test_the_vessel_is_named_and_the_jug_half_full_above_90_degrees() -> None:
    message = keys(recipe(own_fat(1000, 190), water_c=20))["lye-hot"].message
    assert "polypropylene" in message
    assert "half full" in message
    assert "never glass" in message
    assert "with 10 % of the heat lost" in message


def test_acids_add_heat_of_their_own() -> None:
    requested = recipe(own_fat(1000, 190), water_c=20, acids=(AcidPortion("citric_anhydrous", mass_g=15),))
    assert "The heat of the acids is included, with values from memory" in keys(requested)["lye-hot"].message
    assert "acid-eats-lye" in keys(requested)


@pytest.mark.parametrize(("concentration", "strong"), [(39.9, False), (40.5, True)])
def test_strong_lye_is_reported(concentration: float, strong: bool) -> None:
    requested = recipe(own_fat(1000, 190), water=WaterRule(lye_concentration_pct=concentration))
    assert ("lye-strong" in keys(requested)) == strong


def test_a_stock_must_be_stored() -> None:
    stock = AlkaliPortion("NaOH", stock=Stock(50))
    assert "store-lye" in keys(recipe(own_fat(1000, 190), alkalis=(stock,)))


@pytest.mark.parametrize(("alkali", "expected"), [
    (AlkaliPortion("NaOH", purity_pct=95), False), (AlkaliPortion("NaOH", purity_pct=94.9), True),
    (AlkaliPortion("KOH", purity_at_least_pct=85), False), (AlkaliPortion("KOH", purity_at_least_pct=84), True)])
def test_a_purity_nobody_sells_is_reported(alkali: AlkaliPortion, expected: bool) -> None:
    assert ("purity-implausible" in keys(recipe(own_fat(1000, 190), alkalis=(alkali,)))) == expected


def test_a_scale_too_coarse_is_reported_with_the_step_that_would_do() -> None:
    # 13.042 g down to 13 g leaves 0.31 points more
    assert "scale-too-coarse" not in keys(recipe(own_fat(100.3, 192)), Scale(0.1, 1, 0.1))
    found = keys(recipe(own_fat(107, 192)), Scale(1, 1, 1))["scale-too-coarse"]
    # 13.9133 g down to 13 g: 6.24 points more superfat; 0.5 points would be a step of 0.08, so 0.05
    assert "leaves 6.2 percentage points more superfat" in found.message
    assert "in steps of 0.05 g" in found.message


def test_how_well_a_figure_is_known_is_reported() -> None:
    named = [FatPortion(key, mass_g=50) for key in ("jojoba", "shea", "hazelnut")]
    found = keys(recipe(*named, FatPortion("lard", mass_g=800), own_fat(50, 190)))
    assert "jojoba" in found["range-widened"].message
    assert "91.3 to 93.1" in found["range-widened"].message  # 92.2 +/- 1 %
    assert found["lot-value-needed"].pointer in ("/fats/0", "/fats/1")
    assert "saponification value in the table is from memory: hazelnut oil" in found["figure-from-memory"].message
    assert "density-assumed" in found
    assert "is treated as exact" in found["value-taken-as-exact"].message
    assert not {"range-widened", "figure-from-memory", "density-assumed"} & set(
        keys(recipe(FatPortion("coconut", mass_g=500), superfat=10)))


@pytest.mark.parametrize(("addition", "expected", "absent"), [
    (Addition("scent", "fragrance", 2, "pct_of_fats"), {"fragrance-flammable", "fragrance-limit-unknown"}, {"dust"}),
    (Addition("scent", "fragrance", 2, "pct_of_fats", limit_pct=5), {"fragrance-flammable"},
     {"fragrance-limit-unknown", "fragrance-limit-exceeded"}),
    (Addition("ochre", "colourant", 2, "pct_of_fats"), {"dust", "colourant-status-unknown", "natural-colour-stains"},
     {"fragrance-flammable"}),
    (Addition("ochre", "colourant", 2, "pct_of_fats", inci="CI 77492"), {"dust"},
     {"colourant-status-unknown", "natural-colour-stains"}),
    (Addition("madder", "colourant", 2, "pct_of_fats", inci="CI 75330"), {"natural-colour-stains"},
     {"colourant-status-unknown"}),
    (Addition("honey", "sugar", 2, "pct_of_fats"), {"overheating"}, {"dust"}),
    (Addition("isopropanol", "spray", 2, "mass"), {"alcohol-spray"}, {"dust"}),
    (Addition("kaolin", "clay", 2, "pct_of_fats"), {"dust"}, {"overheating"})])
def test_additions_bring_their_own_cautions(addition: Addition, expected: set[str], absent: set[str]) -> None:
    found = set(of_addition(addition))
    assert expected <= found
    assert not absent & found


def test_a_limit_passed_is_reported_with_the_largest_dose() -> None:
    # by hand: m = 0.02 x 0.9 x (1000 + m) gives 18.3299 g
    over = of_addition(Addition("scent", "fragrance", 18.4, "mass", limit_pct=2))["fragrance-limit-exceeded"]
    assert 'Largest dose within the limit: 18.32 g in "all".' in over.message
    assert over.severity == "warning"
    assert "fragrance-limit-exceeded" not in of_addition(Addition("scent", "fragrance", 18.32, "mass", limit_pct=2))


def test_a_dose_too_small_for_the_scale_is_reported_with_its_dilution() -> None:
    message = of_addition(Addition("violet", "colourant", 0.06, "mass", inci="CI 77007"))["dose-too-fine"].message
    # worked by hand: 1 g in 16 g, of which 1.02 g hold 0.06 g
    assert "Stir 1 g into 16 g of oil, water or glycerol" in message
    assert 'weigh from that: 1 g for "all". If you use oil, 0.96 g of it goes in as well' in message
    assert "Make a weaker dispersion" in of_addition(
        Addition("violet", "colourant", 0.0005, "mass", inci="CI 77007"))["dose-too-fine"].message
    assert "dose-too-fine" not in of_addition(Addition("violet", "colourant", 1.0, "mass", inci="CI 77007"))


def test_haste_is_reported_where_something_thickens_fast() -> None:
    fast = Addition("clove", "fragrance", 5, "mass", limit_pct=2, thickens_fast=True)
    message = of_addition(fast)["thickens-fast"].message
    assert message.startswith("Stir in last and pour at once")
    assert message.endswith(": clove.")
    assert "thickens-fast" not in of_addition(replace(fast, thickens_fast=False))


def test_five_buckets_of_one_powder_are_one_caution() -> None:
    portions = [Portion(f"p{number}", share_pct=20, additions=(Addition("ochre", "colourant", 5, "g_per_kg_batter",
                                                                        inci="CI 77492"),),
                        dusting=Dusting("kaolin", 50)) for number in range(5)]
    found = divide(Batter(1000, 1.0), portions, scale=Scale(), mould=Mould(Box(200, 100, 100)))
    assert [caution.key for caution in of_division(found)].count("dust") == 1


@pytest.mark.parametrize(("mass", "words"), [(999, None), (990, "ends 1.0 mm below"), (999.6, None)])
def test_a_mould_left_unfilled_is_reported_with_what_is_missing(mass: float, words: str | None) -> None:
    found = divide(Batter(mass, 1.0), [Portion("all", share_pct=100)], scale=Scale(), mould=Mould(Box(100, 100, 100)))
    cautions = {caution.key: caution for caution in of_division(found)}
    if words is None:
        assert "mould-underfilled" not in cautions
    else:
        assert words in cautions["mould-underfilled"].message
        assert "mould-underfilled" not in {caution.key for caution in of_division(found, sized_to_mould=True)}


def test_a_heavy_slab_is_reported() -> None:
    for length, expected in ((1190, False), (1210, True)):
        cuts = cut_block(Block(length, 100, 100), BarCut(count=10), density=1.0)
        assert bool(of_cuts(cuts)) == expected
        found = divide(Batter(length * 10, 1.0), [Portion("all", share_pct=100)], scale=Scale(),
                       mould=Mould(Box(length, 100, 100)))
        assert ("heavy-slab" in {caution.key for caution in of_division(found)}) == expected


def test_cautions_point_into_the_request() -> None:
    requested = recipe(own_fat(1000, 190), water_c=20)
    assert {caution.pointer for caution in of_lye(make_lye(requested, Scale()), at="/recipe")} == {
        "/recipe/temperatures/water", "/recipe/fats/0"}


# words with two meanings in these texts; "may not" is read as "must not" and as "possibly not"
RIDDLES = re.compile(r"\b(told|tells?|asked|gravest|eats?|errs|by itself|by nature|may not|stands?)\b", re.IGNORECASE)


def test_cautions_use_plain_words() -> None:
    texts = [message.id for message in catalogue("de", "safety")
             if any(file.startswith("cautions/") for file, _ in message.locations)]
    assert len(texts) > 100
    assert [text for text in texts if RIDDLES.search(str(text))] == []


def test_cautions_of_skin_eyes_and_flames_begin_with_what_to_do() -> None:
    for key in ("alkali-corrosive", "alkali-into-water", "no-vinegar-on-skin", "raw-soap-gloves", "clean-up-gloves",
                "superfat-negative", "alcohol-spray", "fragrance-flammable", "lye-not-dissolved"):
        assert CATALOGUE[key].text.split()[0] in {"Wear", "Add", "Never", "Keep", "Do"}, key


def test_a_triggered_caution_carries_the_place_of_the_catalogue() -> None:
    examples = Path(kettlewright.__file__).parent / "api" / "endpoints" / "examples" / "batches.json"
    client = create_app().test_client()
    found = [one for example in json.loads(examples.read_text())
             for one in client.post("/v1/batches", json=example["body"]).get_json()["cautions"]]
    assert len({one["place"] for one in found}) >= 3
    assert all(one["place"] == CATALOGUE[one["key"]].place for one in found)
