"""What a calendar is made for: batches of several designs, and the moulds and places there are."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from kettlewright import limits
from kettlewright.errors import gather, one_of
from kettlewright.names import slug
from kettlewright.release.days.date_steps import check_mould_days

__all__ = ["BatchOfDesign", "CuringPlaces", "MouldKind", "ReleaseDay"]


@dataclass(frozen=True, slots=True)
class MouldKind:
    """Moulds that are alike.

    Parameters
    ----------
    name : str
        The maker's name for them. [text]
    count : int
        How many there are. [moulds]
    """

    name: str
    count: int = 1

    def __post_init__(self) -> None:
        limits.CAVITIES_COUNT.check(self.count, "count")

    @property
    def key(self) -> str:
        """A slug of the name. [key]"""
        return slug(self.name)


@dataclass(frozen=True, slots=True)
class CuringPlaces:
    """Room for bars that cure, by exactly one of the two.

    Parameters
    ----------
    batches_count, bars_count : int, optional
        How many batches, or how many bars, lie there at once. [batches, bars]

    Raises
    ------
    DomainError : none or both, a number out of its bounds.
    """

    batches_count: int | None = None
    bars_count: int | None = None

    def __post_init__(self) -> None:
        if (self.batches_count is None) == (self.bars_count is None):
            raise one_of(self.batches_count)('Give either "batches_count" or "bars_count" to count the places.',
                                             field=("batches_count",))
        if self.batches_count is not None:
            limits.BATCHES_COUNT.check(self.batches_count, "batches_count")
        if self.bars_count is not None:
            limits.BARS_COUNT.check(self.bars_count, "bars_count")


@dataclass(frozen=True, slots=True)
class ReleaseDay:
    """A release with a name.

    Parameters
    ----------
    name : str
        The maker's name for it. [text]
    release : date
        When its bars are sold from. [day]
    """

    name: str
    release: date

    @property
    def key(self) -> str:
        """A slug of the name. [key]"""
        return slug(self.name)


@dataclass(frozen=True, slots=True)
class BatchOfDesign:
    """Batches of one design.

    Parameters
    ----------
    name : str
        The maker's name for it. [text]
    mould : str
        Name of the moulds it takes. [text]
    release : date or str, optional
        Day of sale or name of a release; optional if there is only one. [day, text]
    count : int
        How many batches. [batches]
    moulds_count : int
        How many moulds each takes. [moulds]
    unmould_days, unmould_at_most_days, cure_days : int, optional
        As for `DateOptions`. [days]
    packing_days : int
        As for `DateOptions`. [days]
    bars_count : int, optional
        Bars of each batch; needed where places are counted by bars. [bars]

    Raises
    ------
    DomainErrors : a number out of its bounds.
    """

    name: str
    mould: str
    release: date | str | None = None
    count: int = 1
    moulds_count: int = 1
    unmould_days: int | None = None
    unmould_at_most_days: int | None = None
    cure_days: int | None = None
    packing_days: int = 0
    bars_count: int | None = None

    def __post_init__(self) -> None:
        with gather() as checks:
            limits.check_each(self, checks, count=limits.BATCHES_COUNT, moulds_count=limits.CAVITIES_COUNT,
                              unmould_days=limits.UNMOULD_DAYS, unmould_at_most_days=limits.UNMOULD_DAYS,
                              cure_days=limits.CURE_DAYS, packing_days=limits.PACKING_DAYS,
                              bars_count=limits.BARS_COUNT)
            with checks.at():
                check_mould_days(self.unmould_days, self.unmould_at_most_days)

    @property
    def key(self) -> str:
        """A slug of the name. [key]"""
        return slug(self.name)
