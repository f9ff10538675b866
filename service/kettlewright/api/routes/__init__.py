"""The operations, in the order of the document."""

from kettlewright.api.routes import lye, scaling, moulds, portions, cuts, blends, batches, fats, cautions, service  # noqa: I001

__all__ = ["batches", "blends", "cautions", "cuts", "fats", "lye", "moulds", "portions", "scaling", "service"]
