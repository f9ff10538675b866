"""Division of a batter on the scale: buckets, doses, powders, layers; and whether it fits the mould."""

from __future__ import annotations

import math
from collections.abc import Sequence

from kettlewright import amounts, limits
from kettlewright.errors import DomainError, DomainErrors, Missing, OutOfRange, Unsolvable, check_distinct, gather
from kettlewright.pour.additions import Addition
from kettlewright.pour.batter import Batter
from kettlewright.pour.buckets import Poured, pour_exactly
from kettlewright.pour.division import (
    Borrowed,
    Column,
    Division,
    Layer,
    Overflow,
    OverflowLayer,
    WeighedDusting,
    WeighedPortion,
)
from kettlewright.pour.doses import weigh_doses
from kettlewright.pour.free_fat import with_free_fat
from kettlewright.pour.mould.moulds import Mould
from kettlewright.pour.requested_portions import Portion, Residue
from kettlewright.recipe.ingredients import check_shares
from kettlewright.recipe.weighed import MassToWeigh
from kettlewright.recipe.weighing import Scale, round_down, round_nearest
from kettlewright.said import EnglishText, Said

__all__ = ["ARRANGEMENTS", "check_fits", "divide"]

ARRANGEMENTS = ("layers", "columns", "mingled", "separate")
_EVERYWHERE = ("columns", "mingled")  # with these, all portions reach the fill limit and overflow equally


