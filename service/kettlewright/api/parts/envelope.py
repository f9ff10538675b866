"""What every request may have and every response has: units, language, cautions, sources."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from contextlib import AbstractContextManager, contextmanager
from dataclasses import fields
from typing import Any, ClassVar

from marshmallow import ValidationError

from kettlewright import __version__
from kettlewright.api.door.compiled_load import compiled_load
from kettlewright.api.door.fields import AsGiven, Choice, Text
from kettlewright.api.door.responses import ResponsePart
from kettlewright.api.door.strict import ListOf, Part, Strict
from kettlewright.api.parts.coop import COOP_FILES, current_coop
from kettlewright.api.parts.own_fats import own_fats_of, using_own_fats
from kettlewright.api.parts.scales import scale_of
from kettlewright.api.parts.units import UnitsChoice, UnitsOfResponse
from kettlewright.cautions import PLACES, SEVERITIES, Caution, standing, worst_severity
from kettlewright.languages import LOCALES, current_locale, default_locale, using_locale
from kettlewright.reference import DATA_VERSION, SOURCES, Source, all_sources
from kettlewright.units import Units, current_units, default_units, using

__all__ = ["GOVERNING", "BaseResponse", "CertificateEntry", "CoopDataVersion", "FromCoop", "Meta", "Request",
           "TriggeredCaution", "answer", "governed"]

_load_units = compiled_load(UnitsChoice())
GOVERNING = ("units", "locale", "own_fats")  # hold around the whole load, by `governed`


@contextmanager
def governed(*, units: object = None, locale: object = None, own_fats: object = None,
             own_fats_max: int = 0) -> Iterator[None]:
    """Let units, language and own fats of a request hold for a while.

    Parameters
    ----------
    units, locale, own_fats : object
        As given in the body. What is wrong with them is left out here: the load of the body reports it together with
        all other errors. [as in JSON]
    own_fats_max : int
        How many own fats the body may have. [number]
    """
    use = current_coop.get()
    of_coop = {} if use is None else use.fats
    with (using(_units_of(units)), using_locale(locale if isinstance(locale, str) and locale in LOCALES
                                                else default_locale),
          using_own_fats({**of_coop, **own_fats_of(own_fats, at_most=own_fats_max)})):
        yield


def _units_of(given: object) -> Units:
    if isinstance(given, dict):
        try:
            units: Units = _load_units(given)
        except ValidationError:
            return default_units
        return units
    return default_units


class Request(Strict):
    """A body: what it may always have."""

    units = Part(UnitsChoice, about="Units that govern the request and the response")
    locale = Choice(LOCALES, about="Language of sentences and of the sheet; default en")

    def completed(self, body: Mapping[str, Any], *, at: str = "") -> Mapping[str, Any]:
        """The body with the fats and certificates of the co-op that it refers to (`body`; `at`: its JSON Pointer)."""
        use = current_coop.get()
        return body if use is None else use.completed(body, has_own_fats="own_fats" in self.load_fields, at=at)

    def governing(self, body: Mapping[str, Any]) -> AbstractContextManager[None]:
        """Units, language and own fats of the body (`body`)."""
        own_fats: Any = self.load_fields.get("own_fats")  # a ListOf
        return governed(units=body.get("units"), locale=body.get("locale"), own_fats=body.get("own_fats"),
                        own_fats_max=0 if own_fats is None else own_fats.at_most)

    def build(self, data: dict[str, Any]) -> Any:
        """Leave out what `governing` has read, and fill in the usual scale where the body may have one (`data`)."""
        usual = {"scale": scale_of()} if "scale" in self.load_fields else {}
        return super().build({**usual, **{name: data[name] for name in data if name not in GOVERNING}})


class TriggeredCaution(ResponsePart):
    """A caution that this request triggers."""

    key = Text(about="Stable key; the general text is at /v1/cautions", example="lye-hot")
    severity = Choice(["info", "warning", "danger"], about="Severity; with danger, do not continue as planned")
    place = Choice(list(PLACES), about="The step of the work at which it matters")
    message = Text(about="Its text for this request", example="The lye may reach 90 to 94 degC.")
    pointer = Text(about="JSON Pointer to the part of the request", example="/recipe/temperatures/water")


class CertificateEntry(ResponsePart):
    """A certificate of the request that the numbers rest on."""

    key = Text(about="Key in `sources`", example="certificate_shea")
    title = Text(about="What it certifies", example="Certificate of shea, lot 7, 2026-10-01")


class CoopDataVersion(ResponsePart):
    """Version of the operator's data folder."""

    digest = Text(about="Of its files", example="3f1c09a2b7de")
    date = Text(about="As its files state it", example="2026-11-28")


