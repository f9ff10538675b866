"""Contents of the mould from each bucket, under the names of a label."""

from __future__ import annotations

from dataclasses import dataclass

from kettlewright.pour import Division, WeighedPortion
from kettlewright.pour.buckets import lenders_first
from kettlewright.release.label.contents import Content, Substance, coloured_pieces, content_of_addition, together
from kettlewright.release.label.naming import Namer, names_a_colour
from kettlewright.said import Said

__all__ = ["NotOnLabel", "buckets_of", "doubtful_numbers", "left_out"]


@dataclass(frozen=True, slots=True)
class NotOnLabel:
    """Something used that is not on the ingredient list.

    Parameters
    ----------
    name : str
        What. [text]
    reason : Said
        Why. [text]
    """

    name: str | Said
    reason: Said


def buckets_of(division: Division, pot: Content, namer: Namer) -> dict[str, tuple[Content, Content]]:
    """Contents of each bucket, and the powder sifted on top.

    Parameters
    ----------
    division : Division
        The buckets. [g]
    pot : Content
        What is in the pot. [g]
    namer : Namer
        Of the market. [names]

    Returns
    -------
    dict of str to (Content, Content) : batter with its additions, and powder, by key of the portion. [g]
    """
    full: dict[str, Content] = {}  # at its fullest; who borrows takes a part of everything that is in the lender's
    masses = {portion.key: portion.mass_g for portion in division.portions}
    for index in lenders_first([portion.portion for portion in division.portions]):
        portion, at = division.portions[index], f"/portions/{index}/additions"
        full[portion.key] = together((
            pot.times(portion.batter_mass_g / division.pot_mass_g),
            *(content_of_addition(one, namer, f"{at}/{number}") for number, one in enumerate(portion.additions)),
            *(full[one.key].times(one.mass_g / masses[one.key]) for one in portion.borrowed)))
    return {portion.key: (full[portion.key].times(portion.mould_mass_g / portion.mass_g),
                          _powder(portion, namer, index)) for index, portion in enumerate(division.portions)}


def _powder(portion: WeighedPortion, namer: Namer, index: int) -> Content:
    dusting = portion.dusting
    if dusting is None:
        return Content()
    pointer, mass = f"/portions/{index}/dusting", dusting.weigh_g or dusting.mass_g
    named = namer.thing(dusting.name)
    if names_a_colour(named.text):
        return Content(tuple(coloured_pieces(dusting.name, None, namer, mass, pointer)))
    return Content((Substance(named, mass, dusting.name, pointer),))


def left_out(division: Division) -> tuple[NotOnLabel, ...]:
    """Everything used that is not on the list, with the reason (`division`). [names]"""
    added = (*division.additions, *(one for portion in division.portions for one in portion.additions))
    flown = Said("A spray on top is assumed to evaporate, so it is not an ingredient. If it leaves anything behind, "
                 "add that yourself.")
    found = [NotOnLabel(one.name, flown) for one in added if not one.addition.in_batter]
    found += [NotOnLabel(Said("{cas} in {scent}", cas=part.cas, scent=one.name), Said(
        "This CAS number is not on the list of fragrance allergens, so it is not declared. Compare it with the "
        "supplier's sheet; a substance can have several numbers."))
        for one in added for part in one.addition.allergens if part.cas is not None and part.entry is None]
    return tuple(dict.fromkeys(found))


def doubtful_numbers(division: Division) -> tuple[Said, ...]:
    """Questions about CAS numbers under which two allergens are sold (`division`). [text]"""
    added = (*division.additions, *(one for portion in division.portions for one in portion.additions))
    return tuple(dict.fromkeys(Said(
        "{cas} in {scent} counts as {allergen}. Suppliers also use this number for sweet orange peel oil (from "
        "memory): ask your supplier which it is, and give it by name.", cas=part.cas, scent=one.name,
        allergen=part.entry.label_name)
        for one in added for part in one.addition.allergens
        if part.cas is not None and part.entry is not None and part.cas in part.entry.doubtful_cas))
