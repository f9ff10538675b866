"""A recipe as the maker gives it."""

from __future__ import annotations

import pytest
from kettlewright.errors import DomainError
from kettlewright.recipe import FatPortion, make_lye
from kettlewright.recipe.ingredients import check_shares
from kettlewright.recipe.weighing import EXACT
from recipes import recipe


def test_the_same_fat_of_two_lots_is_two_fats() -> None:
    two = recipe(FatPortion("olive", mass_g=10, lot="A"), FatPortion("olive", mass_g=20, lot="B"))
    assert [fat.lot for fat in make_lye(two, EXACT).fats] == ["A", "B"]
    with pytest.raises(ValueError, match="appears twice"):
        recipe(FatPortion("olive", mass_g=10, lot="A"), FatPortion("olive", mass_g=20))


@pytest.mark.parametrize(("shares", "good"), [
    ([33.33, 33.33, 33.33], True), ([33.34, 33.33, 33.34], True), ([14.29] * 6 + [14.27], True),
    ([33.33, 33.33, 33.32], False), ([50, 50.011], False)])
def test_shares_add_up_to_100_to_a_hundredth_in_decimals(shares: list[float], good: bool) -> None:
    # the sums in decimals: 99.99, 100.01, 100.01; 99.98, 100.011
    if good:
        check_shares(shares, "fats")
    else:
        with pytest.raises(DomainError, match="must add up to 100"):
            check_shares(shares, "fats")
