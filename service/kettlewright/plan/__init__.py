"""Composes recipe, pour and release: each operation's whole answer."""

from kettlewright.plan.batch import Plan, plan_batch
from kettlewright.plan.batch_cut import CutOptions, Pieces
from kettlewright.plan.batch_fade import BatchFade
from kettlewright.plan.blend import Blended, plan_blend
from kettlewright.plan.cost import CostPlan, cost_rows, plan_cost, plan_cost_of_rows
from kettlewright.plan.fade import FadeLine, FadePlan, plan_fade
from kettlewright.plan.fade_options import FadeOptions, MadeSwatch, OtherEnd
from kettlewright.plan.label import label_of
from kettlewright.plan.lye_plan import LyePlan, Scaled, plan_lye, scale_recipe
from kettlewright.plan.melted_soap import MeltedSoap, OffcutOptions, Offcuts, check_batches
from kettlewright.plan.mixes import Mixes
from kettlewright.plan.portion_plan import Bench, PortionPlan, plan_portions
from kettlewright.plan.rebatch_superfat import LYE_HEAVY
from kettlewright.plan.rebatch_water import MeltingLiquid
from kettlewright.plan.rebatches import RebatchPlan, plan_rebatch
from kettlewright.plan.resolved import RESTS_ON, Comparison, Resolved, ResolvedLine, compare, resolve
from kettlewright.plan.target import MouldTarget, Target
from kettlewright.plan.to_sale import ToSale, plan_to_sale

__all__ = [
    "LYE_HEAVY",
    "RESTS_ON",
    "BatchFade",
    "Bench",
    "Blended",
    "Comparison",
    "CostPlan",
    "CutOptions",
    "FadeLine",
    "FadeOptions",
    "FadePlan",
    "LyePlan",
    "MadeSwatch",
    "MeltedSoap",
    "MeltingLiquid",
    "Mixes",
    "MouldTarget",
    "OffcutOptions",
    "Offcuts",
    "OtherEnd",
    "Pieces",
    "Plan",
    "PortionPlan",
    "RebatchPlan",
    "Resolved",
    "ResolvedLine",
    "Scaled",
    "Target",
    "ToSale",
    "check_batches",
    "compare",
    "cost_rows",
    "label_of",
    "plan_batch",
    "plan_blend",
    "plan_cost",
    "plan_cost_of_rows",
    "plan_fade",
    "plan_lye",
    "plan_portions",
    "plan_rebatch",
    "plan_to_sale",
    "resolve",
    "scale_recipe",
]
