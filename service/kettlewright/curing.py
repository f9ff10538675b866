"""Loss in cure, defined once: it is a share of the mass of a whole piece as cut, additions and powder included."""

from __future__ import annotations

import math

from kettlewright.errors import Unsolvable
from kettlewright.said import EnglishText, Said

__all__ = ["check_loss", "cured_mass", "fresh_mass", "loss_taken"]

_NOISE = 1e-9


def cured_mass(mass_g: float, loss_pct: float | None, *, water_g: float = 0.0) -> float:
    """What a piece weighs once it is cured.

    Parameters
    ----------
    mass_g : float
        The whole piece as cut, additions included. [g]
    loss_pct : float, optional
        Loss in cure, as you measure it by weighing bars; without it all the water is taken as lost. [% of the piece]
    water_g : float
        Water in the piece, of its batter and its additions. [g]

    Returns
    -------
    float : mass x (1 - loss), or mass - water. [g]
    """
    return mass_g - water_g if loss_pct is None else mass_g * (1 - loss_pct / 100)


def fresh_mass(cured_g: float, loss_pct: float) -> float:
    """What a piece must weigh fresh to weigh so much cured (`cured_g` [g], `loss_pct` [% of the piece]). [g]"""
    return cured_g / (1 - loss_pct / 100)


def loss_taken(mass_g: float, loss_pct: float | None, *, water_g: float) -> float:
    """The loss a piece is judged with (arguments as of `cured_mass`). [% of the piece]"""
    return 100 * (1 - cured_mass(mass_g, loss_pct, water_g=water_g) / mass_g)


def check_loss(loss_pct: float | None, *, mass_g: float, water_g: float, what: Said) -> None:
    """Refuse a loss larger than all the water in a piece.

    Parameters
    ----------
    loss_pct : float, optional
        As given. [% of the piece]
    mass_g, water_g : float
        The whole piece as cut, and the water in it. [g]
    what : Said
        Which piece, in words. [text]

    Raises
    ------
    Unsolvable : says the largest loss that is possible.
    """
    if loss_pct is None:
        return
    most = 100 * water_g / mass_g
    if loss_pct > most * (1 + _NOISE):
        # down, so that what the sentence allows is accepted
        shown = math.floor(most * 1000) / 1000
        raise Unsolvable(
            EnglishText("A loss in cure of {loss:.9g} % is more than all the water in {what}: {most:.9g} % of its "
                        "mass. Weigh some bars fresh and cured, and check the figure.", loss=loss_pct, what=what,
                        most=shown),
            field=("expected_loss_pct",), value=loss_pct, allowed=f"at most {shown:.9g} %")
