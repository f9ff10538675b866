"""A liquid in place of all the water, and messages about too much of it."""

from __future__ import annotations

import re
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from kettlewright.api.door.operations import OPERATIONS, run
from kettlewright.app import create_app
from kettlewright.errors import DomainError, DomainErrors

create_app()
FATS = [{"name": "a", "saponification_value": {"min": 190, "max": 190}, "mass": 600},
        {"name": "b", "saponification_value": {"min": 250, "max": 250}, "mass": 400}]
MILK: dict[str, Any] = {"name": "milk", "water_pct": 87, "fat_pct": 4,
                        "saponification_value": {"min": 230, "max": 230}}
BODY: dict[str, Any] = {"fats": FATS, "superfat_pct": 5, "alkalis": [{"alkali": "NaOH", "purity_pct": 98}],
                        "water": {"lye_concentration_pct": 33}}


@given(st.floats(20, 50), st.sampled_from([0.1, 1.0, 5.0]))
def test_milk_in_place_of_all_the_water(concentration: float, step: float) -> None:
    reply = run(OPERATIONS["lye"], {**BODY, "water": {"lye_concentration_pct": concentration},
                                    "liquids": [{**MILK, "rest_of_water": True}], "scale": {"readability": step}})
    rows = {row["key"]: row["weigh"] for row in reply["weigh_list"]}
    assert "water" not in rows or rows["water"] == 0
    # by the definitions: water over water and alkali, and the fat of the milk among the fats
    water = rows["NaOH"] * (100 - concentration) / concentration
    assert water - 1e-6 <= rows["milk"] * 0.87 <= water + 0.87 * step + 1e-6
    demand = (rows["a"] * 190 + rows["b"] * 250 + rows["milk"] * 0.04 * 230) / 56105.6
    assert reply["superfat"]["achieved_pct"] == pytest.approx(100 * (1 - rows["NaOH"] * 0.98 / 39.9971 / demand),
                                                              abs=1e-4)


@given(st.floats(0, 50), st.floats(5, 45))
def test_a_fatty_liquid_gives_the_requested_lye_or_an_error(fat_pct: float, concentration: float) -> None:
    cream = {**MILK, "name": "cream", "fat_pct": fat_pct, "water_pct": 100 - fat_pct, "rest_of_water": True}
    if not fat_pct:
        del cream["saponification_value"]
    body = {**BODY, "water": {"lye_concentration_pct": concentration}, "liquids": [cream], "scale": {"readability": 1}}
    # 100 g of cream need this much alkali for their fat, and so much water to dissolve it at this concentration
    alkali = 0.95 * fat_pct * 230 / 56105.6 * 39.9971 / 0.98
    needed = alkali * (100 - concentration) / concentration / (100 - fat_pct)
    if needed > 0.95:
        with pytest.raises((DomainError, DomainErrors), match="cannot be the rest of the water"):
            run(OPERATIONS["lye"], body)
        return
    if needed > 0.9:
        return  # the iteration may or may not settle here
    reply = run(OPERATIONS["lye"], body)
    rows = {row["key"]: row["weigh"] for row in reply["weigh_list"]}
    water = rows["NaOH"] * (100 - concentration) / concentration
    assert water - 1e-6 <= rows["cream"] * (100 - fat_pct) / 100 <= water + 1 + 1e-6


def test_a_rest_works_by_shares_and_beside_other_liquids() -> None:
    tea = {"name": "tea", "pct_of_fats": 5, "water_pct": 99}
    body = {**BODY, "fats": [{"fat": "olive", "share_pct": 60}, {"fat": "coconut", "share_pct": 40}],
            "liquids": [tea, {**MILK, "rest_of_water": True}]}
    reply = run(OPERATIONS["scaling"], {"recipe": body, "target": {"fats_mass": 3000}})
    rows = {row["key"]: row["weigh"] for row in reply["lye"]["weigh_list"]}
    water = rows["NaOH"] * 67 / 33
    assert rows["milk"] * 0.87 + rows["tea"] * 0.99 == pytest.approx(water, abs=1.0)
    assert reply["recipe"]["liquids"][1]["rest_of_water"] is True
    again = run(OPERATIONS["lye"], reply["recipe"])
    assert {row["key"]: row["weigh"] for row in again["weigh_list"]}["milk"] == pytest.approx(rows["milk"], abs=2)


@pytest.mark.parametrize("more", [
    {"rest_of_water": True, "mass": 5}, {"rest_of_water": True, "pct_of_fats": 5}, {}, {"rest_of_water": False}])
def test_an_amount_or_the_rest_exactly_one(more: dict[str, Any]) -> None:
    with pytest.raises(Exception, match="exactly one of"):
        run(OPERATIONS["lye"], {**BODY, "liquids": [{**MILK, **more}]})


@pytest.mark.parametrize("units", ["g", "oz"])
def test_too_much_of_a_liquid_names_the_most_that_fits(units: str) -> None:
    factor = 28.349523125 if units == "oz" else 1.0
    body = {**BODY, "units": {"mass": units}, "fats": [{**fat, "mass": fat["mass"] / factor} for fat in FATS]}
    with pytest.raises((DomainError, DomainErrors), match=f"at most .* {units} of milk fits") as caught:
        run(OPERATIONS["lye"], {**body, "liquids": [{**MILK, "mass": 900 / factor}]})
    most = float(re.findall(rf"at most ([\d.]+) {units}", str(caught.value))[0])
    run(OPERATIONS["lye"], {**body, "liquids": [{**MILK, "mass": most}]})
    with pytest.raises((DomainError, DomainErrors), match="fits"):
        run(OPERATIONS["lye"], {**body, "liquids": [{**MILK, "mass": most * 1.02}]})


def test_too_much_by_shares_is_reported_in_percent() -> None:
    body = {**BODY, "fats": [{"fat": "olive", "share_pct": 60}, {"fat": "coconut", "share_pct": 40}],
            "liquids": [{"name": "tea", "pct_of_fats": 60, "water_pct": 99}]}
    with pytest.raises((DomainError, DomainErrors), match=r"at most [\d.]+ % of the fats of tea fits") as caught:
        run(OPERATIONS["scaling"], {"recipe": body, "target": {"fats_mass": 3000}})
    assert " g " not in str(caught.value)
    most = float(re.findall(r"at most ([\d.]+) %", str(caught.value))[0])
    body["liquids"] = [{"name": "tea", "pct_of_fats": most, "water_pct": 99}]
    run(OPERATIONS["scaling"], {"recipe": body, "target": {"fats_mass": 3000}})
