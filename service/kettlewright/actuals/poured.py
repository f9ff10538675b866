"""Divides the batter that was really made: the buckets weighed so far keep their mass, the others share the rest."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from kettlewright.actuals.rows import STAGES, Weighings
from kettlewright.actuals.words import amount_of
from kettlewright.copies import replace
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
    """The parts of the plan's request that the pour needs again.

    Parameters
    ----------
    residue : Residue
        Batter planned to stay behind. [g]
    overflow : Mould, optional
        Mould for batter above the fill limit. [mould]
    batter_density : float, optional
        Measured by the maker. [g/mL]
    """

    residue: Residue
    overflow: Mould | None = None
    batter_density: float | None = None


@dataclass(frozen=True, slots=True)
class ActualPortion:
    """A portion as it was weighed, or as it will be.

    Parameters
    ----------
    key, name : str
        Of the portion. [text]
    was_weighed : bool
        Its bucket was weighed. [yes or no]
    planned_weigh_g, weigh_g : float
        Plain batter in its bucket: planned; as weighed, or what is left for it. [g]
    planned_layer, layer : Layer, optional
        Planned and present position; None if heights are not known. [mm]
    column : Column, optional
        Its column, if dividers separate the portions. [mm]
    """

    key: str
    name: str
    was_weighed: bool
    planned_weigh_g: float
    weigh_g: float
    planned_layer: Layer | None
    layer: Layer | None
    column: Column | None


@dataclass(frozen=True, slots=True)
class ActualPour:
    """The pour, replanned for the batter that was made.

    Parameters
    ----------
    portions : tuple of ActualPortion
        In pour order. [g, mm]
    in_pot_g : float
        Batter and the additions stirred into the pot. [g]
    remains_g : float
        Batter that no bucket gets: it stays in the pot or is kept back. [g]
    over_g : float
        Batter that does not fit into mould and overflow mould. [g]
    missing_depth_mm : float, optional
        From the top of the batter to the fill limit; negative if the batter is higher, None if heights are not known.
        [mm]
    division : Division, optional
        The whole division; None if it is not possible, and `reason` says why. [g]
    limits : tuple of LimitCheck
        Ingredients checked against their limits. [% of cured bar]
    dispersions : tuple of MadeDispersion
        Jars of dispersions. [g]
    reason : Said
        Why the batter cannot be divided; empty if it can. [text]
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


def pour_as_weighed(plan: Plan, batter: Batter, reported: Weighings, settings: PourSettings, *,
                    stage: str) -> ActualPour:
    """Divide the batter that was really made.

    Parameters
    ----------
    plan : Plan
        The batch as planned. [plan]
    batter : Batter
        As made. [g, g/mL]
    reported : Weighings
        Weighed buckets and additions. [g]
    settings : PourSettings
        Residue, overflow, density. [g]
    stage : str
        One of `STAGES`. From "in_pot" on the pot has its additions, so they are no longer dosed on the batter; at
        "cut" every bucket is poured. [key]

    Returns
    -------
    ActualPour : buckets not weighed yet share the rest in the planned proportions; if they were sized by mass or depth
        they get at most the planned mass. Batter that the mould does not hold stays in the pot. [g, mm]
    """
    in_pot_already = STAGES.index(stage) >= STAGES.index("in_pot")
    oily = {one.key for one in plan.lye.dispersed}  # these keep their mass: the alkali is for their oil
    additions = _with_masses((one.addition, reported.mass_of("addition", index),
                              one.weigh_g if in_pot_already or one.key in oily else None)
                             for index, one in enumerate(plan.division.additions))
    in_pot = batter.mass_g + math.fsum(one.mass_in(batter_g=batter.mass_g, fats_g=batter.fats_mass_g)
                                       for one in additions if one.in_batter)
    kept_back = reported.mass_of("kept_back", 0)
    if kept_back is not None:
        settings = replace(settings, residue=replace(settings.residue, kept_back_g=kept_back))
    try:
        return _share_out(plan, batter, reported, settings, additions, in_pot, all_filled=stage == "cut")
    except (DomainError, DomainErrors) as error:
        return ActualPour((), in_pot, in_pot, 0.0, None, None, reason=_reason(error))


def _reason(error: DomainError | DomainErrors) -> Said:
    """The reason in words; a text without a translation stays English."""
    detail = error.errors[0].detail if isinstance(error, DomainErrors) else error.detail
    return detail if isinstance(detail, Said) else Said("{reason}", reason=detail)


def _with_masses(additions: Iterable[tuple[Addition, float | None, float | None]]) -> tuple[Addition, ...]:
    """Each as requested, or by its mass once it is in (reported, else planned); forgotten ones are left out."""
    found = []
    for addition, reported_g, planned_g in additions:
        mass = reported_g if reported_g is not None else planned_g
        if reported_g == 0:
            continue
        found.append(replace(addition, dose=mass * addition.pure_part, basis="mass") if mass else addition)
    return tuple(found)


