"""Markets: the words of their labels, other required elements, and duties outside this tool.

Facts of the law only, each as well as it could be read; local law decides.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from kettlewright.said import NO_TEXT, Said, sentences

__all__ = ["MARKETS", "SOLD_AS", "ElementRule", "Market", "elements_for", "soap_or_cosmetic"]

SOLD_AS = ("soap", "cosmetic")


@dataclass(frozen=True, slots=True)
class ElementRule:
    """A required label element other than the ingredients.

    Parameters
    ----------
    key : str
        The field of the request that fills it. [key]
    name : Said
        What it is. [text]
    required : str
        "always", "if_any" or "unless_clear". [key]
    ask : Said
        What to do if it is missing; empty if it may be left out. [text]
    """

    key: str
    name: Said
    required: str
    ask: Said


@dataclass(frozen=True, slots=True)
class Market:
    """A market.

    Parameters
    ----------
    key : str
        Key. [text]
    name : Said
        Name as it follows the word "in", such as "the European Union". [text]
    water, perfume : str
        Names of water and of a scent in an ingredient list there. [text]
    tolerances : str
        Key of the table of net contents. [key]
    elements : tuple of ElementRule
        Label elements other than the ingredients. [rules]
    steps_outside : tuple of Said
        What has to be done and is no arithmetic. [text]
    notes : tuple of Said
        What to know, and how well it is known. [text]
    sources : tuple of str
        Keys of the sources. [keys]
    """

    key: str
    name: Said
    water: str
    perfume: str
    tolerances: str
    elements: tuple[ElementRule, ...]
    steps_outside: tuple[Said, ...]
    notes: tuple[Said, ...]
    sources: tuple[str, ...]


_NET = ElementRule("net_quantity", Said("net quantity at the time of packing"), "always",
                   Said("The mass of a bar is not known from the cut or mould: weigh bars on the day of packing."))
_BATCH_NUMBER = ElementRule("batch_number", Said("batch number"), "always", Said('Give "batch_number", or print one on '
                                                                           "each bar."))
_PRECAUTIONS = ElementRule("precautions", Said("precautions for use"), "if_any",
                           Said("Ask your safety assessor which precautions this bar needs."))
_FUNCTION = ElementRule("function", Said("what it is for"), "unless_clear",
                        Said('Required unless its appearance shows that it is soap; give "function".'))
_LASTS = ElementRule("lasts", Said("date of minimum durability, or the period after opening"), "always",
                     Said('Give "durability" (it keeps 30 months or less) or "period_after_opening_months" (longer).'))
_DEFER = Said("This is information, not legal advice: local law and your safety assessor decide.")
_NAMES = (Said("Names of fats, acids and their salts are from memory, except three (avocado, sesame, mango soap): look "
               "up each in the EU glossary of ingredient names before you print it."))
_OTHER_ELEMENTS = Said("The label elements other than the ingredient list (Article 19(1)) are from memory.")
_AVERAGE = (Said("Average quantity (Directive 76/211/EEC): tolerable errors read up to 1 kg; the small proportion "
                 "allowed below them is assumed to be 2.5 %, from memory."))

_EU = Market(
    "EU", Said("the European Union"), "Aqua", "Parfum", "EU_76_211_TNE",
    (ElementRule("responsible_person", Said("name and address of the responsible person"), "always",
                 Said('Give "responsible_person": a name and an address in the EU.')),
     _NET, _LASTS, _PRECAUTIONS, _BATCH_NUMBER, _FUNCTION),
    (Said("Safety assessment by a qualified assessor, and a product information file, before it is sold."),
     Said("Notification to the EU's portal for cosmetic products before it is sold."),
     Said("The label in the language required by the country of sale; the country of origin for imported goods.")),
    (_DEFER,
     Said("Order, names below 1 %, parfum and colourants: Regulation (EC) 1223/2009, Article 19(1)(g), read in "
          "quotes."),
     Said("Allergens: Regulation (EU) 2023/1545, limits and dates read; the list agreed in two transcriptions."),
     _OTHER_ELEMENTS, _NAMES, _AVERAGE,
     Said("Listing of colourants (Annex IV) is from memory; its purity rules are not checked.")),
    ("eu_1223_2009", "eu_2023_1545", "eu_76_211", "label_names_table"))

_GB = Market(
    "GB", Said("Great Britain"), "Aqua", "Parfum", "EU_76_211_TNE",
    (ElementRule("responsible_person", Said("name and address of the responsible person"), "always",
                 Said('Give "responsible_person": a name and an address in the United Kingdom.')),
     _NET, _LASTS, _PRECAUTIONS, _BATCH_NUMBER, _FUNCTION),
    (Said("Safety assessment by a qualified assessor, and a product information file, before it is sold."),
     Said("Notification to the portal of Great Britain before it is sold; Northern Ireland follows the EU.")),
    (_DEFER, Said("Retained law of the same structure as the EU's (Schedule 34 of the 2019 regulations): all from "
                  "memory."),
     Said("Whether and from when the longer list of allergens is mandatory in Great Britain is not known here: both "
          "are shown."),
     _NAMES, Said("Average quantity as in the EU (from memory; Directive 76/211/EEC): tolerable errors read up to 1 "
                  "kg; the small proportion allowed below them is assumed to be 2.5 %, from memory."),
     Said("Listing of colourants is assumed to be as in the EU, from memory.")),
    ("gb_schedule_34", "eu_1223_2009", "eu_2023_1545", "eu_76_211", "label_names_table"))

_US = Market(
    "US", Said("the United States"), "Water", "Fragrance", "US_HB133_MAV",
    (ElementRule("responsible_person", Said("name and place of business of maker, packer or distributor"), "always",
                 Said('Give "responsible_person": a name and a place of business.')),
     _NET, ElementRule("function", Said("statement of identity, such as soap"), "always",
                       Said('Give "function", such as "soap".')),
     ElementRule("precautions", Said("warnings, and for a cosmetic a contact for reports of harm"), "if_any",
                 Said("Ask your assessor which warnings this bar needs; the contact for reports is from memory.")),
     ElementRule("batch_number", Said("batch number"), "if_any", NO_TEXT)),
    (Said("For a cosmetic: safety substantiation, registration of the facility and listing of the product (from "
          "memory)."),
     Said("Any claim to treat or prevent something makes it a drug, with its own rules.")),
    (_DEFER, Said("Order and fragrance: 21 CFR 701.3, read; ingredients of 1 % or less and colour additives "
                  "second-hand."),
     Said("Fragrance allergens: no list that is mandatory on labels there is known here, so none are printed."),
     Said("US labels also give plant names in English, such as Olea Europaea (Olive) Fruit Oil; the table has the "
          "Latin ones, from memory."),
     Said("Listing of colour additives (21 CFR 73) is from memory; some need certified lots."),
     Said("Net quantity: ounces and metric are both required (16 CFR 500, read); their form is from memory."),
     Said("Allowable variations (NIST Handbook 133, table 2-5) are from memory, except one row: verify before use.")),
    ("us_21_cfr_701", "us_16_cfr_500", "us_hb133", "label_names_table"))

MARKETS: Mapping[str, Market] = MappingProxyType({market.key: market for market in (_EU, _GB, _US)})


def elements_for(market: Market, *, sold_as: str | None = None) -> tuple[ElementRule, ...]:
    """Label elements other than the ingredients.

    Parameters
    ----------
    market : Market
        Where it is sold. [market]
    sold_as : str, optional
        Of the US: "soap" or "cosmetic"; without an answer the longer duties of a cosmetic. [key]

    Returns
    -------
    tuple of ElementRule : in label order. [rules]
    """
    if market.key == "US" and sold_as == "soap":
        return tuple(rule for rule in market.elements if rule.key != "precautions")
    return market.elements


def soap_or_cosmetic(sold_as: str | None, soap_part_pct: float) -> Said:
    """What follows in the US from being sold as soap or as a cosmetic.

    Parameters
    ----------
    sold_as : str, optional
        The maker's answer: "soap", "cosmetic" or none yet. [key]
    soap_part_pct : float
        Salts of fatty acids in what is not water. [% by mass]

    Returns
    -------
    Said : sentences for the maker. [text]

    References
    ----------
    .. [1] 21 CFR 701.20: soap is what is mostly alkali salts of fatty acids (of its non-volatile matter), washes by
       them, and is labelled, sold and represented only as soap. Read.
    """
    if sold_as == "soap":
        only_soap = Said("Sold and described only as soap, it is not a cosmetic: no ingredient list is required there, "
                         "and the label and the shop may promise nothing more than washing.")
        if soap_part_pct > 50:
            return sentences(Said("{part:.0f} % of the mass without water is soap; 21 CFR 701.20 requires most of it "
                                  "to be soap.", part=soap_part_pct), only_soap)
        return sentences(Said("This bar is not soap under 21 CFR 701.20: the rule requires most of the mass without "
                              "water to be soap, and here it is {part:.0f} %.", part=soap_part_pct), only_soap)
    if sold_as == "cosmetic":
        return Said("A cosmetic: the ingredient list is required, every colour additive must be listed for cosmetics, "
                    "and the duties of cosmetics apply (from memory).")
    return Said('Does anything on the label or in the shop promise more than soap (moisturising, calming scent)? If '
                'not, give "sold_as": "soap"; if so, "cosmetic". {part:.0f} % of the mass without water is soap. Until '
                'then the duties of a cosmetic are listed (21 CFR 701.20).', part=soap_part_pct)
