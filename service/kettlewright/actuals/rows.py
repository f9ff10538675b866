"""Compares reported weighings with the weigh list of the plan, row by row."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from kettlewright import limits
from kettlewright.copies import replace
from kettlewright.errors import DomainError, OutOfRange, Unsolvable, gather
from kettlewright.names import or_nearest
from kettlewright.plan.batch import Plan
from kettlewright.weigh_list import WeighRow

__all__ = ["LYE_KEY", "STAGES", "Difference", "ReportedWeighing", "Row", "Weighings", "rows_of", "sort_weighings"]

STAGES = ("fats", "lye_made", "in_pot", "poured", "cut")
LYE_KEY = "lye"
_STAGE_WORDS = {"fats": "the fats", "lye_made": "the lye", "in_pot": "the pot", "poured": "the pour"}


@dataclass(frozen=True, slots=True)
class ReportedWeighing:
    """A weighing as the maker reports it.

    Parameters
    ----------
    where, key : str
        As in the weigh list. [key]
    mass_g, fine_mass_g : float
        What the scale showed, read in the unit of masses and in the unit of doses; the row decides which is used. [g]
    lot : str, optional
        The lot that was really used; it distinguishes rows with the same key. [text]
    portion, kind : str, optional
        As in the weigh list: the portion if the row has one, the kind if only it distinguishes two rows. [key]
    """

    where: str
    key: str
    mass_g: float
    fine_mass_g: float
    lot: str | None = None
    portion: str | None = None
    kind: str | None = None


@dataclass(frozen=True, slots=True)
class Row:
    """A row of the weigh list and how its mass is used.

    Parameters
    ----------
    row : WeighRow
        As planned. [g]
    stage : str
        When it is weighed, one of `STAGES`. [key]
    kind : str
        What its mass counts for: "water", "ice", "liquid", "acid", "alkali", "fat", "addition", "bucket" or
        "kept_back"; "other" if nothing is computed from it. [key]
    portion : int, optional
        Index of its portion. [place]
    """

    row: WeighRow
    stage: str
    kind: str
    portion: int | None = None

    @property
    def index(self) -> int:
        """Its index among rows of its kind; for an addition to a portion, its index in that portion. [place]"""
        return self.row.index


@dataclass(frozen=True, slots=True)
class Difference:
    """A planned row compared with its weighing.

    Parameters
    ----------
    row : WeighRow
        As planned. [g]
    lot : str, optional
        The reported lot, else the plan's. [text]
    weighed_g, off_g, off_pct : float, optional
        Weighed mass and its difference from the plan; None if not reported, which counts as planned. [g, g, % of
        planned]
    state : str
        "as_planned" (within one step of the scale), "off" or "not_told". [key]
    """

    row: WeighRow
    lot: str | None
    weighed_g: float | None
    off_g: float | None
    off_pct: float | None
    state: str


@dataclass(frozen=True, slots=True)
class Weighings:
    """All reported weighings, matched to their rows.

    Parameters
    ----------
    rows : tuple of Row
        All rows of the plan, in the order you weigh them. [g]
    weighed_g : mapping of int to float
        Keyed by the index of the row. [g]
    lye_g : float, optional
        The lye that went into the pot, if reported. [g]
    differences : tuple of Difference
        Rows up to this stage. [g]
    """

    rows: tuple[Row, ...]
    weighed_g: Mapping[int, float]
    lye_g: float | None
    differences: tuple[Difference, ...]

    def mass_of(self, kind: str, index: int, portion: int | None = None) -> float | None:
        """The reported mass of one thing (`kind`, `index` and `portion` as in `Row`), if any. [g]"""
        for place, mass in self.weighed_g.items():
            row = self.rows[place]
            if (row.kind, row.index, row.portion) == (kind, index, portion):
                return mass
        return None

    @property
    def assumed(self) -> tuple[Row, ...]:
        """Rows so far that were not reported and count as planned. [g]"""
        silent = {id(one.row) for one in self.differences if one.weighed_g is None}
        return tuple(row for row in self.rows if id(row.row) in silent)

    @property
    def rows_off(self) -> tuple[Row, ...]:
        """Rows whose weighing differs from the plan by more than one step of the scale. [g]"""
        off = {id(one.row) for one in self.differences if one.state == "off"}
        return tuple(row for row in self.rows if id(row.row) in off)

    def with_planned(self, rows: Iterable[Row]) -> Weighings:
        """A copy in which these rows were weighed as planned (`rows` [g]). [g]"""
        places = {id(row.row): place for place, row in enumerate(self.rows)}
        return replace(self, weighed_g={**self.weighed_g, **{
            places[id(row.row)]: row.row.weigh_g for row in rows}})

    def off_at(self, stages: Sequence[str]) -> bool:
        """Whether any row of these stages is off by more than one step of the scale (`stages`). [yes or no]"""
        rows = {id(row.row) for row in self.rows if row.stage in stages}
        return any(one.state == "off" and id(one.row) in rows for one in self.differences)


def rows_of(plan: Plan) -> tuple[Row, ...]:
    """The weigh list of a plan, each row with its stage and use (`plan`). [g]"""
    places = {portion.key: place for place, portion in enumerate(plan.division.portions)}
    return tuple(Row(row, _stage(row), _mass_of(row), None if row.portion is None else places[row.portion])
                 for row in plan.weigh_list)


_WEIGHED_AT = {"jug": "lye_made", "pot": "fats", "jar": "in_pot", "bucket": "poured", "mould": "poured",
               "aside": "poured"}
_ADDED = ("addition", "dispersion", "spray")


def _stage(row: WeighRow) -> str:
    return "in_pot" if row.where == "pot" and row.kind in _ADDED else _WEIGHED_AT[row.where]


def _mass_of(row: WeighRow) -> str:
    if row.kind == "batter" and not row.borrowed:
        return "bucket"
    if row.where == "jar" or row.kind in ("batter", "dusting"):
        return "other"
    return "addition" if row.kind in _ADDED else "alkali" if row.kind == "stock" else row.kind


def sort_weighings(plan: Plan, stage: str, weighings: Sequence[ReportedWeighing]) -> Weighings:
    """Match each weighing to its row.

    Parameters
    ----------
    plan : Plan
        The batch. [plan]
    stage : str
        How far it has come, one of `STAGES`. [key]
    weighings : sequence of ReportedWeighing
        As reported. [g]

    Returns
    -------
    Weighings : [g]

    Raises
    ------
    DomainErrors : a vessel or key that the plan does not have, a row of a later stage, a row twice, a missing lot where
        the plan has several, a mass out of range.
    """
    rows = rows_of(plan)
    weighed: dict[int, float] = {}
    lots: dict[int, str] = {}
    lye_g: float | None = None
    with gather() as checks:
        for number, one in enumerate(weighings):
            with checks.at("weighed", number):
                if _is_lye(one, rows):
                    if lye_g is not None:
                        raise DomainError("The lye that went into the pot is reported twice: add up the masses.",
                                          field=("key",), value=one.key)
                    _check_stage("in_pot", stage, "The lye that goes into the pot")
                    lye_g = one.mass_g and limits.MASS.check(one.mass_g, "mass")
                    continue
                place = _place(one, rows, weighed)
                row = rows[place]
                _check_stage(row.stage, stage, f'"{row.row.name}"')
                mass = one.fine_mass_g if row.row.fine else one.mass_g
                weighed[place] = mass and limits.MASS.check(mass, "mass")  # 0 means forgotten
                if one.lot is not None:
                    lots[place] = one.lot
    so_far = STAGES[:STAGES.index(stage) + 1]
    differences = tuple(_difference(row.row, weighed.get(place), lots.get(place, row.row.lot))
                        for place, row in enumerate(rows) if row.stage in so_far)
    return Weighings(rows, weighed, lye_g, differences)


def _is_lye(one: ReportedWeighing, rows: Sequence[Row]) -> bool:
    return (one.where, one.key) == ("pot", LYE_KEY) and not any(
        (row.row.where, row.row.key) == ("pot", LYE_KEY) for row in rows)


def _place(one: ReportedWeighing, rows: Sequence[Row], taken: Mapping[int, float]) -> int:
    """Index of the row it belongs to; vessel, portion, key, kind and lot narrow the rows down one after the other."""
    left = _narrowed(one, list(enumerate(rows)), "where", f'Nothing of this plan is weighed at "{one.where}".')
    into = f'"{one.where}"'
    if one.portion is None and all(row.row.portion is not None for _, row in left):
        _narrowed(one, left, "portion", f"{into} is weighed for each portion: give the \"portion\" of this weighing.")
    left = _narrowed(one, left, "portion", f'Nothing is weighed into {into} for a portion "{one.portion}".')
    into += f' of "{one.portion}"' if one.portion is not None else ""
    left = _narrowed(one, left, "key", f'Nothing called "{one.key}" is weighed into {into}.')
    if one.kind is not None:
        left = _narrowed(one, left, "kind", f'"{one.key}" in {into} is not of kind "{one.kind}".')
    elif len({row.row.kind for _, row in left}) > 1:
        _narrowed(one, left, "kind", f'Several rows of {into} are called "{one.key}": give the "kind" '
                                     'of this weighing.')
    if len(left) > 1:
        left = _of_lot(one, left)
    place = left[0][0]
    if place in taken:
        raise DomainError(f'"{one.key}" in {into} is reported twice: report each row once and add what you added '
                          "later to it.", field=("key",), value=one.key)
    return place


def _narrowed(one: ReportedWeighing, rows: list[tuple[int, Row]], name: str, refusal: str) -> list[tuple[int, Row]]:
    given = getattr(one, name)
    left = [(place, row) for place, row in rows if getattr(row.row, name) == given]
    if left:
        return left
    known = [word for word in dict.fromkeys(getattr(row.row, name) for _, row in rows) if word is not None]
    near = "" if given is None else or_nearest(given, known)
    listed = f" Known there: {', '.join(known)}." if known else ""
    raise OutOfRange(f"{refusal}{near}{listed}", field=(name,), value=given, allowed=", ".join(known))


def _of_lot(one: ReportedWeighing, same: list[tuple[int, Row]]) -> list[tuple[int, Row]]:
    lots = [row.row.lot for _, row in same]
    if one.lot not in lots:
        known = ", ".join(lot or "one without a lot" for lot in lots)
        raise Unsolvable(f'The plan has {len(same)} rows of "{one.key}": give the "lot" of this weighing ({known}).',
                         field=("lot",), value=one.lot, allowed=known)
    return [(place, row) for place, row in same if row.row.lot == one.lot]




def _check_stage(needed: str, stage: str, what: str) -> None:
    if STAGES.index(needed) > STAGES.index(stage):
        raise Unsolvable(f'{what} belongs to {_STAGE_WORDS[needed]} and is not weighed before stage "{needed}"; you '
                         f'gave stage "{stage}". Leave it out, or give a later stage.', field=("where",), value=stage,
                         allowed=f'stage "{needed}" or later')


def _difference(row: WeighRow, weighed_g: float | None, lot: str | None) -> Difference:
    if weighed_g is None:
        return Difference(row, lot, None, None, None, "not_told")
    off = 0.0 if math.isclose(weighed_g, row.weigh_g, rel_tol=1e-9) else weighed_g - row.weigh_g  # noise of ounces
    forgotten = weighed_g == 0 < row.weigh_g
    state = "off" if forgotten or abs(off) > row.step_g * (1 + 1e-9) else "as_planned"
    return Difference(row, lot, weighed_g, off, 100 * off / row.weigh_g if row.weigh_g else None, state)
