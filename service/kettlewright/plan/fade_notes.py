"""What to know of a predicted fade, in words."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence

from kettlewright.plan.fade_wish import FadeWish
from kettlewright.pour.colours import difference
from kettlewright.pour.fades import FadeStep
from kettlewright.pour.fitted import Fitted
from kettlewright.pour.swatches import CAVEATS
from kettlewright.said import Said

__all__ = ["notes_of"]


_SWATCHES_ENOUGH = 6  # 95 % of Student's distribution with four degrees of freedom is 2.8 standard errors
_FAR_BELOW = 0.25  # of the lightest dyed swatch; an own decision
_NEXT_SWATCH = 10  # a swatch to add is this many times lighter at most: further down the curve is a guess; own decision
_FAR_APART = 0.5  # part of the whole change of colour between two neighbouring swatches; an own decision


def notes_of(wish: FadeWish, steps: Sequence[FadeStep], fit: Fitted, other_fit: Fitted | None = None, *, state: str,
             gelled: str) -> tuple[Said, ...]:
    """What to know of a prediction.

    Parameters
    ----------
    wish : FadeWish
        The request. [g/kg]
    steps : sequence of FadeStep
        What was found. [g/kg]
    fit : Fitted
        Of its first colourant. [g/kg]
    other_fit : Fitted, optional
        Of the colourant of the other end. [g/kg]
    state, gelled : str
        Of the swatches. [key]

    Returns
    -------
    tuple of Said : in words. [text]
    """
    notes = [CAVEATS[wish.kind]]
    if state == "wet":
        notes.append(Said("Predicted of wet batter, since the swatches are wet: nothing is said of the cured colour."))
    notes.append({"yes": Said("Predicted of gelled soap; without gel phase it stays lighter."),
                  "no": Said("Predicted of soap that did not gel; gel phase makes it darker."),
                  "unknown": Said("It is not known whether the swatches gelled; gel phase makes soap darker.")}[gelled])
    smallest = min((step.to_next for step in steps if step.to_next is not None), default=math.inf)
    notes += _of_fit(fit, [step for step in steps if step.end == 0], smallest)
    if other_fit is not None:
        notes += [Said("The other end: {note}", note=note)
                  for note in _of_fit(other_fit, [step for step in steps if step.end == 1], smallest)]
    if wish.carry_over:
        notes.append(Said("Carrying over takes as much colourant as dyeing each bucket separately; it saves "
                          "weighings."))
        notes += [Said('"{portion}" is plain: nothing carried over goes into it, it gets plain batter of its own.',
                       portion=step.name) for step in steps if step.dose == 0]
    return (*notes, Said("Screens are not swatches: hold the strip beside a cured bar before you trust it."))


def _of_fit(fit: Fitted, steps: Sequence[FadeStep], smallest_step: float) -> Iterator[Said]:
    """How far to trust a fit (`steps` of its colourant, `smallest_step` of the fade [CIEDE2000])."""
    doses = fit.material.swatch_doses
    if len(doses) == 2:
        yield Said("With two swatches the curve between them is assumed straight, and no error can be given. Most dyes "
                   "and pigments bend: add a swatch in between.")
        return
    if fit.error is None or fit.left_out_error is None:
        yield Said("Three swatches fix the curve: no error can be given. Add a fourth to check it.")
    else:
        yield Said("The fit misses its swatches by CIEDE2000 {error:.1f}, and a swatch that is left out by "
                   "{left_out:.1f} (root mean square).", error=fit.error, left_out=fit.left_out_error)
        if len(fit.swatches) < _SWATCHES_ENOUGH:
            yield Said("With so few swatches the band is wide: one or two more would narrow it a good deal.")
        if fit.left_out_error > smallest_step:
            yield Said("That is more than the smallest step of this fade, so its steps may come out uneven. Make more "
                       "swatches, or fewer portions.")
    lightest = next(dose for dose in doses if dose > 0)
    below = [step.dose for step in steps if 0 < step.dose < _FAR_BELOW * lightest]
    if below:
        yield Said("Doses down to {dose:.3g} g/kg lie far below the lightest dyed swatch ({lightest:.4g} g/kg): there "
                   "the curve is only carried on. Make a swatch of about {wanted:.2g} g/kg.", dose=min(below),
                   lightest=lightest, wanted=max(math.sqrt(min(below) * lightest), lightest / _NEXT_SWATCH))
    gaps = [(difference(one.colour, two.colour), one.dose, two.dose)
            for one, two in itertools.pairwise(fit.swatches)]
    widest, low, high = max(gaps)
    if widest > _FAR_APART * math.fsum(gap for gap, _, _ in gaps) and not (below and low == 0):
        yield Said("More than half of the change of colour lies between the swatches of {low:.4g} and {high:.4g} g/kg: "
                   "add one in between.", low=low, high=high)