def divide(batter: Batter, portions: Sequence[Portion], additions: Sequence[Addition] = (), *,
           residue: Residue | None = None, scale: Scale, mould: Mould | None = None, arrangement: str = "layers",
           loss_pct: float | None = None, overflow: Mould | None = None, pot_mixes: int = 1) -> Division:
    """Divide a batter: buckets, doses, powders and layers.

    Parameters
    ----------
    batter : Batter
        Before any addition. [g, g/mL]
    portions : sequence of Portion, length n >= 1
        In pour order; all by share or all by mass. [portions]
    additions : sequence of Addition
        The batch's own, into the pot. [additions]
    residue : Residue, optional
        What stays behind. [g]
    scale : Scale
        Steps of the scales. [g]
    mould : Mould, optional
        The mould; needed for layers and powders. [mould]
    arrangement : str
        "layers" (flat), "columns" (between upright dividers), "mingled" (swirled: masses, no heights) or "separate"
        (one portion for each cavity). [key]
    loss_pct : float, optional
        Loss in cure; if not given, all water of batter and additions is taken to be lost; a limit needs one of the
        two to be known. [% of the whole piece]
    overflow : Mould, optional
        Takes what is above the mould's fill limit. [mould]
    pot_mixes : int
        Number of equal mixes in which the pot's additions are weighed. [mixes]

    Returns
    -------
    Division : pot = plain batter of the buckets + residue + kept back; buckets = plain batter + own additions +
        borrowed; mould = buckets - lent - their residue + powders. [g, mL, mm]

    Raises
    ------
    DomainErrors, Unsolvable : shares that do not add up to 100, masses that do not use up the pot, powder without a
    surface.
    """
    residue = residue or Residue()
    with gather() as checks:
        with checks.at("portions"):
            _check_sizing(portions)
        with checks.at("portions"):
            check_distinct([portion.key for portion in portions], "portion")
        with checks.at("additions"):
            check_distinct([addition.key for addition in additions], "addition")
        with checks.at():
            _check_surfaces(portions, mould, arrangement)
        with checks.at():
            _check_loss_known(batter, portions, additions, loss_pct)
    exact = pour_exactly(batter, portions, additions, residue=residue, mould=mould)
    kept = None if not residue.kept_back_g else MassToWeigh(
        residue.kept_back_g, round_nearest(residue.kept_back_g, scale.readability_g))
    available = exact.pot_g - residue.of_pot_g
    _check_used_up(portions, exact, available, scale.readability_g * pot_mixes)
    plain = [bucket.plain_g for bucket in exact.buckets]
    # the kept-back batter is weighed too, and the buckets get the rest, so that the residue is never too small
    kept_g = 0.0 if kept is None else kept.weigh_g
    most = max(min(available, math.fsum(plain), exact.pot_g - residue.pot_g - kept_g), 0.0)
    weighs = _largest_remainder(plain, round_down(most, scale.readability_g), scale.readability_g)
    doses = weigh_doses(batter, portions, additions, exact, loss_pct=loss_pct, step_g=scale.dose_readability_g,
                        pot_step_g=scale.dose_readability_g * pot_mixes)
    main_ml = exact.mould_ml if overflow is None or mould is None else min(exact.mould_ml, mould.volume_ml)
    names = {portion.key: portion.name for portion in portions}
    weighed, over = [], []
    below_ml = main_g = 0.0
    for portion, bucket, mix, own, weigh in zip(portions, exact.buckets, doses.mixes, doses.buckets, weighs,
                                                strict=True):
        up_to_ml = below_ml + bucket.mould_ml
        if arrangement in _EVERYWHERE:
            in_main = bucket.mould_ml * main_ml / exact.mould_ml
        else:
            in_main = max(min(up_to_ml, main_ml) - below_ml, 0.0)
        main_g += bucket.mould_g * in_main / bucket.mould_ml
        if arrangement == "separate":
            layer = _alone(mould, bucket.mould_ml)
        else:
            layer = _layer(mould, arrangement, min(below_ml, main_ml), min(up_to_ml, main_ml))
        column = _column(mould, arrangement, below_ml / exact.mould_ml, up_to_ml / exact.mould_ml)
        if bucket.mould_ml - in_main > 1e-9 * main_ml and overflow is not None:
            over.append(OverflowLayer(portion.key, portion.name, _layer(
                overflow, arrangement, max(below_ml, main_ml) - main_ml, up_to_ml - main_ml)))
        below_ml = up_to_ml
        weighed.append(WeighedPortion(
            portion=portion, batter_mass_g=bucket.plain_g, weigh_g=weigh, mass_g=bucket.mass_g,
            volume_ml=bucket.volume_ml, additions=own,
            dusting=_dust(portion, mould, layer, scale), layer=layer, mix=mix.times(bucket.mould_g / bucket.mass_g),
            mould_mass_g=bucket.mould_g, mould_volume_ml=bucket.mould_ml, column=column, lent_mass_g=bucket.lent_g,
            borrowed=tuple(Borrowed(one.key, names[one.key], mass, round_nearest(mass, scale.readability_g))
                           for one, mass in zip(portion.borrows, bucket.borrowed_g, strict=True)),
            overflow_volume_ml=bucket.mould_ml - in_main))
    weighed = list(with_free_fat(weighed, exact.pot_g))
    powder = math.fsum([portion.powder_in_mould_g for portion in weighed])
    powder_over = math.fsum(portion.in_overflow.powder_g for portion in weighed) if over else 0.0
    tops = [one.layer.top_mm for one in weighed if one.layer is not None]
    top = max(tops) if tops else \
        (mould.height_of(main_ml) if mould is not None and mould.fill_height_mm is not None else None)
    missing = None if top is None or mould is None or mould.fill_height_mm is None else mould.fill_height_mm - top
    return Division(
        pot_mass_g=exact.pot_g, pot_volume_ml=exact.pot_ml, additions=doses.pot, portions=tuple(weighed),
        residue_mass_g=max(math.fsum([exact.pot_g, -kept_g, *(-weigh for weigh in weighs)]), 0.0),
        mould_mass_g=main_g + powder, mould_volume_ml=main_ml, mould=mould, missing_depth_mm=missing, loss_pct=loss_pct,
        overflow=_overflow(overflow, exact.mould_g - main_g + powder_over, exact.mould_ml - main_ml, over),
        kept_back=kept)


def _overflow(mould: Mould | None, mass_g: float, volume_ml: float, layers: list[OverflowLayer]) -> Overflow | None:
    if mould is None or not layers:
        return None
    return Overflow(mass_g, volume_ml, None if mould.fill_height_mm is None else mould.height_of(volume_ml),
                    tuple(layers))


