"""Cautions of the pour: buckets, additions, moulds, fades and cuts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from kettlewright.amounts import Amount, length, mass, volume
from kettlewright.cautions.additions import of_additions
from kettlewright.cautions.dose_limits import of_limits
from kettlewright.cautions.triggered import Caution, triggered, without_repeats
from kettlewright.pour import Cuts, Division, LimitCheck
from kettlewright.pour.fade.swatch_residuals import Fitted
from kettlewright.said import NO_TEXT, Said

__all__ = ["of_cuts", "of_division", "of_fade"]

_HEAVY_G = 12_000.0
_UNDERFILLED_MM = 0.5
_UNDERFILLED_SHARE = 0.01
_THIN_MM = 3.0


def of_division(division: Division, limits: Sequence[LimitCheck] = (), *,
                sized_to_mould: bool = False, carried: frozenset[str] = frozenset(),
                mixes: int = 1) -> tuple[Caution, ...]:
    """Cautions of the portions, their additions and the mould.

    Parameters
    ----------
    division : Division
        The buckets. [portions]
    limits : sequence of LimitCheck
        Their ingredients compared with their limits. [% of cured bar]
    sized_to_mould : bool
        The batch was sized to the mould, so the space that rounding down leaves is intended. [yes or no]
    carried : set of str
        Additions that a fade carries from bucket to bucket on purpose. [keys]
    mixes : int
        Equal mixes that the pot takes the batch in. [count]

    Returns
    -------
    tuple of Caution : without repeats. [cautions]
    """
    limited = frozenset(check.key for check in limits)
    return tuple(without_repeats([*of_additions(division, limited, carried, mixes), *of_limits(division, limits),
                                  *_of_mould(division, sized_to_mould)]))


def _of_mould(division: Division, sized_to_mould: bool) -> Iterator[Caution]:
    mould = division.mould
    if mould is None:
        return
    missing = division.missing_depth_mm
    if sized_to_mould:
        pass
    elif missing is not None and missing > _UNDERFILLED_MM:
        yield triggered("mould-underfilled", Said("The batch ends {missing} below the fill limit.",
                                                 missing=length(missing, places=1)), "/mould")
    elif missing is None and division.mould_volume_ml < mould.volume_ml * (1 - _UNDERFILLED_SHARE):
        yield triggered("mould-underfilled", Said("The batch leaves {missing} of the mould empty.", missing=volume(
            mould.volume_ml - division.mould_volume_ml, places=0)), "/mould")
    thin = [(index, Said("{portion} {thick}", portion=portion.name, thick=length(thick, places=1)))
            for index, portion in enumerate(division.portions) if portion.layer is not None
            and (thick := portion.layer.top_mm - portion.layer.bottom_mm) < _THIN_MM]
    if thin:
        yield triggered("layer-thin", Said(
            "A layer below {thin} is hard to pour evenly: {layers:, }.", thin=length(_THIN_MM, places=0),
            layers=tuple(text for _, text in thin)), f"/portions/{thin[0][0]}")
    if mould.shape.heights_estimated and mould.fill_height_mm is not None:
        yield triggered("height-estimated", NO_TEXT, "/mould")
    each = division.mould_mass_g / mould.count
    if each > _HEAVY_G:
        yield triggered("heavy-slab", Said(
            "Lift it with a second person or use a trolley: a filled mould holds {mass}.", mass=_heavy(each)), "/mould")


def _heavy(mass_g: float) -> Amount:
    return mass(mass_g, places=-2, large=True)


def of_fade(fit: Fitted, other_fit: Fitted | None = None, *, at: str = "") -> tuple[Caution, ...]:
    """Cautions of swatches that do not fit the others within the measurement error.

    Parameters
    ----------
    fit, other_fit : Fitted
        The fits of both colourants. [CIEDE2000]
    at : str
        JSON Pointer to the fade. [text]

    Returns
    -------
    tuple of Caution : one for each swatch. [cautions]
    """
    return tuple(
        triggered("swatch-missed", Said(
            "Check the dose of the swatch with {dose:.4g} g/kg, measure it again or make a new one: it does not fit "
            "the others (off by CIEDE2000 {off:.1f}), and predicted colours near it may be wrong.",
            dose=swatch.dose, off=swatch.off), f"{at}{end}/swatches/{swatch.index}")
        for end, one in (("", fit), ("/other", other_fit)) if one is not None
        for swatch in one.swatches if swatch.missed)


def of_cuts(cuts: Cuts) -> tuple[Caution, ...]:
    """Cautions of cutting (`cuts`). [cautions]"""
    whole = None if cuts.bars.mass is None else cuts.bars.mass.mid_g * cuts.bars.count
    each = None if whole is None else whole / cuts.blocks_count * 100 / cuts.volume_yield_pct
    if each is None or each <= _HEAVY_G:
        return ()
    return (triggered("heavy-slab", Said(
        "Lift it with a second person or use a trolley: the block weighs {mass}.", mass=_heavy(each)), "/block"),)
