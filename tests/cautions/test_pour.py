"""Cautions of layers."""

from __future__ import annotations

from kettlewright.plan import plan_batch
from kettlewright.pour import Box, Measured, Mould
from kettlewright.recipe import Scale
from portions import layers
from recipes import SHARES


def test_a_layer_too_thin_to_pour_is_reported() -> None:
    plan = plan_batch(SHARES, Mould(Box(200, 100, 80)), Scale(), portions=layers(2.9, 3.3))
    cautions = [caution for caution in plan.cautions if caution.key == "layer-thin"]
    assert [caution.pointer for caution in cautions] == ["/portions/0"]


def test_heights_in_a_measured_mould_are_called_estimates() -> None:
    plan = plan_batch(SHARES, Mould(Measured(900, 60)), Scale())
    assert "height-estimated" in {caution.key for caution in plan.cautions}
