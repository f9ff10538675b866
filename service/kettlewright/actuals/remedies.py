"""Every remedy that puts a batch right, the best first; never one after which it may be lye-heavy."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from kettlewright import amounts
from kettlewright.actuals.lye_steps import as_bought, lye_for
from kettlewright.actuals.rows import Weighings
from kettlewright.actuals.steps import NO_SOAP_PCT, SLIGHT_POINTS, Step, is_safe, keeps_superfat
from kettlewright.actuals.top_up import (
    DISSOLVES_PCT,
    WATER_FOR_ALKALI,
    how_to_put_in,
    missing_of,
    water_for_alkali,
    with_missing,
)
from kettlewright.actuals.words import GUARDED, amount_of, superfat_of
from kettlewright.copies import replace
from kettlewright.errors import DomainError, DomainErrors
from kettlewright.money import Money
from kettlewright.plan.batch import Plan
from kettlewright.recipe import Lye, OnScale, fat_to_add, jug_mass, lye_as_weighed, part_of_lye, with_more_fat
from kettlewright.recipe.weighed import WeighedAlkali
from kettlewright.recipe.weighing import round_up
from kettlewright.release import CostOptions, CostRow, cost_of
from kettlewright.said import Said, sentences
from kettlewright.weigh_list import weigh_list

__all__ = ["REMEDIES", "Remedy", "RemedyRow", "cost_of_remedy", "remedies_for"]

REMEDIES = ("put_in_missing", "add_fat", "use_part_of_lye", "weigh_alkali", "make_lye_anew", "add_lye")
_STEPS_MAX = 1_000_000  # of the scale for alkali: more than any batch has


@dataclass(frozen=True, slots=True)
class RemedyRow:
    """Something to weigh for a remedy.

    Parameters
    ----------
    key, name : str
        What; "lye" is what the jug contains. [text]
    mass_g : float
        How much. [g]
    fine : bool
        On the fine scale: it is in the unit of doses. [yes or no]
    buy : str, optional
        Key of the item in prices; none for lye that is already made. [key]
    """

    key: str
    name: str
    mass_g: float
    fine: bool = False
    buy: str | None = None


@dataclass(frozen=True, slots=True)
class Remedy:
    """One way to put a batch right.

    Parameters
    ----------
    what : str
        One of `REMEDIES`. [key]
    text : Said
        What to do, and the superfat then. [text]
    rows : tuple of RemedyRow
        What to weigh for it. [g]
    after : Lye
        The batch after it. [lye]
    discarded_g : float
        Lye that is left over. [g]
    """

    what: str
    text: Said
    rows: tuple[RemedyRow, ...]
    after: Lye
    discarded_g: float = 0.0


def remedies_for(plan: Plan, stage: str, reported: Weighings, on_scale: OnScale, lye: Lye,
                 step: Step) -> tuple[Remedy, ...]:
    """Every remedy that would do, the best first.

    Parameters
    ----------
    plan, reported, on_scale : Plan, Weighings, OnScale
        As planned and as weighed. [g]
    stage : str
        One of `STAGES`. [key]
    lye : Lye
        As weighed; at stage "fats" with the alkali of the plan. [lye]
    step : Step
        The next action. [step]

    Returns
    -------
    tuple of Remedy : empty once the batch is poured, and if it needs none. [g]

    Notes
    -----
    After each of them the low end of the likely superfat is above 0 and not below a minimum, and before fats and lye
    meet the requested superfat is kept. They are sorted by that low end, in tenths of a point, up to that of the plan:
    more free fat than planned is no better. Then by the lye that is left over, then by the mass added. Of two that
    weigh the same masses only the first is given.
    """
    short_of_alkali = lye.superfat.achieved_pct > plan.lye.superfat.achieved_pct + SLIGHT_POINTS
    if stage not in ("fats", "lye_made", "in_pot") or (step.what in ("go_on", "pour") and not short_of_alkali):
        return ()
    found = [*_put_in_missing(plan, stage, reported, on_scale)]
    if stage == "fats":
        found += _weigh_alkali(plan, on_scale)
    if stage == "lye_made":
        found += _less_lye(plan, on_scale)
    if short_of_alkali:
        found += [] if stage == "fats" else _second_lye(plan, stage, on_scale)
    else:
        found += _more_fat(plan, stage, on_scale)
    distinct = {tuple(sorted((row.key, round(row.mass_g, 6)) for row in one.rows)): one for one in reversed(found)}
    planned_low = plan.lye.superfat.likely_pct.min
    return tuple(sorted((one for one in distinct.values() if _will_do(plan, stage, one.after)), key=lambda one: (
        -round(min(one.after.superfat.likely_pct.min, planned_low), 1), one.discarded_g,
        math.fsum(row.mass_g for row in one.rows if row.buy is not None))))


def cost_of_remedy(remedy: Remedy, prices: CostOptions | None) -> Money | None:
    """What the masses of a remedy cost.

    Parameters
    ----------
    remedy : Remedy
        Which. [g]
    prices : CostOptions, optional
        Of the plan. [currency]

    Returns
    -------
    Money, optional : None if something that it needs has no price. [currency]
    """
    if prices is None or not prices.ingredients:
        return None
    only = CostOptions(ingredients=prices.ingredients)
    rows = [CostRow(row.buy, row.name, row.mass_g) for row in remedy.rows if row.buy is not None]
    cost = cost_of(rows, only, bars_count=1)
    return Money(cost.batch["ingredients"], cost.currency) if cost.complete else None


def _will_do(plan: Plan, stage: str, after: Lye) -> bool:
    if not is_safe(plan, after) or after.superfat.achieved_pct > NO_SOAP_PCT:
        return False
    return stage == "in_pot" or (keeps_superfat(after) and after.solution.concentration_pure_pct <= DISSOLVES_PCT)


def _put_in_missing(plan: Plan, stage: str, reported: Weighings, on_scale: OnScale) -> Iterator[Remedy]:
    missing, in_pot = missing_of(plan, reported), stage == "in_pot"
    if not missing:
        return
    after = with_missing(plan, on_scale, missing, in_pot=in_pot)
    rows = [RemedyRow(one.row.row.key, one.row.row.name, one.mass_g, one.row.row.fine, one.row.row.buy)
            for one in missing]
    water = water_for_alkali(plan, missing) if in_pot else 0.0
    yield _remedy("put_in_missing", how_to_put_in(plan, missing, in_pot=in_pot),
                  [*rows, *([_water(water)] if water else [])], after)


def _weigh_alkali(plan: Plan, on_scale: OnScale) -> Iterator[Remedy]:
    made = _new_lye(plan, on_scale)
    if made is None:
        return
    new, rows = made
    weighed = _in_words(rows)
    yield _remedy("weigh_alkali", Said("Do not weigh the alkali of the plan. For the fats in the pot, weigh "
                                       "{weighed:, }.", weighed=weighed), rows, new)


def _less_lye(plan: Plan, on_scale: OnScale) -> Iterator[Remedy]:
    jug = jug_mass(plan.lye, on_scale)
    part = part_of_lye(plan.lye, on_scale, lambda one: is_safe(plan, one) and keeps_superfat(one))
    if part is not None and part.lye_part < 1:
        use = part.lye_part * jug
        yield _remedy("use_part_of_lye", Said(
            "Stir the lye, use {use} of the {jug} and leave {left} in the jug.", use=amount_of(use), jug=amount_of(jug),
            left=amount_of(jug - use)), [RemedyRow("lye", Said("lye"), use)], _after(plan, part), jug - use)
    made = _new_lye(plan, on_scale)
    if made is None:
        return
    new, rows = made
    weighed = _in_words(rows)
    yield _remedy("make_lye_anew", Said(
        "Set the lye aside, closed and labelled. Make new lye for the fats in the pot: {weighed:, }. Dispose of the "
        "old lye as its safety data sheet and local rules say.", weighed=weighed), rows, new, jug)


def _more_fat(plan: Plan, stage: str, on_scale: OnScale) -> Iterator[Remedy]:
    if stage != "in_pot" and _after(plan, on_scale).solution.concentration_pure_pct > DISSOLVES_PCT:
        return
    for index, fat in enumerate(plan.lye.fats):
        mass = fat_to_add(plan.lye, on_scale, index, lambda one: _will_do(plan, stage, one) or (
            one.superfat.achieved_pct > NO_SOAP_PCT))  # so that it holds for any more of the fat; left out later
        if mass is None:
            continue
        what = Said("Stir in {mass} of {fat} while the batter is fluid.", mass=amount_of(mass), fat=fat.name) \
            if stage == "in_pot" else Said("Put {mass} more of {fat} into the pot before the lye.",
                                           mass=amount_of(mass), fat=fat.name)
        yield _remedy("add_fat", what, [RemedyRow(fat.key, fat.name, mass, buy=fat.key)],
                      _after(plan, with_more_fat(on_scale, index, mass)))


def _second_lye(plan: Plan, stage: str, on_scale: OnScale) -> Iterator[Remedy]:
    """Alkali in the plan's proportions, in whole steps, as much as still keeps the requested superfat."""
    alkalis = plan.lye.alkalis
    largest, step = max(one.weigh_g for one in alkalis), plan.lye.scale.alkali_readability_g

    def masses(steps: int) -> tuple[float, ...]:
        return tuple(step * math.floor(steps * one.weigh_g / largest + 1e-9) for one in alkalis)

    def with_it(steps: int) -> OnScale:
        more = masses(steps)
        dry = math.fsum(mass for mass, one in zip(more, alkalis, strict=True) if one.stock is None)
        water = round_up(WATER_FOR_ALKALI * dry, plan.lye.scale.readability_g) if dry else 0.0
        part = on_scale.lye_part  # all of the second lye goes into the pot
        return replace(on_scale, alkalis_g=tuple(now + mass / part for now, mass in zip(
            on_scale.alkalis_g, more, strict=True)), water_g=on_scale.water_g + water / part, alkali_weighings=2)

    low, high = 0, min(int(largest / step) + 1, _STEPS_MAX)
    while low < high:  # the most steps that still keep the superfat
        middle = (low + high + 1) // 2
        after = _after(plan, with_it(middle))
        low, high = (middle, high) if is_safe(plan, after) and keeps_superfat(after) else (low, middle - 1)
    if low == 0:
        return
    pot, more = with_it(low), [(one, mass) for one, mass in zip(alkalis, masses(low), strict=True) if mass]
    water = (pot.water_g - on_scale.water_g) * on_scale.lye_part
    rows = [_alkali(one, mass) for one, mass in more]
    listed = _in_words(rows)
    if not water:
        text = Said("Weigh {masses:, } and stir it in slowly while the batter is fluid.", masses=listed) \
            if stage == "in_pot" else Said("Weigh {masses:, } and use it with the lye.", masses=listed)
    elif stage == "in_pot":
        text = Said("Make a second, small lye: dissolve {masses:, } in {water} of cold water. Add the alkali to the "
                    "water, never water to the alkali. Let it cool, then stir it in slowly while the batter is fluid.",
                    masses=listed, water=amount_of(water))
    else:
        text = Said("Make a second, small lye: dissolve {masses:, } in {water} of cold water. Add the alkali to the "
                    "water, never water to the alkali. Let it cool and use it with the first lye.",
                    masses=listed, water=amount_of(water))
    yield _remedy("add_lye", text, [*([_water(water)] if water else []), *rows], _after(plan, pot))


