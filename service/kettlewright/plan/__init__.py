"""Composes recipe, pour and release: each operation's whole answer."""

from kettlewright.plan.batch import CutWish, Mixes, Pieces, Plan, PortionPlan, plan_batch, plan_portions
from kettlewright.plan.blend import Blended, plan_blend
from kettlewright.plan.cost import CostPlan, cost_rows, plan_cost, plan_cost_of_rows
from kettlewright.plan.fade import FadeLine, FadePlan, plan_fade
from kettlewright.plan.lye import LyePlan, MouldTarget, Scaled, Target, plan_lye, scale_recipe

__all__ = [
    "Blended",
    "CostPlan",
    "CutWish",
    "FadeLine",
    "FadePlan",
    "LyePlan",
    "Mixes",
    "MouldTarget",
    "Pieces",
    "Plan",
    "PortionPlan",
    "Scaled",
    "Target",
    "cost_rows",
    "plan_batch",
    "plan_blend",
    "plan_cost",
    "plan_cost_of_rows",
    "plan_fade",
    "plan_lye",
    "plan_portions",
    "scale_recipe",
]
