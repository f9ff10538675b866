"""Limits on the cured bar: judged in every bucket and in every bar as it is cut."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from kettlewright.pour.additions import Addition, largest_within_limit
from kettlewright.pour.cured_mix import Mix, together
from kettlewright.pour.division import Division, WeighedPortion
from kettlewright.pour.pieces import Cuts
from kettlewright.said import Said

__all__ = ["BarMix", "LargestDose", "LimitCheck", "bars_of", "judge_limits"]


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
    """The dose of an addition at which the worst bar is at its limit.

    Parameters
    ----------
    portion : str, optional
        Key of the portion; none for the batch's own. [key]
    dose : float
        In the unit of its basis. [%, g/kg or g]
    basis : str
        As asked. [key]
    mass_g : float
        The dose in this batch; of a dispersion all of it. [g]
    """

    portion: str | None
    dose: float
    basis: str
    mass_g: float


@dataclass(frozen=True, slots=True)
class LimitCheck:
    """An ingredient held to its limit.

    Parameters
    ----------
    key, name : str
        Of the addition; out of pot and buckets it counts together. [text]
    limit_pct : float
        The most the cured bar may hold; the lowest told. [% of cured bar]
    portion, portion_name : str
        Of the portion that holds most. [text]
    portion_pct : float
        What that holds. [% of cured portion]
    bar : Said, optional
        The bar that holds most, in words; none where bars are not known. [text]
    bar_pct : float, optional
        What that holds. [% of cured bar]
    largest : tuple of LargestDose
        What keeps the worst bar (the worst portion, where bars are not known) within; told where the limit is exceeded.
        [doses]
    """

    key: str
    name: str
    limit_pct: float
    portion: str
    portion_name: str
    portion_pct: float
    bar: Said | None
    bar_pct: float | None
    largest: tuple[LargestDose, ...]

    @property
    def decides_pct(self) -> float:
        """What the limit is held against: the worst bar, or where bars are not known the worst portion. [%]"""
        return self.portion_pct if self.bar_pct is None else self.bar_pct

    @property
    def exceeded(self) -> bool:
        """Whether that is above the limit. [yes or no]"""
        return self.decides_pct > self.limit_pct * (1 + 1e-9)

    @property
    def portion_alone_exceeds(self) -> bool:
        """Whether a portion by itself is above it, and no bar is. [yes or no]"""
        return not self.exceeded and self.portion_pct > self.limit_pct * (1 + 1e-9)


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
        return tuple(BarMix(Said('the piece "{portion}"', portion=portion.name), portion.mix) for portion in portions)
    by_volume = {portion.key: _per_ml(portion) for portion in portions}
    if cuts is not None and any(kind.layers for kind in cuts.kinds):
        found += [BarMix(Said("the bar") if len(cuts.kinds) == 1 else
                         Said("a bar like number {bar} of loaf {loaf}", bar=kind.first_bar, loaf=kind.first_loaf),
                         together(by_volume[layer.key].times(layer.share_pct) for layer in kind.layers))
                  for kind in cuts.kinds]
    else:
        main = [(portion, portion.mould_volume_ml - portion.overflow_volume_ml) for portion in portions]
        found.append(BarMix(Said("the bar") if cuts is not None else Said("the piece"),
                            together(by_volume[portion.key].times(volume) for portion, volume in main)))
    if division.overflow is not None:
        found.append(BarMix(Said("the piece of the overflow mould"), together(
            by_volume[portion.key].times(portion.overflow_volume_ml) for portion in portions)))
    return tuple(found)


def _per_ml(portion: WeighedPortion) -> Mix:
    return portion.mix.times(1 / portion.mould_volume_ml)


def _limited(division: Division) -> Iterator[tuple[str | None, Addition, float]]:
    """Additions with a limit: where they go, and their mass."""
    for weighed in division.additions:
        if weighed.addition.limit_pct is not None and weighed.addition.in_batter:
            yield None, weighed.addition, weighed.mass_g
    for portion in division.portions:
        for weighed in portion.additions:
            if weighed.addition.limit_pct is not None and weighed.addition.in_batter:
                yield portion.key, weighed.addition, weighed.mass_g


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
    loss = division.loss_pct or 0.0
    limited = list(_limited(division))
    found = []
    for key in dict.fromkeys(addition.key for _, addition, _ in limited):
        mine = [(portion, addition, mass) for portion, addition, mass in limited if addition.key == key]
        limit = min(addition.limit_pct or 100.0 for _, addition, _ in mine)
        worst = max(division.portions, key=lambda portion: _pct(portion.mix, key, loss))
        bar = max(bars, key=lambda one: _pct(one.mix, key, loss), default=None)
        decides = worst.mix if bar is None else bar.mix
        check = LimitCheck(key, mine[0][1].name, limit, worst.key, worst.name, _pct(worst.mix, key, loss),
                           None if bar is None else bar.name, None if bar is None else _pct(bar.mix, key, loss), ())
        if check.exceeded:
            factor = _factor_within(decides, key, limit, loss)
            largest = tuple(LargestDose(portion, addition.dose * factor, addition.basis, mass * factor)
                            for portion, addition, mass in mine)
            check = LimitCheck(check.key, check.name, limit, check.portion, check.portion_name, check.portion_pct,
                               check.bar, check.bar_pct, largest)
        found.append(check)
    return tuple(found)


def _pct(mix: Mix, key: str, loss_pct: float) -> float:
    return 100 * mix.pure_g(key) / mix.cured_g(loss_pct)


def _factor_within(mix: Mix, key: str, limit_pct: float, loss_pct: float) -> float:
    """What to multiply the doses with so that a mix that is above the limit is just at it. [1]"""
    part = mix.parts[key]
    factor = largest_within_limit(limit_pct, mix.cured_g(loss_pct) - part.cured_g, pure_part=part.pure_g,
                                  cured_part=part.cured_g)
    assert factor is not None  # a mix that is above the limit has more of it than the limit lets all of it hold
    return factor
