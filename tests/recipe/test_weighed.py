"""Alkali, superfat and worst case follow what is weighed: checked by the definition, not by our own chain."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest
from kettlewright.api.door.operations import OPERATIONS, run
from kettlewright.app import create_app
from kettlewright.ranges import Range
from kettlewright.recipe import (
    AcidPortion,
    AlkaliPortion,
    FatPortion,
    LiquidPortion,
    Recipe,
    Scale,
    WaterRule,
    make_lye,
)
from kettlewright.recipe.weighing import EXACT

create_app()
# IUPAC standard atomic weights: NaOH 39.997, KOH 56.1056 g/mol; ISO 3657: mg of KOH per g of fat
M_NAOH, M_KOH, MG_PER_MOL = 39.9971, 56.1056, 56105.6


def _fat(name: str, mass: float, low: float, high: float) -> FatPortion:
    return FatPortion(name=name, mass_g=mass, saponification_value=Range(low, high))


PLAIN = Recipe(fats=(_fat("a", 600, 184, 196), _fat("b", 400, 248, 265)), superfat_pct=5,
               alkalis=(AlkaliPortion("NaOH", purity_pct=98),), water=WaterRule(water_to_alkali=2))


@pytest.mark.parametrize("limit", [None, 1.76], ids=["no limit", "rounded down for a limit"])
@pytest.mark.parametrize("dose_step", [0.1, 7.0])
@pytest.mark.parametrize("basis", ["pct_of_fats", "pct_of_batter"])
def test_the_superfat_counts_the_oil_that_is_weighed(basis: str, dose_step: float, limit: float | None) -> None:
    addition: dict[str, Any] = {"name": "green in oil", "kind": "fragrance", "dose": 2, "basis": basis,
                                "contains": {"fat_pct": 60, "saponification_value": {"min": 190, "max": 190}}}
    if limit is not None:
        addition["limit_pct"] = limit
    fats = [{"name": "a", "saponification_value": {"min": 184, "max": 196}, "mass": 600},
            {"name": "b", "saponification_value": {"min": 248, "max": 265}, "mass": 400}]
    reply = run(OPERATIONS["batches"], {
        "recipe": {"fats": fats, "superfat_pct": 5, "alkalis": [{"alkali": "NaOH", "purity_pct": 98}],
                   "water": {"water_to_alkali": 2}},
        "mould": {"shape": "box", "length": 200, "width": 150, "depth": 80}, "additions": [addition],
        "scale": {"dose_readability": dose_step}})
    rows = {row["key"]: row["weigh"] for row in reply["weigh_list"]}
    oil = rows["green_in_oil"] * 0.6
    demand = (rows["a"] * 190 + rows["b"] * 256.5 + oil * 190) / MG_PER_MOL
    achieved = 100 * (1 - rows["NaOH"] * 0.98 / M_NAOH / demand)
    assert reply["lye"]["superfat"]["achieved_pct"] == pytest.approx(achieved, abs=1e-5)
    # alkali goes down to a step of 0.1 g, which is less than 0.07 points here; oil of half a step of 7 g is 0.3
    assert 5 <= achieved < 5.08


def test_shares_of_two_alkalis_are_parts_of_their_sum() -> None:
    # 100.01 is the most that is accepted; without normalising, a hundredth of a percent too much alkali
    both = replace(PLAIN, alkalis=(AlkaliPortion("NaOH", share_pct=60.005, purity_pct=98),
                                   AlkaliPortion("KOH", share_pct=40.004, purity_pct=90)))
    lye = make_lye(both, EXACT)
    mol = [alkali.mass_g * alkali.portion.strength / M
           for alkali, M in zip(lye.alkalis, (M_NAOH, M_KOH), strict=True)]
    demand = (600 * 190 + 400 * 256.5) / MG_PER_MOL
    assert math.fsum(mol) == pytest.approx(0.95 * demand, rel=1e-6)
    assert mol[0] / mol[1] == pytest.approx(60.005 / 40.004, rel=1e-6)
    assert lye.superfat.achieved_pct == pytest.approx(5, abs=1e-4)


@pytest.mark.parametrize("what", ["liquid", "acid"])
def test_what_the_scale_shows_as_nothing_never_weighs_less(what: str) -> None:
    # 0.4 g on a scale with a step of 5 g is left out; half a step below nothing would take demand away
    more: dict[str, Any] = {"liquids": (LiquidPortion(name="cream", mass_g=0.4, water_pct=60, fat_pct=35,
                                                      saponification_value=Range(220, 220)),)} \
        if what == "liquid" else {"acids": (AcidPortion("lauric", mass_g=0.4),)}
    coarse = Scale(5, 0.1, 5)
    with_it = make_lye(replace(PLAIN, **more), coarse).superfat
    without = make_lye(PLAIN, coarse).superfat
    assert with_it.worst_case_pct == without.worst_case_pct
    assert with_it.likely_pct == without.likely_pct


def test_free_alkali_of_the_worst_case_is_alkali_less_the_least_demand() -> None:
    wide = replace(PLAIN, superfat_pct=0.5)
    lye = make_lye(wide, Scale(1, 0.1, 0.1))
    weighed = lye.alkalis[0].weigh_g
    most = (weighed + 0.05) * 0.99 / M_NAOH
    least = (599.5 * 184 + 399.5 * 248) / MG_PER_MOL
    assert lye.superfat.worst_case_pct.min == pytest.approx(100 * (1 - most / least), abs=1e-4)
    assert lye.soap.free_alkali_worst_case_mass_g == pytest.approx((most - least) * M_NAOH, rel=1e-5)
