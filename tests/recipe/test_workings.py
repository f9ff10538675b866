"""The workings: what is shown is what was computed, and a pocket calculator can follow it."""

from __future__ import annotations

import math

import pytest
from kettlewright.plan import plan_lye
from kettlewright.recipe import (
    AcidPortion,
    AlkaliPortion,
    FatPortion,
    LiquidPortion,
    Recipe,
    Scale,
    Stock,
    Temperatures,
    WaterRule,
    WorkingLine,
)
from kettlewright.recipe.workings import SILENT, Book, Formula
from recipes import own_fat, recipe

PLAIN = recipe(FatPortion("olive", mass_g=700), FatPortion("coconut", mass_g=300.4), alkalis=(
    AlkaliPortion("NaOH", purity_pct=98),), water_c=20)
EVERYTHING = Recipe(
    fats=(FatPortion("olive", mass_g=700), own_fat(300, 257, 8)), superfat_at_least_pct=2,
    alkalis=(AlkaliPortion("NaOH", stock=Stock(50), share_pct=60), AlkaliPortion("KOH", purity_pct=90, share_pct=40)),
    water=WaterRule(water_pct_of_fats=36, ice_pct=25), acids=(AcidPortion("lactic", mass_g=12, strength_pct=80),),
    liquids=(LiquidPortion(name="milk", mass_g=60, water_pct=87, fat_pct=4, fat="butterfat"),),
    temperatures=Temperatures(water_c=15, fats_c=35, lye_c=40, pour_c=38))
# what a pocket calculator has, written here anew
CALCULATOR = {"__builtins__": {}, "sqrt": math.sqrt, "max": max, "min": min,
              "down_to": lambda mass, step: math.floor(mass / step + 1e-6) * step,
              "nearest_to": lambda mass, step: round(mass / step) * step,
              "up_to": lambda mass, step: math.ceil(mass / step - 1e-6) * step}


def lines(requested: Recipe) -> list[WorkingLine]:
    return list(plan_lye(requested, Scale(), workings=True, expected_loss_pct=11).workings)


@pytest.mark.parametrize("requested", [PLAIN, EVERYTHING], ids=["plain", "everything"])
def test_every_line_can_be_computed_again_from_its_own_numbers(requested: Recipe) -> None:
    found = lines(requested)
    assert len(found) > 30
    for line in found:
        if not line.formula.startswith("read off"):
            again = eval(line.numbers, CALCULATOR)
            assert again == pytest.approx(line.result, rel=1e-6, abs=1e-7), line


def test_the_lines_end_in_the_figures_of_the_reply() -> None:
    plan = plan_lye(PLAIN, Scale(), workings=True, expected_loss_pct=11)
    results = {line.figure: line.result for line in plan.workings}
    lye = plan.lye
    peak = lye.solution.peak_temperature
    assert peak is not None
    for figure, value in (
            ("NaOH on the scale", lye.alkalis[0].weigh_g), ("before the scale: NaOH as bought", lye.alkalis[0].mass_g),
            ("water on the scale", lye.water.weigh_g), ("before the scale: water to add", lye.water.mass_g),
            ("the lye", lye.solution.mass_g), ("lye concentration", lye.solution.concentration_pct),
            ("density of the lye at 40 degC", lye.solution.density), ("achieved superfat", lye.superfat.achieved_pct),
            ("superfat, likely, lower end", lye.superfat.likely_pct.min),
            ("superfat, worst case, upper end", lye.superfat.worst_case_pct.max),
            ("peak temperature, lower", peak.range.min), ("peak temperature, higher", peak.range.max),
            ("glycerol", lye.soap.glycerol_mass_g), ("anhydrous soap", lye.soap.mass_g),
            ("total fatty matter, fresh", lye.soap.tfm_pct), ("fresh batter", lye.mass_g),
            ("volume of the batter", plan.batter.volume_ml), ("the pot", plan.vessels.pot_ml),
            ("the jug", plan.vessels.jug_ml)):
        assert results[figure] == value, figure


def test_every_line_names_its_source_and_unit() -> None:
    for line in lines(EVERYTHING):
        assert line.source
        assert line.unit


def test_a_figure_is_the_same_with_and_without_workings() -> None:
    silent, worked = plan_lye(EVERYTHING, Scale()), plan_lye(EVERYTHING, Scale(), workings=True)
    assert silent.workings == ()
    assert silent.lye == worked.lye


def test_a_formula_is_its_text() -> None:
    formula = Formula("(1 - s) * sum(parts) / M")
    assert formula(s=0.05, parts=[1.0, 2.0, 3.0], M=2.0) == pytest.approx(2.85)
    assert formula.with_numbers({"s": 0.05, "parts": [1.0, 2.5], "M": 1 / 3}) == "(1 - 0.05) * (1 + 2.5) / 0.333333333"
    assert Formula("sum(none)").with_numbers({"none": []}) == "0"


@pytest.mark.parametrize("text", ["__import__('os')", "a.b", "[x for x in y]", "open(x)", "a if b else c", "a and b"])
def test_a_formula_is_arithmetic_and_nothing_else(text: str) -> None:
    with pytest.raises(ValueError, match="more than arithmetic"):
        Formula(text)


def test_a_silent_book_keeps_nothing() -> None:
    assert SILENT.work("x", Formula("a + 1"), "g", "none", a=1) == 2
    assert SILENT.lines is None
    book = Book()
    book.read_off("y", 3.0, "g", "a table", "at 5 %")
    assert book.lines == [WorkingLine("y", "read off at 5 %", "at 5 %", 3.0, "g", "a table")]
