"""What was weighed, row by row, beside the weigh list of the plan."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from kettlewright import limits
from kettlewright.errors import DomainError, Unsolvable, gather
from kettlewright.names import nearest
from kettlewright.plan.batch import Plan
from kettlewright.weigh_list import WeighRow

__all__ = ["LYE_KEY", "STAGES", "Difference", "Row", "ToldWeighing", "Weighings", "rows_of", "sort_weighings"]

STAGES = ("fats", "lye_made", "in_pot", "poured", "cut")
LYE_KEY = "lye"
_STAGE_WORDS = {"fats": "the fats", "lye_made": "the lye", "in_pot": "the pot", "poured": "the pour"}


@dataclass(frozen=True, slots=True)
class ToldWeighing:
    """A weighing as the maker tells it.

    Parameters
    ----------
    where, key : str
        As in the weigh list. [key]
    mass_g, fine_mass_g : float
        What the scale showed: read in the unit of masses, and in the unit of doses; the row says which. [g]
    lot : str, optional
        Lot that was really taken; it tells rows of one key apart. [text]
    """

    where: str
    key: str
    mass_g: float
    fine_mass_g: float
    lot: str | None = None


@dataclass(frozen=True, slots=True)
class Row:
    """A row of the weigh list, and what it is.

    Parameters
    ----------
    row : WeighRow
        As planned. [g]
    stage : str
        When it is weighed, one of `STAGES`. [key]
    kind : str
        "water", "ice", "liquid", "acid", "alkali", "fat", "addition", "bucket" or "other". [key]
    index : int
        Its place among those of its kind; of a portion's addition its place there. [place]
    portion : int, optional
        The portion it belongs to. [place]
    """

    row: WeighRow
    stage: str
    kind: str
    index: int
    portion: int | None = None


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

    def off_at(self, stages: Sequence[str]) -> bool:
        """Whether anything weighed at these stages is off by more than a step (`stages`). [yes or no]"""
        rows = {id(row.row) for row in self.rows if row.stage in stages}
        return any(one.state == "off" and id(one.row) in rows for one in self.differences)


def rows_of(plan: Plan) -> tuple[Row, ...]:
    """The weigh list of a plan, each row with what it is (`plan`). [g]"""
    lye, division = plan.lye, plan.division
    in_jug = [index for index, acid in enumerate(lye.acids) if not acid.acid.fatty]
    in_fats = [index for index, acid in enumerate(lye.acids) if acid.acid.fatty]
    kinds: list[tuple[str, str, int, int | None]] = [("lye_made", "water", 0, None)]
    kinds += [("lye_made", "ice", 0, None)] if lye.ice is not None and lye.ice.weigh_g else []
    kinds += [("lye_made", "liquid", index, None) for index in range(len(lye.liquids))]
    kinds += [("lye_made", "acid", index, None) for index in in_jug]
    kinds += [("lye_made", "alkali", index, None) for index in range(len(lye.alkalis))]
    kinds += [("fats", "fat", index, None) for index in range(len(lye.fats))]
    kinds += [("fats", "acid", index, None) for index in in_fats]
    kinds += [("in_pot", "other", 0, None)] * (2 * len(plan.bench.dispersions))
    kinds += [("in_pot" if one.addition.in_batter else "poured", "addition", index, None)
              for index, one in enumerate(division.additions)]
    kinds += [] if division.kept_back is None else [("poured", "other", 0, None)]
    for number, portion in enumerate(division.portions):
        kinds.append(("poured", "bucket", number, number))
        kinds += [("poured", "other", index, number) for index in range(len(portion.borrowed))]
        kinds += [("poured", "addition", index, number) for index in range(len(portion.additions))]
        kinds += [] if portion.dusting is None else [("poured", "other", 0, number)]
    return tuple(Row(row, *kind) for row, kind in zip(plan.weigh_list, kinds, strict=True))


def sort_weighings(plan: Plan, stage: str, told: Sequence[ToldWeighing]) -> Weighings:
    """Put each weighing beside its row.

    Parameters
    ----------
    plan : Plan
        The batch. [plan]
    stage : str
        How far it has come, one of `STAGES`. [key]
    told : sequence of ToldWeighing
        What was weighed. [g]

    Returns
    -------
    Weighings : [g]

    Raises
    ------
    Faults : a place or a key that the plan does not have, a row of a later stage, a row twice, a lot that is not told
        where it must be, a mass out of its bounds.
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
                    lye_g = limits.MASS.check(one.mass_g, "mass")
                    continue
                place = _place(one, rows, weighed)
                row = rows[place]
                _check_stage(row.stage, stage, f'"{row.row.name}"')
                weighed[place] = limits.MASS.check(one.fine_mass_g if row.row.fine else one.mass_g, "mass")
                if one.lot is not None:
                    lots[place] = one.lot
    so_far = STAGES[:STAGES.index(stage) + 1]
    differences = tuple(_difference(row.row, weighed.get(place), lots.get(place, row.row.lot))
                        for place, row in enumerate(rows) if row.stage in so_far)
    return Weighings(rows, weighed, lye_g, differences)


def _is_lye(one: ToldWeighing, rows: Sequence[Row]) -> bool:
    return (one.where, one.key) == ("pot", LYE_KEY) and not any(
        (row.row.where, row.row.key) == ("pot", LYE_KEY) for row in rows)


def _place(one: ToldWeighing, rows: Sequence[Row], taken: Mapping[int, float]) -> int:
    wheres = list(dict.fromkeys(row.row.where for row in rows))
    if one.where not in wheres:
        raise DomainError(f'Nothing of this plan is weighed at "{one.where}".{_near(one.where, wheres)} Its places '
                          f"are {', '.join(wheres)}.", field=("where",), value=one.where, allowed=", ".join(wheres))
    there = [place for place, row in enumerate(rows) if row.row.where == one.where]
    keys = list(dict.fromkeys(rows[place].row.key for place in there))
    if one.key not in keys:
        raise DomainError(f'Nothing called "{one.key}" is weighed into "{one.where}".{_near(one.key, keys)} There are '
                          f"{', '.join(keys)}.", field=("key",), value=one.key, allowed=", ".join(keys))
    same = [place for place in there if rows[place].row.key == one.key]
    if len(same) > 1:
        same = _of_lot(one, rows, same)
    free = [place for place in same if place not in taken]
    if not free:
        raise DomainError(f'"{one.key}" in "{one.where}" stands twice: one weighing for each row. What was added '
                          "later is added up with it.", field=("key",), value=one.key)
    return free[0]


def _of_lot(one: ToldWeighing, rows: Sequence[Row], same: list[int]) -> list[int]:
    lots = [rows[place].row.lot for place in same]
    if len(set(lots)) == 1:
        return same
    if one.lot not in lots:
        known = ", ".join(lot or "one without a lot" for lot in lots)
        raise Unsolvable(f'The plan has {len(same)} rows of "{one.key}": say by "lot" which one this is ({known}).',
                         field=("lot",), value=one.lot, allowed=known)
    return [place for place in same if rows[place].row.lot == one.lot]


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
    state = "off" if abs(off) > row.step_g * (1 + 1e-9) else "as_planned"
    return Difference(row, lot, weighed_g, off, 100 * off / row.weigh_g if row.weigh_g else None, state)
