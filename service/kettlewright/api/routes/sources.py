"""GET /v1/sources."""

from __future__ import annotations

from kettlewright.api.door.operations import operation
from kettlewright.api.schemas.envelope import answer
from kettlewright.api.schemas.service import SourcesResponse
from kettlewright.reference import all_sources

__all__ = ["sources"]


@operation("GET", "/v1/sources", name="sources", gives=SourcesResponse, group="data", summary="The sources",
           description="Title of every key in `meta.sources` of a response, and how the source is known: read, read in "
           "a text about it, from memory, computed or decided here.")
def sources() -> object:
    """All sources, those of the fats among them."""
    return {**answer("sources"), "sources": all_sources().values()}
