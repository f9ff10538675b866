"""A fat of the recipe: its range, and statements that contradict each other."""

from __future__ import annotations

from typing import Any

import pytest
from kettlewright.errors import DomainErrors
from kettlewright.ranges import Range
from kettlewright.recipe import Certificate, FatPortion, Profile, make_lye
from kettlewright.recipe.weighing import EXACT
from recipes import recipe


def test_a_table_range_too_narrow_to_be_true_is_widened_to_one_percent_either_way() -> None:
    fat = make_lye(recipe(FatPortion("jojoba", mass_g=100)), EXACT).fats[0].fat
    assert fat.range_widened
    value = fat.saponification_value
    assert (value.min, value.max) == (pytest.approx(91.278), pytest.approx(93.122))
    assert not make_lye(recipe(FatPortion("olive", mass_g=100)), EXACT).fats[0].fat.range_widened


@pytest.mark.parametrize(("given", "words"), [
    ({"fat": "olive", "saponification_value": Range(188, 192)}, "is in the table"),
    ({"name": "mine", "certificate": Certificate(190), "profile": Profile({"C18:1": 100})}, "give only one of them"),
    ({"name": "mine", "certificate": Certificate(190, acid_value=1), "acid_value": 2}, "already states an acid value"),
    ({"fat": "olive", "acid_value": 190}, "part of the saponification value")])
def test_contradicting_statements_of_a_fat_are_rejected(given: dict[str, Any], words: str) -> None:
    with pytest.raises(DomainErrors, match=words):
        FatPortion(mass_g=100, **given)
