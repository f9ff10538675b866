"""The operations, in the order of the document."""

# not sorted: to import them is to register them, and the document keeps that order
from kettlewright.api.endpoints import lye, scaling, moulds, portions, fades, cuts, cure, schedules, blends, batches  # noqa: I001
from kettlewright.api.endpoints import actuals, rebatches
from kettlewright.api.endpoints import labels, costs, purchases
from kettlewright.api.endpoints import fats, cautions, sources, service
from kettlewright.api.parts.answer_pages import add_pages

__all__ = ["actuals", "batches", "blends", "cautions", "costs", "cure", "cuts", "fades", "fats", "labels", "lye",
           "moulds", "portions", "purchases", "rebatches", "scaling", "schedules", "service", "sources"]

add_pages()
