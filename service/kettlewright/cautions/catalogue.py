"""The catalogue of cautions: stable keys, texts, what each rests on, and where each always applies."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from kettlewright.amounts import temperature
from kettlewright.said import Said

__all__ = ["CATALOGUE", "PLACES", "SEVERITIES", "STOCK_KEPT_ABOVE_C", "Entry", "standing"]

SEVERITIES = ("none", "info", "warning", "danger")
PLACES = ("lye", "pot", "sifting", "pouring", "unmoulding", "label")
"""Steps of the work, in the order you do them."""
STOCK_KEPT_ABOVE_C = 20.0


_HOW_KNOWN = (("read", "read"), ("computed", "computed"), ("own decision", "own_decision"), ("from memory", "memory"),
              ("common practice", "memory"))


@dataclass(frozen=True, slots=True)
class Entry:
    """A caution of the catalogue.

    Parameters
    ----------
    key, severity, text, basis : str
        Stable key, part of the API; the usual severity ("info", "warning" or "danger"); what may happen and what to do
        about it; what that rests on. [text]
    place : str
        The step of the work at which it matters, one of `PLACES`. [key]
    standing_for : frozenset of str
        Operations at which it always applies. [keys]
    """

    key: str
    severity: str
    text: Said
    basis: str
    place: str
    standing_for: frozenset[str] = frozenset()

    @property
    def provenance(self) -> str:
        """How most of it is known, one of `PROVENANCES`: what `basis` says first. Common practice is memory. [word]"""
        return min((self.basis.find(words), word) for words, word in _HOW_KNOWN if words in self.basis)[1]


_LYE = frozenset({"lye", "scaling", "blends", "batches", "actuals"})
_BATCH = frozenset({"batches", "actuals"})
_REBATCH = frozenset({"rebatches"})
_SOAP = frozenset({"cuts", "batches", "actuals"}) | _REBATCH
_CURE = frozenset({"cure"})
_SHEETS = "read: safety data sheets"
_OWN, _TRADE = "own decision", "common practice, no source"

_STANDING = (
    Entry("alkali-corrosive", "danger",
          Said("Wear goggles, gloves and long sleeves. Put them on before you open the container. Do not breathe the "
               "dust or mist. Sodium and potassium hydroxide cause severe skin burns and eye damage (H314) and may "
               "corrode metals (H290); potassium hydroxide is also harmful if swallowed (H302)."),
          f"{_SHEETS}; classes partly from memory", "lye", _LYE),
    Entry("alkali-into-water", "danger",
          Said("Add the alkali to cold water, slowly and while stirring. Never add water to the alkali: it heats up "
               "within seconds and can boil and spatter."), f"{_SHEETS}; common practice", "lye", _LYE),
    Entry("no-reactive-metal", "warning",
          Said("Never use aluminium, zinc, galvanised steel, tin or brass: lye attacks them and releases flammable "
               "hydrogen gas. Use stainless steel or polypropylene."),
          "read: producers' data, safety data sheets", "lye", _LYE | {"moulds", "portions"} | _REBATCH),
    Entry("ventilate", "warning",
          Said("Work in a well-ventilated area and turn your face away: the mist irritates the airways."), _SHEETS,
          "lye", _LYE),
    Entry("first-aid-water", "danger",
          Said("On skin: take off contaminated clothing at once and rinse with plenty of running water for at least 15 "
               "minutes. In the eyes: rinse with running water for at least 15 minutes with the eyelids open; remove "
               "contact lenses, if present and easy to do, and continue rinsing. If swallowed: rinse your mouth; do "
               "not induce vomiting. In every case call a poison centre or a doctor at once."), f"{_SHEETS}; contact "
               "lenses from memory", "lye",
          _LYE | _SOAP),
    Entry("no-vinegar-on-skin", "warning",
          Said("Never put vinegar on a lye burn: it heats the wound and delays rinsing. Use only water."),
          "read: first-aid texts", "lye", _LYE),
    Entry("lye-unattended", "warning",
          Said("Never leave lye unattended while it cools. Label it, close the door and keep it out of reach of "
               "children and animals."), _TRADE, "lye", _LYE),
    Entry("clean-up-gloves", "info",
          Said("Keep your gloves on until everything is washed: tools, buckets and cloths stay caustic until then."),
          _TRADE, "pouring", _BATCH | {"portions"}),
    Entry("raw-soap-gloves", "info",
          Said("Wear gloves when you unmould and cut: fresh soap is caustic for the first few days."), _TRADE,
          "unmoulding", _SOAP | _CURE | {"schedules"}),
    Entry("ph-not-proof", "info",
          Said("Do not rely on pH paper or on tasting: neither shows that the soap is safe or that no free alkali is "
               "left. A titration shows free alkali (ISO 456)."), _OWN, "unmoulding", _BATCH | _CURE | _REBATCH),
    Entry("poison-centre-number", "info",
          Said("Write the telephone number of your local poison centre on the sheet before you start."), _OWN, "lye",
          _BATCH),
    Entry("local-law", "info",
          Said("Soap for sale is regulated. This is information, not approval: local law, your safety assessor and "
               "your suppliers' certificates decide."), _OWN, "label", _BATCH | _CURE | {"labels", "costs"} | _REBATCH),
    Entry("rebatch-known-soap", "danger",
          Said("Never melt down soap whose recipe you do not know, or that may be lye-heavy: melting does not make it "
               "safe. The figures here are those of the plan, or of the weighings you gave."), _OWN, "pot", _REBATCH),
    Entry("hot-soap-mass", "warning",
          Said("Wear gloves, goggles and long sleeves: melted soap sticks to the skin and burns, and it spits when it "
               "gets too hot. Heat it gently in a covered pot in a water bath, never above an open flame. Lift the lid "
               "away from you because of the steam. Never leave the pot unattended on the heat."),
          _TRADE, "pot", _REBATCH),
)

_TRIGGERED = (
    Entry("several-mixes", "warning",
          Said("Make several mixes: the pot does not hold the whole batch."), _OWN, "lye"),
    Entry("lye-hot", "warning",
          Said("The lye gets hot enough to burn skin."), "computed, an upper estimate", "lye"),
    Entry("lye-strong", "warning",
          Said("Check that no crystals are left before you use strong lye: it is thick and hot and may crystallise as "
               "it cools."), "own decision; solubility read in producers' data", "lye"),
    Entry("store-lye", "info",
          Said("Store stock solution closed, labelled, upright and locked up, in polypropylene or polyethylene, at "
               "{warm} or warmer: strong stock crystallises in the cold. Mix it thoroughly before you weigh it.",
               warm=temperature(STOCK_KEPT_ABOVE_C)),
          f"{_SHEETS}; partly from memory", "lye"),
    Entry("stock-may-crystallise", "warning",
          Said("Warm strong stock solution and mix it thoroughly before you weigh it: it crystallises in the cold, and "
               "the liquid that remains is weaker."),
          "read and from memory: 50 % freezes near 12 to 14 °C, 38 to 41 % near 15 °C, 32 to 38 % below that", "lye"),
    Entry("mixing-out-of-reach", "info",
          Said("Warm or cool the fats: the lye cannot bring the batter to the requested temperature."), "computed",
          "pot"),
    Entry("dispersion-oil-free", "info",
          Said("Oil in an addition to a portion gets no alkali and remains as free fat."), "computed", "pot"),
    Entry("superfat-negative", "danger",
          Said("Do not use this soap on skin: it contains more alkali than the fats can react with."), "computed",
          "pot"),
    Entry("superfat-may-be-negative", "warning",
          Said("This batch may be lye-heavy (contain excess alkali)."), "computed", "pot"),
    Entry("superfat-margin-thin", "info",
          Said("This batch is lye-heavy only if all errors go in the same direction."), "computed", "pot"),
    Entry("rebatch-or-discard", "danger",
          Said("Rebatch lye-heavy soap with calculated amounts, or discard it. Never correct it by eye."), _OWN, "pot"),
    Entry("density-assumed", "info",
          Said("A density is unknown and was assumed."), _OWN, "pot"),
    Entry("range-widened", "info",
          Said("The range in the table is narrower than 1 % either way; 1 % either way is used instead."), _OWN, "pot"),
    Entry("value-taken-as-exact", "info",
          Said("Your own saponification value has no range and is treated as exact."), _OWN, "pot"),
    Entry("figure-from-memory", "info",
          Said("A value in the table is from memory and was not checked against a source."), _OWN, "pot"),
    Entry("lot-value-needed", "info",
          Said("The saponification value varies too much for a table: use the certificate of your lot."), _OWN, "pot"),
    Entry("value-and-acids-disagree", "info",
          Said("The saponification value of a fat does not match its fatty acids. The certificate of your lot "
               "decides."), "computed from the table's fatty acids", "pot"),
    Entry("purity-implausible", "warning",
          Said("Check the label: alkali this weak is rarely sold."), _OWN, "lye"),
    Entry("acid-eats-lye", "info",
          Said("The acid in the recipe consumes alkali; the alkali to weigh includes it."), "computed", "lye"),
    Entry("scale-too-coarse", "warning",
          Said("The scale is too coarse for this batch."), "computed", "pot"),
    Entry("mould-underfilled", "info",
          Said("The batch does not reach the fill limit of the mould."), "computed", "pouring"),
    Entry("layer-thin", "info",
          Said("A layer this thin is hard to pour evenly."), _TRADE, "pouring"),
    Entry("height-estimated", "info",
          Said("Heights in a measured mould are estimates: its walls are assumed to be upright."), _OWN, "pouring"),
    Entry("heavy-slab", "warning",
          Said("Heavy: lift it with a second person or use a trolley."), _OWN, "unmoulding"),
    Entry("alcohol-spray", "warning",
          Said("Keep alcohol away from flames and hot surfaces, and ventilate: it is highly flammable (H225) and "
               "causes serious eye irritation (H319). Isopropanol may also cause drowsiness or dizziness (H336)."),
          _SHEETS, "pouring"),
    Entry("fragrance-flammable", "warning",
          Said("Wear gloves. Keep fragrance and essential oils away from flames: they are often flammable and may "
               "cause an allergic skin reaction (H317). Check the flash point in their safety data sheet."),
          "from memory", "pot"),
    Entry("fragrance-limit-exceeded", "warning",
          Said("Reduce the dose: it is above the supplier's limit for the cured bar."),
          "computed from the limit given", "pot"),
    Entry("fragrance-limit-in-portion", "info",
          Said("One portion alone is above the limit, but no bar is if you cut as planned."),
          "computed from the limit given", "pot"),
    Entry("dose-too-fine", "info",
          Said("A dose is too small for the scale: dilute it and weigh the dilution."), _OWN, "pot"),
    Entry("borrowed-additions", "info",
          Said("Batter from another bucket brings its scent and colour into a bucket that has none of its own."),
          "computed", "pot"),
    Entry("thickens-fast", "warning",
          Said("If a fragrance thickens the batter fast, stir it in last and pour at once."), _TRADE, "pot"),
    Entry("fragrance-limit-unknown", "info",
          Said("No limit is given: ask the supplier for the IFRA certificate (category 9)."), "read: IFRA categories",
          "pot"),
    Entry("colourant-status-unknown", "info",
          Said("No colour index number is given: the colourant might not be permitted in cosmetics where you sell. "
               "Check before you sell."), _OWN, "pot"),
    Entry("dust", "info",
          Said("Fine powder: wear a dust mask and avoid draughts. Wet the powder before you add it to the batter."),
          "from memory", "sifting"),
    Entry("natural-colour-stains", "info",
          Said("Plant colours may bleed, fade or change with the alkali and with light."), _TRADE, "pot"),
    Entry("swatch-missed", "warning",
          Said("A swatch does not fit the others: predicted colours near its dose may be wrong."), _OWN, "pot"),
    Entry("label-name-unknown", "info",
          Said("A label name is unknown: your own word is printed."), _OWN, "label"),
    Entry("label-name-uncertain", "info",
          Said("The label name of a soap is uncertain: its fat is listed as added."), _OWN, "label"),
    Entry("allergen-prohibited", "danger",
          Said("Do not sell this where it is prohibited: the scent contains a substance that is prohibited in "
               "cosmetics."), "Regulation (EC) 1223/2009, Annex II, partly from memory", "label"),
    Entry("net-quantity-short", "info",
          Said("Some bars will weigh less than the label states."), "computed", "label"),
    Entry("no-soap-by-rule", "warning",
          Said("Do not sell it as soap in the United States: too little of it is soap."), "read: 21 CFR 701.20",
          "label"),
    Entry("overheating", "warning",
          Said("Watch the batter, keep it cool and do not cover it: sugar, honey and milk make it heat up."), _TRADE,
          "pouring"),
    Entry("price-missing", "warning",
          Said("An ingredient has no price: the cost is incomplete."), _OWN, "label"),
    Entry("pack-missing", "warning",
          Said("You need to buy something, but no pack size is given for it."), _OWN, "label"),
    Entry("rows-not-reported", "info",
          Said("Rows of the weigh list were not reported: the planned amounts are assumed."), "computed", "pot"),
    Entry("superfat-not-kept", "warning",
          Said("The batch as weighed does not have the requested superfat."), "computed", "pot"),
    Entry("lye-of-plan-outdated", "warning",
          Said("Do not use the planned amount of alkali: it no longer fits what was weighed."), "computed", "lye"),
    Entry("lye-left-over", "warning",
          Said("Leftover lye stays caustic. Store it closed, labelled and locked up, in polypropylene or polyethylene. "
               "Use it up, or dispose of it according to its safety data sheet and local rules."),
          f"{_SHEETS}; own decision", "lye"),
    Entry("scent-in-hot-soap", "warning",
          Said("Take the pot off the heat and let the soap cool below the flash point of the scent before you stir it "
               "in: its vapour can ignite, and a part of it evaporates. The limits here assume that all of it stays."),
          "common practice, no source; flash points from memory", "pot"),
    Entry("water-left-estimated", "info",
          Said("How much water is left in offcuts is estimated from their age, so the range is wide. Give lost_pct, "
               "from a piece that you weighed fresh and weigh again now."), _OWN, "pot"),
    Entry("lye-not-dissolved", "danger",
          Said("Do not use this lye: it has more alkali than the water can dissolve. Solid alkali remains, and the lye "
               "gets very hot."), "solubility read in producers' data", "lye"),
)

CATALOGUE: Mapping[str, Entry] = MappingProxyType({entry.key: entry for entry in (*_STANDING, *_TRIGGERED)})


@cache
def standing(operation: str) -> tuple[str, ...]:
    """Keys of the cautions that always apply to an operation (`operation`: its name [key]). [keys]"""
    return tuple(entry.key for entry in CATALOGUE.values() if operation in entry.standing_for)
