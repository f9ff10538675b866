"""Limits on the cured bar, checked for every bucket and every bar."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from kettlewright.curing import check_loss
from kettlewright.pour.additions import Addition
from kettlewright.pour.cured_mix import Mix, shares_together, together
from kettlewright.pour.cut.cut_pieces import Cuts
from kettlewright.pour.division import Division
from kettlewright.pour.doses import lowest_limits
from kettlewright.pour.weighed_additions import WeighedAddition, largest_within_limit
from kettlewright.said import Said

__all__ = ["BarMix", "LargestDose", "LimitCheck", "PortionMass", "bars_of", "check_loss_of_pieces", "judge_limits",
           "limited_doses"]

_NOISE = 1e-9
_NOTHING = (0.0, 0)


@dataclass(frozen=True, slots=True)
class BarMix:
    """The composition of a bar.

    Parameters
    ----------
    name : Said
        Name of the bar for a sentence. [text]
    mix : Mix
        Any mass of it: only the shares matter. [g]
    """

    name: Said
    mix: Mix


@dataclass(frozen=True, slots=True)
class LargestDose:
    """A dose that keeps the worst bar within the limit.

    Parameters
    ----------
    portion : str, optional
        Key of the portion; none for the batch's own. [key]
    dose : float
        In the unit of its basis. [%, g/kg or g]
    basis : str
        As requested. [key]
    mass_g : float
        Its mass in the batch made with it; of a dispersion, all of it. [g]
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
        The full bucket, without the batter it lends. [g]
    """

    portion: str
    name: str
    mass_g: float


@dataclass(frozen=True, slots=True)
class LimitCheck:
    """An ingredient checked against its limit.

    Parameters
    ----------
    key, name : str
        Of the addition; doses in pot and buckets count together. [text]
    limit_pct : float
        The largest share in the cured bar; the lowest value given. [% of cured bar]
    portion, portion_name : str
        The portion with the largest share. [text]
    portion_pct : float
        Its share. [% of cured portion]
    bar : Said, optional
        The bar with the largest share, as words; None if bars are not known. [text]
    bar_pct : float, optional
        Its share. [% of cured bar]
    factor : float
        Factor on all its doses that takes the worst bar just to the limit, everything else unchanged; infinite
        if no dose reaches it. [1]
    largest : tuple of LargestDose
        Doses that keep the worst bar (or the worst portion, if bars are not known) within; given if the limit is
        exceeded. [doses]
    masses : tuple of PortionMass
        If portions are given by mass: their masses with those doses. [g]
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
        """The share compared with the limit: of the worst bar, or worst portion if bars are not known. [%]"""
        return self.portion_pct if self.bar_pct is None else self.bar_pct

    @property
    def exceeded(self) -> bool:
        """Whether that share is above the limit. [yes or no]"""
        return self.decides_pct > self.limit_pct * (1 + _NOISE)

    @property
    def portion_alone_exceeds(self) -> bool:
        """Whether a portion on its own is above it, but no bar. [yes or no]"""
        return not self.exceeded and self.portion_pct > self.limit_pct * (1 + _NOISE)


