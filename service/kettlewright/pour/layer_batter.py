"""Batter that fills a layer of a given depth."""

from __future__ import annotations

import math
from collections.abc import Sequence

from kettlewright import amounts, limits
from kettlewright.errors import Unsolvable
from kettlewright.pour.mould.moulds import Mould
from kettlewright.pour.requested_portions import Portion
from kettlewright.said import EnglishText

__all__ = ["layer_volume", "plain_for_layer"]


def layer_volume(portions: Sequence[Portion], index: int, mould: Mould | None) -> float | None:
    """Volume of a layer given by its depth, over all cavities.

    Parameters
    ----------
    portions : sequence of Portion
        In pour order. [portions]
    index : int
        Which of them. [number]
    mould : Mould, optional
        Where it goes. [mould]

    Returns
    -------
    float or None : None where the portion has no depth. [mL]

    Raises
    ------
    Unsolvable : no mould, or layers higher than its headspace allows.
    """
    depth = portions[index].layer_depth_mm
    if depth is None:
        return None
    if mould is None or mould.fill_height_mm is None:
        raise Unsolvable("Layers by depth need the mould; a measured mould needs its depth.",
                         field=("layer_depth",))
    bottom = math.fsum(portion.layer_depth_mm or 0.0 for portion in portions[:index])
    top = bottom + depth
    if top > mould.fill_height_mm * (1 + 1e-9):
        raise Unsolvable(EnglishText("The layers reach {top} here, but below its headspace the mould is only {limit} "
                                     "deep.",
                                     top=amounts.length(top), limit=amounts.length(mould.fill_height_mm)),
                         field=("layer_depth",), value=depth,
                         allowed=limits.up_to(amounts.length(max(mould.fill_height_mm - bottom, 0))))
    return mould.count * (mould.cavity.volume_to(top) - mould.cavity.volume_to(bottom))


def plain_for_layer(portion: Portion, layer_ml: float, fats_share: float | None, density: float,
                    stays_g: float) -> float:
    """Plain batter for a bucket whose pour fills a layer, with its own additions and less what stays in it.

    Parameters
    ----------
    portion : Portion
        With its additions. [portion]
    layer_ml : float
        Volume of the layer. [mL]
    fats_share : float, optional
        Fats in a gram of plain batter, if known. [g/g]
    density : float
        Of plain batter. [g/mL]
    stays_g : float
        What stays in the bucket. [g]

    Returns
    -------
    float : [g]
    """
    stirred = [addition for addition in portion.additions if addition.in_batter]
    rates = [(addition.per_batter + addition.per_fats * (fats_share or 0.0), addition.density or density)
             for addition in stirred]
    fixed_ml = math.fsum(addition.fixed_g / (addition.density or density) for addition in stirred)
    fixed_g = math.fsum(addition.fixed_g for addition in stirred)
    ml_per_g = 1 / density + math.fsum(rate / heavy for rate, heavy in rates)
    g_per_g = 1 + math.fsum(rate for rate, _ in rates)
    # The bucket holds w = layer + stays / (its own density): (g w + c)(w - layer) = stays w, with g w + c its mass. The
    # larger root is the one with a bucket that holds something.
    per_ml = g_per_g / ml_per_g
    constant = fixed_g - fixed_ml * per_ml
    half = (per_ml * layer_ml + stays_g - constant) / 2
    root = math.sqrt(max(half * half + per_ml * layer_ml * constant, 0.0))  # below zero by rounding only
    wanted = (half + root) / per_ml if half > 0 else layer_ml * constant / (root - half)
    return (wanted - fixed_ml) / ml_per_g
