"""Inputs of a blend: the fats it may contain, constraints on its properties, and its objective."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from kettlewright import limits
from kettlewright.errors import DomainError, Missing, OutOfRange, gather
from kettlewright.recipe.certificates import fatty_acid
from kettlewright.recipe.fats import FatPortion

__all__ = ["GROUPS", "OBJECTIVES", "PROPERTIES", "FatAtHand", "Objective", "PropertyLimits"]

PROPERTIES = ("saponification_value", "iodine_value", "fatty_acid", "group")
GROUPS = ("saturated", "monounsaturated", "polyunsaturated", "hydroxy")
OBJECTIVES = ("cheapest", "closest", "replace", "least", "most")


@dataclass(frozen=True, slots=True, kw_only=True)
class FatAtHand:
    """A fat that the blend may contain.

    Parameters
    ----------
    fat : FatPortion
        The fat; its share or mass has no meaning here. [fat]
    at_least_pct, at_most_pct, exactly_pct : float, optional
        Limits of its share. [% of fats]
    stock_g : float, optional
        The mass available. [g]
    price_per_g : Decimal, optional
        Its price. [currency per g]

    Raises
    ------
    DomainErrors, DomainError : contradictory limits.
    """

    fat: FatPortion
    at_least_pct: float | None = None
    at_most_pct: float | None = None
    exactly_pct: float | None = None
    stock_g: float | None = None
    price_per_g: Decimal | None = None

    def __post_init__(self) -> None:
        with gather() as checks:
            for name in ("at_least_pct", "at_most_pct", "exactly_pct"):
                with checks.at():
                    if getattr(self, name) is not None:
                        limits.PART_PCT.check(getattr(self, name), name)
            with checks.at():
                if self.exactly_pct is not None and (self.at_least_pct, self.at_most_pct) != (None, None):
                    raise DomainError('"exactly_pct" needs no other limit; leave "at_least_pct" and "at_most_pct" out.',
                                      field=("exactly_pct",))
            with checks.at():
                if (self.at_least_pct or 0.0) > (100.0 if self.at_most_pct is None else self.at_most_pct):
                    raise DomainError(f'"at_least_pct" ({self.at_least_pct:.9g}) is greater than "at_most_pct" '
                                      f"({self.at_most_pct:.9g}).", field=("at_least_pct",))


@dataclass(frozen=True, slots=True, kw_only=True)
class PropertyLimits:
    """Limits on a property of the blend.

    Parameters
    ----------
    prop : str
        One of `PROPERTIES`. [key]
    of : str, optional
        The fatty acid or group. [key]
    min, max : float, optional
        At least one of them. [mg KOH/g, g iodine/100 g or % of fatty acids]

    Raises
    ------
    DomainErrors, DomainError : an unknown property, acid or group, no limit, a minimum above the maximum.
    """

    prop: str
    of: str | None = None
    min: float | None = None
    max: float | None = None

    def __post_init__(self) -> None:
        with gather() as checks:
            with checks.at():
                if self.prop not in PROPERTIES:
                    raise OutOfRange(f'"{self.prop}" is not a known property.', field=("property",),
                                     value=self.prop, allowed=", ".join(PROPERTIES))
            with checks.at():
                self._check_of()
            with checks.at():
                if self.min is None and self.max is None:
                    raise Missing('Give "min", "max" or both.', field=("min",))
                if self.min is not None and self.max is not None and self.min > self.max:
                    raise DomainError(f"The minimum ({self.min:.9g}) is greater than the maximum ({self.max:.9g}).",
                                      field=("min",))

    def _check_of(self) -> None:
        if self.prop in ("fatty_acid", "group"):
            if self.of is None:
                raise Missing(f'"{self.prop}" needs "of", which names it.', field=("of",))
            if self.prop == "group" and self.of not in GROUPS:
                raise OutOfRange(f'"{self.of}" is not a known group; groups are {", ".join(GROUPS)}.', field=("of",),
                             value=self.of, allowed=", ".join(GROUPS))
            if self.prop == "fatty_acid":
                try:
                    fatty_acid(self.of)
                except DomainError as error:
                    raise error.at("of") from None
        elif self.of is not None:
            raise DomainError(f'"of" belongs to a fatty acid or a group, not to "{self.prop}".', field=("of",))

    @property
    def name(self) -> str:
        """Its name in a sentence. [text]"""
        return (self.of or "") if self.of else self.prop.replace("_", " ")

    @property
    def unit(self) -> str:
        """Unit of its limits. [text]"""
        return {"saponification_value": " mg KOH/g", "iodine_value": " g/100 g"}.get(self.prop, " %")


@dataclass(frozen=True, slots=True, kw_only=True)
class Objective:
    """What the blend optimises.

    Parameters
    ----------
    kind : str
        One of `OBJECTIVES`. [key]
    fat : str, optional
        For "replace", "least" and "most": the fat. [key]

    Raises
    ------
    DomainError : an unknown kind, a fat that is missing or does not belong.
    """

    kind: str
    fat: str | None = None

    def __post_init__(self) -> None:
        if self.kind not in OBJECTIVES:
            raise OutOfRange(f'"{self.kind}" is not a known objective.', field=("kind",), value=self.kind,
                             allowed=", ".join(OBJECTIVES))
        if (self.fat is None) == (self.kind in ("replace", "least", "most")):
            needs_it = "needs" if self.fat is None else "takes no"
            raise DomainError(f'"{self.kind}" {needs_it} "fat".', field=("fat",))
