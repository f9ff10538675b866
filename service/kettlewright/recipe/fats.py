"""A fat of the recipe with every figure the maths needs, and how well each figure is known."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from kettlewright import limits
from kettlewright.errors import DomainError, Missing, check_either, gather
from kettlewright.names import slug
from kettlewright.ranges import PublishedRange, Range
from kettlewright.recipe.certificates import Certificate, Profile, check_acid_value, check_value
from kettlewright.reference import (
    ASSUMED_FAT_DENSITY,
    DISAGREE_PCT,
    FatRecord,
    Source,
    density_at_40,
    fat_source,
    saponification_value_by_acids,
)
from kettlewright.reference import fat as table_fat

__all__ = ["Fat", "FatPortion", "check_value_range", "fat_kind", "fat_value_range", "known_fat"]

_NARROWEST = 0.01
_RANGE_SAYS_LITTLE = frozenset({"shea"})  # 1 to 19 % unsaponifiable matter: see SOURCES.md


@dataclass(frozen=True, slots=True)
class FatPortion:
    """One fat of the recipe, from the table or the maker's own.

    Parameters
    ----------
    fat : str, optional
        Key in the table. [key]
    name : str, optional
        Name of an own fat, which needs a `saponification_value`. [text]
    saponification_value : Range, optional
        Of an own fat. [mg KOH per g fat]
    mass_g : float, optional
        Mass; otherwise give `share_pct`. [g]
    share_pct : float, optional
        Share of all fats. [% of fats]
    density : float, optional
        Overrides the table. [g/mL at 40 degC]
    lot : str, optional
        Lot number. [text]
    certificate : Certificate, optional
        Of an own fat, instead of `saponification_value`; of a fat in the table, instead of the table's range.
        [mg KOH per g fat]
    profile : Profile, optional
        Of an own fat, instead of `saponification_value`. [% of fatty acids]
    acid_value : float, optional
        Free fatty acids in an old fat, as part of its saponification value. [mg KOH per g fat]
    own_key : str, optional
        Key of an own fat; derived from its name if not given. [key]
    inci, inci_as_reacted : str, optional
        Label name of the fat and of its sodium soap; the table's if not given. [text]

    Raises
    ------
    DomainErrors, DomainError : both or neither of a pair, an unknown fat, a value outside its bounds.
    """

    fat: str | None = None
    name: str | None = None
    saponification_value: Range | None = None
    mass_g: float | None = None
    share_pct: float | None = None
    density: float | None = None
    lot: str | None = None
    certificate: Certificate | None = None
    profile: Profile | None = None
    acid_value: float | None = None
    own_key: str | None = None
    inci: str | None = None
    inci_as_reacted: str | None = None

    def __post_init__(self) -> None:
        with gather() as checks:
            checks.run(self._check_values)
            checks.run(self._check_amount)
            limits.check_each(self, checks, mass_g=limits.MASS, share_pct=limits.SHARE_PCT, density=limits.FAT_DENSITY)

    def _check_values(self) -> None:
        self._check_identity()
        if self.acid_value is not None:
            if self.certificate is not None and self.certificate.acid_value:
                raise DomainError('The certificate already states an acid value; leave "acid_value" out.',
                                  field=("acid_value",))
            check_acid_value(self.acid_value, self.value_range.min, "acid_value")

    def _check_amount(self) -> None:
        check_either(self.mass_g, self.share_pct, 'Give a fat either "mass" or "share_pct"', field=("mass",))

    def _check_identity(self) -> None:
        check_either(self.fat, self.name, 'Give either "fat" (a key of /v1/fats) or "name" with "saponification_value" '
                     "(a fat of your own)", field=("fat",), value=self.fat)
        own = [name for name in ("saponification_value", "certificate", "profile") if getattr(self, name) is not None]
        if self.fat is not None:
            if own and own != ["certificate"]:
                raise DomainError(
                    f'"{self.fat}" is in the table. For your own lot give it a "certificate", or give the fat a "name" '
                    'instead of "fat".', field=(own[0] if own[0] != "certificate" else own[1],))
            try:
                table_fat(self.fat)  # raises an error that suggests the nearest names
            except DomainError as error:
                raise error.at("fat") from None
        elif not own:
            raise Missing(f'"{self.name}" is a fat of your own: give its "saponification_value" (min and max, mg '
                          'KOH per g of fat), a "certificate" or a "profile". The certificate of the lot '
                          "states it.",
                          field=("saponification_value",))
        elif len(own) > 1:
            raise DomainError(f'"{self.name}" has {" and ".join(own)}; give only one of them.', field=(own[1],))
        elif self.saponification_value is not None:
            check_value_range(self.saponification_value, "saponification_value")

    @property
    def value_range(self) -> Range:
        """Saponification value as given, or from the table. [mg KOH per g fat]"""
        if self.certificate is not None:
            return self.certificate.range
        if self.profile is not None:
            return self.profile.range
        return fat_value_range(self.fat, self.saponification_value)

    @property
    def free_acid_value(self) -> float:
        """Free fatty acids in the fat. [mg KOH per g fat]"""
        return self.certificate.acid_value if self.acid_value is None and self.certificate else self.acid_value or 0.0

    @property
    def key(self) -> str:
        """Table key, or a key derived from the own name. [key]"""
        return self.fat or self.own_key or slug(self.name or "")


@dataclass(frozen=True, slots=True)
class Fat:
    """A fat as used in calculations.

    Parameters
    ----------
    key, name, kind : str
        Key, name, and "triglyceride", "wax_ester" or "fatty_acid" (own fats count as triglycerides). [text]
    saponification_value : Range
        Range used in calculations. [mg KOH per g fat]
    density : float
        At 40 degC. [g/mL]
    own : bool
        The figure is the maker's own, not the table's. [yes or no]
    acid_value : float
        Free fatty acids in the fat. [mg KOH per g fat]
    range_widened : bool
        The table's range was narrower than 1 % either way and was widened to it. [yes or no]
    value_from_memory, density_from_memory, density_assumed, lot_value_needed : bool
        How well the figures are known. [yes or no]
    value_by_acids : float, optional
        Saponification value from the row's own fatty acids, if it contradicts the middle of the row's range.
        [mg KOH per g fat]
    sources : tuple of Source
        Sources of the figures; none for an own fat. [sources]
    """

    key: str
    name: str
    kind: str
    saponification_value: Range
    density: float
    own: bool
    acid_value: float = 0.0
    range_widened: bool = False
    value_from_memory: bool = False
    density_from_memory: bool = False
    density_assumed: bool = False
    lot_value_needed: bool = False
    value_by_acids: float | None = None
    sources: tuple[Source, ...] = ()


def _certified(portion: FatPortion) -> tuple[Source, ...]:
    if portion.certificate is None:
        return ()
    of_day = f", {portion.certificate.date}" if portion.certificate.date else ""
    name = portion.name or table_fat(portion.fat or "").name
    lot = f", lot {portion.lot}" if portion.lot else ""
    key = f"certificate_{portion.key}" + (f"_{slug(portion.lot)}" if portion.lot and portion.fat else "")
    return (Source(key, "read", f"Certificate of {name}{lot}{of_day}", "given in the request"),)


def check_value_range(value: Range, *field: str) -> None:
    """Reject a range with an end that no fat has (`value` [mg KOH per g fat], `field` [path])."""
    with gather() as ends:
        for end in ("min", "max"):
            with ends.at(*field):
                check_value(getattr(value, end), end)


def fat_kind(fat: str | None) -> str:
    """Of what a fat consists.

    Parameters
    ----------
    fat : str, optional
        Key of the table; none for one's own fat. [key]

    Returns
    -------
    str : "triglyceride" (own fats count as such), "wax_ester" or "fatty_acid". [key]
    """
    return "triglyceride" if fat is None else table_fat(fat).kind


def fat_value_range(fat: str | None, own: Range | None) -> Range:
    """Saponification value of a fat in the table, or the given one.

    Parameters
    ----------
    fat : str, optional
        Key in the table. [key]
    own : Range, optional
        Used instead. [mg KOH per g fat]

    Returns
    -------
    Range : the table's, at least 1 % either way, with a second published range's ends if they reach further; a given
        one unchanged. [mg KOH per g fat]

    Raises
    ------
    UnknownIngredient, DomainErrors : no such fat, a given range outside any plausible fat.
    """
    if fat is None:
        assert own is not None
        check_value_range(own, "saponification_value")
        return own
    try:
        record = table_fat(fat)
    except DomainError as error:
        raise error.at("fat") from None
    low, high = record.saponification_value.min, record.saponification_value.max
    middle = (low + high) / 2
    if (high - low) / 2 < _NARROWEST * middle:
        low, high = middle * (1 - _NARROWEST), middle * (1 + _NARROWEST)
    second = record.second_saponification_value
    if second is None:
        return Range(low, high)
    second_low, second_high = second.min or low, second.max or high
    if low <= second_low and second_high <= high:
        return Range(low, high)
    return PublishedRange(low, high, second_low, second_high)


def _disagreeing(record: FatRecord, value: Range) -> float | None:
    by_acids = saponification_value_by_acids(record)
    return by_acids if by_acids is not None and abs(value.mid / by_acids - 1) > DISAGREE_PCT / 100 else None


def fat_name(key: str) -> str:
    """Name of a fat in the table (`key`). [text]

    Raises
    ------
    UnknownIngredient : no such fat.
    """
    return table_fat(key).name


def known_fat(portion: FatPortion) -> Fat:
    """Everything known about a fat of the recipe.

    Parameters
    ----------
    portion : FatPortion
        As given. [fat]

    Returns
    -------
    Fat : from the table, or the maker's own figures unchanged. [mg KOH per g, g/mL]
    """
    if portion.fat is None:
        return Fat(key=portion.key, name=portion.name or "", kind="triglyceride", own=True,
                   saponification_value=portion.value_range, acid_value=portion.free_acid_value,
                   density=portion.density or ASSUMED_FAT_DENSITY, density_assumed=portion.density is None,
                   sources=_certified(portion))
    if portion.certificate is None and portion.acid_value is None:
        return _of_table(portion.fat, portion.density)
    return _from_table(portion)


@lru_cache(maxsize=1024)
def _of_table(key: str, density: float | None) -> Fat:
    """A fat about which the recipe says no more: every stage of a batch asks for it."""
    return _from_table(FatPortion(fat=key, density=density, mass_g=1.0))


def _from_table(portion: FatPortion) -> Fat:
    assert portion.fat is not None
    record = table_fat(portion.fat)
    density = density_at_40(record)
    given = portion.density is not None
    value, certified = portion.value_range, portion.certificate is not None
    return Fat(
        key=record.key, name=record.name, kind=record.kind, own=False, saponification_value=value,
        acid_value=portion.free_acid_value,
        density=density.value_g_per_ml if portion.density is None else portion.density,
        range_widened=not certified and value.min < record.saponification_value.min,
        value_from_memory=not certified and record.saponification_value.verified == "memory",
        density_from_memory=density.from_memory and not given, density_assumed=density.assumed and not given,
        lot_value_needed=not certified and (record.kind == "wax_ester" or record.key in _RANGE_SAYS_LITTLE),
        value_by_acids=None if certified else _disagreeing(record, value),
        sources=(fat_source(record), *_certified(portion)))
