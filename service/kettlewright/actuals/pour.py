"""How the batter that really is there fills buckets and mould: the buckets weighed so far, and what the rest get."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from kettlewright.actuals.rows import STAGES, Weighings
from kettlewright.actuals.words import amount_of
from kettlewright.errors import DomainError, DomainErrors, Unsolvable
from kettlewright.plan.batch import Plan
from kettlewright.pour import (
    Addition,
    Batter,
    Column,
    Division,
    Layer,
    LimitCheck,
    MadeDispersion,
    Mould,
    Portion,
    Replanned,
    Residue,
    bars_of,
    dispersions_of,
    divide,
    judge_limits,
    with_doses,
    with_largest_doses,
)
from kettlewright.pour.buckets import Poured, pour_exactly
from kettlewright.said import NO_TEXT, Said

__all__ = ["ActualPortion", "ActualPour", "PourSettings", "pour_as_weighed"]

_CLOSE = 1e-9
_STEPS_MAX = 20


@dataclass(frozen=True, slots=True)
class PourSettings:
    """What of the plan's request the pour needs again.

    Parameters
    ----------
    residue : Residue
        What was to stay behind. [g]
    overflow : Mould, optional
        Takes what is above the mould's fill limit. [mould]
    batter_density : float, optional
        Measured by the maker. [g/mL]
    """

    residue: Residue
    overflow: Mould | None = None
    batter_density: float | None = None


@dataclass(frozen=True, slots=True)
class ActualPortion:
    """A portion as it is, or as it will be.

    Parameters
    ----------
    key, name : str
        Of the portion. [text]
    told : bool
        Its bucket was weighed. [yes or no]
    planned_weigh_g, weigh_g : float
        Plain batter in its bucket: by the plan; as weighed, or what is left for it. [g]
    planned_layer, layer : Layer, optional
        Where it was to lie, and where it lies now; none where heights are not known. [mm]
    column : Column, optional
        Where it stands, between dividers in a box. [mm]
    """

    key: str
    name: str
    told: bool
    planned_weigh_g: float
    weigh_g: float
    planned_layer: Layer | None
    layer: Layer | None
    column: Column | None


@dataclass(frozen=True, slots=True)
class ActualPour:
    """The pour of the batter that is there.

    Parameters
    ----------
    portions : tuple of ActualPortion
        In pour order. [g, mm]
    in_pot_g : float
        Batter and what is stirred into the pot. [g]
    remains_g : float
        What no bucket gets: it stays in the pot or is kept back. [g]
    over_g : float
        What mould and overflow do not hold. [g]
    missing_depth_mm : float, optional
        From the top to the fill limit; below 0 where it stands above, none where heights are not known. [mm]
    division : Division, optional
        All of it; none where it cannot be shared out, and `reason` says why. [g]
    limits : tuple of LimitCheck
        Ingredients held to their limits. [% of cured bar]
    dispersions : tuple of MadeDispersion
        Jars. [g]
    reason : Said
        Why it cannot be shared out; empty where it can. [text]
    """

    portions: tuple[ActualPortion, ...]
    in_pot_g: float
    remains_g: float
    over_g: float
    missing_depth_mm: float | None
    division: Division | None
    limits: tuple[LimitCheck, ...] = ()
    dispersions: tuple[MadeDispersion, ...] = ()
    reason: Said = NO_TEXT


def pour_as_weighed(plan: Plan, batter: Batter, told: Weighings, settings: PourSettings, *,
                    stage: str) -> ActualPour:
    """Share out the batter that is there.

    Parameters
    ----------
    plan : Plan
        The batch as planned. [plan]
    batter : Batter
        As it is. [g, g/mL]
    told : Weighings
        What was weighed: buckets, and what was stirred in. [g]
    settings : PourSettings
        Residue, overflow, density. [g]
    stage : str
        How far it has come, one of `STAGES`: from "in_pot" on the pot has its additions, which are no longer dosed by
        the batter; at "cut" every bucket is poured. [key]

    Returns
    -------
    ActualPour : buckets not weighed yet share what is left in the proportions of the plan; told by mass or depth they
        get at most what was planned. More than the mould holds stays in the pot. [g, mm]
    """
    in_pot_already = STAGES.index(stage) >= STAGES.index("in_pot")
    oily = {one.key for one in plan.lye.dispersed}  # these keep their mass: the alkali is for their oil
    additions = _with_masses((one.addition, told.told("addition", index),
                              one.weigh_g if in_pot_already or one.key in oily else None)
                             for index, one in enumerate(plan.division.additions))
    in_pot = batter.mass_g + math.fsum(one.mass_in(batter_g=batter.mass_g, fats_g=batter.fats_mass_g)
                                       for one in additions if one.in_batter)
    kept_back = told.told("kept_back", 0)
    if kept_back is not None:
        settings = replace(settings, residue=replace(settings.residue, kept_back_g=kept_back))
    try:
        return _share_out(plan, batter, told, settings, additions, in_pot, all_filled=stage == "cut")
    except (DomainError, DomainErrors) as error:
        return ActualPour((), in_pot, in_pot, 0.0, None, None, reason=_told(error))


def _told(error: DomainError | DomainErrors) -> Said:
    """Why, in words; what refuses a request in English only stays English."""
    detail = error.errors[0].detail if isinstance(error, DomainErrors) else error.detail
    return detail if isinstance(detail, Said) else Said("{reason}", reason=detail)


def _with_masses(additions: Iterable[tuple[Addition, float | None, float | None]]) -> tuple[Addition, ...]:
    """Each as it was asked, or by the mass that is in: as reported, else as planned; what was forgotten is left out."""
    found = []
    for asked, reported_g, planned_g in additions:
        mass = reported_g if reported_g is not None else planned_g
        if reported_g == 0:
            continue
        found.append(replace(asked, dose=mass * asked.pure_part, basis="mass") if mass else asked)
    return tuple(found)


def _share_out(plan: Plan, batter: Batter, told: Weighings, settings: PourSettings, additions: Sequence[Addition],
               in_pot_g: float, *, all_filled: bool) -> ActualPour:
    planned, mould = plan.division.portions, plan.division.mould
    weighed = {index: mass for index in range(len(planned))
               if (mass := told.told("bucket", index, index)) is not None}
    plain = _plain_of(plan, weighed, in_pot_g, settings.residue, all_filled=all_filled)
    here = [index for index, mass in enumerate(plain) if mass > 0]
    if not here:
        raise Unsolvable(Said("What stays behind leaves nothing of the {mass} in the pot.", mass=amount_of(in_pot_g)))
    portions = [replace(planned[index].portion, additions=_with_masses(
        (one.addition, told.told("addition", number, index), one.weigh_g if index in weighed or all_filled else None)
        for number, one in enumerate(planned[index].additions))) for index in here]
    masses = [plain[index] for index in here]
    wanted = math.fsum(masses)
    free = [place for place, index in enumerate(here) if index not in weighed]
    over = 0.0
    for _ in range(_STEPS_MAX):
        poured = pour_exactly(batter, _by_share(portions, masses), additions, mould=mould,
                              residue=_left(settings.residue, in_pot_g, masses))
        over = _over(poured, mould, settings.overflow, plan.arrangement)
        if over <= _CLOSE or not free:
            break
        # buckets keep a residue, so that the plain batter of a volume is found in steps
        part = 1 - over * math.fsum(masses) / math.fsum(masses[place] for place in free)
        if part <= 0:
            raise Unsolvable(Said("The buckets that were weighed fill the mould by themselves: nothing goes on top."))
        masses = [mass * part if place in free else mass for place, mass in enumerate(masses)]
    _check_brim(poured, mould, settings.overflow, plan.arrangement)
    shares = _by_share(portions, masses)

    def shared_out(parts: Sequence[Portion], stirred: Sequence[Addition]) -> Division:
        return divide(batter, parts, stirred, scale=plan.lye.scale, mould=mould,
                      residue=_left(settings.residue, in_pot_g, masses), arrangement=plan.arrangement,
                      loss_pct=plan.division.loss_pct, overflow=settings.overflow)

    def judged(division: Division) -> Replanned:
        return Replanned(division, judge_limits(division, bars_of(
            division, arrangement=plan.arrangement, cuts=plan.cuts if len(here) == len(planned) else None)))

    division = shared_out(shares, additions)
    asked: dict[tuple[str | None, str], Addition] = {
        (None, one.key): one.addition for one in plan.division.additions}
    asked |= {(portion.key, one.key): one.addition for portion in planned for one in portion.additions}
    inside: list[tuple[tuple[str | None, str], Addition]] = [((None, one.key), one) for one in additions]
    inside += [((portion.key, one.key), one) for portion in portions for one in portion.additions]
    fixed = frozenset(place for place, one in inside if one is not asked[place])  # in already: no advice changes them
    made = dict(zip(here, division.portions, strict=True))
    shown = []
    for index, one in enumerate(planned):
        now = made.get(index)
        weigh = weighed.get(index, 0.0 if now is None else now.weigh_g)
        shown.append(ActualPortion(one.key, one.name, index in weighed, one.weigh_g, weigh, one.layer,
                                   None if now is None else now.layer, None if now is None else now.column))
    return ActualPour(
        tuple(shown), in_pot_g, in_pot_g - math.fsum(one.weigh_g for one in shown),
        wanted - math.fsum(masses) + (max(over, 0.0) * poured.mould_g if over > _CLOSE else 0.0),
        division.missing_depth_mm, division,
        with_largest_doses(judged(division), lambda doses: judged(shared_out(*with_doses(shares, additions, doses))),
                           fixed=fixed),
        dispersions_of(division, step_g=plan.lye.scale.dose_readability_g))


def _plain_of(plan: Plan, weighed: Mapping[int, float], in_pot_g: float, residue: Residue, *,
              all_filled: bool) -> list[float]:
    """Plain batter of each bucket: as weighed, or its part of what is left. [g]"""
    planned, step = plan.division.portions, plan.lye.scale.readability_g
    taken = math.fsum(weighed.values())
    holds = in_pot_g - residue.kept_back_g
    if holds < -step:
        raise Unsolvable(Said("What was kept back weighs {kept}, and there are only {there} of batter: was it weighed "
                              "with its vessel?", kept=amount_of(residue.kept_back_g), there=amount_of(in_pot_g)))
    if taken > holds + step * (len(weighed) + 1):
        raise Unsolvable(Said(
            "The buckets weighed take {taken}, and there are only {holds} of batter: was a bucket weighed "
            "with its own mass, or something in the pot not told?", taken=amount_of(taken), holds=amount_of(holds)))
    rest = [index for index in range(len(planned)) if index not in weighed]
    left = max(in_pot_g - residue.of_pot_g - taken, 0.0)
    asked = math.fsum(planned[index].batter_mass_g for index in rest)
    if rest and (all_filled or planned[rest[0]].portion.share_pct is None):
        left = min(left, asked)  # poured as planned, or sized by mass or depth: more batter does not make them larger
    return [weighed[index] if index in weighed else one.batter_mass_g * left / asked
            for index, one in enumerate(planned)]


def _left(residue: Residue, in_pot_g: float, masses: Sequence[float]) -> Residue:
    return replace(residue, pot_g=max(in_pot_g - math.fsum(masses) - residue.kept_back_g, 0.0))


def _by_share(portions: Sequence[Portion], masses: Sequence[float]) -> list[Portion]:
    """The same buckets by share of what is poured of them: what one borrows is poured of the borrower."""
    places = {portion.key: place for place, portion in enumerate(portions)}
    made = [mass / (1 - math.fsum(one.share_pct for one in portion.borrows) / 100)
            for portion, mass in zip(portions, masses, strict=True)]
    poured = list(made)
    for place, portion in enumerate(portions):
        for one in portion.borrows:
            if one.key not in places:
                raise Unsolvable(Said('"{portion}" borrows from a bucket that gets nothing.', portion=portion.name))
            poured[places[one.key]] -= one.share_pct / 100 * made[place]
    short = [portion.name for portion, mass in zip(portions, poured, strict=True) if mass <= 0]
    if short:
        raise Unsolvable(Said('"{portion}" holds less than other buckets are to borrow from it.', portion=short[0]))
    total = math.fsum(poured)
    return [replace(portion, share_pct=min(100 * mass / total, 100.0), mass_g=None, layer_depth_mm=None)
            for portion, mass in zip(portions, poured, strict=True)]


def _over(poured: Poured, mould: Mould | None, overflow: Mould | None, arrangement: str) -> float:
    """What of the pour has no place, as a part of it."""
    if mould is None:
        return 0.0
    holds = mould.volume_ml + (0.0 if overflow is None else overflow.volume_ml)
    parts = [(poured.mould_ml - holds) / poured.mould_ml]
    if arrangement == "separate":
        parts += [(bucket.mould_ml - mould.volume_ml / mould.count) / bucket.mould_ml for bucket in poured.buckets]
    return max(parts)


def _check_brim(poured: Poured, mould: Mould | None, overflow: Mould | None, arrangement: str) -> None:
    """Above the rim no height is known."""
    if mould is None:
        return
    most = mould.brim_volume_ml if overflow is None else mould.volume_ml + overflow.brim_volume_ml
    fullest = max(bucket.mould_ml for bucket in poured.buckets) if arrangement == "separate" else 0.0
    if poured.mould_ml > most * (1 + _CLOSE) or fullest > mould.brim_volume_ml / mould.count * (1 + _CLOSE):
        raise Unsolvable(Said("The buckets hold {mass}, more than there is room for up to the rim: pour up to "
                              "the mark, and the rest into another mould.", mass=amount_of(poured.mould_g)))
