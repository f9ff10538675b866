"""Tolerances of net contents: checked at load, with their sources."""

from __future__ import annotations

import pytest
from kettlewright.reference import colourants, net_content_tolerances
from kettlewright.reference.net_contents import load_net_content_tolerances
from reference.tables import table


@pytest.mark.parametrize(("before", "after"), [
    ("50,100,absolute", "60,100,absolute"), ("percent_of_nominal", "guess"), ("absolute,4.5", "absolute,0"),
    ("100,200,percent", "100,100,percent")])
def test_a_broken_table_of_net_contents_is_not_loaded(before: str, after: str) -> None:
    with pytest.raises(ValueError, match="table of net contents"):
        load_net_content_tolerances(table("net_content_tolerances.csv", before, after))


def test_every_step_of_the_tolerances_says_how_it_is_known() -> None:
    for rows in net_content_tolerances().values():
        assert all(row.provenance in ("read", "second_hand", "memory") and row.source for row in rows)
    assert {row.known for row in colourants().values()} == {"memory"}
