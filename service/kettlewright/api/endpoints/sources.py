"""GET /v1/sources."""

from __future__ import annotations

from kettlewright.api.door.fields import Choice, Text
from kettlewright.api.door.operations import operation
from kettlewright.api.door.responses import ResponsePart
from kettlewright.api.door.strict import ListOf, Part
from kettlewright.api.parts.envelope import Meta, answer
from kettlewright.reference import PROVENANCES, all_sources

__all__ = ["SourcesResponse", "sources"]


class SourceEntry(ResponsePart):
    """A source that numbers rest on."""

    key = Text(about="Key, as in `meta.sources`", example="gum_jcgm_100")
    title = Text(about="Title, edition, table", example="JCGM 100 (GUM)")
    provenance = Choice(PROVENANCES, about="How most of it is known", example="second_hand")
    message = Text(attribute="how_read", about="How each part of it is known, in words", example="second-hand")


class SourcesResponse(ResponsePart):
    """All sources."""

    sources = ListOf(Part(SourceEntry), about="In the order of the work, those of single fats last")
    meta = Part(Meta, about="Versions of service and data")


@operation("GET", "/v1/sources", name="sources", response=SourcesResponse, group="data",
           main_table="sources", summary="The sources",
           description="Title of every key in `meta.sources` of a response, and how the source is known: read, read in "
           "a text about it, from memory, computed or decided here.")
def sources() -> object:
    """All sources, those of the fats among them."""
    return {**answer("sources"), "sources": all_sources().values()}

