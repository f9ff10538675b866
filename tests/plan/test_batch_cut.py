"""The cut of a batch."""

from __future__ import annotations

import pytest
from kettlewright.plan import CutOptions, plan_batch
from kettlewright.pour import BarCut, Box, Dusting, LoafCut, Mould, Portion, Residue, Trim
from kettlewright.recipe import Scale
from recipes import SHARES


def test_the_block_that_is_cut_weighs_what_the_mould_received() -> None:
    plan = plan_batch(SHARES, Mould(Box(380, 260, 60), count=2, liner_mm=1), Scale(), portions=(
        Portion("red", share_pct=40, dusting=Dusting("kaolin", 60)), Portion("plain", share_pct=60)),
        residue=Residue(10, 3), cut=CutOptions(BarCut(thickness_mm=25), LoafCut(85), 1, Trim(4, 4)),
        expected_loss_pct=11)
    cuts = plan.cuts
    assert cuts is not None
    assert cuts.bars.mass is not None
    assert cuts.kerf_mass_g is not None
    assert cuts.block.length_mm == 378
    assert (cuts.loaves.count, cuts.bars.count) == (4, 2 * 2 * 14)
    total = cuts.bars.count * cuts.bars.mass.mid_g + cuts.kerf_mass_g + sum(piece.mass_g or 0 for piece in cuts.offcuts)
    assert total == pytest.approx(plan.division.mould_mass_g, rel=1e-9)
    assert cuts.bars.cured_mass is not None
    assert cuts.bars.cured_mass.mid_g == pytest.approx(cuts.bars.mass.mid_g * 0.89)
