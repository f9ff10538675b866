"""The operations, in the order of the document."""

from kettlewright.api.routes import lye, scaling, moulds, portions, fades, cuts, blends, batches, labels  # noqa: I001
from kettlewright.api.routes import fats, cautions, service

__all__ = ["batches", "blends", "cautions", "cuts", "fades", "fats", "labels", "lye", "moulds", "portions", "scaling",
           "service"]
