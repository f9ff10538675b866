"""The operations, in the order of the document."""

from kettlewright.api.routes import lye, scaling, moulds, portions, fades, cuts, blends, batches, costs  # noqa: I001
from kettlewright.api.routes import purchases
from kettlewright.api.routes import fats, cautions, service

__all__ = ["batches", "blends", "cautions", "costs", "cuts", "fades", "fats", "lye", "moulds", "portions", "purchases",
           "scaling", "service"]
