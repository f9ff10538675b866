"""Advice that is followed leads to what it promised."""

from __future__ import annotations

import re
from dataclasses import replace

from hypothesis import assume, given
from hypothesis import strategies as st
from kettlewright.cautions import Caution, of_lye
from kettlewright.ranges import Range
from kettlewright.recipe import AlkaliPortion, FatPortion, Recipe, Scale, Temperatures, WaterRule, make_lye

ALKALIS = st.sampled_from([
    (AlkaliPortion("NaOH", purity_pct=98),), (AlkaliPortion("KOH", purity_pct=90),),
    (AlkaliPortion("NaOH", share_pct=60, purity_pct=98), AlkaliPortion("KOH", share_pct=40, purity_pct=90))])


def _recipe(mass_g: float, half_width: float, superfat: float, alkalis: tuple[AlkaliPortion, ...]) -> Recipe:
    fat = FatPortion(name="a fat", mass_g=mass_g, saponification_value=Range(195 - half_width, 195 + half_width))
    return Recipe(fats=(fat,), superfat_pct=superfat, alkalis=alkalis, water=WaterRule(water_to_alkali=2.5))


def _caution(key: str, requested: Recipe, scale: Scale) -> Caution | None:
    return next((one for one in of_lye(make_lye(requested, scale)) if one.key == key), None)


@given(st.floats(20, 400), st.floats(0, 12), ALKALIS, st.sampled_from([0.5, 1.0, 2.0, 5.0]))
def test_a_finer_scale_or_a_larger_batch_is_fine_enough(mass: float, superfat: float,
                                                        alkalis: tuple[AlkaliPortion, ...], step: float) -> None:
    requested, scale = _recipe(mass, 5, superfat, alkalis), Scale(0.1, step, 0.1)
    assume(mass > 20 * step)
    said = _caution("scale-too-coarse", requested, scale)
    assume(said is not None)
    assert said is not None
    finer, fats = re.findall(r"steps of ([\d.]+) g .* at least ([\d,]+) g of fats", said.message)[0]
    assert _caution("scale-too-coarse", requested, replace(scale, alkali_readability_g=float(finer))) is None
    least = float(fats.replace(",", ""))
    for larger in (least, least + 0.7, least * 1.013, least * 1.5):
        assert _caution("scale-too-coarse", _recipe(larger, 5, superfat, alkalis), scale) is None


@given(st.floats(200, 3000), st.floats(2, 18), st.floats(0, 8), ALKALIS, st.sampled_from([0.1, 1.0, 2.0]))
def test_the_superfat_to_ask_for_is_enough(mass: float, half_width: float, superfat: float,
                                           alkalis: tuple[AlkaliPortion, ...], step: float) -> None:
    requested, scale = _recipe(mass, half_width, superfat, alkalis), Scale(1, step, 0.1)
    said = _caution("superfat-may-be-negative", requested, scale)
    assume(said is not None)
    assert said is not None
    enough = float(re.findall(r"Request ([\d.]+) % or more", said.message)[0])
    assert enough > superfat
    for more in (enough, enough + 0.4, enough + 3):
        assert _caution("superfat-may-be-negative", replace(requested, superfat_pct=more), scale) is None


def test_warmer_fats_bring_a_batter_within_reach() -> None:
    requested = replace(_recipe(1000, 5, 5, (AlkaliPortion("NaOH", purity_pct=98),)),
                        temperatures=Temperatures(water_c=5, fats_c=10, pour_c=50))
    said = _caution("mixing-out-of-reach", requested, Scale())
    assert said is not None
    assert "Warm the fats" in said.message
    warmer = replace(requested, temperatures=replace(requested.temperatures, fats_c=45))
    assert _caution("mixing-out-of-reach", warmer, Scale()) is None


def test_ice_brings_a_lye_away_from_boiling() -> None:
    requested = replace(_recipe(1000, 5, 5, (AlkaliPortion("NaOH", purity_pct=98),)),
water=WaterRule(water_to_alkali=1.6), temperatures=Temperatures(water_c=35))
    said = _caution("lye-hot", requested, Scale())
    assert said is not None
    assert said.severity == "danger"
    assert "Use ice" in said.message
    iced = _caution("lye-hot", replace(requested, water=WaterRule(water_to_alkali=1.6, ice_pct=50)), Scale())
    assert iced is not None
    assert iced.severity != "danger"
