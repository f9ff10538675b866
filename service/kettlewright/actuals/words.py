"""Words that the next action of a batch is told in: masses, the superfat, what is off, what always holds."""

from __future__ import annotations

from collections.abc import Sequence

from kettlewright import amounts
from kettlewright.actuals.rows import Row, Weighings
from kettlewright.recipe import Lye
from kettlewright.said import NO_TEXT, Said
from kettlewright.weigh_list import WeighRow

__all__ = ["BY_SCALE", "GUARDED", "amount_of", "off_in_words", "on_its_scale", "question_in_words", "superfat_of"]

_NAMED = 6

GUARDED = Said("Goggles and gloves stay on: raw lye and raw soap burn.")
BY_SCALE = Said("Weigh it, never thin by eye; when in doubt discard the batch as local rules say.")


def amount_of(mass_g: float) -> amounts.Amount:
    """A mass as the scale for fats shows it (`mass_g` [g]). [text]"""
    return amounts.mass(mass_g, digits=7)


def on_its_scale(row: WeighRow, mass_g: float) -> amounts.Amount:
    """A mass in the unit of the row it is weighed for (`row` [g], `mass_g` [g]). [text]"""
    return amounts.dose(mass_g, digits=7) if row.fine else amount_of(mass_g)


def off_in_words(told: Weighings, stages: Sequence[str]) -> tuple[Said, ...]:
    """What is off.

    Parameters
    ----------
    told : Weighings
        What was weighed. [g]
    stages : sequence of str
        Whose rows are looked at. [keys]

    Returns
    -------
    tuple of Said : each row that is off by more than a step. [text]
    """
    rows = {id(row.row) for row in told.rows if row.stage in stages}
    return tuple(_over_or_short(one.row, one.off_g or 0.0)
                 for one in told.differences if one.state == "off" and id(one.row) in rows)


def question_in_words(rows: Sequence[Row]) -> Said:
    """Whether what was not reported was weighed.

    Parameters
    ----------
    rows : sequence of Row
        Not reported, so that they count as planned. [g]

    Returns
    -------
    Said : nothing where all were reported. [text]
    """
    names = tuple(row.row.name for row in rows[:_NAMED])
    if not names:
        return NO_TEXT
    if len(rows) == 1:
        return Said("1 row was not reported and counts as planned: did you weigh {name}? Report 0 for what you "
                    "forgot.", name=names[0])
    if len(rows) == len(names):
        return Said("{count} rows were not reported and count as planned: did you weigh {names:, }? Report 0 for what "
                    "you forgot.", count=len(rows), names=names)
    return Said("{count} rows were not reported and count as planned: did you weigh {names:, } and {more} more? Report "
                "0 for what you forgot.", count=len(rows), names=names, more=len(rows) - len(names))


def _over_or_short(row: WeighRow, off_g: float) -> Said:
    name, mass = row.name, on_its_scale(row, abs(off_g))
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
