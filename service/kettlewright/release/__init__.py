"""From the cut bar to its sale: cure, dates and calendars, labels, costs and prices, purchases."""

from kettlewright.release.days.closed_days import ClosedDays, Span
from kettlewright.release.days.cure import CURE_PRACTICE, Cured, Practice, cure
from kettlewright.release.days.cure_days import DayInput, Promise
from kettlewright.release.days.dates import BatchDates, DateOptions, batch_dates
from kettlewright.release.days.drying import Drying, MassOnDay, Weighing, loss_bound
from kettlewright.release.days.drying_fit import fit_drying
from kettlewright.release.days.schedules import Schedule, ScheduledBatch, make_schedule
from kettlewright.release.days.workshop import BatchOfDesign, CuringPlaces, MouldKind, ReleaseDay
from kettlewright.release.label.bar_labels import BarLabel
from kettlewright.release.label.label_options import LabelOptions
from kettlewright.release.label.labels import Label, label_of_contents, make_label, namer_of
from kettlewright.release.label.naming import OwnName
from kettlewright.release.money.batches_for import batches_for
from kettlewright.release.money.bought import Bought, BoughtPacks, Purchases, SupplierOrder
from kettlewright.release.money.cost_options import (
    CostOptions,
    CostRow,
    IngredientPrice,
    Labour,
    Packaging,
    PortionOfPot,
)
from kettlewright.release.money.costs import Cost, CostLine, Unpriced, cost_of
from kettlewright.release.money.packs import AtHand, Need, Pack, Supplier
from kettlewright.release.money.purchases import choose_purchases
from kettlewright.release.money.selling import (
    TAX_SHOWN,
    PriceStep,
    SalesTax,
    Selling,
    SellingOptions,
    ShopFees,
    sell,
)

__all__ = [
    "CURE_PRACTICE",
    "TAX_SHOWN",
    "AtHand",
    "BarLabel",
    "BatchDates",
    "BatchOfDesign",
    "Bought",
    "BoughtPacks",
    "ClosedDays",
    "Cost",
    "CostLine",
    "CostOptions",
    "CostRow",
    "Cured",
    "CuringPlaces",
    "DateOptions",
    "DayInput",
    "Drying",
    "IngredientPrice",
    "Label",
    "LabelOptions",
    "Labour",
    "MassOnDay",
    "MouldKind",
    "Need",
    "OwnName",
    "Pack",
    "Packaging",
    "PortionOfPot",
    "Practice",
    "PriceStep",
    "Promise",
    "Purchases",
    "ReleaseDay",
    "SalesTax",
    "Schedule",
    "ScheduledBatch",
    "Selling",
    "SellingOptions",
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
    "label_of_contents",
    "loss_bound",
    "make_label",
    "make_schedule",
    "namer_of",
    "sell",
]
