"""Every value a plan depends on, one per line, to compare with a remake years later."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass

from kettlewright.plan.batch import Plan
from kettlewright.recipe.weighed import WeighedAlkali, WeighedFat
from kettlewright.said import Said
from kettlewright.weigh_list import WeighRow

__all__ = ["LINE_UNITS", "RESTS_ON", "Comparison", "Moved", "Resolved", "ResolvedLine", "compare", "resolve"]

LINE_UNITS = ("g", "mL", "mm", "g/mL", "mg KOH/g", "%", "% of the bar as cut", "bars")
RESTS_ON = ("request", "table", "assumed", "computed", "coop")
_NAMED = 4
_ALIKE = 1e-7  # replies have nine digits: smaller differences are rounding


@dataclass(frozen=True, slots=True)
class ResolvedLine:
    """A value.

    Parameters
    ----------
    what : str
        Dotted name of it. [text]
    value : float
        In its unit. [unit of the line]
    unit : str
        One of `LINE_UNITS`, whatever the units of the request. [key]
    rests_on : str
        One of `RESTS_ON`. [key]
    """

    what: str
    value: float
    unit: str
    rests_on: str


@dataclass(frozen=True, slots=True)
class Resolved:
    """The values a plan depends on.

    Parameters
    ----------
    identity, request : str
        Of the plan, and of its request alone, whatever the tables. [text]
    version, data_version : str
        Of the service and of its tables. [text]
    lines : tuple of ResolvedLine
        In the order of work. [lines]
    """

    identity: str
    request: str
    version: str
    data_version: str
    lines: tuple[ResolvedLine, ...]


@dataclass(frozen=True, slots=True)
class Moved:
    """A value that has changed.

    Parameters
    ----------
    what, unit : str
        Which. [text]
    then, now : float, optional
        Both values; None if a plan has none. [unit of the line]
    why : Said
        Why it changed. [text]
    """

    what: str
    unit: str
    then: float | None
    now: float | None
    why: Said


@dataclass(frozen=True, slots=True)
class Comparison:
    """A plan compared with an earlier one.

    Parameters
    ----------
    identity : str
        Of the earlier one. [text]
    said : Said
        Whether request and tables are the same, in words. [text]
    moved : tuple of Moved
        In the order of work. [lines]
    unmoved_count : int
        Values that have not changed. [values]
    """

    identity: str
    said: Said
    moved: tuple[Moved, ...]
    unmoved_count: int


def resolve(plan: Plan, *, identity: str, request: str, version: str, data_version: str,
            shared: Collection[tuple[str, str | None, str]] = ()) -> Resolved:
    """The values a plan depends on.

    Parameters
    ----------
    plan : Plan
        The batch. [plan]
    identity, request, version, data_version : str
        Of the plan, its request alone, the service and its tables. [text]
    shared : collection of (str, str or None, str)
        Key, lot and field of each figure of a fat that comes from a list which makers share. [keys]

    Returns
    -------
    Resolved : [lines]
    """
    return Resolved(identity, request, version, data_version, tuple(_lines(plan, shared)))


def _lines(plan: Plan, shared: Collection[tuple[str, str | None, str]]) -> Iterator[ResolvedLine]:
    lye, division = plan.lye, plan.division
    for weighed in lye.fats:
        yield from _of_fat(weighed, shared)
    for alkali in lye.alkalis:
        yield from _of_alkali(alkali)
    for row in plan.weigh_list:
        yield ResolvedLine(".".join(("weigh", *_named(row))), row.weigh_g, "g", "computed")
    found = lye.superfat
    for what, value in (("achieved", found.achieved_pct), ("likely.min", found.likely_pct.min),
                        ("likely.max", found.likely_pct.max), ("worst_case.min", found.worst_case_pct.min),
                        ("worst_case.max", found.worst_case_pct.max)):
        yield ResolvedLine(f"superfat.{what}", value, "%", "computed")
    yield ResolvedLine("lye.concentration", lye.solution.concentration_pct, "%", "computed")
    yield ResolvedLine("batter.density", plan.batter.density, "g/mL", "computed")
    yield ResolvedLine("batter.mass", plan.batter.mass_g, "g", "computed")
    yield ResolvedLine("mould.volume", division.mould.volume_ml if division.mould is not None else 0.0, "mL",
                       "computed")
    yield ResolvedLine("loss_for_limits", division.loss_taken_pct, "% of the bar as cut",
                       "assumed" if plan.expected_loss_pct is None else "request")
    for portion in division.portions:
        if portion.layer is not None:
            yield ResolvedLine(f"portions.{portion.key}.layer.top", portion.layer.top_mm, "mm", "computed")
    if plan.cuts is not None:
        bars = plan.cuts.bars
        yield ResolvedLine("cuts.bars.count", float(bars.count), "bars", "computed")
        if bars.mass is not None:
            yield ResolvedLine("cuts.bars.mass", bars.mass.mid_g, "g", "computed")


def _of_fat(weighed: WeighedFat, shared: Collection[tuple[str, str | None, str]]) -> Iterator[ResolvedLine]:
    fat, at = weighed.fat, f"fats.{weighed.key}" + (f".lot_{weighed.lot}" if weighed.lot else "")
    certified = any(source.key.startswith("certificate_") for source in fat.sources)
    figures_from = "request" if fat.own else "table"
    value_from = "request" if certified else figures_from
    if (weighed.key, weighed.lot, "saponification_value") in shared:
        value_from = "coop"
    if (weighed.key, weighed.lot, "density") in shared:
        figures_from = "coop"
    for end in ("min", "mid", "max"):
        yield ResolvedLine(f"{at}.saponification_value.{end}", getattr(fat.saponification_value, end), "mg KOH/g",
                           value_from)
    yield ResolvedLine(f"{at}.density", fat.density, "g/mL", "assumed" if fat.density_assumed else figures_from)


def _of_alkali(alkali: WeighedAlkali) -> Iterator[ResolvedLine]:
    portion, at = alkali.portion, f"alkalis.{alkali.key}"
    given = (portion.purity_pct, portion.purity_at_least_pct) != (None, None) or portion.stock is not None
    strength = portion.strength_range
    for end, value in (("min", strength.min), ("used", portion.strength), ("max", strength.max)):
        yield ResolvedLine(f"{at}.strength.{end}", 100 * value, "%", "request" if given else "assumed")


def _named(row: WeighRow) -> Iterator[str]:
    """The fields that identify a row."""
    yield row.where
    if row.portion is not None:
        yield row.portion
    yield from (row.kind, row.key)
    if row.lot is not None:
        yield f"lot_{row.lot}"


def compare(then: Resolved, now: Resolved) -> Comparison:
    """Compare a plan with an earlier one.

    Parameters
    ----------
    then, now : Resolved
        The values of both plans. [lines]

    Returns
    -------
    Comparison : [lines]
    """
    before = {line.what: line for line in then.lines}
    after = {line.what: line for line in now.lines}
    keys = list(dict.fromkeys([*after, *before]))
    moved_inputs = [what for what in keys if _differs(before.get(what), after.get(what))
                    and _line(before, after, what).rests_on != "computed"]
    moved = [Moved(what, _line(before, after, what).unit, _value(before.get(what)), _value(after.get(what)),
                   _why(before.get(what), after.get(what), then, now, moved_inputs))
             for what in keys if _differs(before.get(what), after.get(what))]
    return Comparison(then.identity, _same(then, now), tuple(moved), len(keys) - len(moved))


def _line(before: dict[str, ResolvedLine], after: dict[str, ResolvedLine], what: str) -> ResolvedLine:
    return after[what] if what in after else before[what]


def _value(line: ResolvedLine | None) -> float | None:
    return None if line is None else line.value


def _differs(one: ResolvedLine | None, other: ResolvedLine | None) -> bool:
    if one is None or other is None or one.unit != other.unit:
        return True
    return abs(one.value - other.value) > _ALIKE * max(abs(one.value), abs(other.value))


def _why(then: ResolvedLine | None, now: ResolvedLine | None, earlier: Resolved, this: Resolved,
         moved_inputs: list[str]) -> Said:
    if then is None or now is None:
        return Said("Only this plan has it.") if then is None else Said("Only the earlier plan has it.")
    if then.rests_on != now.rests_on:
        if {then.rests_on, now.rests_on} <= {"request", "table"}:
            return Said("It came from the request then and comes from the table now.") if then.rests_on == "request" \
                else Said("It came from the table then and comes from the request now.")
        return Said("It was {then} then and is {now} now.", then=_RESTED[then.rests_on], now=_RESTED[now.rests_on])
    if now.rests_on == "request":
        return Said("The request is different now.")
    if now.rests_on == "coop":
        return Said("The co-op's data are different now.")
    if now.rests_on == "table":
        return Said("The tables have changed (data {now}, then {then}).", now=this.data_version,
                    then=earlier.data_version) if this.data_version != earlier.data_version else Said(
                        "The tables are the same; the earlier line was edited.")
    if now.rests_on == "assumed":
        return Said("The assumed default has changed.")
    if moved_inputs:
        named = tuple(moved_inputs[:_NAMED])
        return Said("It follows from other changes: {named:, }.", named=named) if len(moved_inputs) <= _NAMED else Said(
            "It follows from other changes: {named:, } and more.", named=named)
    if earlier.request != this.request:
        return Said("It follows from a different request.")
    return Said("The request and the data are the same: the calculation has changed (version {now}, then {then}).",
                now=this.version, then=earlier.version)


_RESTED = {"request": Said("given"), "table": Said("of the tables"), "assumed": Said("assumed"),
           "computed": Said("computed"), "coop": Said("of the co-op's data")}


def _same(then: Resolved, now: Resolved) -> Said:
    same_request = then.request == now.request
    if then.data_version == now.data_version:
        return Said("The same request with the same data.") if same_request else Said(
            "A different request with the same data.")
    versions = {"now": now.data_version, "then": then.data_version}
    return Said("The same request with different data ({now}, then {then}).", **versions) if same_request else Said(
        "A different request with different data ({now}, then {then}).", **versions)
