"""Replies as frozen objects, with the names of the contract. Quantities are in the units of the request.

Each stage has its own module; the most used classes are exported here too. Fields of a newer service stay in `raw`, and
enum values that this client does not know stay strings.
"""

from __future__ import annotations

from kettlewright_client.results.actuals import Actuals
from kettlewright_client.results.batch import Batch
from kettlewright_client.results.blends import Blend
from kettlewright_client.results.cure import (
    BatchDates,
    BatchDays,
    CoursePoint,
    Cure,
    CureDay,
    CurveErrors,
    DryingCurve,
    Practice,
    Until,
    WeighedOn,
    WetTarget,
    When,
)
from kettlewright_client.results.cuts import Bars, Cuts, CutsCore, Loaves, Offcut, Positions
from kettlewright_client.results.fades import Fade, FadeCore
from kettlewright_client.results.fats import FatEntry, Fats, Figure
from kettlewright_client.results.ground import Caution, Range, Reply, Spread, Vessels, WeighRow, WorkingLine
from kettlewright_client.results.labels import Label, Labels
from kettlewright_client.results.money import Cost, Costs, Money, Purchases
from kettlewright_client.results.moulds import Areas, Fill, Mould, MouldCore
from kettlewright_client.results.portions import Addition, Dusting, Layer, Portion, Portions
from kettlewright_client.results.reading import read
from kettlewright_client.results.recipe import (
    Alkali,
    Batter,
    Fat,
    Ice,
    Ingredient,
    Lye,
    LyeCore,
    LyeSolution,
    LyeWithList,
    Scaled,
    Soap,
    Stock,
    Superfat,
    Water,
)
from kettlewright_client.results.schedules import Load, Schedule, ScheduledBatch

__all__ = ["Actuals", "Addition", "Alkali", "Areas", "Bars", "Batch", "BatchDates", "BatchDays", "Batter", "Blend",
           "Caution", "Cost", "Costs", "CoursePoint", "Cure", "CureDay", "CurveErrors", "Cuts", "CutsCore",
           "DryingCurve", "Dusting", "Fade", "FadeCore", "Fat", "FatEntry", "Fats", "Figure", "Fill", "Ice",
           "Ingredient", "Label", "Labels", "Layer", "Load", "Loaves", "Lye", "LyeCore", "LyeSolution", "LyeWithList",
           "Money", "Mould", "MouldCore", "Offcut", "Portion", "Portions", "Positions", "Practice", "Purchases",
           "Range", "Reply", "Scaled", "Schedule", "ScheduledBatch", "Soap", "Spread", "Stock", "Superfat", "Until",
           "Vessels", "Water", "WeighRow", "WeighedOn", "WetTarget", "When", "WorkingLine", "read"]