def _alone(mould: Mould | None, volume_ml: float) -> Layer | None:
    """A portion with its own cavity."""
    if mould is None or mould.fill_height_mm is None:
        return None
    return _between(mould, 0.0, mould.cavity.height_of(volume_ml))


def _column(mould: Mould | None, arrangement: str, start: float, end: float) -> Column | None:
    if arrangement != "columns" or mould is None or not mould.cavity.columns:
        return None
    width = mould.cavity.width_at(0.0) or 0.0
    return Column(width * start, width * end)


def _check_sizing(portions: Sequence[Portion]) -> None:
    if not portions:
        raise Missing("Give at least one portion, or leave the portions out.")
    ways = {"share_pct" if portion.share_pct is not None else "mass" if portion.mass_g is not None else "layer_depth"
            for portion in portions}
    if len(ways) > 1:
        raise DomainError(f"Portions are given by {' and by '.join(sorted(ways))}; use the same for all of them.")
    if ways == {"share_pct"}:
        check_shares([portion.share_pct or 0.0 for portion in portions], "portions")


def _check_surfaces(portions: Sequence[Portion], mould: Mould | None, arrangement: str) -> None:
    if arrangement not in ARRANGEMENTS:
        raise OutOfRange(f'"{arrangement}" is not a known arrangement; use one of {", ".join(ARRANGEMENTS)}.',
                         field=("arrangement",), value=arrangement, allowed=", ".join(ARRANGEMENTS))
    faults = _check_separate(portions, mould) if arrangement == "separate" else []
    for index, portion in enumerate(portions):
        if portion.layer_depth_mm is not None and arrangement != "layers":
            faults.append(Unsolvable('Only flat layers have a "layer_depth"; give these portions by share or mass.',
                                     field=("portions", index, "layer_depth")))
        if portion.dusting is None:
            continue
        if arrangement not in ("layers", "separate"):
            detail = "Only flat layers can be dusted; stir the powder in as an addition."
        elif mould is None:
            detail = "The mass of powder depends on the surface of the layer: give the mould."
        elif mould.fill_height_mm is None:
            detail = 'The mass of powder depends on the surface of the layer: give the measured mould its "depth".'
        else:
            continue
        faults.append(Unsolvable(detail, field=("portions", index, "dusting")))
    if faults:
        raise DomainErrors(faults)


def _check_separate(portions: Sequence[Portion], mould: Mould | None) -> list[Unsolvable]:
    if mould is None:
        return [Unsolvable('One portion for each cavity needs the mould, with the number of portions as its "count".',
                           field=("mould",))]
    if mould.count != len(portions):
        return [Unsolvable(Said("{count} portions need {count} cavities; the mould has {cavities}.",
                                count=len(portions), cavities=mould.count),
                           field=("mould", "count"), value=mould.count, allowed=f"{len(portions)}")]
    return []


def _check_loss_known(batter: Batter, portions: Sequence[Portion], additions: Sequence[Addition],
                      loss_pct: float | None) -> None:
    limited = [*additions, *(addition for portion in portions for addition in portion.additions)]
    if loss_pct is None and batter.water_mass_g is None and any(addition.limit_pct is not None for addition in limited):
        raise Unsolvable('A "limit_pct" applies to the cured bar: give "expected_loss_pct", the loss in cure. Without '
                         "it the largest dose cannot be computed.", field=("expected_loss_pct",))


def _check_used_up(portions: Sequence[Portion], exact: Poured, available_g: float, step_g: float) -> None:
    if portions[0].share_pct is not None:
        return
    off = math.fsum(bucket.plain_g for bucket in exact.buckets) - available_g
    if portions[0].layer_depth_mm is not None and off < 0:
        return  # the layers need less than there is; the rest stays in the pot
    if abs(off) > step_g * (1 + 1e-9):
        word = "more" if off > 0 else "less"
        raise Unsolvable(EnglishText("The portions take {off} {word} plain batter than the {available} in the pot "
                                     "(without residue and kept-back batter); they must use it up within one step "
                                     "of the scale.",
                                     off=amounts.mass(abs(off)), word=word, available=amounts.mass(available_g)),
                         field=("portions",))


