"""What to know of a predicted fade, in words."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence

from kettlewright.plan.fade_options import FadeOptions
from kettlewright.pour.fade.colours import difference
from kettlewright.pour.fade.fades import FadeStep
from kettlewright.pour.fade.swatch_residuals import Fitted
from kettlewright.pour.fade.swatches import CAVEATS
from kettlewright.said import Said

__all__ = ["notes_of"]


_SWATCHES_ENOUGH = 6  # 95 % of Student's distribution with four degrees of freedom is 2.8 standard errors
_FAR_BELOW = 0.25  # of the lightest dyed swatch; an own decision
_NEXT_SWATCH = 10  # a swatch to add is this many times lighter at most: further down the curve is a guess; own decision
_FAR_APART = 0.5  # part of the whole change of colour between two neighbouring swatches; an own decision


def notes_of(options: FadeOptions, steps: Sequence[FadeStep], fit: Fitted, other_fit: Fitted | None = None, *,
             state: str, gelled: str) -> tuple[Said, ...]:
    """What to know of a prediction.

    Parameters
    ----------
    options : FadeOptions
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
    notes = [CAVEATS[options.kind]]
    if state == "wet":
        notes.append(Said("Predicted for wet batter, like the swatches: the cured colour is not known."))
    notes.append({"yes": Said("Predicted for gelled soap; without gel phase it stays lighter."),
                  "no": Said("Predicted for soap that did not gel; gel phase makes it darker."),
                  "unknown": Said("It is not known whether the swatches gelled; gel phase makes soap darker.")}[gelled])
    smallest = min((step.to_next for step in steps if step.to_next is not None), default=math.inf)
    notes += _of_fit(fit, [step for step in steps if step.end == 0], smallest)
    if other_fit is not None:
        notes += [Said("The other end: {note}", note=note)
                  for note in _of_fit(other_fit, [step for step in steps if step.end == 1], smallest)]
    if options.carry_over:
        notes.append(Said("Carrying over needs as much colourant as colouring each bucket separately, but fewer "
                          "weighings."))
        notes += [Said('"{portion}" is plain: it gets plain batter of its own, nothing carried over.',
                       portion=step.name) for step in steps if step.dose == 0]
    return (*notes, Said("Colours on a screen differ: compare the strip with a cured bar before you trust it."))


def _of_fit(fit: Fitted, steps: Sequence[FadeStep], smallest_step: float) -> Iterator[Said]:
    """How far to trust a fit (`steps` of its colourant, `smallest_step` of the fade [CIEDE2000])."""
    doses = fit.material.swatch_doses
    if len(doses) == 2:
        yield Said("With two swatches the curve is assumed straight, and no error can be given. Add a swatch in "
                   "between: most dyes and pigments follow a curve.")
        return
    if fit.error is None or fit.left_out_error is None:
        yield Said("Three swatches fully determine the curve, so no error can be given. Add a fourth to check it.")
    else:
        yield Said("The fit is off by CIEDE2000 {error:.1f} at its swatches, and by {left_out:.1f} at a swatch left "
                   "out of the fit (root mean square).", error=fit.error, left_out=fit.left_out_error)
        if len(fit.swatches) < _SWATCHES_ENOUGH:
            yield Said("With so few swatches the band is wide; one or two more would narrow it considerably.")
        if fit.left_out_error > smallest_step:
            yield Said("That is more than the smallest step of this fade, so the steps may come out uneven. Make more "
                       "swatches, or fewer portions.")
    lightest = next(dose for dose in doses if dose > 0)
    below = [step.dose for step in steps if 0 < step.dose < _FAR_BELOW * lightest]
    if below:
        yield Said("Make a swatch of about {wanted:.2g} g/kg: doses down to {dose:.3g} g/kg are far below the lightest "
                   "dyed swatch ({lightest:.4g} g/kg), where the curve is only extrapolated.", dose=min(below),
                   lightest=lightest, wanted=max(math.sqrt(min(below) * lightest), lightest / _NEXT_SWATCH))
    gaps = [(difference(one.colour, two.colour), one.dose, two.dose)
            for one, two in itertools.pairwise(fit.swatches)]
    widest, low, high = max(gaps)
    if widest > _FAR_APART * math.fsum(gap for gap, _, _ in gaps) and not (below and low == 0):
        yield Said("Add a swatch between those of {low:.4g} and {high:.4g} g/kg: more than half of the change of "
                   "colour is between them.", low=low, high=high)
