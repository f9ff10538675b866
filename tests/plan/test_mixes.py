"""A pot that does not hold the batch at once: the mixes together are the whole batch."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from kettlewright.actuals import PourSettings, ReportedWeighing, plan_actuals
from kettlewright.errors import DomainError, DomainErrors, Unsolvable
from kettlewright.plan import Plan, plan_batch
from kettlewright.pour import Addition, Box, Contains, Dispersion, Mould, Portion, Residue
from kettlewright.recipe import AcidPortion, AlkaliPortion, FatPortion, LiquidPortion, Recipe, Scale, Stock, WaterRule
from recipes import BY_MASS, own_fat, recipe

SLAB = Mould(Box(400, 300, 90))
NAOH, KOH, STOCK = (AlkaliPortion("NaOH", purity_pct=98), AlkaliPortion("KOH", purity_pct=90),
                    AlkaliPortion("NaOH", stock=Stock(50)))
OIL = Addition("madder", "colourant", 40, "g_per_kg_fats", dispersion=Dispersion("oil", 50, fat="olive"))
ADDITIONS = st.lists(st.sampled_from([
    OIL, Addition("warm oil", "other", 120, "mass", contains=Contains(fat_pct=100, fat="olive")),
    Addition("cedar", "fragrance", 2.0, "pct_of_fats"), Addition("white clay", "clay", 15, "g_per_kg_batter")]),
    unique=True, max_size=3)
POTS = st.floats(1500, 20_000)
SCALES = st.sampled_from([Scale(), Scale(5, 1, 0.5), Scale(28.349523125 / 20, 0.28349523125, 0.28349523125)])


@st.composite
def plans(draw: st.DrawFn) -> Plan:
    by_share, at_least = draw(st.booleans()), draw(st.booleans())
    size = "share_pct" if by_share else "mass_g"
    masses = (70, 30) if by_share else (draw(st.floats(2000, 3500)), draw(st.floats(500, 1500)))
    return plan_batch(
        Recipe(fats=tuple(FatPortion(fat=fat, **{size: mass}) for fat, mass in zip(("olive", "coconut"), masses,
                                                                                  strict=True)),
               alkalis=(draw(st.sampled_from([NAOH, KOH, STOCK])),), water=WaterRule(water_to_alkali=2.0),
               acids=draw(st.sampled_from([(), (AcidPortion("citric_anhydrous", pct_of_fats=1),)])),
               liquids=draw(st.sampled_from([(), (LiquidPortion(name="oat milk", water_pct=90, pct_of_fats=5),)])),
               **({"superfat_at_least_pct": 2.0} if at_least else {"superfat_pct": 5.0})),
        SLAB, draw(SCALES), additions=tuple(draw(ADDITIONS)), residue=Residue(pot_g=20),
        portions=(Portion("a", share_pct=60), Portion("b", share_pct=40)), pot_volume_ml=draw(POTS))


@given(plans())
def test_the_mixes_together_are_the_whole_batch(plan: Plan) -> None:
    mixes = plan.mixes
    assert mixes is not None
    whole = [row for row in plan.weigh_list if row.where in ("jug", "pot")]
    assert [row.identity for row in mixes.weigh_list] == [row.identity for row in whole]
    for row, each in zip(whole, mixes.weigh_list, strict=True):
        assert row.weigh_g == pytest.approx(mixes.count * each.weigh_g, abs=1e-6), row.key
        assert row.step_g == each.step_g
        assert abs(each.weigh_g / each.step_g - round(each.weigh_g / each.step_g)) < 1e-6  # a scale can show it
        assert row.each_mix_g == (None if mixes.count == 1 else pytest.approx(each.weigh_g))
    assert all(row.each_mix_g is None for row in plan.weigh_list if row.where not in ("jug", "pot"))
    # each mix is soap of its own, with the superfat and the heat of the whole
    assert mixes.lye.superfat.achieved_pct == pytest.approx(plan.lye.superfat.achieved_pct, abs=1e-6)
    assert mixes.lye.superfat.likely_pct.min == pytest.approx(plan.lye.superfat.likely_pct.min, abs=1e-6)
    assert mixes.lye.solution.mass_g == pytest.approx(plan.lye.solution.mass_g / mixes.count)
    assert mixes.pot_mass_g == pytest.approx(plan.division.pot_mass_g / mixes.count, rel=1e-4)
    assert (mixes.count > 1) == ("several-mixes" in {one.key for one in plan.cautions})


@given(plans())
def test_the_vessels_hold_one_mix(plan: Plan) -> None:
    mixes = plan.mixes
    assert mixes is not None
    each_ml = mixes.division.pot_volume_ml
    assert plan.vessels == mixes.vessels
    pot = mixes.vessels.pot_ml
    assert each_ml <= pot * 2 / 3 + 1e-6
    assert each_ml * mixes.count == pytest.approx(plan.division.pot_volume_ml, rel=1e-3)


def test_oil_of_a_dispersion_gets_its_alkali_in_every_mix() -> None:
    # by hand: 3500 g at 190 and 200 g of oil at 190 in it, in three: (1166 2/3 + 66 2/3) / 56105.6 x 190 x 39.9971 x
    # 0.95 = 158.7, down to a tenth. Without the oil it would be 150.1
    dye = Addition("dye", "colourant", 200, "mass", contains=Contains(fat_pct=100, saponification_value=own_fat(
        1, 190).saponification_value))
    plan = plan_batch(recipe(own_fat(3500, 190), alkalis=(AlkaliPortion("NaOH", purity_pct=100),)), SLAB, Scale(),
                      additions=(dye,), pot_volume_ml=3000)
    assert plan.mixes is not None
    assert plan.mixes.count == 3
    each = {row.key: row.each_mix_g for row in plan.weigh_list}
    assert each["NaOH"] == pytest.approx(0.95 * (1167 + 66.7) * 190 / 56105.6 * 39.9971, abs=0.11)
    assert each["dye"] == pytest.approx(66.7)


def test_what_a_scale_does_not_show_of_one_mix_is_refused_for_one_mix() -> None:
    with pytest.raises(DomainErrors, match=r"0\.4\d* g of "):
        plan_batch(recipe(own_fat(4000, 190, name="much"), own_fat(1.2, 190, name="little")), SLAB, Scale(),
                   pot_volume_ml=3400)


def test_each_mix_is_judged_by_itself_until_they_are_poured() -> None:
    plan = plan_batch(recipe(own_fat(3500, 190, name="much"), own_fat(300, 190, name="some")), SLAB, Scale(),
                      pot_volume_ml=3000)
    assert plan.mixes is not None
    rows = {row.key: row for row in plan.mixes.weigh_list}
    settings = PourSettings(Residue(pot_g=20))
    forgotten = (ReportedWeighing("pot", "some", 0.0, 0.0),)
    with pytest.raises(Unsolvable, match="each is weighed separately"):
        plan_actuals(plan, "in_pot", forgotten, settings=settings)
    with pytest.raises(Unsolvable, match="there is no mix 9"):
        plan_actuals(plan, "in_pot", forgotten, settings=settings, mix=9)
    with pytest.raises(Unsolvable, match="the mixes are one batch"):
        plan_actuals(plan, "poured", settings=settings, mix=2)
    found = plan_actuals(plan, "in_pot", forgotten, settings=settings, mix=2)
    # 100 g of 1267 g are not there: by hand 1 - 0.95 x 1267 / 1167
    assert found.lye.superfat.achieved_pct == pytest.approx(
        100 * (1 - 0.95 * (rows["much"].weigh_g + rows["some"].weigh_g) / rows["much"].weigh_g), abs=0.1)
    assert (found.step.what, found.step.weigh_g) == ("do_not_pour", rows["some"].weigh_g)
    fine = plan_actuals(plan, "in_pot", tuple(ReportedWeighing(row.where, row.key, row.weigh_g, row.weigh_g)
                                              for row in plan.mixes.weigh_list), settings=settings, mix=3)
    assert fine.step.what == "pour"
    assert fine.still_to_weigh == ()
    assert plan_actuals(plan, "poured", settings=settings).lye.mass_g == pytest.approx(plan.lye.mass_g)


@pytest.mark.parametrize("pot_ml", [20_000, 7_000, 4_000])
def test_what_is_taken_of_a_dilution_for_each_mix_adds_up_to_the_dose(pot_ml: float) -> None:
    # 1 g on a scale with steps of 1 g is diluted; every mix takes its part of that dilution
    speck = Addition("speck", "colourant", 1.0, "mass")
    plan = plan_batch(recipe(own_fat(5000, 190)), SLAB, Scale(1, 0.1, 1), additions=(speck,), pot_volume_ml=pot_ml)
    assert plan.mixes is not None
    jar = plan.division.additions[0].dilution
    row = next(row for row in plan.weigh_list if row.key == "speck")
    assert jar is not None
    assert row.take_g is not None
    assert (plan.mixes.count > 1) == (pot_ml < 20_000)
    in_each = row.take_g * jar.weigh_g / (jar.weigh_g + jar.carrier_g)
    assert in_each * plan.mixes.count == pytest.approx(1.0, rel=0.05)  # a dilution is made within 5 % of the dose


@pytest.mark.parametrize(("pot", "count"), [(2200, 1), (2000, 2), (1100, 2), (1000, 3)])
def test_a_pot_that_holds_less_makes_several_mixes(pot: float, count: int) -> None:
    # 1431 mL of batter; two thirds of the pot are used: 1467, 1333, 733 and 667 mL
    plan = plan_batch(BY_MASS, Mould(Box(200, 100, 80)), Scale(), pot_volume_ml=pot)
    assert plan.mixes is not None
    assert plan.mixes.count == count
    rows = {row.key: row.weigh_g for row in plan.mixes.weigh_list}
    assert rows["olive"] == pytest.approx(700 / count, abs=0.5)
    # 142.1876 g of alkali for 1000 g, computed anew from what each mix weighs
    assert rows["NaOH"] == pytest.approx(142.1876 / count, abs=0.2)
    assert {row.where for row in plan.mixes.weigh_list} == {"jug", "pot"}


def test_a_thimble_is_no_pot() -> None:
    with pytest.raises(DomainError, match="unit right"):
        plan_batch(BY_MASS, Mould(Box(200, 100, 80)), Scale(), pot_volume_ml=50)
