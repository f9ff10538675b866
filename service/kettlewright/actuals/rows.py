"""What was weighed, row by row, beside the weigh list of the plan."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from kettlewright import limits
from kettlewright.errors import DomainError, OutOfRange, Unsolvable, gather
from kettlewright.names import nearest
from kettlewright.plan.batch import Plan
from kettlewright.weigh_list import WeighRow

__all__ = ["LYE_KEY", "STAGES", "Difference", "ReportedWeighing", "Row", "Weighings", "rows_of", "sort_weighings"]

STAGES = ("fats", "lye_made", "in_pot", "poured", "cut")
LYE_KEY = "lye"
_STAGE_WORDS = {"fats": "the fats", "lye_made": "the lye", "in_pot": "the pot", "poured": "the pour"}


@dataclass(frozen=True, slots=True)
class ReportedWeighing:
    """A weighing as the maker tells it.

    Parameters
    ----------
    where, key : str
        As in the weigh list. [key]
    mass_g, fine_mass_g : float
        What the scale showed: read in the unit of masses, and in the unit of doses; the row says which. [g]
    lot : str, optional
        Lot that was really taken; it tells rows of one key apart. [text]
    portion, kind : str, optional
        As in the weigh list: the portion wherever that row has one, the kind where it alone tells two rows apart. [key]
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
    """A row of the weigh list, and what becomes of it.

    Parameters
    ----------
    row : WeighRow
        As planned. [g]
    stage : str
        When it is weighed, one of `STAGES`. [key]
    kind : str
        Whose mass it tells: "water", "ice", "liquid", "acid", "alkali", "fat", "addition", "bucket" or
        "kept_back"; "other" where nothing is computed from it. [key]
    portion : int, optional
        The portion it belongs to. [place]
    """

    row: WeighRow
    stage: str
    kind: str
    portion: int | None = None

    @property
    def index(self) -> int:
        """Its place among those of its kind; of a portion's addition its place there. [place]"""
        return self.row.index