def _after(plan: Plan, on_scale: OnScale) -> Lye:
    return lye_as_weighed(plan.lye, on_scale, expected_loss_pct=plan.expected_loss_pct)


def _remedy(what: str, do: Said, rows: Sequence[RemedyRow], after: Lye, discarded_g: float = 0.0) -> Remedy:
    then = Said("The superfat is then {superfat}.", superfat=superfat_of(after))
    return Remedy(what, sentences(do, then, GUARDED), tuple(rows), after, discarded_g)


def _alkali(one: WeighedAlkali, mass_g: float) -> RemedyRow:
    return RemedyRow(one.key, as_bought(one), mass_g, buy=f"{one.key}_stock" if one.stock else one.key)


def _water(mass_g: float) -> RemedyRow:
    return RemedyRow("water", Said("water"), mass_g, buy="water")


def _new_lye(plan: Plan, on_scale: OnScale) -> tuple[Lye, list[RemedyRow]] | None:
    """The lye for the fats in the pot, and what to weigh into its jug; None if it cannot be made."""
    try:
        new = lye_for(plan, on_scale)
    except (DomainError, DomainErrors):
        return None
    stocks = {one.key: as_bought(one) for one in new.alkalis}
    return new, [RemedyRow(row.key, stocks.get(row.key, row.name), row.weigh_g, row.fine, row.buy)
                 for row in weigh_list(new, plan.lye.scale) if row.where == "jug" and row.weigh_g]


def _in_words(rows: Sequence[RemedyRow]) -> tuple[Said, ...]:
    return tuple(Said("{mass} of {name}", mass=amounts.dose(row.mass_g, digits=7) if row.fine else amount_of(
        row.mass_g), name=row.name) for row in rows)
