"""The operations, in the order of the document."""

from kettlewright.api.routes import lye, scaling, moulds, portions, fades, cuts, cure, schedules, blends, batches  # noqa: I001
from kettlewright.api.routes import fats, cautions, service

__all__ = ["batches", "blends", "cautions", "cure", "cuts", "fades", "fats", "lye", "moulds", "portions", "scaling",
           "schedules", "service"]
