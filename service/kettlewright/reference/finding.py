"""Search the table of fats by name or by property."""

from __future__ import annotations

from dataclasses import dataclass

from kettlewright.errors import Missing
from kettlewright.reference.fat_names import plain_name
from kettlewright.reference.fat_records import FatRecord, Figure, OpenFigure
from kettlewright.reference.fats import fats

__all__ = ["FatFilter", "find_fats"]


@dataclass(frozen=True, slots=True, kw_only=True)
class FatFilter:
    """The criteria of a search; figures are compared by the middle of their ranges.

    Parameters
    ----------
    search : str
        Part of the key, a name, the origin or the label name; case, spaces and hyphens do not matter; empty finds
        all. [text]
    kind : str, optional
        One of `KINDS`. [key]
    saponification_value_min, saponification_value_max, iodine_value_min, iodine_value_max : float, optional
        Limits; a fat without the figure does not match. [mg KOH per g fat, g iodine per 100 g]
    fatty_acid : str, optional
        Notation of a fatty acid that it contains. [key]
    fatty_acid_min_pct, fatty_acid_max_pct : float, optional
        Limits of that acid. [% of fatty acids]

    Raises
    ------
    DomainError : limits without a fatty acid.
    """

    search: str = ""
    kind: str | None = None
    saponification_value_min: float | None = None
    saponification_value_max: float | None = None
    iodine_value_min: float | None = None
    iodine_value_max: float | None = None
    fatty_acid: str | None = None
    fatty_acid_min_pct: float | None = None
    fatty_acid_max_pct: float | None = None

    def __post_init__(self) -> None:
        if self.fatty_acid is None and (self.fatty_acid_min_pct, self.fatty_acid_max_pct) != (None, None):
            raise Missing('Give the acid in "fatty_acid", such as C18:1.', field=("fatty_acid",))

    def finds(self, record: FatRecord) -> bool:
        """Whether a fat matches (`record`). [yes or no]"""
        texts = (record.key, record.name, record.origin, record.label_names.inci_name,
                 *(alias.name for alias in record.aliases))
        part = plain_name(self.search)
        if not any(part in plain_name(text) for text in texts) or self.kind not in (None, record.kind):
            return False
        acid = None if self.fatty_acid is None else next(
            (share.mid_pct for share in record.fatty_acids if share.notation == self.fatty_acid), None)
        if self.fatty_acid is not None and acid is None:
            return False
        return (_between(_middle(record.saponification_value), self.saponification_value_min,
                         self.saponification_value_max)
                and _between(_middle(record.iodine_value), self.iodine_value_min, self.iodine_value_max)
                and _between(acid, self.fatty_acid_min_pct, self.fatty_acid_max_pct))


def _middle(figure: Figure | OpenFigure | None) -> float | None:
    known = [] if figure is None else [end for end in (figure.min, figure.max) if end is not None]
    return sum(known) / len(known) if known else None


def _between(value: float | None, low: float | None, high: float | None) -> bool:
    if low is None and high is None:
        return True
    return value is not None and (low is None or low <= value) and (high is None or value <= high)


def find_fats(wanted: FatFilter) -> tuple[FatRecord, ...]:
    """The fats in the table that match.

    Parameters
    ----------
    wanted : FatFilter
        Which. [filter]

    Returns
    -------
    tuple of FatRecord, in the table's order
    """
    return tuple(record for record in fats().values() if wanted.finds(record))
