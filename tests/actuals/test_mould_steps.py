"""Next actions once the batch is poured."""

from __future__ import annotations

from actuals.plans import replan, row, slab


def test_a_lye_heavy_batch_in_the_mould_is_rebatched_or_discarded() -> None:
    plan = slab()
    for stage in ("poured", "cut"):
        found = replan(plan, stage, row(plan, "NaOH", 25.0))
        assert found.step.what == "rebatch_or_discard"
        assert "Not for skin and not for sale" in found.step.text
        assert found.step.weigh_g is not None
        held = replan(plan, stage, row(plan, "NaOH", 8.0))
        assert held.step.what == "hold_back"
        assert "titration" in held.step.text
        # up to the edge: one step of the scale more alkali than what leaves the likely range just above 0
        low = {grams: replan(plan, stage, row(plan, "NaOH", grams)) for grams in (at / 10 for at in range(90))}
        for grams, one in low.items():
            may_be_heavy = one.lye.superfat.likely_pct.min <= 0
            assert (one.step.what == "hold_back") == may_be_heavy, grams
        assert 0 < sum(one.step.what == "hold_back" for one in low.values()) < len(low)
