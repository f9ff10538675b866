"""Fats are found by part of a name and by kind."""

from __future__ import annotations

from kettlewright.reference import FatFilter, find_fats


def test_fats_are_found_by_part_of_a_name_and_by_kind() -> None:
    assert [record.key for record in find_fats(FatFilter(search="SUNFLOWER"))] == [
        "sunflower_high_oleic", "sunflower", "sunflower_mid_oleic"]
    assert [record.key for record in find_fats(FatFilter(kind="wax_ester"))] == ["jojoba", "beeswax", "lanolin"]
    assert [record.key for record in find_fats(FatFilter(search="cocos nucifera", kind="triglyceride"))] == ["coconut"]
    assert len(find_fats(FatFilter())) == 58
    assert find_fats(FatFilter(search="nothing of the kind")) == ()
