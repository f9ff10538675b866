"""Phrases shared by the next actions: masses, the superfat, differences from the plan, standing warnings."""

from __future__ import annotations

from collections.abc import Sequence

from kettlewright import amounts
from kettlewright.actuals.rows import Row, Weighings
from kettlewright.recipe import Lye
from kettlewright.said import NO_TEXT, Said
from kettlewright.weigh_list import WeighRow

__all__ = ["BY_SCALE", "GUARDED", "amount_of", "off_in_words", "on_its_scale", "question_in_words", "superfat_of"]

_NAMED = 6

GUARDED = Said("Keep goggles and gloves on: lye and raw soap burn.")
BY_SCALE = Said("Weigh it, never judge by eye. If in doubt, discard the batch as local rules say.")


def amount_of(mass_g: float) -> amounts.Amount:
    """A mass as the scale for fats shows it (`mass_g` [g]). [text]"""
    return amounts.mass(mass_g, digits=7)


def on_its_scale(row: WeighRow, mass_g: float) -> amounts.Amount:
    """A mass in the unit of the row it is weighed for (`row` [g], `mass_g` [g]). [text]"""
    return amounts.dose(mass_g, digits=7) if row.fine else amount_of(mass_g)


def off_in_words(reported: Weighings, stages: Sequence[str]) -> tuple[Said, ...]:
    """Differences from the plan in words.

    Parameters
    ----------
    reported : Weighings
        As weighed. [g]
    stages : sequence of str
        Stages whose rows count. [keys]

    Returns
    -------
    tuple of Said : one for each row that is off by more than one step of the scale. [text]
    """
    rows = {id(row.row) for row in reported.rows if row.stage in stages}
    return tuple(_over_or_short(one.row, one.off_g or 0.0)
                 for one in reported.differences if one.state == "off" and id(one.row) in rows)


def question_in_words(rows: Sequence[Row]) -> Said:
    """Question whether rows that were not reported were weighed.

    Parameters
    ----------
    rows : sequence of Row
        Rows that were not reported and count as planned. [g]

    Returns
    -------
    Said : empty if all rows were reported. [text]
    """
    names = tuple(row.row.name for row in rows[:_NAMED])
    if not names:
        return NO_TEXT
    if len(rows) == 1:
        return Said("Did you weigh {name}? It was not reported and counts as planned. Report 0 if you forgot "
                    "it.", name=names[0])
    if len(rows) == len(names):
        return Said("Did you weigh {names:, }? {count} rows were not reported and count as planned. Report 0 for each "
                    "one you forgot.", count=len(rows), names=names)
    return Said("Did you weigh {names:, } and {more} more? {count} rows were not reported and count as planned. Report "
                "0 for each one you forgot.", count=len(rows), names=names, more=len(rows) - len(names))


def _over_or_short(row: WeighRow, off_g: float) -> Said:
    name, mass = row.name, on_its_scale(row, abs(off_g))
    return Said("{name} {mass} over", name=name, mass=mass) if off_g > 0 else \
        Said("{name} {mass} short", name=name, mass=mass)


def superfat_of(lye: Lye) -> Said:
    """The superfat with its likely range and the requested one (`lye`). [text]"""
    found = lye.superfat
    figures = {"superfat": found.achieved_pct, "low": found.likely_pct.min, "high": found.likely_pct.max,
               "requested": found.asked_pct}
    if lye.recipe.superfat_at_least_pct is not None:
        return Said("{superfat:.2f} % (likely {low:.1f} to {high:.1f} %, requested at least {requested:.9g} %)",
                    **figures)
    return Said("{superfat:.2f} % (likely {low:.1f} to {high:.1f} %, requested {requested:.9g} %)", **figures)
