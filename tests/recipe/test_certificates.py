"""What a maker can know about a fat: a certificate, or its fatty acids."""

from __future__ import annotations

from typing import Any

import pytest
from kettlewright.errors import DomainErrors
from kettlewright.recipe import Certificate, FatPortion, Profile, make_lye
from kettlewright.recipe.weighing import EXACT
from recipes import recipe


def test_a_certificate_gives_a_range_and_a_source() -> None:
    fat = FatPortion(name="olive, lot 9", certificate=Certificate(190.4, 0.8, acid_value=1.2, date="2026-10-01"),
                     mass_g=1000)
    lye = make_lye(recipe(fat), EXACT)
    value = lye.fats[0].fat.saponification_value
    assert (value.min, value.max) == (pytest.approx(189.6), pytest.approx(191.2))
    assert [source.title for source in lye.sources] == ["Certificate of olive, lot 9, 2026-10-01"]
    assert lye.soap.water_mass_g > lye.solution.water_mass_g


@pytest.mark.parametrize(("given", "words"), [
    ({"value": 190, "acid_value": 191}, "part of the saponification value"),
    ({"value": 190, "date": "1.10.2026"}, "not a date"),
    ({"value": 40}, "from 60 to 400"), ({"value": 190, "tolerance": -1}, "tolerance")])
def test_a_certificate_that_cannot_be_is_rejected(given: dict[str, Any], words: str) -> None:
    with pytest.raises(DomainErrors, match=words):
        Certificate(**given)


def test_a_profile_gives_the_value_that_follows() -> None:
    # triolein 885.43 g/mol by periodictable: 3 x 56105.6 / 885.43 = 190.10, less half a percent
    olein = Profile({"C18:1": 100}, unsaponifiable_pct=0.5)
    assert olein.range.mid == pytest.approx(190.10 * 0.995, abs=0.02)
    assert olein.range.half_width == pytest.approx(0.01 * olein.range.mid)
    # shares that a laboratory rounded tell the same fat
    assert Profile({"C18:1": 99.6}, unsaponifiable_pct=0.5).range.mid == pytest.approx(olein.range.mid, rel=1e-12)


@pytest.mark.parametrize(("shares", "words"), [
    ({"C18:1": 90}, "add up to 90"), ({"C18:9": 100}, "is not a known fatty acid"),
    ({"oleic": 100}, 'Did you mean "C18:1"')])
def test_a_profile_that_cannot_be_is_rejected(shares: dict[str, float], words: str) -> None:
    with pytest.raises(DomainErrors, match=words):
        Profile(shares)
