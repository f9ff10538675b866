"""The operations, in the order of the document."""

from kettlewright.api.routes import lye, scaling, moulds, portions, cuts, batches, fats, cautions, service  # noqa: I001

__all__ = ["batches", "cautions", "cuts", "fats", "lye", "moulds", "portions", "scaling", "service"]
