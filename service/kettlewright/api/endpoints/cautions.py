"""GET /v1/cautions."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import AbstractContextManager
from typing import Any

from kettlewright.api.door.fields import Choice, Text
from kettlewright.api.door.operations import operation
from kettlewright.api.door.responses import ResponsePart
from kettlewright.api.door.strict import ListOf, Part, Strict
from kettlewright.api.parts.envelope import Meta, answer, governed
from kettlewright.cautions import CATALOGUE, PLACES, SEVERITIES
from kettlewright.languages import LOCALES
from kettlewright.reference import PROVENANCES

__all__ = ["CautionsQuery", "CautionsResponse", "cautions"]


class CautionsQuery(Strict):
    """In which language the cautions are given."""

    locale = Choice(LOCALES, about="Language of the texts; default en")

    def governing(self, body: Mapping[str, Any]) -> AbstractContextManager[None]:
        """The language of the query (`body`)."""
        return governed(locale=body.get("locale"))


class CautionEntry(ResponsePart):
    """A caution of the catalogue."""

    key = Text(about="Stable key", example="alkali-into-water")
    severity = Choice(SEVERITIES[1:], about="The usual one")
    message = Text(attribute="text", about="Its text", example="Alkali into cold water, slowly and stirring.")
    provenance = Choice(PROVENANCES, about="How it is known")
    source = Text(attribute="basis", about="What it rests on", example="read: safety data sheets")
    place = Choice(list(PLACES), about="The step of the work at which it matters")
    standing_for = ListOf(Text(example="lye"), about="Operations where it always applies")


class CautionsResponse(ResponsePart):
    """All cautions."""

    cautions = ListOf(Part(CautionEntry), about="In the order of the work")
    locale = Choice(LOCALES, about="The language of the texts")
    meta = Part(Meta, about="Versions of service and data")


@operation("GET", "/v1/cautions", name="cautions", query=CautionsQuery, response=CautionsResponse, group="data",
           main_table="cautions", summary="The cautions",
           description="Every caution with its stable key, its text and its source. They do not replace the safety "
           "data sheets of your materials, nor local law.")
def cautions(**_: str) -> object:
    """The cautions, in the language that governs the request."""
    entries = [{"key": entry.key, "severity": entry.severity, "text": entry.text, "basis": entry.basis,
                "provenance": entry.provenance,
                "place": entry.place, "standing_for": sorted(entry.standing_for)} for entry in CATALOGUE.values()]
    return {**answer("cautions"), "cautions": entries}

