"""From the cut bar to its sale: cure, dates and calendars, labels, costs and prices, purchases."""

from kettlewright.release.cost_wishes import Bucket, CostRow, CostWishes, IngredientPrice, Labour, Packaging
from kettlewright.release.costs import Cost, CostLine, Unpriced, cost_of
from kettlewright.release.cure import CURE_PRACTICE, Cured, DayInput, Practice, Promise, cure
from kettlewright.release.dates import BatchDates, ClosedDays, DateWish, Span, batch_dates
from kettlewright.release.drying import Drying, MassOnDay, Weighing, fit_drying, loss_bound
from kettlewright.release.labels import BarLabel, Label, make_label
from kettlewright.release.naming import OwnName
from kettlewright.release.packs import AtHand, Need, Pack, Supplier
from kettlewright.release.purchases import (
    Bought,
    BoughtPacks,
    Purchases,
    SupplierOrder,
    batches_for,
    choose_purchases,
)
from kettlewright.release.schedules import Schedule, ScheduledBatch, make_schedule
from kettlewright.release.selling import (
    TAX_SHOWN,
    PriceStep,
    SalesTax,
    Selling,
    SellingWish,
    ShopFees,
    sell,
)
from kettlewright.release.wishes import LabelWish
from kettlewright.release.workshop import BatchWish, CuringPlaces, MouldKind, ReleaseDay

__all__ = [
    "CURE_PRACTICE",
    "TAX_SHOWN",
    "AtHand",
    "BarLabel",
    "BatchDates",
    "BatchWish",
    "Bought",
    "BoughtPacks",
    "Bucket",
    "ClosedDays",
    "Cost",
    "CostLine",
    "CostRow",
    "CostWishes",
    "Cured",
    "CuringPlaces",
    "DateWish",
    "DayInput",
    "Drying",
    "IngredientPrice",
    "Label",
    "LabelWish",
    "Labour",
    "MassOnDay",
    "MouldKind",
    "Need",
    "OwnName",
    "Pack",
    "Packaging",
    "Practice",
    "PriceStep",
    "Promise",
    "Purchases",
    "ReleaseDay",
    "SalesTax",
    "Schedule",
    "ScheduledBatch",
    "Selling",
    "SellingWish",
    "ShopFees",
    "Span",
    "Supplier",
    "SupplierOrder",
    "Unpriced",
    "Weighing",
    "batch_dates",
    "batches_for",
    "choose_purchases",
    "cost_of",
    "cure",
    "fit_drying",
    "loss_bound",
    "make_label",
    "make_schedule",
    "sell",
]