class FromCoop(ResponsePart):
    """A row of the operator's data folder."""

    omitted = ("lot", "pointer", "value")

    file = Choice(COOP_FILES, about="Its file")
    key = Text(about="Its key", example="village_shea")
    lot = Text(about="Of a certificate", example="L-7")
    pointer = Text(about="Of fats and certificates: where the request would have the value. Put it there to keep this "
                   "plan, with the same identity, after the folder has changed", example="/own_fats/0")
    value = AsGiven(about="The value")


class Meta(ResponsePart):
    """Which service and which data made the numbers."""

    omitted: ClassVar[tuple[str, ...]] = ("certificates", "coop_data", "from_coop")

    version = Text(about="Version of the service", example="0.2.0")
    data_version = Text(about="Version of the tables", example="2026.5")
    coop_data = Part(CoopDataVersion, about="Version of the operator's data folder, if there is one")
    from_coop = ListOf(Part(FromCoop), about="What the figures take from that folder")
    sources = ListOf(Text(example="iso_3657"), about="Keys of the sources of the figures; titles are at /v1/sources")
    certificates = ListOf(Part(CertificateEntry), about="Certificates given in the request, if any were")


class BaseResponse(ResponsePart):
    """A response: what it always has."""

    cautions = ListOf(Part(TriggeredCaution), about="Cautions that this request triggers, in the order of the work")
    standing_cautions = ListOf(Text(example="alkali-corrosive"), about="Keys of the cautions that always apply here")
    worst_severity = Choice(list(SEVERITIES), about="The most severe of the cautions", example="warning")
    units = Part(UnitsOfResponse, about="The units of every quantity of this response")
    locale = Choice(LOCALES, about="The language of its texts")
    meta = Part(Meta, about="Versions and sources of the figures")


def answer(operation: str, found: Iterable[Caution] = (), *, result: Any = None, sources: Iterable[str] = (),
           more_sources: Iterable[Source] = (), **parts: Any) -> dict[str, Any]:
    """What a response's schema dumps.

    Parameters
    ----------
    operation : str
        Its name. [key]
    found : iterable of Caution
        What it triggers. [cautions]
    result : dataclass, optional
        A result whose fields are those of the schema; none of them has to be repeated here. [its own units]
    sources : iterable of str
        Keys of `SOURCES`. [keys]
    more_sources : iterable of Source
        Those of the fats, certificates of the request among them. [sources]
    parts : objects
        Other results, by the names the schema takes them from. [their own units]

    Returns
    -------
    dict
    """
    triggered, others = tuple(found), tuple(more_sources)
    certificates = [source for source in others if source.key not in all_sources()]
    use = current_coop.get()
    of_coop = {} if use is None else {"coop_data": use.data.version, "from_coop": use.taken or None}
    whole = {} if result is None else {field.name: getattr(result, field.name) for field in fields(result)}
    return {**whole, **parts, "cautions": triggered, "standing_cautions": standing(operation),
            "worst_severity": worst_severity(triggered), "units": current_units.get(),
            "locale": current_locale.get(),
            "meta": {"version": __version__, "data_version": DATA_VERSION, **of_coop,
                     "sources": (*(SOURCES[key].key for key in sources), *(source.key for source in others)),
                     **({"certificates": certificates} if certificates else {})}}

