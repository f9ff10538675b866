"""96 samples of seven commercial oils, measured by gas chromatography, as fats of a maker's own.

Source: the open data set "oils" of the package modeldata (fatty acids in percent; after Brodnjak-Voncina and others,
2005, Chemometrics and Intelligent Laboratory Systems 75, from memory), read from a copy; figures only.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from kettlewright.recipe.certificates import Profile
from kettlewright.reference import fats

IN_TABLE = {"sunflower": "sunflower", "soybean": "soybean", "rapeseed": "canola", "olive": "olive", "peanut": "peanut",
            "corn": "corn"}


def profiles() -> dict[str, list[Profile]]:
    found: dict[str, list[Profile]] = {}
    with (Path(__file__).parent / "measured_oils.csv").open(encoding="utf-8") as file:
        for row in csv.DictReader(file):
            oil = row.pop("oil")
            shares = {notation: float(share) for notation, share in row.items() if float(share) > 0}
            total = sum(shares.values())  # 94.8 to 101.2: what was not measured, and rounding
            found.setdefault(oil, []).append(Profile({key: 100 * share / total for key, share in shares.items()}))
    return found


def test_there_are_as_many_as_were_measured() -> None:
    assert {oil: len(samples) for oil, samples in profiles().items()} == {
        "pumpkin": 37, "sunflower": 26, "soybean": 11, "rapeseed": 10, "olive": 7, "peanut": 3, "corn": 2}


@pytest.mark.parametrize(("oil", "key"), IN_TABLE.items())
def test_every_sample_lies_in_the_range_that_standards_allow_its_oil(oil: str, key: str) -> None:
    allowed = fats()[key].saponification_value
    for sample in profiles()[oil]:
        assert allowed.min <= sample.range.mid <= allowed.max


@pytest.mark.parametrize("oil", [*IN_TABLE, "pumpkin"])
def test_all_samples_of_an_oil_lie_in_the_declared_range_of_each(oil: str) -> None:
    samples = profiles()[oil]
    for declared in samples:
        for other in samples:
            assert declared.range.min <= other.range.mid <= declared.range.max