def bars_of(division: Division, *, arrangement: str, cuts: Cuts | None = None) -> tuple[BarMix, ...]:
    """Compositions of the bars, or of the pieces if nothing is cut.

    Parameters
    ----------
    division : Division
        The buckets, in a mould. [g, mL]
    arrangement : str
        Their arrangement in the mould. [key]
    cuts : Cuts, optional
        If the block is cut: the kinds of bars and their layers. [bars]

    Returns
    -------
    tuple of BarMix : each kind of bar; the piece of each cavity; the content of the overflow mould. [g]
    """
    portions = division.portions
    found: list[BarMix] = []
    if arrangement == "separate":
        return tuple(BarMix(Said('the piece "{portion}"', portion=portion.name), portion.in_mould)
                     for portion in portions)
    main_ml = {portion.key: portion.mould_volume_ml - portion.overflow_volume_ml for portion in portions}
    by_volume = {portion.key: mix.times(1 / main_ml[portion.key]) for portion in portions
                 if (mix := portion.in_mould).batter_g > 0}
    if cuts is not None and any(kind.layers for kind in cuts.kinds):
        found += [BarMix(Said("the bar") if len(cuts.kinds) == 1 else
                         Said("a bar like number {bar} of loaf {loaf}", bar=kind.first_bar, loaf=kind.first_loaf),
                         shares_together((by_volume[layer.key], layer.share_pct) for layer in kind.layers
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
    """Reject a loss in cure larger than all the water in any bar.

    Parameters
    ----------
    division : Division
        The buckets; its `loss_pct` is the loss in cure. [g]
    bars : sequence of BarMix
        The bars; if they are not known, each bucket is checked. [g]

    Raises
    ------
    Unsolvable : names the bar with the least water.
    """
    pieces = bars or [BarMix(Said('"{portion}"', portion=portion.name), portion.mix) for portion in division.portions]
    driest = min(pieces, key=lambda piece: piece.mix.water_g / piece.mix.mass_g)
    check_loss(division.loss_pct, mass_g=driest.mix.mass_g, water_g=driest.mix.water_g, what=driest.name)


def limited_doses(division: Division) -> Iterator[tuple[str | None, Addition, float]]:
    """All doses of ingredients with a limit: key of the portion, addition and exact mass.

    Parameters
    ----------
    division : Division
        The buckets. [g]

    Yields
    ------
    tuple : includes doses of a limited ingredient that state no limit themselves. [g]
    """
    stirred: list[tuple[str | None, WeighedAddition]] = [(None, one) for one in division.additions]
    stirred += [(portion.key, one) for portion in division.portions for one in portion.additions]
    inside = [(where, one) for where, one in stirred if one.addition.in_batter]
    limits = lowest_limits(one.addition for _, one in inside)
    for where, one in inside:
        if one.key in limits:
            yield where, one.addition, one.mass_g


def judge_limits(division: Division, bars: Sequence[BarMix] = ()) -> tuple[LimitCheck, ...]:
    """Check every limited ingredient against its limit.

    Parameters
    ----------
    division : Division
        The buckets; its `loss_pct` is the loss in cure. [g]
    bars : sequence of BarMix
        Compositions of the bars, if known. [g]

    Returns
    -------
    tuple of LimitCheck : one for each ingredient with a limit, in the order you add them. [%]

    Notes
    -----
    A bar contains p of the ingredient and R of everything else, cured. Multiplied by t, its doses reach the limit L if
    t p = L (R + t c), where c is the part of the ingredient's weighed mass that stays in the bar.
    """
    loss = division.loss_pct
    doses = [addition for _, addition, _ in limited_doses(division)]
    limits = lowest_limits(doses)
    names = {addition.key: addition.name for addition in reversed(doses)}
    found = []
    of_portions = _most([portion.mix for portion in division.portions], loss)
    of_bars = _most([bar.mix for bar in bars], loss)
    for key in dict.fromkeys(addition.key for addition in doses):
        portion_pct, place = of_portions.get(key, (0.0, 0))
        worst = division.portions[place]
        bar_pct, place = of_bars.get(key, (0.0, 0))
        bar = bars[place] if bars else None
        found.append(LimitCheck(
            key, names[key], limits[key], worst.key, worst.name, portion_pct,
            None if bar is None else bar.name, None if bar is None else bar_pct,
            _factor_within(worst.mix if bar is None else bar.mix, key, limits[key], loss)))
    return tuple(found)


def _most(mixes: Sequence[Mix], loss_pct: float | None) -> dict[str, tuple[float, int]]:
    """The largest share of each addition in any mix, and the first mix with it. [% of the cured mix, index]"""
    found: dict[str, tuple[float, int]] = {}
    for index, mix in enumerate(mixes):
        cured_g = mix.cured_g(loss_pct)
        for key, part in mix.parts.items():
            pct = 100 * part.pure_g / cured_g
            if pct > found.get(key, _NOTHING)[0]:
                found[key] = pct, index
    return found


def _factor_within(mix: Mix, key: str, limit_pct: float, loss_pct: float | None) -> float:
    """Factor on the doses that takes a mix just to the limit. [1]"""
    if key not in mix.parts:
        return float("inf")
    part = mix.parts[key]
    factor = largest_within_limit(limit_pct, mix.cured_g(loss_pct) - part.cured_g(loss_pct), pure_part=part.pure_g,
                                  cured_part=part.cured_g(loss_pct))
    return float("inf") if factor is None else factor
