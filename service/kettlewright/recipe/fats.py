"""A fat of the recipe with everything the maths needs, and how well each figure is known."""

from __future__ import annotations

from dataclasses import dataclass

from kettlewright import limits
from kettlewright.errors import DomainError, gather
from kettlewright.names import slug
from kettlewright.ranges import Range
from kettlewright.reference import Source, density_at_40, fat_source
from kettlewright.reference import fat as table_fat

__all__ = ["ASSUMED_FAT_DENSITY", "Fat", "FatPortion", "known_fat"]

ASSUMED_FAT_DENSITY = 0.905  # g/mL at 40 degC, the middle of common vegetable oils; own decision
_NARROWEST = 0.01
_RANGE_SAYS_LITTLE = frozenset({"shea"})  # 1 to 19 % unsaponifiable matter: see SOURCES.md


@dataclass(frozen=True, slots=True)
class FatPortion:
    """One fat of the recipe, from the table or the maker's own.

    Parameters
    ----------
    fat : str, optional
        Key of the table. [key]
    name : str, optional
        Name of an own fat; then `saponification_value` is needed. [text]
    saponification_value : Range, optional
        Of an own fat. [mg KOH per g fat]
    mass_g : float, optional
        Mass; else `share_pct`. [g]
    share_pct : float, optional
        Share of all fats. [% of fats]
    density : float, optional
        Overrides the table. [g/mL at 40 degC]
    lot : str, optional
        Lot number. [text]

    Raises
    ------
    Faults, DomainError : both or none of a pair, an unknown fat, a value outside its bounds.
    """

    fat: str | None = None
    name: str | None = None
    saponification_value: Range | None = None
    mass_g: float | None = None
    share_pct: float | None = None
    density: float | None = None
    lot: str | None = None

    def __post_init__(self) -> None:
        with gather() as checks:
            with checks.at():
                self._check_identity()
            with checks.at():
                if (self.mass_g is None) == (self.share_pct is None):
                    given = "neither was" if self.mass_g is None else "both were"
                    raise DomainError(f'Give a fat either "mass" or "share_pct"; {given} given.', field=("mass",))
            with checks.at():
                if self.mass_g is not None:
                    limits.MASS.check(self.mass_g, "mass")
            with checks.at():
                if self.share_pct is not None:
                    limits.SHARE_PCT.check(self.share_pct, "share_pct")
            with checks.at():
                if self.density is not None:
                    limits.FAT_DENSITY.check(self.density, "density")

    def _check_identity(self) -> None:
        if (self.fat is None) == (self.name is None):
            given = "neither was" if self.fat is None else "both were"
            raise DomainError('Give either "fat" (a key of /v1/fats) or "name" with "saponification_value" '
                              f"(a fat of your own); {given} given.", field=("fat",), value=self.fat)
        if self.fat is not None:
            if self.saponification_value is not None:
                raise DomainError(
                    f'"{self.fat}" comes from the table with its own range; to use the value on the certificate of a '
                    'lot, give the fat a "name" in place of "fat".', field=("saponification_value",))
            with_key = table_fat  # raises with the nearest names
            try:
                with_key(self.fat)
            except DomainError as error:
                raise error.at("fat") from None
        elif self.saponification_value is None:
            raise DomainError(f'"{self.name}" is a fat of your own and needs "saponification_value" (min and max, mg '
                              "KOH per g of fat); it stands on the certificate of the lot.",
                              field=("saponification_value",))
        else:
            with gather() as ends:
                for end in ("min", "max"):
                    with ends.at("saponification_value"):
                        limits.SAPONIFICATION_VALUE.check(getattr(self.saponification_value, end), end)

    @property
    def key(self) -> str:
        """Table key, or a slug of the own name. [key]"""
        return self.fat if self.fat is not None else slug(self.name or "")


@dataclass(frozen=True, slots=True)
class Fat:
    """A fat as computed with.

    Parameters
    ----------
    key, name, kind : str
        Key, name, and "triglyceride", "wax_ester" or "fatty_acid" (own fats count as triglycerides). [text]
    saponification_value : Range
        Range computed with. [mg KOH per g fat]
    density : float
        At 40 degC. [g/mL]
    own : bool
        The maker's own figure, not the table's. [yes or no]
    range_widened : bool
        The table's range was narrower than 1 % either way and was widened to that. [yes or no]
    value_from_memory, density_from_memory, density_assumed, lot_value_needed : bool
        How well the figures are known. [yes or no]
    sources : tuple of Source
        What the figures rest on; none for an own fat. [sources]
    """

    key: str
    name: str
    kind: str
    saponification_value: Range
    density: float
    own: bool
    range_widened: bool = False
    value_from_memory: bool = False
    density_from_memory: bool = False
    density_assumed: bool = False
    lot_value_needed: bool = False
    sources: tuple[Source, ...] = ()


def known_fat(portion: FatPortion) -> Fat:
    """What is known of a fat of the recipe.

    Parameters
    ----------
    portion : FatPortion
        As asked. [fat]

    Returns
    -------
    Fat : from the table, or the maker's own figures as they stand. [mg KOH per g, g/mL]
    """
    if portion.fat is None:
        assert portion.saponification_value is not None
        return Fat(key=portion.key, name=portion.name or "", kind="triglyceride", own=True,
                   saponification_value=portion.saponification_value,
                   density=portion.density or ASSUMED_FAT_DENSITY, density_assumed=portion.density is None)
    record = table_fat(portion.fat)
    table = Range(record.saponification_value.min, record.saponification_value.max)
    narrow = table.half_width < _NARROWEST * table.mid
    density = density_at_40(record)
    given = portion.density is not None
    return Fat(
        key=record.key, name=record.name, kind=record.kind, own=False,
        saponification_value=Range(table.mid * (1 - _NARROWEST), table.mid * (1 + _NARROWEST)) if narrow else table,
        density=density.value_g_per_ml if portion.density is None else portion.density,
        range_widened=narrow, value_from_memory=record.saponification_value.verified == "memory",
        density_from_memory=density.from_memory and not given, density_assumed=density.assumed and not given,
        lot_value_needed=record.kind == "wax_ester" or record.key in _RANGE_SAYS_LITTLE,
        sources=(fat_source(record),))
