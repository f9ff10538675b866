"""The maker's own list of fats: it travels with a request and is known while that is answered."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from marshmallow import ValidationError

from kettlewright import limits
from kettlewright.api.door.fields import Number, Text
from kettlewright.api.door.strict import Part, Strict
from kettlewright.api.parts.coop import current_coop
from kettlewright.api.parts.fat_values import CertificateInput, ProfileInput, SaponificationRange
from kettlewright.api.parts.prices import PriceInput
from kettlewright.errors import DomainError, UnknownIngredient
from kettlewright.prices import Price
from kettlewright.ranges import Range
from kettlewright.recipe import Certificate, FatPortion, Profile
from kettlewright.reference import bare_name, fats, fats_called
from kettlewright.reference import fat as table_fat

__all__ = ["OwnFat", "OwnFatInput", "current_own_fats", "fat_key", "fat_key_if_known", "own_fats_of", "own_value_in",
           "using_own_fats"]


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnFat:
    """A fat of the maker's own list, checked as one of the recipe is.

    Parameters
    ----------
    key : str
        What the recipe names it by. [key]
    name, saponification_value, certificate, profile, acid_value, density
        As of `FatPortion`. [mg KOH per g fat, g/mL]
    price : Price, optional
        What it costs. [currency]
    inci, inci_as_reacted : str, optional
        Name on a label, of the fat and of its sodium soap. [text]

    Raises
    ------
    DomainErrors, DomainError : a key of the table, and whatever `FatPortion` refuses.
    """

    key: str
    name: str | None = None
    saponification_value: Range | None = None
    certificate: Certificate | None = None
    profile: Profile | None = None
    acid_value: float | None = None
    density: float | None = None
    price: Price | None = None
    inci: str | None = None
    inci_as_reacted: str | None = None

    def __post_init__(self) -> None:
        if self.key in fats():
            raise DomainError(f'"{self.key}" is a key of the table; give your own fat another one, such as '
                              f'"own_{self.key}".', field=("key",), value=self.key)
        self.portion(mass_g=1.0)

    def portion(self, **fields: Any) -> FatPortion:
        """This fat in a recipe (`fields`: mass, share, lot and other fields of the recipe). [fat]"""
        given = {name: value for name, value in fields.items() if value is not None}
        values: dict[str, Any] = {"saponification_value": self.saponification_value, "certificate": self.certificate,
                                  "profile": self.profile}
        certificate: Certificate | None = given.get("certificate")
        # a value of the recipe replaces that of the list, and an acid value of its certificate that of the list
        return FatPortion(**{
            "name": self.name or self.key, "own_key": self.key, **({} if values.keys() & given.keys() else values),
            "acid_value": None if certificate is not None and certificate.acid_value else self.acid_value,
            "density": self.density, "inci": self.inci, "inci_as_reacted": self.inci_as_reacted, **given})

    @property
    def value_range(self) -> Range:
        """Its saponification value. [mg KOH per g fat]"""
        return self.portion(mass_g=1.0).value_range


current_own_fats: ContextVar[Mapping[str, OwnFat]] = ContextVar("own_fats", default=MappingProxyType({}))
"""Own fats of the request in hand, by key."""


def fat_key(name: str) -> str:
    """The key of a fat of the request's own list or of the table.

    Parameters
    ----------
    name : str
        A key as written, or any name that exactly one fat bears. [text]

    Returns
    -------
    str : [key]

    Raises
    ------
    UnknownIngredient : no fat or several bear it; the sentence names them or the nearest.
    """
    own = current_own_fats.get()
    if name in own:
        return name
    plain = bare_name(name) if own else ""
    mine = [fat for fat in own.values() if plain in (bare_name(fat.key), bare_name(fat.name or ""))]
    if not mine:
        return _of_table(name)
    found = fats_called(name)
    if len(mine) == 1 and not found:
        return mine[0].key
    listed = [f'your own "{fat.key}"' for fat in mine] + [f'"{record.key}" of the table' for record in found]
    raise UnknownIngredient(f'"{name}" can be {", ".join(listed[:-1])} or {listed[-1]}. Give the key of the one that '
                            "you mean.", value=name, allowed="a key of own_fats or of /v1/fats")


def _of_table(name: str) -> str:
    """The key of a fat of the table; an unknown name is also compared with the co-op's fats."""
    try:
        return table_fat(name).key
    except UnknownIngredient as error:
        use = current_coop.get()
        meant = None if use is None else use.data.nearest_fat(name)
        if meant is None:
            raise
        raise UnknownIngredient(f'{error.detail} The co-op\'s own list has "{meant}".', value=name,
                                allowed=error.allowed) from None


def fat_key_if_known(name: str) -> str:
    """The key of the one fat that bears a name, spelt out as written; any other text as it is (`name`). [text]

    Where something else than a fat may be meant, a name is not cut: "cocoa" may be a powder.
    """
    if name in current_own_fats.get():
        return name
    use = current_coop.get()
    of_coop = None if use is None else use.data.fat_called(name)
    if of_coop is not None:
        return of_coop
    found = fats_called(name, whole=True)
    return found[0].key if len(found) == 1 else name


def own_value_in(data: dict[str, Any], *, named: bool = False) -> dict[str, Any]:
    """What a liquid or an addition says of its fat, an own fat's value in place of its key.

    Parameters
    ----------
    data : dict
        As it was loaded. [fields]
    named : bool
        Keep key and name of the own fat beside its value. [yes or no]

    Returns
    -------
    dict : [fields]
    """
    own = current_own_fats.get().get(data.get("fat", ""))
    if own is None:
        return data
    kept = {"own_key": own.key, "own_name": own.name or own.key} if named else {}
    return {**data, "fat": None, "saponification_value": own.value_range, **kept}


@contextmanager
def using_own_fats(own: Mapping[str, OwnFat]) -> Iterator[None]:
    """Let recipes name these fats for a while (`own`: by key)."""
    token = current_own_fats.set(own)
    try:
        yield
    finally:
        current_own_fats.reset(token)


class OwnFatInput(Strict):
    """A fat of the maker's own list; recipes of this request name it by its key."""

    builds = OwnFat

    key = Text(required=True, pattern="[a-z0-9_]{1,60}", like="a key: small letters, digits and _", about="Key that "
               "the recipe uses; not one of the table's", example="own_shea")
    name = Text(about="Name; default the key", example="shea, village press")
    saponification_value = Part(SaponificationRange, about="Its range; this, certificate or profile")
    certificate = Part(CertificateInput, about="What the certificate of the lot states")
    profile = Part(ProfileInput, about="Its fatty acids")
    acid_value = Number(bounds=limits.ACID_VALUE, about="Free fatty acids, included in the saponification value",
                        unit="mg KOH per g of fat", example=2)
    density = Number(bounds=limits.FAT_DENSITY, about="Density", unit="g/mL at 40 degC", example=0.9)
    price = Part(PriceInput, about="What it costs")
    inci = Text(about="Name on a label", example="Butyrospermum Parkii Butter")
    inci_as_reacted = Text(about="Name on a label of its sodium soap", example="Sodium Shea Butterate")


_OWN_FAT = OwnFatInput()


def own_fats_of(rows: object, *, at_most: int) -> dict[str, OwnFat]:
    """The own fats of a body, by key (`rows` as in JSON, of which `at_most` count); those with an error are left out,
    since the load of the body reports it."""
    found = {}
    for row in rows[:at_most] if isinstance(rows, list) else ():
        try:
            own: OwnFat = _OWN_FAT.load(row)
        except ValidationError:
            continue
        found[own.key] = own
    return found
