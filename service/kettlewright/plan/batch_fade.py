"""A fade inside a batch: its doses become additions of the portions, and after the weighing a ladder for each."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from kettlewright.cautions import of_fade
from kettlewright.copies import replace
from kettlewright.errors import OutOfRange, Unsolvable, check_distinct, gather
from kettlewright.names import slug
from kettlewright.plan.fade import FadePlan, bucket_lines, check_carried
from kettlewright.plan.fade_notes import notes_of
from kettlewright.plan.fade_options import FadeOptions, find_fade, fit_fade_swatches
from kettlewright.pour import Addition, Division, Portion
from kettlewright.pour.fade.carry_over import check_falling
from kettlewright.pour.fade.fades import Fade
from kettlewright.pour.fade.swatch_residuals import Fitted
from kettlewright.pour.requested_portions import Borrowing

__all__ = ["BatchFade", "FadeInBatch", "apply_fade", "check_free", "fade_of_division"]


@dataclass(frozen=True, slots=True)
class BatchFade:
    """A fade over portions of a batch.

    Parameters
    ----------
    options : FadeOptions
        Swatches and steps. [g/kg]
    colourant : Addition
        What the swatches were made with; its dose is found here. [addition]
    other_colourant : Addition, optional
        Of the other end. [addition]
    portions : tuple of str
        Names or keys, the darkest first; all in pour order where empty. [text]
    """

    options: FadeOptions
    colourant: Addition
    other_colourant: Addition | None = None
    portions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class FadeInBatch:
    """A fade that was put into portions.

    Parameters
    ----------
    request : BatchFade
        As requested. [g/kg]
    portions : tuple of Portion
        All of the batch, the fade's with their colourant or what they borrow, and their predicted colour. [portions]
    fade : Fade
        Doses and colours. [g/kg]
    fit, other_fit : Fitted
        How the swatches were fitted. [g/kg]
    state, gelled : str
        Of the swatches. [key]
    """

    request: BatchFade
    portions: tuple[Portion, ...]
    fade: Fade
    fit: Fitted
    other_fit: Fitted | None
    state: str
    gelled: str


def apply_fade(request: BatchFade, portions: Sequence[Portion]) -> FadeInBatch:
    """Put a fade into portions.

    Parameters
    ----------
    request : BatchFade
        The fade. [g/kg]
    portions : sequence of Portion
        All of the batch. [portions]

    Returns
    -------
    FadeInBatch : [g/kg]

    Raises
    ------
    DomainErrors, DomainError : a portion that is not there, and whatever the fade refuses.
    """
    keys = [slug(name) for name in request.portions] or [portion.key for portion in portions]
    by_key = {portion.key: portion for portion in portions}
    with gather() as checks:
        if request.portions:
            with checks.at("portions"):
                check_distinct(keys, "portion", field="")
        for index, key in enumerate(keys):
            with checks.at(*(("portions", index) if request.portions else ())):  # else all of the batch, as given there
                if key not in by_key:
                    raise OutOfRange(f'There is no portion "{request.portions[index]}"; given are: '
                                     f"{', '.join(portion.name for portion in portions)}.",
                                     value=request.portions[index])
        with checks.at():
            fit, other_fit, state, gelled = fit_fade_swatches(request.options)
    found = find_fade(request.options, [by_key[key].name for key in keys], fit, other_fit)
    steps = dict(zip(keys, found.steps, strict=True))
    dyed = [key for key in keys if steps[key].dose > 0]
    if request.options.carry_over:
        check_carried(found.steps)
        check_falling([steps[key].dose for key in dyed])
    changed = []
    for portion in portions:
        step = steps.get(portion.key)
        if step is None:
            changed.append(portion)
            continue
        place = dyed.index(portion.key) if step.dose > 0 else None
        if place and request.options.carry_over:
            before = dyed[place - 1]
            portion = replace(portion, borrows=(Borrowing(by_key[before].name,
                                                          100 * step.dose / steps[before].dose),))
        elif place is not None:
            colourant = (step.end and request.other_colourant) or request.colourant
            portion = replace(portion, additions=(replace(colourant, dose=step.dose), *portion.additions))
        changed.append(replace(portion, colour=portion.colour or step.colour.hex))
    return FadeInBatch(request, tuple(changed), found, fit, other_fit, state, gelled)


def check_free(fade: BatchFade, portions: Sequence[Portion]) -> None:
    """Refuse a portion that already has the colourant or borrowing that the fade sets.

    Parameters
    ----------
    fade : BatchFade
        The fade. [g/kg]
    portions : sequence of Portion
        All of the batch. [portions]

    Raises
    ------
    DomainError : at the portion itself, since that is where the colourant or the borrowing is to be taken out.
    """
    keys = {slug(name) for name in fade.portions} or {portion.key for portion in portions}
    colourants = {one.key for one in (fade.colourant, fade.other_colourant) if one is not None}
    with gather() as checks:
        for index, portion in enumerate(portions):
            with checks.at("portions", index):
                if portion.key not in keys:
                    continue
                if any(addition.key in colourants for addition in portion.additions):
                    raise Unsolvable(f'"{portion.name}" already has the colourant of the fade as an addition. Leave it '
                                     "out there: the fade computes its dose.")
                if fade.options.carry_over and portion.borrows:
                    raise Unsolvable(f'"{portion.name}" already borrows batter, but a carried-over fade sets this '
                                     'itself. Leave out its "borrows".')


def fade_of_division(put: FadeInBatch, division: Division) -> FadePlan:
    """What a fade comes to once the batch is weighed.

    Parameters
    ----------
    put : FadeInBatch
        The fade in its portions. [g/kg]
    division : Division
        The buckets. [g]

    Returns
    -------
    FadePlan : masses of colourant as dosed, the ladder on all the batter a bucket makes. [g]
    """
    weighed = {portion.key: portion for portion in division.portions}
    buckets = [weighed[step.key] for step in put.fade.steps]
    request = put.request
    parts = [addition.pure_part if addition is not None and addition.dispersion is not None else None
             for addition in (request.colourant, request.other_colourant)]
    lines = bucket_lines(put.fade.steps, [bucket.made_batter_g for bucket in buckets], parts,
                         [None if one is None else one.name for one in (request.colourant, request.other_colourant)])
    colourants = {addition.key for addition in (request.colourant, request.other_colourant) if addition is not None}
    used = math.fsum(one.mass_g * one.addition.pure_part for bucket in buckets for one in bucket.additions
                     if one.key in colourants)
    notes = notes_of(request.options, put.fade.steps, put.fit, put.other_fit, state=put.state, gelled=put.gelled)
    return FadePlan(lines, put.fit, put.other_fit, put.state, put.gelled, (*put.fade.notes, *notes),
                    cautions=of_fade(put.fit, put.other_fit, at="/fade"), colourant_g=used)