@dataclass(frozen=True, slots=True)
class Difference:
    """A row beside what was weighed.

    Parameters
    ----------
    row : WeighRow
        As planned. [g]
    lot : str, optional
        The lot told, else the plan's. [text]
    weighed_g, off_g, off_pct : float, optional
        What was weighed, and how far off; none where it was not told and counts as planned. [g, g, % of planned]
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
    """All that was told, sorted.

    Parameters
    ----------
    rows : tuple of Row
        Of the plan, in bench order. [g]
    weighed_g : mapping of int to float
        By the place of the row. [g]
    lye_g : float, optional
        The part of the lye that went into the pot, where it was told. [g]
    differences : tuple of Difference
        Rows up to this stage. [g]
    """

    rows: tuple[Row, ...]
    weighed_g: Mapping[int, float]
    lye_g: float | None
    differences: tuple[Difference, ...]

    def told(self, kind: str, index: int, portion: int | None = None) -> float | None:
        """What was weighed of one thing (`kind`, `index` and `portion` as of `Row`), where it was told. [g]"""
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
        """Rows that were weighed otherwise than planned, by more than a step. [g]"""
        off = {id(one.row) for one in self.differences if one.state == "off"}
        return tuple(row for row in self.rows if id(row.row) in off)

    def with_planned(self, rows: Iterable[Row]) -> Weighings:
        """The same with these rows weighed as planned (`rows` [g]). [g]"""
        places = {id(row.row): place for place, row in enumerate(self.rows)}
        return replace(self, weighed_g={**self.weighed_g, **{
            places[id(row.row)]: row.row.weigh_g for row in rows}})

    def off_at(self, stages: Sequence[str]) -> bool:
        """Whether anything weighed at these stages is off by more than a step (`stages`). [yes or no]"""
        rows = {id(row.row) for row in self.rows if row.stage in stages}
        return any(one.state == "off" and id(one.row) in rows for one in self.differences)


def rows_of(plan: Plan) -> tuple[Row, ...]:
    """The weigh list of a plan, each row with what becomes of it (`plan`). [g]"""
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


def sort_weighings(plan: Plan, stage: str, told: Sequence[ReportedWeighing]) -> Weighings:
    """Put each weighing beside its row.

    Parameters
    ----------
    plan : Plan
        The batch. [plan]
    stage : str
        How far it has come, one of `STAGES`. [key]
    told : sequence of ReportedWeighing
        What was weighed. [g]

    Returns
    -------
    Weighings : [g]

    Raises
    ------
    DomainErrors : a place or a key that the plan does not have, a row of a later stage, a row twice, a lot that is not
        told where it must be, a mass out of its bounds.
    """
    rows = rows_of(plan)
    weighed: dict[int, float] = {}
    lots: dict[int, str] = {}
    lye_g: float | None = None
    with gather() as checks:
        for number, one in enumerate(told):
            with checks.at("weighed", number):
                if _is_lye(one, rows):
                    if lye_g is not None:
                        raise DomainError("The lye that went into the pot stands here twice; add the masses up.",
                                          field=("key",), value=one.key)
                    _check_stage("in_pot", stage, "The lye that goes into the pot")
                    lye_g = one.mass_g and limits.MASS.check(one.mass_g, "mass")
                    continue
                place = _place(one, rows, weighed)
                row = rows[place]
                _check_stage(row.stage, stage, f'"{row.row.name}"')
                mass = one.fine_mass_g if row.row.fine else one.mass_g
                weighed[place] = mass and limits.MASS.check(mass, "mass")  # 0: it was forgotten
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
    """Which row it is of: vessel, portion, key, kind and lot, each looked at among the rows that are left."""
    left = _narrowed(one, list(enumerate(rows)), "where", f'Nothing of this plan is weighed at "{one.where}".')
    into = f'"{one.where}"'
    if one.portion is None and all(row.row.portion is not None for _, row in left):
        _narrowed(one, left, "portion", f"{into} is weighed for each portion: say by \"portion\" which one this is.")
    left = _narrowed(one, left, "portion", f'Nothing is weighed into {into} for a portion "{one.portion}".')
    into += f' of "{one.portion}"' if one.portion is not None else ""
    left = _narrowed(one, left, "key", f'Nothing called "{one.key}" is weighed into {into}.')
    if one.kind is not None:
        left = _narrowed(one, left, "kind", f'"{one.key}" in {into} is no "{one.kind}".')
    elif len({row.row.kind for _, row in left}) > 1:
        _narrowed(one, left, "kind", f'Several rows of {into} are called "{one.key}": say by "kind" which one this is.')
    if len(left) > 1:
        left = _of_lot(one, left)
    place = left[0][0]
    if place in taken:
        raise DomainError(f'"{one.key}" in {into} stands twice: one weighing for each row. What was added later is '
                          "added up with it.", field=("key",), value=one.key)
    return place


def _narrowed(one: ReportedWeighing, rows: list[tuple[int, Row]], name: str, refusal: str) -> list[tuple[int, Row]]:
    told = getattr(one, name)
    left = [(place, row) for place, row in rows if getattr(row.row, name) == told]
    if left:
        return left
    known = [word for word in dict.fromkeys(getattr(row.row, name) for _, row in rows) if word is not None]
    near = "" if told is None else _near(told, known)
    listed = f" Known there: {', '.join(known)}." if known else ""
    raise OutOfRange(f"{refusal}{near}{listed}", field=(name,), value=told, allowed=", ".join(known))


def _of_lot(one: ReportedWeighing, same: list[tuple[int, Row]]) -> list[tuple[int, Row]]:
    lots = [row.row.lot for _, row in same]
    if one.lot not in lots:
        known = ", ".join(lot or "one without a lot" for lot in lots)
        raise Unsolvable(f'The plan has {len(same)} rows of "{one.key}": say by "lot" which one this is ({known}).',
                         field=("lot",), value=one.lot, allowed=known)
    return [(place, row) for place, row in same if row.row.lot == one.lot]


def _near(word: str, known: Sequence[str]) -> str:
    near = nearest(word.casefold(), known)
    return f' Did you mean "{near[0]}"?' if near else ""


def _check_stage(needed: str, stage: str, what: str) -> None:
    if STAGES.index(needed) > STAGES.index(stage):
        raise Unsolvable(f'{what} belongs to {_STAGE_WORDS[needed]} and is not weighed before stage "{needed}"; this '
                         f'is stage "{stage}". Leave it out, or raise the stage.', field=("where",), value=stage,
                         allowed=f'stage "{needed}" or later')


def _difference(row: WeighRow, weighed_g: float | None, lot: str | None) -> Difference:
    if weighed_g is None:
        return Difference(row, lot, None, None, None, "not_told")
    off = weighed_g - row.weigh_g
    forgotten = weighed_g == 0 < row.weigh_g
    state = "off" if forgotten or abs(off) > row.step_g * (1 + 1e-9) else "as_planned"
    return Difference(row, lot, weighed_g, off, 100 * off / row.weigh_g if row.weigh_g else None, state)