def _share_out(plan: Plan, batter: Batter, reported: Weighings, settings: PourSettings, additions: Sequence[Addition],
               in_pot_g: float, *, all_filled: bool) -> ActualPour:
    planned, mould = plan.division.portions, plan.division.mould
    weighed = {index: mass for index in range(len(planned))
               if (mass := reported.mass_of("bucket", index, index)) is not None}
    plain = _plain_of(plan, weighed, in_pot_g, settings.residue, all_filled=all_filled)
    here = [index for index, mass in enumerate(plain) if mass > 0]
    if not here:
        raise Unsolvable(Said("Nothing is left to pour: all of the {mass} in the pot stays "
                              "behind.", mass=amount_of(in_pot_g)))
    portions = [replace(planned[index].portion, additions=_with_masses(
        (one.addition, reported.mass_of("addition", number, index),
         one.weigh_g if index in weighed or all_filled else None)
        for number, one in enumerate(planned[index].additions))) for index in here]
    masses = [plain[index] for index in here]
    wanted = math.fsum(masses)
    free = [] if all_filled else [place for place, index in enumerate(here) if index not in weighed]
    over = 0.0
    for _ in range(_STEPS_MAX):
        poured = pour_exactly(batter, _by_share(portions, masses), additions, mould=mould,
                              residue=_left(settings.residue, in_pot_g, masses))
        over = _over(poured, mould, settings.overflow, plan.arrangement)
        if over <= _CLOSE or not free:
            break
        # buckets keep a residue, so the plain batter for a volume is found by iteration
        part = 1 - over * math.fsum(masses) / math.fsum(masses[place] for place in free)
        if part <= 0:
            raise Unsolvable(Said("The buckets already weighed fill the mould: there is no room for the others."))
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
    requested: dict[tuple[str | None, str], Addition] = {
        (None, one.key): one.addition for one in plan.division.additions}
    requested |= {(portion.key, one.key): one.addition for portion in planned for one in portion.additions}
    inside: list[tuple[tuple[str | None, str], Addition]] = [((None, one.key), one) for one in additions]
    inside += [((portion.key, one.key), one) for portion in portions for one in portion.additions]
    # already in the pot: advice cannot change them
    fixed = frozenset(place for place, one in inside if one is not requested[place])
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
    """Plain batter of each bucket: as weighed, or its share of the rest. [g]"""
    planned, step = plan.division.portions, plan.lye.scale.readability_g
    taken = math.fsum(weighed.values())
    holds = in_pot_g - residue.kept_back_g
    if holds < -step:
        raise Unsolvable(Said("You reported {kept} as kept back, but there is only {there} of batter. Did you weigh it "
                              "with its container?", kept=amount_of(residue.kept_back_g), there=amount_of(in_pot_g)))
    if taken > holds + step * (len(weighed) + 1):
        raise Unsolvable(Said(
            "The weighed buckets hold {taken}, but there is only {holds} of batter. Did you include the mass of a "
            "bucket, or forget to report something that is in the pot?", taken=amount_of(taken),
            holds=amount_of(holds)))
    rest = [index for index in range(len(planned)) if index not in weighed]
    left = max(in_pot_g - residue.of_pot_g - taken, 0.0)
    needed = math.fsum(planned[index].batter_mass_g for index in rest)
    if rest and (all_filled or planned[rest[0]].portion.share_pct is None):
        left = min(left, needed)  # poured as planned, or sized by mass or depth: more batter does not make them larger
    return [weighed[index] if index in weighed else one.batter_mass_g * left / needed
            for index, one in enumerate(planned)]


def _left(residue: Residue, in_pot_g: float, masses: Sequence[float]) -> Residue:
    return replace(residue, pot_g=max(in_pot_g - math.fsum(masses) - residue.kept_back_g, 0.0))


def _by_share(portions: Sequence[Portion], masses: Sequence[float]) -> list[Portion]:
    """The same buckets, sized by their share of the pour; borrowed batter counts for the borrower."""
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
        raise Unsolvable(Said('"{portion}" holds less batter than other buckets need to borrow from '
                              'it.', portion=short[0]))
    total = math.fsum(poured)
    return [replace(portion, share_pct=min(100 * mass / total, 100.0), mass_g=None, layer_depth_mm=None)
            for portion, mass in zip(portions, poured, strict=True)]


def _over(poured: Poured, mould: Mould | None, overflow: Mould | None, arrangement: str) -> float:
    """The part of the pour that does not fit into the mould."""
    if mould is None:
        return 0.0
    holds = mould.volume_ml + (0.0 if overflow is None else overflow.volume_ml)
    parts = [(poured.mould_ml - holds) / poured.mould_ml]
    if arrangement == "separate":
        parts += [(bucket.mould_ml - mould.volume_ml / mould.count) / bucket.mould_ml for bucket in poured.buckets]
    return max(parts)


def _check_brim(poured: Poured, mould: Mould | None, overflow: Mould | None, arrangement: str) -> None:
    """Refuse a pour above the rim: heights are not defined there."""
    if mould is None:
        return
    most = mould.brim_volume_ml if overflow is None else mould.volume_ml + overflow.brim_volume_ml
    fullest = max(bucket.mould_ml for bucket in poured.buckets) if arrangement == "separate" else 0.0
    if poured.mould_ml > most * (1 + _CLOSE) or fullest > mould.brim_volume_ml / mould.count * (1 + _CLOSE):
        raise Unsolvable(Said("Pour up to the fill mark and put the rest into another mould: the buckets hold {mass}, "
                              "more than fits to the rim.", mass=amount_of(poured.mould_g)))
