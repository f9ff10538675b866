"""Loss in cure, defined in one place: a share of the mass of the whole piece as cut, additions and powder included."""

from __future__ import annotations

import math

from kettlewright.errors import Unsolvable
from kettlewright.said import EnglishText, Said

__all__ = ["check_loss", "cured_mass", "fresh_mass", "loss_used"]

_NOISE = 1e-9


def cured_mass(mass_g: float, loss_pct: float | None, *, water_g: float = 0.0) -> float:
    """Mass of a piece after the cure.

    Parameters
    ----------
    mass_g : float
        The whole piece as cut, additions included. [g]
    loss_pct : float, optional
        Loss in cure, measured by weighing bars; if not given, all the water is taken to be lost. [% of the piece]
    water_g : float
        Water in the piece, from batter and additions. [g]

    Returns
    -------
    float : mass x (1 - loss), or mass - water. [g]
    """
    return mass_g - water_g if loss_pct is None else mass_g * (1 - loss_pct / 100)


def fresh_mass(cured_g: float, loss_pct: float) -> float:
    """Fresh mass of a piece that weighs `cured_g` after the cure (`cured_g` [g], `loss_pct` [% of the piece]). [g]"""
    return cured_g / (1 - loss_pct / 100)


def loss_used(mass_g: float, loss_pct: float | None, *, water_g: float) -> float:
    """The loss used for a piece (arguments as for `cured_mass`). [% of the piece]"""
    return 100 * (1 - cured_mass(mass_g, loss_pct, water_g=water_g) / mass_g)


def check_loss(loss_pct: float | None, *, mass_g: float, water_g: float, what: Said) -> None:
    """Reject a loss larger than all the water in a piece.

    Parameters
    ----------
    loss_pct : float, optional
        The loss given. [% of the piece]
    mass_g, water_g : float
        The whole piece as cut, and the water in it. [g]
    what : Said
        Name of the piece for the sentence. [text]

    Raises
    ------
    Unsolvable : states the largest possible loss.
    """
    if loss_pct is None:
        return
    most = 100 * water_g / mass_g
    if loss_pct > most * (1 + _NOISE):
        # rounded down, so that the value in the sentence is accepted
        shown = math.floor(most * 1000) / 1000
        raise Unsolvable(
            EnglishText("A loss in cure of {loss:.9g} % is more than all the water in {what}: {most:.9g} % of its "
                        "mass. Weigh some bars fresh and cured, and check the figure.", loss=loss_pct, what=what,
                        most=shown),
            field=("expected_loss_pct",), value=loss_pct, allowed=f"at most {shown:.9g} %")
