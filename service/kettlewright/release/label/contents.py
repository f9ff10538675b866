"""What is in something, under the names of a label, and where in the request it comes from."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from kettlewright.copies import replace
from kettlewright.curing import cured_mass
from kettlewright.pour import WeighedAddition
from kettlewright.release.label.naming import Named, Namer, names_a_colour
from kettlewright.said import NO_TEXT, Said, sentences

__all__ = ["Content", "Substance", "coloured_pieces", "content_of_addition", "mass_in_g", "together"]


@dataclass(frozen=True, slots=True)
class Substance:
    """A substance under its name on a label.

    Parameters
    ----------
    named : Named
        Its name. [name]
    mass_g : float
        As added, or of what has formed. [g]
    made_of : str
        The maker's word for its source. [text]
    pointer : str
        Its place in the request, as a JSON Pointer. [text]
    role : str
        "ingredient", "perfume" or "colourant". [key]
    colour_status, colour_remark : str
        Of a colourant: whether it is shown as permitted, and by what. [text]
    doubt : str
        Why a fat or an acid is listed as added although its salt was requested. [text]
    """

    named: Named
    mass_g: float
    made_of: str
    pointer: str
    role: str = "ingredient"
    colour_status: str = ""
    colour_remark: Said = NO_TEXT
    doubt: Said = NO_TEXT

    def of_mass(self, mass_g: float) -> Substance:
        """So much of it (`mass_g` [g]). [substance]"""
        return replace(self, mass_g=mass_g)


@dataclass(frozen=True, slots=True)
class Content:
    """What is in something.

    Parameters
    ----------
    pieces : tuple of Substance
        Substances. [g]
    allergens : tuple of (str, float)
        Of scents: label name of a listed allergen, and how much of it. [g]
    water_g : float
        Water of the lye and of the additions, which leaves in cure. [g]
    unlisted_g : float
        What is in it and is no ingredient: as reacted, the impurities of the alkali. [g]
    evaporated_g : float
        Water that counts as an ingredient, since it was added, and has left since. [g]
    """

    pieces: tuple[Substance, ...] = ()
    allergens: tuple[tuple[str, float], ...] = ()
    water_g: float = 0.0
    unlisted_g: float = 0.0
    evaporated_g: float = 0.0

    @property
    def mass_g(self) -> float:
        """All ingredients. [g]"""
        return math.fsum(piece.mass_g for piece in self.pieces)

    @property
    def whole_g(self) -> float:
        """All of it, as a scale shows it. [g]"""
        return self.mass_g + self.unlisted_g - self.evaporated_g

    def times(self, factor: float) -> Content:
        """So many times as much of everything (`factor` [1]). [content]"""
        return Content(tuple(piece.of_mass(piece.mass_g * factor) for piece in self.pieces),
                       tuple((name, mass * factor) for name, mass in self.allergens), self.water_g * factor,
                       self.unlisted_g * factor, self.evaporated_g * factor)

    def dried(self, water_g: float) -> Content:
        """The same after so much water has evaporated (`water_g` [g]). [content]"""
        return replace(self, water_g=max(self.water_g - water_g, 0.0), evaporated_g=self.evaporated_g + water_g)

    def cured_g(self, loss_pct: float | None) -> float:
        """Mass once cured (`loss_pct` as of `cured_mass` [% of all of it]). [g]"""
        return cured_mass(self.whole_g, loss_pct, water_g=self.water_g)


def together(contents: Iterable[Content]) -> Content:
    """Several contents as one (`contents`). [content]

    What is alike in everything but its mass is added up. Without that a chain of buckets, each of which borrows from
    several before it, would hold every piece once for each way it can come.
    """
    found = tuple(contents)
    masses: dict[Substance, list[float]] = {}
    allergens: dict[str, list[float]] = {}
    for one in found:
        for piece in one.pieces:
            masses.setdefault(piece.of_mass(0.0), []).append(piece.mass_g)
        for name, mass in one.allergens:
            allergens.setdefault(name, []).append(mass)
    return Content(tuple(piece.of_mass(math.fsum(parts)) for piece, parts in masses.items()),
                   tuple((name, math.fsum(parts)) for name, parts in allergens.items()),
                   math.fsum(one.water_g for one in found), math.fsum(one.unlisted_g for one in found),
                   math.fsum(one.evaporated_g for one in found))


def mass_in_g(weighed: WeighedAddition) -> float:
    """The mass on the scale, or the exact mass if it is too small for the scale (`weighed`). [g]"""
    return weighed.weigh_g or weighed.mass_g


def content_of_addition(weighed: WeighedAddition, namer: Namer, pointer: str, *, with_oil: bool = True) -> Content:
    """The parts of an addition: itself, and the water and oil it is dispersed in.

    Parameters
    ----------
    weighed : WeighedAddition
        On the scale. [g]
    namer : Namer
        Of the market. [names]
    pointer : str
        Its place in the request, as a JSON Pointer. [text]
    with_oil : bool
        Its oil is listed here, not with the fats. [yes or no]

    Returns
    -------
    Content : nothing of a spray. [g]
    """
    addition, mass = weighed.addition, mass_in_g(weighed)
    if not addition.in_batter:
        return Content()
    pieces = []
    contains = addition.contents
    rest = mass
    if contains is not None:
        rest -= mass * (contains.water_pct + contains.fat_pct) / 100
    if addition.dispersion is not None and addition.dispersion.carrier == "glycerol":
        rest = mass * addition.pure_part
        pieces.append(Substance(namer.glycerin, mass - rest, addition.name, pointer))
    if contains is not None:
        if contains.water_pct:
            pieces.append(Substance(namer.water, mass * contains.water_pct / 100, addition.name, pointer))
        if contains.fat_pct and with_oil:
            name = f"oil in {addition.name}" if contains.fat is None else None
            pieces.append(Substance(namer.fat_by_key(contains.fat, name), mass * contains.fat_pct / 100, addition.name,
                                pointer))
    if rest > 0:
        pieces += _stirred_in(weighed, namer, rest, pointer)
    pure = mass * addition.pure_part  # a supplier's composition is that of the thing itself, not of our dispersion
    found = [(part.entry.label_name, pure * part.pct / 100) for part in addition.allergens if part.entry is not None]
    return Content(tuple(pieces), tuple(found), mass * addition.water_part)


def _stirred_in(weighed: WeighedAddition, namer: Namer, mass_g: float, pointer: str) -> list[Substance]:
    addition = weighed.addition
    if addition.kind == "fragrance":
        return [Substance(namer.perfume, mass_g, addition.name, pointer, "perfume")]
    named = namer.thing(addition.name, addition.inci)
    if addition.kind == "colourant" or names_a_colour(named.text):
        return coloured_pieces(addition.name, addition.inci, namer, mass_g, pointer)
    if addition.kind == "soap_pieces":
        named = replace(named, remark=sentences(named.remark, Said(
            "Soap pieces have their own ingredients: add them yourself.")))
    return [Substance(named, mass_g, addition.name, pointer)]


def coloured_pieces(name: str, inci: str | None, namer: Namer, mass_g: float, pointer: str) -> list[Substance]:
    """A colourant by its numbers, which share its mass.

    Parameters
    ----------
    name, inci : str
        The maker's word for it, and its label name if given. [text]
    namer : Namer
        Of the market. [names]
    mass_g : float
        All of it. [g]
    pointer : str
        Its place in the request, as a JSON Pointer. [text]

    Returns
    -------
    list of Substance, length n >= 1 : [g]
    """
    colours = namer.colours(name, inci)
    shared = Said("The proportions of its parts are not known; equal parts are "
                  "assumed.") if len(colours) > 1 else NO_TEXT
    return [Substance(colour.named, mass_g / len(colours), name, pointer, "colourant", colour.status,
                  sentences(colour.remark, shared)) for colour in colours]
