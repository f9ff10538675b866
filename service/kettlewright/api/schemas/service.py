"""Responses of the service's own addresses."""

from __future__ import annotations

from kettlewright.api.door.fields import Choice, Text
from kettlewright.api.door.strict import ListOf, Part, Strict
from kettlewright.api.schemas.envelope import Meta, ResponsePart
from kettlewright.cautions import PLACES, SEVERITIES
from kettlewright.languages import LOCALES
from kettlewright.reference import PROVENANCES

__all__ = ["CautionsQuery", "CautionsResponse", "SourcesResponse", "StateResponse", "VersionResponse"]


class CautionsQuery(Strict):
    """In which language the cautions are given."""

    locale = Choice(LOCALES, about="Language of the texts; default en")


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


class StateResponse(ResponsePart):
    """Whether the service is there."""

    status = Text(about="ok", example="ok")


class VersionResponse(ResponsePart):
    """Versions."""

    version = Text(about="Of the service", example="0.2.0")
    data_version = Text(about="Of the tables", example="2026.1")
