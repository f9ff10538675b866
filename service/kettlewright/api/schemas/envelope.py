"""What every calculation has: units, language, scale, cautions, sources."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import Any, ClassVar

from marshmallow import EXCLUDE, Schema, fields, missing

from kettlewright import __version__, limits
from kettlewright.api.door.fields import Choice, Mass, Number, Temperature, Text
from kettlewright.api.door.strict import ListOf, Part, Strict
from kettlewright.cautions import PLACES, SEVERITIES, Caution, standing, worst_severity
from kettlewright.languages import LOCALES, current_locale
from kettlewright.recipe import Scale
from kettlewright.reference import DATA_VERSION, SOURCES, Source, all_sources
from kettlewright.units import OPTIONS, Units, current_units

__all__ = [
    "GOVERNING",
    "BaseResponse",
    "CertificateEntry",
    "IncompleteResponse",
    "MassRange",
    "Meta",
    "PctRange",
    "Request",
    "ResponsePart",
    "ScaleSteps",
    "TemperatureRange",
    "TriggeredCaution",
    "UnitsChoice",
    "UnitsOfResponse",
    "answer",
    "scale_of",
]

_STEPS: Mapping[str, tuple[float, float, float]] = MappingProxyType({
    # in the mass unit: fats, water and portions; dry alkali and stock; acids, additions and dusting
    "g": (1.0, 0.1, 0.1), "kg": (0.001, 0.0001, 0.0001), "oz": (0.05, 0.01, 0.01), "lb": (0.005, 0.001, 0.001)})


def scale_of(**given: float) -> Scale:
    """The scales of a request, with the steps usual for its mass unit where none is given (`given`: steps [g])."""
    unit = current_units.get().mass
    factor = OPTIONS["mass"][unit][0]
    names = ("readability_g", "alkali_readability_g", "dose_readability_g")
    usual = {name: step * factor for name, step in zip(names, _STEPS[unit], strict=True)}
    return Scale(**{**usual, **given})


class UnitsChoice(Strict):
    """The units that govern every quantity of the request and of its response."""

    builds = Units

    mass = Choice(list(OPTIONS["mass"]), about="Unit of masses")
    dose = Choice(list(OPTIONS["dose"]), about="Unit of additions, powders and acids")
    length = Choice(list(OPTIONS["length"]), about="Unit of lengths")
    volume = Choice(list(OPTIONS["volume"]), about="Unit of volumes")
    temperature = Choice(list(OPTIONS["temperature"]), about="Unit of temperatures")


class ScaleSteps(Strict):
    """The smallest steps the scales show; if not given, those usual for the mass unit."""

    builds = scale_of

    readability_g = Mass(bounds=limits.READABILITY, about="Step for fats, water and portions", example=1)
    alkali_readability_g = Mass(bounds=limits.READABILITY, about="Step for dry alkali and stock", example=0.1)
    dose_readability_g = Mass(bounds=limits.READABILITY, about="Step for acids, additions and powders", example=0.1)


GOVERNING = ("units", "locale", "own_fats")  # set around the whole load, by `operations`


class Request(Strict):
    """A body: what it may always have."""

    units = Part(UnitsChoice, about="Units that govern the request and the response")
    locale = Choice(LOCALES, about="Language of sentences and of the sheet; default en")

    def build(self, data: dict[str, Any]) -> Any:
        """Leave out what governs by itself, and fill in the usual scale where the body may have one (`data`)."""
        usual = {"scale": scale_of()} if "scale" in self.load_fields else {}
        return super().build({**usual, **{name: data[name] for name in data if name not in GOVERNING}})


class IncompleteResponse(LookupError):
    """A result lacks a field of its reply: a mistake of ours, never of the caller."""


class ResponsePart(Schema):
    """A part of a response. Every field must be in the result, except those in `omitted`: they are left out if empty.

    marshmallow itself leaves out any field that a result lacks, so a renamed attribute would drop a figure without a
    word. Here it raises `IncompleteResponse`.
    """

    class Meta:
        unknown = EXCLUDE  # a newer service may say more; the contract must not forbid it

    omitted: ClassVar[tuple[str, ...]] = ()

    def __init__(self, **more: Any) -> None:
        self._left_out: set[str] = set()  # attributes shown under the names in `omitted`
        super().__init__(**more)

    def on_bind_field(self, field_name: str, field_obj: fields.Field[Any]) -> None:
        """Show a quantity without the unit of the maths in its name (`field_name`, `field_obj`)."""
        Strict.on_bind_field(self, field_name, field_obj)  # type: ignore[arg-type]  # the rule is the same both ways
        if (field_obj.data_key or field_name) in self.omitted:
            self._left_out.add(field_obj.attribute or field_name)

    def get_attribute(self, obj: Any, attr: str, default: Any) -> Any:
        """What a response tells of a result (`obj`, `attr`, `default`); `missing` leaves the key out.

        marshmallow's own way tries `obj[attr]` before the attribute, on results that are dataclasses: it costs a tenth
        of the dump. A path with a dot in it is left to it.

        Raises
        ------
        IncompleteResponse : the result lacks a field that is not in `omitted`.
        """
        if "." in attr:
            value = super().get_attribute(obj, attr, missing)
        else:
            value = obj.get(attr, missing) if isinstance(obj, dict) else getattr(obj, attr, missing)
        if value is None or value is missing:
            if attr in self._left_out:
                return missing
            if value is missing:
                raise IncompleteResponse(f"{type(self).__name__} needs {attr}, which {type(obj).__name__} lacks")
        return value


class UnitsOfResponse(ResponsePart, UnitsChoice):
    """The units of every quantity of a response."""

    class Meta(ResponsePart.Meta):
        pass


class PctRange(ResponsePart):
    """A range in percent."""

    min = Number(about="Lower end", unit="%", example=2.4, signed=True)
    max = Number(about="Upper end", unit="%", example=7.6, signed=True)


class TemperatureRange(ResponsePart):
    """A range of temperatures."""

    min_c = Temperature(attribute="min", about="With the older published heat of solution", example=90.2)
    max_c = Temperature(attribute="max", about="With the newer published heat of solution", example=94.1)


class MassRange(ResponsePart):
    """A range of masses."""

    min_g = Mass(about="All tolerances at their lower ends", example=104.3)
    mid_g = Mass(about="As cut exactly", example=115.3)
    max_g = Mass(about="All tolerances at their upper ends", example=127.1)


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


class Meta(ResponsePart):
    """Which service and which data made the numbers."""

    omitted: ClassVar[tuple[str, ...]] = ("certificates",)

    version = Text(about="Version of the service", example="0.2.0")
    data_version = Text(about="Version of the tables", example="2026.5")
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


def answer(operation: str, found: Iterable[Caution] = (), *, sources: Iterable[str] = (),
           more_sources: Iterable[Source] = (), **parts: Any) -> dict[str, Any]:
    """What a response's schema dumps.

    Parameters
    ----------
    operation : str
        Its name. [key]
    found : iterable of Caution
        What it triggers. [cautions]
    sources : iterable of str
        Keys of `SOURCES`. [keys]
    more_sources : iterable of Source
        Those of the fats, certificates of the request among them. [sources]
    parts : objects
        Results, by the names the schema takes them from. [their own units]

    Returns
    -------
    dict
    """
    triggered, others = tuple(found), tuple(more_sources)
    certificates = [source for source in others if source.key not in all_sources()]
    return {**parts, "cautions": triggered, "standing_cautions": standing(operation),
            "worst_severity": worst_severity(triggered), "units": current_units.get(),
            "locale": current_locale.get(),
            "meta": {"version": __version__, "data_version": DATA_VERSION,
                     "sources": (*(SOURCES[key].key for key in sources), *(source.key for source in others)),
                     **({"certificates": certificates} if certificates else {})}}
