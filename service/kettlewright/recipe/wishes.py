"""What a blend may hold, what it must be, and what it is to be best at."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from kettlewright import limits
from kettlewright.errors import DomainError, Missing, OutOfRange, gather
from kettlewright.recipe.fats import FatPortion
from kettlewright.recipe.own_fats import fatty_acid

__all__ = ["GROUPS", "OBJECTIVES", "PROPERTIES", "FatAtHand", "Objective", "Wish"]

PROPERTIES = ("saponification_value", "iodine_value", "fatty_acid", "group")
GROUPS = ("saturated", "monounsaturated", "polyunsaturated", "hydroxy")
OBJECTIVES = ("cheapest", "closest", "replace", "least", "most")


@dataclass(frozen=True, slots=True, kw_only=True)
class FatAtHand:
    """A fat the blend may hold.

    Parameters
    ----------
    fat : FatPortion
        Which; its share or mass says nothing here. [fat]
    at_least_pct, at_most_pct, exactly_pct : float, optional
        What it may be. [% of fats]
    stock_g : float, optional
        What there is of it. [g]
    price_per_g : Decimal, optional
        Its price. [currency per g]

    Raises
    ------
    DomainErrors, DomainError : bounds that contradict each other.
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
                    raise DomainError('"exactly_pct" says all; leave "at_least_pct" and "at_most_pct" out.',
                                      field=("exactly_pct",))
            with checks.at():
                if (self.at_least_pct or 0.0) > (100.0 if self.at_most_pct is None else self.at_most_pct):
                    raise DomainError(f"At least {self.at_least_pct:.9g} and at most {self.at_most_pct:.9g} % is "
                                      "upside down.", field=("at_least_pct",))


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """A property of the blend, between two ends.

    Parameters
    ----------
    prop : str
        One of `PROPERTIES`. [key]
    of : str, optional
        Which fatty acid or group. [key]
    min, max : float, optional
        At least one. [mg KOH/g, g iodine/100 g or % of fatty acids]

    Raises
    ------
    DomainErrors, DomainError : an unknown property, acid or group, no end, ends upside down.
    """

    prop: str
    of: str | None = None
    min: float | None = None
    max: float | None = None

    def __post_init__(self) -> None:
        with gather() as checks:
            with checks.at():
                if self.prop not in PROPERTIES:
                    raise OutOfRange(f'"{self.prop}" is no property known here.', field=("property",),
                                     value=self.prop, allowed=", ".join(PROPERTIES))
            with checks.at():
                self._check_of()
            with checks.at():
                if self.min is None and self.max is None:
                    raise Missing('A wish needs "min", "max" or both.', field=("min",))
                if self.min is not None and self.max is not None and self.min > self.max:
                    raise DomainError(f"From {self.min:.9g} to {self.max:.9g} is upside down.", field=("min",))

    def _check_of(self) -> None:
        if self.prop in ("fatty_acid", "group"):
            if self.of is None:
                raise Missing(f'A wish for a {self.prop} says which in "of".', field=("of",))
            if self.prop == "group" and self.of not in GROUPS:
                raise OutOfRange(f'"{self.of}" is no group; groups are {", ".join(GROUPS)}.', field=("of",),
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
        """As it stands in a sentence. [text]"""
        return (self.of or "") if self.of else self.prop.replace("_", " ")

    @property
    def unit(self) -> str:
        """Of its ends. [text]"""
        return {"saponification_value": " mg KOH/g", "iodine_value": " g/100 g"}.get(self.prop, " %")


@dataclass(frozen=True, slots=True, kw_only=True)
class Objective:
    """What the blend is to be best at.

    Parameters
    ----------
    kind : str
        One of `OBJECTIVES`. [key]
    fat : str, optional
        Of "replace", "least" and "most": which. [key]

    Raises
    ------
    DomainError : an unknown kind, a fat where none belongs, none where one does.
    """

    kind: str
    fat: str | None = None

    def __post_init__(self) -> None:
        if self.kind not in OBJECTIVES:
            raise OutOfRange(f'"{self.kind}" is no objective known here.', field=("kind",), value=self.kind,
                             allowed=", ".join(OBJECTIVES))
        if (self.fat is None) == (self.kind in ("replace", "least", "most")):
            wanted = "needs" if self.fat is None else "takes no"
            raise DomainError(f'"{self.kind}" {wanted} "fat".', field=("fat",))
