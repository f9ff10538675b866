"""How much more colourant or plain batter changes a bucket to another colour."""

from __future__ import annotations

from dataclasses import dataclass

from scipy.optimize import brentq

from kettlewright import limits
from kettlewright.errors import OutOfRange, Unsolvable, gather
from kettlewright.pour.fade.colours import Colour
from kettlewright.pour.fade.swatches import Material

__all__ = ["MoreColour", "more_colour"]


@dataclass(frozen=True, slots=True)
class MoreColour:
    """The addition that changes a bucket's dose.

    Parameters
    ----------
    now_dose, wanted_dose : float
        As given, or derived from the colours. [g/kg]
    colourant_g, plain_g : float
        To add: colourant for a darker colour, plain batter for a lighter one. [g]
    """

    now_dose: float
    wanted_dose: float
    colourant_g: float
    plain_g: float


def more_colour(material: Material, mass_g: float, now: Colour | float, wanted: Colour | float) -> MoreColour:
    """How much more colourant or plain batter a bucket needs.

    Parameters
    ----------
    material : Material
        Of the colourant. [g/kg]
    mass_g : float
        Batter in the bucket. [g]
    now, wanted : Colour or float
        Its present and target colour, or doses. [g/kg]

    Returns
    -------
    MoreColour : [g]

    Raises
    ------
    OutOfRange : beyond the swatches.
    """
    limits.MASS.check(mass_g, "mass")
    with gather() as checks:
        with checks.at("now"):
            is_now = _dose_of(material, now)
        with checks.at("wanted"):
            is_wanted = _dose_of(material, wanted)
    if is_wanted >= is_now:
        return MoreColour(is_now, is_wanted, (is_wanted - is_now) * mass_g / 1000, 0.0)
    if is_wanted <= 0:
        raise Unsolvable("Colour cannot be removed: no amount of plain batter makes this batter plain.",
                         field=("wanted",))
    return MoreColour(is_now, is_wanted, 0.0, mass_g * (is_now / is_wanted - 1))


def _dose_of(material: Material, look: Colour | float) -> float:
    """A dose, or the dose that gives the lightness of a colour."""
    if not isinstance(look, Colour):
        material.colour(look)
        return look
    low, high = material.doses
    light, dark = material.colour(low).lab[0], material.colour(high).lab[0]
    wanted = look.lab[0]
    if not dark - 0.5 <= wanted <= light + 0.5:
        raise OutOfRange(f"L* {wanted:.1f} is outside the swatches, which range from {dark:.1f} to {light:.1f}.",
                         value=wanted, allowed=f"L* from {dark:.1f} to {light:.1f}")
    wanted = min(max(wanted, dark), light)
    return float(brentq(lambda dose: material.colour(dose).lab[0] - wanted, low, high, xtol=1e-12))
