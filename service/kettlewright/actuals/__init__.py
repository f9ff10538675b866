"""Replans a batch from what was really weighed, and says what to do next."""

from kettlewright.actuals.bars_made import BarsMade, ReportedBars
from kettlewright.actuals.poured import ActualPour, PourSettings
from kettlewright.actuals.replan import Actuals, plan_actuals
from kettlewright.actuals.rows import STAGES, ReportedWeighing
from kettlewright.actuals.steps import ACTIONS, Step

__all__ = [
    "ACTIONS",
    "STAGES",
    "ActualPour",
    "Actuals",
    "BarsMade",
    "PourSettings",
    "ReportedBars",
    "ReportedWeighing",
    "Step",
    "plan_actuals",
]