def check_fits(batter: Batter, portions: Sequence[Portion], additions: Sequence[Addition] = (), *, mould: Mould,
               scale: Scale, residue: Residue | None = None, overflow: Mould | None = None,
               arrangement: str = "layers") -> None:
    """Reject more batter than the mould and its overflow mould hold.

    Parameters
    ----------
    batter : Batter
        Exact, before any addition. [g, g/mL]
    portions, additions : sequences
        As for `divide`. [portions, additions]
    mould : Mould
        Where it goes. [mould]
    scale : Scale
        An excess of one step is allowed. [g]
    residue : Residue, optional
        What stays behind. [g]
    overflow : Mould, optional
        Takes what is above the mould's fill limit. [mould]
    arrangement : str
        For "separate", each portion must fit into its own cavity. [key]

    Raises
    ------
    Unsolvable : states the excess.
    """
    exact = pour_exactly(batter, portions, additions, residue=residue, mould=mould)
    holds = mould.volume_ml + (0.0 if overflow is None else overflow.volume_ml)
    over_g = (exact.mould_ml - holds) * exact.mould_g / exact.mould_ml
    if over_g > scale.readability_g * (1 + 1e-9):
        what = Said("the mould") if overflow is None else Said("the mould and its overflow")
        raise Unsolvable(
            Said("The batch overfills {what} by {over}: you would pour {poured}, but below the headspace there is room "
                 "for only {room}. Make less, or use a larger mould.", what=what,
                 over=amounts.at_least(amounts.mass(over_g)), poured=amounts.mass(exact.mould_g),
                 room=amounts.at_most(amounts.mass(exact.mould_g - over_g))),
            field=("mould",), value=exact.mould_g, allowed=limits.up_to(amounts.mass(exact.mould_g - over_g)))
    if arrangement == "separate":
        for index, bucket in enumerate(exact.buckets):
            if bucket.mould_ml > mould.volume_ml / mould.count * (1 + 1e-9) + scale.readability_g:
                raise Unsolvable(Said('"{portion}" has a volume of {volume}, and a cavity holds {cavity}.',
                                      portion=portions[index].name, volume=amounts.volume(bucket.mould_ml),
                                      cavity=amounts.at_most(amounts.volume(mould.volume_ml / mould.count))),
                                 field=("portions", index))


def _largest_remainder(masses_g: Sequence[float], total_g: float, step_g: float) -> list[float]:
    """Whole steps that add up to `total_g`, each within a step of its mass."""
    exact = [mass / step_g for mass in masses_g]
    steps = [math.floor(value + 1e-9) for value in exact]
    left = round(total_g / step_g) - sum(steps)
    by_remainder = sorted(range(len(steps)), key=lambda index: exact[index] - steps[index], reverse=left > 0)
    for index in by_remainder[:abs(left)]:
        steps[index] += 1 if left > 0 else -1
    return [count * step_g for count in steps]


def _layer(mould: Mould | None, arrangement: str, below_ml: float, up_to_ml: float) -> Layer | None:
    if mould is None or mould.fill_height_mm is None or arrangement != "layers":
        return None
    brim = mould.brim_volume_ml  # an overfill of one step is allowed above, but not beyond the rim
    return _between(mould, mould.height_of(min(below_ml, brim)), mould.height_of(min(up_to_ml, brim)))


def _between(mould: Mould, bottom_mm: float, top_mm: float) -> Layer:
    rim_mm = mould.cavity.height_mm
    assert rim_mm is not None  # a mould of known depth
    return Layer(bottom_mm, top_mm, max(rim_mm - top_mm, 0.0))


def _dust(portion: Portion, mould: Mould | None, layer: Layer | None, scale: Scale) -> WeighedDusting | None:
    if portion.dusting is None or mould is None or layer is None:
        return None
    area = mould.area_at(layer.top_mm)
    mass = portion.dusting.coverage * area / 10_000
    return WeighedDusting(name=portion.dusting.name, mass_g=mass,
                          weigh_g=round_nearest(mass, scale.dose_readability_g), area_cm2=area,
                          colour=portion.dusting.colour)
