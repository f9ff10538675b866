"""The operations, in the order of the document."""

# not sorted: to import them is to register them, and the document keeps that order
from kettlewright.api.routes import lye, scaling, moulds, portions, fades, cuts, cure, schedules, blends, batches  # noqa: I001
from kettlewright.api.routes import actuals
from kettlewright.api.routes import labels, costs, purchases
from kettlewright.api.routes import fats, cautions, sources, service
from kettlewright.api.routes import links

__all__ = ["actuals", "batches", "blends", "cautions", "costs", "cure", "cuts", "fades", "fats", "labels", "links",
           "lye", "moulds", "portions", "purchases", "scaling", "schedules", "service", "sources"]
