"""Words that the next action of a batch is told in: masses, the superfat, what is off, what always holds."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from kettlewright import amounts
from kettlewright.plan.actual_rows import Weighings
from kettlewright.recipe import Lye
from kettlewright.said import Said

__all__ = ["BY_SCALE", "GUARDED", "MassWords", "grams", "mass_in_words", "off_in_words", "superfat_of"]

MassWords = Callable[[float], Said]
"""How a mass [g] is written where a text is read: with the unit of the scale it is weighed on."""

GUARDED = Said("Goggles and gloves stay on: raw lye and raw soap burn.")
BY_SCALE = Said("Weigh it, never thin by eye; when in doubt discard the batch as local rules say.")


def grams(mass_g: float) -> Said:
    """A mass in the unit of the request (`mass_g` [g]). [text]"""
    return Said("{mass}", mass=amounts.mass(mass_g, digits=7))


def mass_in_words(mass: float, unit: str) -> Said:
    """A mass in a unit of the maker's.

    Parameters
    ----------
    mass : float
        In that unit. [unit]
    unit : str
        Its sign, the same in every language. [text]

    Returns
    -------
    Said : [text]
    """
    return Said("{mass:.6g} {unit}", mass=mass, unit=unit)


def off_in_words(told: Weighings, stages: Sequence[str], say: MassWords) -> tuple[Said, ...]:
    """What is off.

    Parameters
    ----------
    told : Weighings
        What was weighed. [g]
    stages : sequence of str
        Whose rows are looked at. [keys]
    say : MassWords
        How a mass is written. [text]

    Returns
    -------
    tuple of Said : each row that is off by more than a step. [text]
    """
    rows = {id(row.row) for row in told.rows if row.stage in stages}
    return tuple(_over_or_short(one.row.name, one.off_g or 0.0, say)
                 for one in told.differences if one.state == "off" and id(one.row) in rows)


def _over_or_short(name: str, off_g: float, say: MassWords) -> Said:
    mass = say(abs(off_g))
    return Said("{name} {mass} over", name=name, mass=mass) if off_g > 0 else \
        Said("{name} {mass} short", name=name, mass=mass)


def superfat_of(lye: Lye) -> Said:
    """The superfat with its likely range, beside what was asked (`lye`). [text]"""
    found = lye.superfat
    figures = {"superfat": found.achieved_pct, "low": found.likely_pct.min, "high": found.likely_pct.max,
               "asked": found.asked_pct}
    if lye.recipe.superfat_at_least_pct is not None:
        return Said("{superfat:.2f} % (likely {low:.1f} to {high:.1f} %, asked at least {asked:.9g} %)", **figures)
    return Said("{superfat:.2f} % (likely {low:.1f} to {high:.1f} %, asked {asked:.9g} %)", **figures)
