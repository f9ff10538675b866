"""Parts of every reply. Written by `make contract` from openapi.yaml; do not edit."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Literal, overload

from kettlewright_client.record import Record, Result

__all__ = ["CertificateEntry", "CoopDataVersion", "FromCoop", "Meta", "Reply", "TriggeredCaution", "Units"]


@dataclass(frozen=True, kw_only=True, repr=False)
class TriggeredCaution(Record):
    """`cautions[]` of `Reply` (Cautions that this request triggers, in the order of the work)."""

    key: str
    """Stable key; the general text is at /v1/cautions."""

    severity: str
    """Severity; with danger, do not continue as planned. One of info, warning, danger."""

    place: str
    """The step of the work at which it matters. One of lye, pot, sifting, pouring, unmoulding, label."""

    message: str
    """Its text for this request."""

    pointer: str
    """JSON Pointer to the part of the request."""


@dataclass(frozen=True, kw_only=True, repr=False)
class Units(Record):
    """`units` of `Reply` (The units of every quantity of this response)."""

    mass: str
    """Unit of masses. One of g, kg, oz, lb."""

    dose: str
    """Unit of additions, powders and acids. One of g, oz."""

    length: str
    """Unit of lengths. One of mm, cm, in."""

    volume: str
    """Unit of volumes. One of mL, L, us_fl_oz."""

    temperature: str
    """Unit of temperatures. One of degC, degF."""


@dataclass(frozen=True, kw_only=True, repr=False)
class CoopDataVersion(Record):
    """`coop_data` of `Meta` (Version of the operator's data folder, if there is one), and 2 more."""

    digest: str
    """Of its files."""

    date: str
    """As its files state it."""


@dataclass(frozen=True, kw_only=True, repr=False)
class FromCoop(Record):
    """`from_coop[]` of `Meta` (What the figures take from that folder)."""

    file: str
    """Its file. One of fats, certificates, packs, names, fragrances."""

    key: str
    """Its key."""

    lot: str | None = None
    """Of a certificate."""

    pointer: str | None = None
    """Of fats and certificates: where the request would have the value. Put it there to keep this plan, with the same
    identity, after the folder has changed.
    """

    value: "Mapping[str, Any] | None" = field(default=None, hash=False)
    """The value."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["lot"]) -> str: ...
        @overload
        def need(self, part: Literal["pointer"]) -> str: ...
        @overload
        def need(self, part: Literal["value"]) -> Mapping[str, Any]: ...
        def need(self, part: str) -> Any: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class CertificateEntry(Record):
    """`certificates[]` of `Meta` (Certificates given in the request, if any were)."""

    key: str
    """Key in `sources`."""

    title: str
    """What it certifies."""


@dataclass(frozen=True, kw_only=True, repr=False)
class Meta(Record):
    """`meta` of `Reply` (Versions and sources of the figures), and 4 more."""

    version: str
    """Version of the service."""

    data_version: str
    """Version of the tables."""

    coop_data: CoopDataVersion | None = None
    """Version of the operator's data folder, if there is one."""

    from_coop: tuple[FromCoop, ...] = ()
    """What the figures take from that folder."""

    sources: tuple[str, ...]
    """Keys of the sources of the figures; titles are at /v1/sources."""

    certificates: tuple[CertificateEntry, ...] = ()
    """Certificates given in the request, if any were."""

    if TYPE_CHECKING:
        def need(self, part: Literal["coop_data"]) -> CoopDataVersion: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class Reply(Result):
    """Fields of every reply to a calculation."""

    cautions: tuple[TriggeredCaution, ...]
    """Cautions that this request triggers, in the order of the work."""

    standing_cautions: tuple[str, ...]
    """Keys of the cautions that always apply here."""

    worst_severity: str
    """The most severe of the cautions. One of none, info, warning, danger."""

    units: Units
    """The units of every quantity of this response."""

    locale: str
    """The language of its texts. One of en, de."""

    meta: Meta
    """Versions and sources of the figures."""
