"""The catalogue of cautions: stable keys, texts, what each rests on, and where each always applies."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from kettlewright.amounts import temperature
from kettlewright.said import Said

__all__ = ["CATALOGUE", "PLACES", "SEVERITIES", "STOCK_KEPT_ABOVE_C", "Entry", "standing"]

SEVERITIES = ("none", "info", "warning", "danger")
PLACES = ("lye", "pot", "sifting", "pouring", "unmoulding", "label")
"""Steps of the work, in the order you do them."""
STOCK_KEPT_ABOVE_C = 20.0


@dataclass(frozen=True, slots=True)
class Entry:
    """A caution of the catalogue.

    Parameters
    ----------
    key, severity, text, basis : str
        Stable key; "info", "warning" or "danger", the usual one; what it says; what it rests on. [text]
    place : str
        Where the hand is when it matters: "lye", "pot", "sifting", "pouring", "unmoulding" or "label". [key]
    standing_for : frozenset of str
        Operations it always stands at. [keys]
    """

    key: str
    severity: str
    text: Said
    basis: str
    place: str
    standing_for: frozenset[str] = frozenset()


_LYE = frozenset({"lye", "scaling", "blends", "batches", "actuals"})
_BATCH = frozenset({"batches", "actuals"})
_SOAP = frozenset({"cuts", "batches", "actuals"})
_CURE = frozenset({"cure"})
_SHEETS = "read: safety data sheets"
_OWN, _TRADE = "own decision", "common practice, no source"

CATALOGUE: Mapping[str, Entry] = MappingProxyType({entry.key: entry for entry in (
    Entry("alkali-corrosive", "danger",
          Said("Sodium and potassium hydroxide destroy skin and eyes (H290, H314; potassium hydroxide also H302 if "
               "swallowed). Goggles, gloves and long sleeves on before the lid comes off; do not breathe the dust or "
               "mist."), f"{_SHEETS}; classes partly from memory", "lye", _LYE),
    Entry("alkali-into-water", "danger",
          Said("Alkali into cold water, slowly and stirring; never water onto alkali. It heats up within seconds and "
               "can spit or boil."), f"{_SHEETS}; common practice", "lye", _LYE),
    Entry("no-reactive-metal", "warning",
          Said("No aluminium, zinc, galvanised ware, tin or brass: lye eats them and sets free hydrogen. Stainless "
               "steel or polypropylene."), "read: producers' data, safety data sheets", "lye",
          _LYE | {"moulds", "portions"}),
    Entry("ventilate", "warning",
          Said("Mix where air moves, face turned away: the mist irritates the airways."), _SHEETS, "lye", _LYE),
    Entry("first-aid-water", "danger",
          Said("On skin or in eyes: take off what is soaked, flush with plenty of running water for at least 15 "
               "minutes, get medical help. Swallowed: rinse the mouth, do not bring on vomiting, call for help at "
               "once."), _SHEETS, "lye", _LYE | _SOAP),
    Entry("no-vinegar-on-skin", "warning",
          Said("Never vinegar on a lye burn: the reaction heats the wound and costs time. Water only."),
          "read: first-aid texts", "lye", _LYE),
    Entry("lye-unattended", "warning",
          Said("Lye that cools is never left alone: door closed, labelled, out of reach of children and animals."),
          _TRADE, "lye", _LYE),
    Entry("clean-up-gloves", "info",
          Said("Tools, buckets and cloths stay caustic until washed: gloves on to the end."), _TRADE, "pouring",
          _BATCH | {"portions"}),
    Entry("raw-soap-gloves", "info",
          Said("Fresh soap is caustic for the first day or days: gloves to unmould and to cut."), _TRADE, "unmoulding",
          _SOAP | _CURE | {"schedules"}),
    Entry("ph-not-proof", "info",
          Said("pH paper or a tongue proves neither safety nor the absence of free alkali; a titration does (ISO "
               "456)."),
          _OWN, "unmoulding", _BATCH | _CURE),
    Entry("poison-centre-number", "info",
          Said("Write the number of your local poison centre on the sheet before you start."), _OWN, "lye", _BATCH),
    Entry("local-law", "info",
          Said("Soap that is sold is regulated. What is said here is information; local law, your safety assessor and "
               "the certificates of your suppliers decide."), _OWN, "label", _BATCH | _CURE | {"labels", "costs"}),
    Entry("several-mixes", "warning",
          Said("The pot does not hold the whole batch: make several mixes."), _OWN, "lye"),
    Entry("lye-hot", "warning",
          Said("The lye gets hot enough to burn."), "computed, an upper estimate", "lye"),
    Entry("lye-strong", "warning",
          Said("Strong lye is thick and hot and may crystallise as it cools."),
          "own decision; solubility read in producers' data", "lye"),
    Entry("store-lye", "info",
          Said("Stock solution: closed, labelled, locked away, upright, in polypropylene or polyethylene, from "
               "{warm} up; strong stock crystallises in the cold. Mix it through before weighing.",
               warm=temperature(STOCK_KEPT_ABOVE_C)),
          f"{_SHEETS}; partly from memory", "lye"),
    Entry("stock-may-crystallise", "warning",
          Said("Strong stock crystallises in the cold; what is liquid is weaker."),
          "read and from memory: 50 % freezes near 12 to 14 °C, 38 to 41 % near 15 °C, 32 to 38 % below that", "lye"),
    Entry("mixing-out-of-reach", "info",
          Said("The lye cannot bring the batter to the temperature asked."), "computed", "pot"),
    Entry("dispersion-oil-free", "info",
          Said("The oil of a portion's addition gets no alkali and stays free."), "computed", "pot"),
    Entry("superfat-negative", "danger",
          Said("More alkali than the fats can take: not for skin."), "computed", "pot"),
    Entry("superfat-may-be-negative", "warning",
          Said("This batch may turn out lye-heavy."), "computed", "pot"),
    Entry("superfat-margin-thin", "info",
          Said("Lye-heavy only if everything errs the same way."), "computed", "pot"),
    Entry("rebatch-or-discard", "danger",
          Said("Lye-heavy soap is rebatched by calculation or discarded, never thinned by eye."), _OWN, "pot"),
    Entry("density-assumed", "info",
          Said("A density is not known and was assumed."), _OWN, "pot"),
    Entry("range-widened", "info",
          Said("The table has one figure or nearly one; it was taken as 1 % either way."), _OWN, "pot"),
    Entry("value-taken-as-exact", "info",
          Said("An own saponification value without a range is taken as exact."), _OWN, "pot"),
    Entry("figure-from-memory", "info",
          Said("A figure of the table is from memory and was not read again."), _OWN, "pot"),
    Entry("lot-value-needed", "info",
          Said("The table's range says little here; the certificate of the lot does."), _OWN, "pot"),
    Entry("value-and-acids-disagree", "info",
          Said("The saponification range of a fat and its fatty acids disagree; the certificate of the lot decides."),
          "computed from the table's fatty acids", "pot"),
    Entry("purity-implausible", "warning",
          Said("Alkali is rarely sold this weak; look at the label again."), _OWN, "lye"),
    Entry("acid-eats-lye", "info",
          Said("The recipe has an acid; its alkali is in the figure."), "computed", "lye"),
    Entry("scale-too-coarse", "warning",
          Said("The scale is too coarse for this batch."), "computed", "pot"),
    Entry("mould-underfilled", "info",
          Said("The batch does not reach the fill limit."), "computed", "pouring"),
    Entry("layer-thin", "info",
          Said("A layer this thin is hard to pour even."), _TRADE, "pouring"),
    Entry("height-estimated", "info",
          Said("Heights in a measured mould are estimates, as if its walls were upright."), _OWN, "pouring"),
    Entry("heavy-slab", "warning",
          Said("Heavy: lift it with two people or with a trolley."), _OWN, "unmoulding"),
    Entry("alcohol-spray", "warning",
          Said("Alcohol burns and irritates the eyes (H225, H319; isopropanol also H336): no flame, no hot plate, "
               "air."),
          _SHEETS, "pouring"),
    Entry("fragrance-flammable", "warning",
          Said("Fragrance and essential oils are often flammable and can sensitise skin (H317): read their safety "
               "data sheet for its flash point, no flame near, gloves on."), "from memory", "pot"),
    Entry("fragrance-limit-exceeded", "warning",
          Said("Above the supplier's limit for the cured bar."), "computed from the limit given", "pot"),
    Entry("fragrance-limit-in-portion", "info",
          Said("Above the limit in one portion by itself, in no bar as it is cut."), "computed from the limit given",
          "pot"),
    Entry("dose-too-fine", "info",
          Said("A dose is too small for the scale: dilute it to weigh it."), _OWN, "pot"),
    Entry("borrowed-additions", "info",
          Said("Batter out of another bucket brings its scent and colour into a bucket that has none of them."),
          "computed", "pot"),
    Entry("thickens-fast", "warning",
          Said("A fragrance that thickens the batter fast goes in last."), _TRADE, "pot"),
    Entry("fragrance-limit-unknown", "info",
          Said("No limit given: ask the supplier for the certificate (IFRA, category 9)."), "read: IFRA categories",
          "pot"),
    Entry("colourant-status-unknown", "info",
          Said("No colour index number given: it may not be lawful in a cosmetic where you sell."), _OWN, "pot"),
    Entry("dust", "info",
          Said("Fine powder: mask on, no draught, wet it before it goes into the batter."), "from memory", "sifting"),
    Entry("natural-colour-stains", "info",
          Said("Plant colours may bleed, fade or shift with the alkali and with light."), _TRADE, "pot"),
    Entry("swatch-missed", "warning",
          Said("A swatch does not fit the others: the predicted colours may be wrong around its dose."), _OWN, "pot"),
    Entry("label-name-unknown", "info",
          Said("A name on the label is not known here: your own word stands for it."), _OWN, "label"),
    Entry("label-name-uncertain", "info",
          Said("The name of a soap is not known well enough: its fat is told as added."), _OWN, "label"),
    Entry("allergen-prohibited", "danger",
          Said("The scent holds a substance that cosmetics may no longer hold: do not sell this where it is "
               "prohibited."), "Regulation (EC) 1223/2009, Annex II, partly from memory", "label"),
    Entry("net-quantity-short", "info",
          Said("Some bars will weigh less than the label promises."), "computed", "label"),
    Entry("no-soap-by-rule", "warning",
          Said("Too little of it is soap to be sold as soap in the United States."), "read: 21 CFR 701.20", "label"),
    Entry("overheating", "warning",
          Said("Sugar, honey and milk heat the batter: watch it, keep it cool, do not cover it."), _TRADE, "pouring"),
    Entry("price-missing", "warning",
          Said("An ingredient has no price: the cost is not complete."), _OWN, "label"),
    Entry("pack-missing", "warning",
          Said("Nobody told a pack of something that must be bought."), _OWN, "label"),
    Entry("rows-not-reported", "info",
          Said("Rows of the weigh list were not reported and count as planned."), "computed", "pot"),
    Entry("superfat-not-kept", "warning",
          Said("The batch as weighed does not keep the superfat asked."), "computed", "pot"),
    Entry("lye-of-plan-outdated", "warning",
          Said("The alkali of the plan does not fit what was weighed."), "computed", "lye"),
    Entry("lye-left-over", "warning",
          Said("Lye that is left over stays caustic: closed, labelled, locked away, in polypropylene or polyethylene. "
               "How it may be used up or disposed of is told by its safety data sheet and by local rules."),
          f"{_SHEETS}; own decision", "lye"),
    Entry("lye-not-dissolved", "danger",
          Said("More alkali than the water dissolves: solid alkali and a very hot lye. Do not use it."),
          "solubility read in producers' data", "lye"),
)})


def standing(operation: str) -> tuple[str, ...]:
    """Keys of what always holds at an operation (`operation`: its name [key]). [keys]"""
    return tuple(entry.key for entry in CATALOGUE.values() if operation in entry.standing_for)
