"""The label request."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from kettlewright import limits
from kettlewright.errors import DomainError, OutOfRange, WrongType, gather, repeated
from kettlewright.names import slug
from kettlewright.release.label.allergens_found import LISTS, choose_list
from kettlewright.release.label.markets import MARKETS, SOLD_AS
from kettlewright.release.label.naming import OwnName

__all__ = ["NAMINGS", "LabelOptions"]

NAMINGS = ("as_added", "as_reacted")
_DAY = re.compile(r"[0-9]{4}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])")
_MONTH_OR_DAY = re.compile(r"[0-9]{4}-(0[1-9]|1[0-2])(-(0[1-9]|[12][0-9]|3[01]))?")
_PIECE_TOLERANCE_PCT = 3.0  # of what is not cut; own decision, no source


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelOptions:
    """The label request.

    Parameters
    ----------
    market : str
        "EU", "GB" or "US". [key]
    naming : str
        "as_added" or "as_reacted". [key]
    sold_on : str, optional
        The day the batch is placed on the market, as YYYY-MM-DD. [date]
    allergen_list : str, optional
        "long" or "first_26", where the maker chooses. [key]
    net_quantity_g : float, optional
        Requested net quantity; by default what every bar holds. [g]
    piece_tolerance_pct : float
        How far the mass of pieces that are not cut may be off, either way. [%]
    sold_as : str, optional
        Of the US: "soap" or "cosmetic". [key]
    responsible_person, batch_number, function, title : str, optional
        As printed. [text]
    durability : str, optional
        It keeps until then, as YYYY-MM or YYYY-MM-DD. [date]
    period_after_opening_months : int, optional
        Instead of it, for a product that keeps for more than 30 months. [months]
    precautions : tuple of str
        As printed. [text]
    names : tuple of OwnName
        The maker's own list of label names; it may hold more than this batch needs. [names]
    shared_names : mapping of str to OwnName
        A list that makers share, by slug of its keys; used where their own has no name. [names]

    Raises
    ------
    DomainErrors, DomainError : a market, naming or list that is not known, a day that is none, durability beside a
        period after opening, two lines of one name.
    """

    market: str
    naming: str = "as_added"
    sold_on: str | None = None
    allergen_list: str | None = None
    net_quantity_g: float | None = None
    piece_tolerance_pct: float = _PIECE_TOLERANCE_PCT
    sold_as: str | None = None
    responsible_person: str | None = None
    batch_number: str | None = None
    title: str | None = None
    durability: str | None = None
    period_after_opening_months: int | None = None
    precautions: tuple[str, ...] = ()
    function: str | None = None
    names: tuple[OwnName, ...] = ()
    shared_names: Mapping[str, OwnName] = field(default_factory=dict, repr=False)

    def __post_init__(self) -> None:
        with gather() as checks:
            for field, known in (("market", tuple(MARKETS)), ("naming", NAMINGS), ("allergen_list", LISTS),
                                 ("sold_as", SOLD_AS)):
                with checks.at(field):
                    value = getattr(self, field)
                    if value is not None and value not in known:
                        raise OutOfRange(f'"{value}" is not known; choose one of {", ".join(known)}.', value=value,
                                         allowed=", ".join(known))
            for field, pattern, like in (("sold_on", _DAY, "2026-11-25"),
                                         ("durability", _MONTH_OR_DAY, "2029-03 or 2029-03-31")):
                with checks.at(field):
                    value = getattr(self, field)
                    if value is not None and not pattern.fullmatch(value):
                        raise WrongType(f'"{value}" is not a date; write it as {like}.', value=value, allowed=like)
            limits.check_each(self, checks, net_quantity_g=limits.MASS, piece_tolerance_pct=limits.TOLERANCE_PCT,
                              period_after_opening_months=limits.MONTHS)
            with checks.at("period_after_opening_months"):
                if self.durability is not None and self.period_after_opening_months is not None:
                    raise DomainError('Give "durability" (it keeps 30 months or less) or "period_after_opening_months" '
                                      "(it keeps longer), not both.")
            with checks.at("names"):
                for index in repeated(slug(own.key) for own in self.names):
                    key = self.names[index].key
                    raise DomainError(f'There are two lines for "{key}"; keep one of them.', field=(index, "key"),
                                      value=key)
            with checks.at():
                if self.market in MARKETS:
                    choose_list(self.market, sold_on=self.sold_on, requested=self.allergen_list)
