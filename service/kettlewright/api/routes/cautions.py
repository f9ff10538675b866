"""GET /v1/cautions."""

from __future__ import annotations

from kettlewright.api.door.operations import operation
from kettlewright.api.schemas.envelope import answer
from kettlewright.api.schemas.service import CautionsQuery, CautionsResponse
from kettlewright.cautions import CATALOGUE

__all__ = ["cautions"]


@operation("GET", "/v1/cautions", name="cautions", query=CautionsQuery, gives=CautionsResponse, group="data",
           summary="The cautions",
           description="Every caution with its stable key, its text and its source. They do not replace the safety "
           "data sheets of your materials, nor local law.")
def cautions(**_: str) -> object:
    """The cautions, in the language that governs the request."""
    entries = [{"key": entry.key, "severity": entry.severity, "text": entry.text, "basis": entry.basis,
                "provenance": entry.provenance,
                "place": entry.place, "standing_for": sorted(entry.standing_for)} for entry in CATALOGUE.values()]
    return {**answer("cautions"), "cautions": entries}
