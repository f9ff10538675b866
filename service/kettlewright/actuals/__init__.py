"""Replans a batch from what was really weighed, and says what to do next."""

from kettlewright.actuals.bars_made import BarsMade, ReportedBars
from kettlewright.actuals.poured import ActualPour, PourSettings
from kettlewright.actuals.records import BatchRecord, Correction, RecordOptions, as_made, record_of
from kettlewright.actuals.remedies import REMEDIES, Remedy, RemedyRow, cost_of_remedy
from kettlewright.actuals.replan import Actuals, plan_actuals
from kettlewright.actuals.rows import STAGES, ReportedWeighing
from kettlewright.actuals.steps import ACTIONS, Step

__all__ = [
    "ACTIONS",
    "REMEDIES",
    "STAGES",
    "ActualPour",
    "Actuals",
    "BarsMade",
    "BatchRecord",
    "Correction",
    "PourSettings",
    "RecordOptions",
    "Remedy",
    "RemedyRow",
    "ReportedBars",
    "ReportedWeighing",
    "Step",
    "as_made",
    "cost_of_remedy",
    "plan_actuals",
    "record_of",
]
