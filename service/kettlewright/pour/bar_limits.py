"""Limits on the cured bar: judged in every bucket and in every bar as it is cut."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from kettlewright.curing import check_loss
from kettlewright.pour.additions import Addition, WeighedAddition, largest_within_limit
from kettlewright.pour.cured_mix import Mix, together
from kettlewright.pour.division import Division
from kettlewright.pour.doses import lowest_limits
from kettlewright.pour.pieces import Cuts
from kettlewright.said import Said

__all__ = ["BarMix", "LargestDose", "LimitCheck", "PortionMass", "bars_of", "check_loss_of_pieces", "judge_limits",
           "limited_doses"]

_NOISE = 1e-9


@dataclass(frozen=True, slots=True)
class BarMix:
    """What a bar holds.

    Parameters
    ----------
    name : Said
        Which bar, in words. [text]
    mix : Mix
        In any mass: only its shares matter. [g]
    """

    name: Said
    mix: Mix


@dataclass(frozen=True, slots=True)
class LargestDose:
    """A dose with which the worst bar keeps within the limit.

    Parameters
    ----------
    portion : str, optional
        Key of the portion; none for the batch's own. [key]
    dose : float
        In the unit of its basis. [%, g/kg or g]
    basis : str
        As asked. [key]
    mass_g : float
        What that is in the batch made with it; of a dispersion all of it. [g]
    """

    portion: str | None
    dose: float
    basis: str
    mass_g: float


@dataclass(frozen=True, slots=True)
class PortionMass:
    """The mass of a portion with other doses.

    Parameters
    ----------
    portion, name : str
        Its key and name. [text]
    mass_g : float
        The full bucket, less what it lends. [g]
    """

    portion: str
    name: str
    mass_g: float


@dataclass(frozen=True, slots=True)
class LimitCheck:
    """An ingredient held to its limit.

    Parameters
    ----------
    key, name : str
        Of the addition; out of pot and buckets it counts together. [text]
    limit_pct : float
        The most the cured bar may hold; the lowest given. [% of cured bar]
    portion, portion_name : str
        Of the portion that holds most. [text]
    portion_pct : float
        What that holds. [% of cured portion]
    bar : Said, optional
        The bar that holds most, in words; none where bars are not known. [text]
    bar_pct : float, optional
        What that holds. [% of cured bar]
    factor : float
        What all its doses times would put the worst bar just at the limit, were everything else as it is; infinite
        where no dose reaches it. [1]
    largest : tuple of LargestDose
        What keeps the worst bar (the worst portion, where bars are not known) within; found where the limit is
        exceeded. [doses]
    masses : tuple of PortionMass
        Where portions are given by mass: their masses with those doses. [g]
    """

    key: str
    name: str
    limit_pct: float
    portion: str
    portion_name: str
    portion_pct: float
    bar: Said | None
    bar_pct: float | None
    factor: float
    largest: tuple[LargestDose, ...] = ()
    masses: tuple[PortionMass, ...] = ()

    @property
    def decides_pct(self) -> float:
        """What the limit is held against: the worst bar, or where bars are not known the worst portion. [%]"""
        return self.portion_pct if self.bar_pct is None else self.bar_pct

    @property
    def exceeded(self) -> bool:
        """Whether that is above the limit. [yes or no]"""
        return self.decides_pct > self.limit_pct * (1 + _NOISE)

    @property
    def portion_alone_exceeds(self) -> bool:
        """Whether a portion by itself is above it, and no bar is. [yes or no]"""
        return not self.exceeded and self.portion_pct > self.limit_pct * (1 + _NOISE)


def bars_of(division: Division, *, arrangement: str, cuts: Cuts | None = None) -> tuple[BarMix, ...]:
    """What the bars, or the pieces where nothing is cut, are made of.

    Parameters
    ----------
    division : Division
        The buckets, in a mould. [g, mL]
    arrangement : str
        How they lie. [key]
    cuts : Cuts, optional
        Where the block is cut: the kinds of bars and what they hold. [bars]

    Returns
    -------
    tuple of BarMix : each kind of bar; the piece of each cavity; what the overflow mould holds. [g]
    """
    portions = division.portions
    found: list[BarMix] = []
    if arrangement == "separate":
        return tuple(BarMix(Said('the piece "{portion}"', portion=portion.name), portion.in_mould)
                     for portion in portions)
    main_ml = {portion.key: portion.mould_volume_ml - portion.overflow_volume_ml for portion in portions}
    by_volume = {portion.key: portion.in_mould.times(1 / main_ml[portion.key]) for portion in portions
                 if portion.in_mould.batter_g > 0}
    if cuts is not None and any(kind.layers for kind in cuts.kinds):
        found += [BarMix(Said("the bar") if len(cuts.kinds) == 1 else
                         Said("a bar like number {bar} of loaf {loaf}", bar=kind.first_bar, loaf=kind.first_loaf),
                         together(by_volume[layer.key].times(layer.share_pct) for layer in kind.layers
                                  if layer.key in by_volume))
                  for kind in cuts.kinds]
    else:
        found.append(BarMix(Said("the bar") if cuts is not None else Said("the piece"),
                            together(portion.in_mould for portion in portions)))
    if division.overflow is not None:
        found.append(BarMix(Said("the piece of the overflow mould"),
                            together(portion.in_overflow for portion in portions)))
    return tuple(found)


def check_loss_of_pieces(division: Division, bars: Sequence[BarMix] = ()) -> None:
    """Refuse a loss in cure larger than all the water in any bar.

    Parameters
    ----------
    division : Division
        The buckets; its `loss_pct` is the loss in cure. [g]
    bars : sequence of BarMix
        The bars; where they are not known each bucket is judged. [g]

    Raises
    ------
    Unsolvable : names the bar with the least water.
    """
    pieces = bars or [BarMix(Said('"{portion}"', portion=portion.name), portion.mix) for portion in division.portions]
    driest = min(pieces, key=lambda piece: piece.mix.water_g / piece.mix.mass_g)
    check_loss(division.loss_pct, mass_g=driest.mix.mass_g, water_g=driest.mix.water_g, what=driest.name)


def limited_doses(division: Division) -> Iterator[tuple[str | None, Addition, float]]:
    """All doses of the ingredients that have a limit: key of the portion, addition and exact mass.

    Parameters
    ----------
    division : Division
        The buckets. [g]

    Yields
    ------
    tuple : a dose of a limited ingredient for which no limit is given counts as well. [g]
    """
    stirred: list[tuple[str | None, WeighedAddition]] = [(None, one) for one in division.additions]
    stirred += [(portion.key, one) for portion in division.portions for one in portion.additions]
    inside = [(where, one) for where, one in stirred if one.addition.in_batter]
    limits = lowest_limits(one.addition for _, one in inside)
    for where, one in inside:
        if one.key in limits:
            yield where, one.addition, one.mass_g


def judge_limits(division: Division, bars: Sequence[BarMix] = ()) -> tuple[LimitCheck, ...]:
    """Hold every limited ingredient against its limit.

    Parameters
    ----------
    division : Division
        The buckets; its `loss_pct` is the loss in cure. [g]
    bars : sequence of BarMix
        What the bars are made of, where that is known. [g]

    Returns
    -------
    tuple of LimitCheck : one for each ingredient with a limit, in the order of the hands. [%]

    Notes
    -----
    A bar holds p of the ingredient and R of all the rest, cured. All its doses times t reach the limit L where
    t p = L (R + t c), with c what of the ingredient's weighings stays in the bar.
    """
    loss = division.loss_pct
    doses = [addition for _, addition, _ in limited_doses(division)]
    limits = lowest_limits(doses)
    names = {addition.key: addition.name for addition in reversed(doses)}
    # the cured mass of a bar is the same for every ingredient
    buckets = [(portion.mix.cured_g(loss), portion) for portion in division.portions]
    pieces = [(bar.mix.cured_g(loss), bar) for bar in bars]
    found = []
    for key in dict.fromkeys(addition.key for addition in doses):
        _, worst = max(buckets, key=lambda one: one[1].mix.pure_g(key) / one[0])
        _, bar = max(pieces, key=lambda one: one[1].mix.pure_g(key) / one[0], default=(0.0, None))
        found.append(LimitCheck(
            key, names[key], limits[key], worst.key, worst.name, _pct(worst.mix, key, loss),
            None if bar is None else bar.name, None if bar is None else _pct(bar.mix, key, loss),
            _factor_within(worst.mix if bar is None else bar.mix, key, limits[key], loss)))
    return tuple(found)


def _pct(mix: Mix, key: str, loss_pct: float | None) -> float:
    return 100 * mix.pure_g(key) / mix.cured_g(loss_pct)


def _factor_within(mix: Mix, key: str, limit_pct: float, loss_pct: float | None) -> float:
    """What to multiply the doses with so that a mix is just at the limit. [1]"""
    if key not in mix.parts:
        return float("inf")
    part = mix.parts[key]
    factor = largest_within_limit(limit_pct, mix.cured_g(loss_pct) - part.cured_g(loss_pct), pure_part=part.pure_g,
                                  cured_part=part.cured_g(loss_pct))
    return float("inf") if factor is None else factor
