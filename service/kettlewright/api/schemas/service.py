"""Replies of the service's own addresses."""

from __future__ import annotations

from kettlewright.api.fields import Choice, ListOf, Part, Strict, Text
from kettlewright.api.schemas.envelope import Meta, ResponsePart
from kettlewright.cautions import PLACES, SEVERITIES
from kettlewright.languages import LOCALES

__all__ = ["CautionsQuery", "CautionsResponse", "StateResponse", "VersionResponse"]


class CautionsQuery(Strict):
    """In which language the cautions are told."""

    locale = Choice(LOCALES, about="Language of the texts; en where not given")


class CautionEntry(ResponsePart):
    """A caution of the catalogue."""

    key = Text(about="Stable key", example="alkali-into-water")
    severity = Choice(SEVERITIES[1:], about="The usual one")
    text = Text(about="What it says", example="Alkali into cold water, slowly and stirring.")
    basis = Text(about="What it rests on", example="read: safety data sheets")
    place = Choice(list(PLACES), about="The step of the work at which it matters")
    standing_for = ListOf(Text(example="lye"), about="Operations it always stands at")


class CautionsResponse(ResponsePart):
    """All cautions."""

    cautions = ListOf(Part(CautionEntry), about="In the order of the hands")
    locale = Choice(LOCALES, about="The language of the texts")
    meta = Part(Meta, about="Which service and which data")


class StateResponse(ResponsePart):
    """Whether the service is there."""

    status = Text(about="ok", example="ok")


class VersionResponse(ResponsePart):
    """Versions."""

    version = Text(about="Of the service", example="0.1.0")
    data_version = Text(about="Of the tables", example="2026.1")
