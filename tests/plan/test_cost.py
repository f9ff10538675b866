"""A jar of dispersion is paid whole, by the buckets that take of it."""

from __future__ import annotations

import pytest
from kettlewright.plan import cost_rows, plan_batch
from kettlewright.pour import Addition, Box, Dispersion, Mould, Portion
from kettlewright.recipe import Scale
from recipes import SHARES


def test_the_rows_of_a_jar_add_up_to_the_jar() -> None:
    dye = Addition("dye", "colourant", 8, "g_per_kg_batter", dispersion=Dispersion("oil", 20, fat="sunflower"))
    plan = plan_batch(SHARES, Mould(Box(250, 80, 70)), Scale(), expected_loss_pct=10, portions=[
        Portion("a", share_pct=70, additions=(dye,)), Portion("b", share_pct=30, additions=(dye,))])
    rows = cost_rows(plan)
    jar, = plan.bench.dispersions
    dry = {row.portion: row.mass_g for row in rows if row.key == "dye"}
    oil = {row.portion: row.mass_g for row in rows if row.key == "sunflower"}
    assert sum(dry.values()) == pytest.approx(jar.dry_weigh_g)
    assert sum(oil.values()) == pytest.approx(jar.carrier_weigh_g)
    assert dry["a"] / dry["b"] == pytest.approx(oil["a"] / oil["b"]) == pytest.approx(7 / 3, rel=0.01)
