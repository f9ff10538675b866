"""Portions as you request them: what they get, what they borrow, and what stays behind."""

from __future__ import annotations

import math
from dataclasses import dataclass

from kettlewright import limits
from kettlewright.errors import Unsolvable, check_distinct, gather, one_of
from kettlewright.names import slug
from kettlewright.pour.additions import Addition
from kettlewright.said import Said

__all__ = ["Borrowing", "Dusting", "Portion", "Residue", "whole_batch"]


@dataclass(frozen=True, slots=True)
class Dusting:
    """Powder sifted on top of a layer.

    Parameters
    ----------
    name : str
        The powder. [text]
    coverage : float
        Mass per area. [g/m2]
    colour : str, optional
        Of its line in the picture, as "#rrggbb". [text]
    """

    name: str
    coverage: float
    colour: str | None = None

    def __post_init__(self) -> None:
        limits.COVERAGE.check(self.coverage, "coverage")


@dataclass(frozen=True, slots=True)
class Residue:
    """Batter that does not reach the mould.

    Parameters
    ----------
    pot_g, portion_g : float
        Left in the pot and in each bucket. [g]
    kept_back_g : float
        Set aside on purpose from the pot, for a test or a repair. [g]
    """

    pot_g: float = 0.0
    portion_g: float = 0.0
    kept_back_g: float = 0.0

    def __post_init__(self) -> None:
        limits.KEEPS_BACK.check(self.pot_g, "pot")
        limits.KEEPS_BACK.check(self.portion_g, "portion")
        limits.KEEPS_BACK.check(self.kept_back_g, "kept_back")

    @property
    def of_pot_g(self) -> float:
        """Batter of the pot that goes into no bucket. [g]"""
        return self.pot_g + self.kept_back_g


@dataclass(frozen=True, slots=True)
class Borrowing:
    """Batter that a bucket takes from another bucket, including its additions.

    Parameters
    ----------
    lender : str
        Name or key of the portion it comes from. [text]
    share_pct : float
        Share of this bucket's batter, its own additions not counted. [%]
    """

    lender: str
    share_pct: float

    def __post_init__(self) -> None:
        limits.BORROWED_PCT.check(self.share_pct, "share_pct")

    @property
    def key(self) -> str:
        """Key of the lender. [key]"""
        return slug(self.lender)


@dataclass(frozen=True, slots=True)
class Portion:
    """One bucket, in pour order from the bottom.

    Parameters
    ----------
    name : str
        The maker's name for it. [text]
    share_pct, mass_g, layer_depth_mm : float, optional
        Exactly one: share of the pot less its residue; mass of the full bucket, own additions included; depth of its
        layer in a mould. [%, g, mm]
    additions : tuple of Addition
        Stirred into this bucket; their doses refer to its own plain batter, since borrowed batter brings its own.
        [additions]
    borrows : tuple of Borrowing
        Batter taken from other buckets once those are mixed. [%]
    dusting : Dusting, optional
        Sifted on top of it. [powder]
    colour : str, optional
        For the picture, as "#rrggbb". [text]

    Raises
    ------
    DomainErrors : both or neither of share and mass, a duplicate addition, an invalid colour.
    """

    name: str
    share_pct: float | None = None
    mass_g: float | None = None
    layer_depth_mm: float | None = None
    additions: tuple[Addition, ...] = ()
    dusting: Dusting | None = None
    colour: str | None = None
    borrows: tuple[Borrowing, ...] = ()

    def __post_init__(self) -> None:
        with gather() as checks:
            checks.run(self._check_ways)
            limits.check_each(self, checks, layer_depth_mm=limits.LENGTH, share_pct=limits.SHARE_PCT,
                              mass_g=limits.MASS)
            checks.run(lambda: check_distinct([addition.key for addition in self.additions], "addition"), "additions")
            if self.borrows:
                with checks.at("borrows"):
                    check_distinct([borrowing.key for borrowing in self.borrows], "lender", field="from")
                    together = math.fsum(borrowing.share_pct for borrowing in self.borrows)
                    if together >= 100:
                        raise Unsolvable(f"This bucket borrows {together:.6g} % of its batter; some of it must be its "
                                         "own.", value=together, allowed="below 100 % together")

    def _check_ways(self) -> None:
        given = {"share_pct": self.share_pct, "mass": self.mass_g, "layer_depth": self.layer_depth_mm}
        ways = [name for name, value in given.items() if value is not None]
        if len(ways) != 1:
            found = "none was" if not ways else f"{' and '.join(ways)} were"
            raise one_of(ways or None)('Give a portion exactly one of "share_pct", "mass" and "layer_depth"; '
                                       f"{found} given.", field=("share_pct",))

    @property
    def key(self) -> str:
        """A slug of the name. [key]"""
        return slug(self.name)


def whole_batch() -> tuple[Portion, ...]:
    """The only portion of a batch without portions. [portions]"""
    return (Portion(name=Said("batter"), share_pct=100.0),)
