"""Cautions of additions above their limit in the cured bar."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from types import MappingProxyType

from kettlewright.amounts import at_most, dose, mass
from kettlewright.cautions.placed_additions import placed_additions
from kettlewright.cautions.triggered import Caution, triggered
from kettlewright.pour import Division, LimitCheck
from kettlewright.said import NO_TEXT, Said, sentences

__all__ = ["of_limits"]


def of_limits(division: Division, limits: Sequence[LimitCheck]) -> Iterator[Caution]:
    """Cautions of limits that are exceeded.

    Parameters
    ----------
    division : Division
        The buckets. [portions]
    limits : sequence of LimitCheck
        Their ingredients compared with their limits. [% of cured bar]

    Returns
    -------
    iterator of Caution : [cautions]
    """
    # in reverse, so that the first place of each addition is the one that stays
    places = {one.key: pointer for pointer, _, one in reversed([*placed_additions(division)])} if limits else {}
    names = {one.key: one.name for one in division.portions}
    for check in limits:
        pointer = places.get(check.key, "/portions")
        if check.exceeded:
            where = Said('"{portion}"', portion=check.portion_name) if check.bar is None else check.bar
            doses = tuple(_largest(names, one.portion, one.dose, one.basis, one.mass_g) for one in check.largest)
            exceeds = Said(
                "{addition}: {where} contains {part:.4g} %, above the limit of {limit:.9g} % of the cured bar.",
                addition=check.name, where=where, part=check.decides_pct, limit=check.limit_pct)
            largest = Said("Largest dose within the limit: {doses:; }.", doses=doses) if doses else NO_TEXT
            each = tuple(Said("{portion} {mass}", portion=one.name, mass=mass(one.mass_g)) for one in check.masses)
            masses = Said("The portions then weigh: {masses:; }.", masses=each) if each else NO_TEXT
            assumed = NO_TEXT if division.loss_pct is not None else Said(
                'No cure loss is given, so all the water is assumed lost. Give "expected_loss_pct".')
            yield triggered("fragrance-limit-exceeded", sentences(exceeds, largest, masses, assumed), pointer)
        elif check.portion_alone_exceeds and check.bar is not None and check.bar_pct is not None:
            yield triggered("fragrance-limit-in-portion", Said(
                '{addition}: "{portion}" alone contains {part:.4g} %, above the limit of {limit:.9g} % of the cured '
                "bar; {bar} contains at most {in_bar:.4g} % if poured and cut as drawn. A bar that is cut differently "
                "or swirled unevenly may exceed the limit.", addition=check.name, portion=check.portion_name,
                part=check.portion_pct, limit=check.limit_pct, bar=check.bar, in_bar=check.bar_pct), pointer)


def _largest(names: Mapping[str, str], portion: str | None, size: float, basis: str, mass_g: float) -> Said:
    """A dose within the limit, in the unit of the request: it has four digits."""
    where = Said("in the pot") if portion is None else Said('in "{portion}"', portion=names[portion])
    unit = _UNITS_OF_DOSES.get(basis)
    if unit is None:
        return Said("{mass} {where}", mass=at_most(dose(size, digits=4)), where=where)
    return Said("{dose:.6g} {unit} ({mass}) {where}", dose=size, unit=unit, mass=at_most(dose(mass_g, digits=4)),
                where=where)


_UNITS_OF_DOSES: Mapping[str, Said] = MappingProxyType({
    "pct_of_fats": Said("% of the fats"), "pct_of_batter": Said("% of the batter"),
    "g_per_kg_fats": Said("g per kg of fats"), "g_per_kg_batter": Said("g per kg of batter")})
