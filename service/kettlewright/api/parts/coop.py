"""The co-op's own data while a request is answered: what of it the request refers to, and what was taken from it.

The values of fats and of lots' certificates decide what is weighed. They are put into the body before it is loaded,
where the maker could have put them: the identity of a plan and its link then hold the values, not a reference that
changes with the folder. Prices, label names and compositions change no weighing. They are looked up beside the body,
so that a new price leaves the identity as it is.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Set
from contextvars import ContextVar
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from kettlewright.copies import replace
from kettlewright.names import nearest, slug, tidy
from kettlewright.reference import bare_name, fats_called
from kettlewright.release import IngredientPrice, Pack

if TYPE_CHECKING:
    from kettlewright.api.parts.own_fats import OwnFat
    from kettlewright.pour import Constituent
    from kettlewright.release import CostOptions, Need, OwnName, Supplier

__all__ = ["COOP_FILES", "CoopData", "CoopFat", "CoopUse", "CoopVersion", "Taken", "coop_version", "current_coop",
           "has_packs"]

COOP_FILES = ("fats", "certificates", "packs", "names", "fragrances")
"""What the folder may hold, by the names of its files. [words]"""
_VALUES = ("saponification_value", "certificate", "profile")


@dataclass(frozen=True, slots=True)
class CoopVersion:
    """Which data of the co-op are served: `digest` of the files [hexadecimal], `date` that they state [date]."""

    digest: str
    date: str


@dataclass(frozen=True, slots=True)
class CoopFat:
    """A fat of the co-op: as `own_fats` of a request has it (`given`), and as that is read (`fat`)."""

    given: Mapping[str, Any]
    fat: OwnFat


@dataclass(frozen=True, slots=True)
class CoopData:
    """The whole folder, checked.

    `fats` by key; `certificates`, as in a request, by key of the fat and lot; `packs` by key, and `prices` of the first
    pack of each; `names` by slug of their key; `fragrances` by slug of their name.
    """

    version: CoopVersion
    fats: Mapping[str, CoopFat]
    certificates: Mapping[tuple[str, str], Mapping[str, Any]]
    packs: Mapping[str, tuple[Pack, ...]]
    names: Mapping[str, OwnName]
    fragrances: Mapping[str, tuple[Constituent, ...]]
    prices: Mapping[str, IngredientPrice] = field(init=False, repr=False)
    _by_name: Mapping[str, str] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        found = {bare_name(name): key for key, one in self.fats.items() for name in (key, one.fat.name or key)}
        object.__setattr__(self, "_by_name", MappingProxyType(found))
        object.__setattr__(self, "prices", MappingProxyType({
            key: IngredientPrice(key, packs[0].price, packs[0].name) for key, packs in self.packs.items()
            if not packs[0].counted}))

    @property
    def currency(self) -> str | None:
        """Of every pack; None if there are no packs. [key]"""
        return next((packs[0].price.currency for packs in self.packs.values()), None)

    def fat_called(self, name: str) -> str | None:
        """Key of the fat with this key or name (`name`); case, spaces and a final "oil" do not matter. [key]"""
        return name if name in self.fats else self._by_name.get(bare_name(name))

    def nearest_fat(self, name: str) -> str | None:
        """Key of the fat whose key or name is most similar (`name`). [key]"""
        names = {text: key for key, one in self.fats.items() for text in (key, one.fat.name or key)}
        found = nearest(name, names, cutoff=0.75)
        return names[found[0]] if found else None


@dataclass(frozen=True, slots=True)
class Taken:
    """Something that was taken from the folder.

    `file` and `key` of its row (of a certificate with its `lot`); where a request would hold it (`pointer`) and how
    (`value`), of what the identity of a plan counts.
    """

    file: str
    key: str
    lot: str | None = None
    pointer: str | None = None
    value: Mapping[str, Any] | None = None


@dataclass(slots=True)
class CoopUse:
    """The data that one request may refer to, and what of them it took.

    `fats` by key; `values`: key, lot and field of each figure of a recipe's fat that is the folder's; `priced`: keys
    of ingredients whose price is.
    """

    data: CoopData
    fats: dict[str, OwnFat] = field(default_factory=dict)
    values: set[tuple[str, str | None, str]] = field(default_factory=set)
    priced: Set[str] = frozenset()
    _taken: dict[tuple[str, str, str | None], Taken] = field(default_factory=dict)

    @property
    def taken(self) -> tuple[Taken, ...]:
        """What the reply rests on, in the order of the files. [rows]"""
        return tuple(sorted(self._taken.values(), key=lambda one: COOP_FILES.index(one.file)))

    def take(self, file: str, key: str, **more: Any) -> None:
        """Note that something was taken (`file`, `key`; `more`: other fields of `Taken`)."""
        lot: str | None = more.get("lot")
        self._taken.setdefault((file, key, lot), Taken(file, key, **more))

    def completed(self, body: Mapping[str, Any], *, has_own_fats: bool, at: str = "") -> Mapping[str, Any]:
        """A body with the fats and certificates that it refers to.

        Parameters
        ----------
        body : mapping
            Not changed; may contain errors, which the load reports. [as in JSON]
        has_own_fats : bool
            Whether it may have `own_fats`; otherwise fats are only made known to the load. [yes or no]
        at : str
            Where it is in the request. [JSON Pointer]

        Returns
        -------
        mapping
        """
        own = body.get("own_fats", [])
        if not isinstance(own, list):
            return body
        own_names = {bare_name(tidy(text)) for one in own if isinstance(one, dict)
                     for text in (one.get("key"), one.get("name")) if isinstance(text, str)}
        for name in _fats_named_in({key: part for key, part in body.items() if key not in ("own_fats", "compare_to")}):
            key = self._key(name, own_names)
            if key in self.data.fats:
                self.fats[key] = self.data.fats[key].fat
        added = [self.data.fats[key].given for key in self.fats]
        for number, given in enumerate(added):
            pointer = f"{at}/own_fats/{len(own) + number}" if has_own_fats else None
            self.take("fats", given["key"], pointer=pointer, value=given if has_own_fats else None)
        found = dict(self._with_certificates(body, at, own_names))
        return {**found, "own_fats": [*own, *added]} if added and has_own_fats else found

    def composition_of(self, fragrance: str) -> tuple[Constituent, ...]:
        """What is in a fragrance (`fragrance`: its name); empty if that is not known. [% by mass]"""
        key = slug(fragrance)
        found = self.data.fragrances.get(key, ())
        if found:
            self.take("fragrances", key)
        return found

    def with_prices(self, given: CostOptions) -> CostOptions:
        """Options with the prices that they lack, if they are in the currency of the folder (`given`)."""
        if not given.currencies <= {self.data.currency}:
            return given
        own = {one.key for one in given.ingredients}
        self.priced = self.data.prices.keys() - own
        return replace(given, ingredients=(*given.ingredients, *(
            price for key, price in self.data.prices.items() if key not in own)))

    def note_prices(self, keys: Iterable[str]) -> None:
        """Note that these ingredients were priced, where the price is the folder's (`keys`)."""
        for key in keys:
            if key in self.priced:
                self.take("packs", key)

    def packs_for(self, needs: Iterable[Need], packs: Iterable[Pack], suppliers: Iterable[Supplier]) -> list[Pack]:
        """Packs of what is needed and has no pack in the request (`needs`, `packs` and `suppliers` of the request).

        Of a request with terms of suppliers only their packs: what others take for shipping is not known.
        """
        own, terms = tuple(packs), tuple(suppliers)
        currencies = {pack.price.currency for pack in own} | {
            money.currency for one in terms for money in (one.shipping, one.free_from, one.minimum_order) if money}
        if not currencies <= {self.data.currency}:
            return []
        known = {one.name for one in terms}
        wanted = {(need.key, need.counted) for need in needs} - {(pack.key, counted) for pack in own
                                                                 for counted in (True, False)}
        return [pack for key, counted in sorted(wanted) for pack in self.data.packs.get(key, ())
                if pack.counted == counted and (not known or pack.supplier is None or pack.supplier in known)]

    def note_packs(self, packs: Iterable[Pack]) -> None:
        """Note which of these packs are the folder's (`packs`)."""
        for pack in packs:
            if any(pack is one for one in self.data.packs.get(pack.key, ())):
                self.take("packs", pack.key)

    def _key(self, name: str, own_names: set[str]) -> str:
        """Key of the fat of the folder or of the table with a name; empty if the request has its own of that name."""
        name = tidy(name)
        key = self.data.fat_called(name)
        if key is None:
            found = fats_called(name)
            key = found[0].key if len(found) == 1 else ""
        return "" if {bare_name(name), bare_name(key)} & own_names else key

    def _with_certificates(self, body: Mapping[str, Any], at: str, own_names: set[str]) -> Mapping[str, Any]:
        recipe = body.get("recipe")
        if isinstance(recipe, dict):
            return {**body, "recipe": self._with_certificates(recipe, f"{at}/recipe", own_names)}
        fats = body.get("fats")
        if not isinstance(fats, list):
            return body
        return {**body, "fats": [self._certified(row, f"{at}/fats/{number}", own_names) if isinstance(row, dict)
                                 else row for number, row in enumerate(fats)]}

    def _certified(self, row: Mapping[str, Any], at: str, own_names: set[str]) -> Mapping[str, Any]:
        """A fat of a recipe with the certificate of its lot, unless it has a value of its own."""
        name, lot = row.get("fat"), row.get("lot")
        if not isinstance(name, str):
            return row
        key, lot = self._key(name, own_names), tidy(lot) if isinstance(lot, str) else None
        own = self.data.fats.get(key)
        if own is not None and "density" in own.given and "density" not in row:
            self.values.add((key, lot, "density"))
        if any(field in row for field in _VALUES):
            return row
        value = None if lot is None else self.data.certificates.get((key, lot))
        if own is not None or value is not None:
            self.values.add((key, lot, "saponification_value"))
        if value is None:
            return row
        if "acid_value" in row:  # a request's own value wins
            value = {field: part for field, part in value.items() if field != "acid_value"}
        self.take("certificates", key, lot=lot, pointer=f"{at}/certificate", value=value)
        return {**row, "certificate": value}


def _fats_named_in(part: Any) -> Iterator[str]:
    """Every text under a key `fat`, at any depth."""
    if isinstance(part, dict):
        for key, inner in part.items():
            if key == "fat" and isinstance(inner, str):
                yield inner
            else:
                yield from _fats_named_in(inner)
    elif isinstance(part, list):
        for inner in part:
            yield from _fats_named_in(inner)


current_coop: ContextVar[CoopUse | None] = ContextVar("current_coop", default=None)
"""The co-op's data for the request in hand; None where the service has none."""


def coop_version() -> CoopVersion | None:
    """Which data of the co-op are served; None where the service has none. [version]"""
    use = current_coop.get()
    return None if use is None else use.data.version


def has_packs() -> bool:
    """Whether the co-op has packs and prices. [yes or no]"""
    use = current_coop.get()
    return use is not None and bool(use.data.packs)
