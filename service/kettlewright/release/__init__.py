"""From the cut bar to sale: its label, what it costs, what it must be sold for, what must be bought."""

from kettlewright.release.cost_wishes import Bucket, CostRow, CostWishes, IngredientPrice, Labour, Packaging
from kettlewright.release.costs import Cost, CostLine, Unpriced, cost_of
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

__all__ = [
    "TAX_SHOWN",
    "AtHand",
    "BarLabel",
    "Bought",
    "BoughtPacks",
    "Bucket",
    "Cost",
    "CostLine",
    "CostRow",
    "CostWishes",
    "IngredientPrice",
    "Label",
    "LabelWish",
    "Labour",
    "Need",
    "OwnName",
    "Pack",
    "Packaging",
    "PriceStep",
    "Purchases",
    "SalesTax",
    "Selling",
    "SellingWish",
    "ShopFees",
    "Supplier",
    "SupplierOrder",
    "Unpriced",
    "batches_for",
    "choose_purchases",
    "cost_of",
    "make_label",
    "sell",
]
