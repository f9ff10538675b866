"""The safety cautions: stable keys, texts, what triggers each, where each stands always.

A caution that fires on every batch teaches people to look away, so what always holds is standing, and only what this
request brings on is triggered. Law and first aid differ by place: the texts defer to local law, to the safety data
sheet of the product in hand and to medical help.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

from kettlewright.amounts import Amount, at_least, at_most, bare, dose, length, mass, scale_step, temperature, volume
from kettlewright.names import nearest
from kettlewright.pour import Cuts, Dilution, Division, LimitCheck, WeighedAddition, WeighedPortion
from kettlewright.pour.fitted import Fitted
from kettlewright.recipe import Lye
from kettlewright.recipe.doubts import superfat_by_acids
from kettlewright.recipe.outcome import MOLAR_MASS
from kettlewright.release import Label
from kettlewright.said import NO_TEXT, Said, sentences

__all__ = ["CATALOGUE", "SEVERITIES", "Caution", "Entry", "of_actuals", "of_cuts", "of_division", "of_fade", "of_label",
           "of_lye", "of_missing_packs", "of_missing_prices", "of_mixes", "standing", "worst_severity"]

SEVERITIES = ("none", "info", "warning", "danger")

_HOT_C, _VERY_HOT_C, _HALF_FULL_C, _NEAR_BOILING_C = 50.0, 70.0, 90.0, 5.0
_STRONG_PCT = 40.0
_DISSOLVES_PCT = 50.0 + 1e-6
_KEPT_ABOVE_C = 20.0
# strength of a stock from which on it may crystallise below a temperature; 32 to 38 % from memory
_CRYSTALLISES = ((38.0, _KEPT_ABOVE_C), (32.0, 15.0))
_COARSE_POINTS = 0.5
_HEAVY_G = 12_000.0
_UNDERFILLED_MM = 0.5
_UNDERFILLED_SHARE = 0.01
_THIN_MM = 3.0
_SOLD_FROM_PCT = {"NaOH": 95.0, "KOH": 85.0}


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
               warm=temperature(_KEPT_ABOVE_C)),
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


@dataclass(frozen=True, slots=True)
class Caution:
    """A caution this request brings on.

    Parameters
    ----------
    key, severity, pointer : str
        Of the catalogue; as it is here; the part of the request, as a JSON Pointer. [text]
    message : Said
        What holds here. [text]
    """

    key: str
    severity: str
    message: Said
    pointer: str = ""


def standing(operation: str) -> tuple[str, ...]:
    """Keys of what always holds at an operation (`operation`: its name [key]). [keys]"""
    return tuple(entry.key for entry in CATALOGUE.values() if operation in entry.standing_for)


def worst_severity(cautions: Iterable[Caution]) -> str:
    """The gravest of them, "none" where there are none (`cautions`). [key]"""
    return max((caution.severity for caution in cautions), key=SEVERITIES.index, default="none")


def _caution(key: str, message: Said, pointer: str = "", severity: str | None = None) -> Caution:
    entry = CATALOGUE[key]
    return Caution(key, severity or entry.severity, message or entry.text, pointer)


def of_lye(lye: Lye, *, at: str = "") -> tuple[Caution, ...]:
    """What a recipe brings on.

    Parameters
    ----------
    lye : Lye
        The weighed recipe. [lye]
    at : str
        Where the recipe stands in the request, as a JSON Pointer. [text]

    Returns
    -------
    tuple of Caution : the lye's first, then the pot's. [cautions]
    """
    return (*_heat(lye, at), *_strength(lye, at), *_superfat(lye, at), *_mixing(lye, at), *_figures(lye, at))


def of_mixes(count: int) -> tuple[Caution, ...]:
    """What a pot that does not hold the whole batch brings on (`count`: mixes it takes). [cautions]"""
    if count < 2:
        return ()
    return (_caution("several-mixes", Said(
        "The pot does not hold the whole batch: make {count} equal mixes, one after the other. Weigh jug and pot "
        "again for each mix, by its own column; never put the alkali of the whole batch into one jug.", count=count),
        "/pot_volume"),)


def _reached(low_c: float, high_c: float) -> Said:
    return Said("{low} to {high}", low=bare(temperature(low_c)), high=temperature(high_c))


def _heat(lye: Lye, at: str) -> Iterator[Caution]:
    peak = lye.solution.peak_temperature
    if peak is None or peak.range.max < _HOT_C:
        return
    hot = peak.range.max
    told = [Said("The lye may reach {reached} (an upper estimate: nothing lost to the room; {after_loss} with a tenth "
                 "lost).", reached=_reached(peak.range.min, hot),
                 after_loss=_reached(peak.after_heat_loss.min, peak.after_heat_loss.max))]
    if peak.with_half_ice is not None:
        told.append(Said("Half of the water as ice: {reached}.",
                         reached=_reached(peak.with_half_ice.min, peak.with_half_ice.max)))
    if peak.basis == "upper_bound":
        told.append(Said("Of potassium hydroxide only an upper bound is known."))
    if any(not one.acid.fatty for one in lye.acids):
        told.append(Said("The heat of the acids is included, by figures from memory."))
    pointer = f"{at}/temperatures/water"
    # an upper bound alone is no reason to call every potash lye a danger: there the lower figure must be near as well
    if (peak.range.min if peak.basis == "upper_bound" else hot) >= peak.boiling_c - _NEAR_BOILING_C:
        told.append(Said("It boils at about {boiling}: never all the alkali at once. Use ice for part of the water, "
                         "pauses, or a stock made the day before.", boiling=temperature(peak.boiling_c)))
        yield _caution("lye-hot", sentences(*told), pointer, "danger")
    elif hot >= _VERY_HOT_C:
        told.append(Said("Heavy polypropylene or stainless steel and at most half full, never glass or thin plastic; "
                         "in the sink, in portions, with pauses.") if hot > _HALF_FULL_C else
                    Said("Heavy polypropylene or stainless steel, never glass or thin plastic; in the sink, in "
                         "portions, with pauses."))
        yield _caution("lye-hot", sentences(*told), pointer, "warning")
    else:
        told.append(Said("It burns skin by heat as well."))
        yield _caution("lye-hot", sentences(*told), pointer, "info")


def _mixing(lye: Lye, at: str) -> Iterator[Caution]:
    needed = None if lye.meeting is None else lye.meeting.lye_c
    if needed is None:
        return
    peak = lye.solution.peak_temperature
    hottest = 100.0 if peak is None else peak.range.max
    if needed > hottest:
        yield _caution("mixing-out-of-reach", Said(
            "For the batter asked the lye would need {needed}, more than it reaches: warm the fats further.",
            needed=temperature(needed)), f"{at}/temperatures/pour")
    elif needed < 0:
        yield _caution("mixing-out-of-reach", Said("For the batter asked the lye would have to be ice: let the fats "
                                                   "cool first."), f"{at}/temperatures/pour")


def _strength(lye: Lye, at: str) -> Iterator[Caution]:
    pure = lye.solution.concentration_pure_pct
    if pure > _STRONG_PCT:
        yield _caution("lye-strong", Said(
            "The lye holds {pure:.1f} % pure alkali; above {strong:.0f} % it is thick and hot and may crystallise as "
            "it cools.", pure=pure, strong=_STRONG_PCT), f"{at}/water")
    for index, alkali in enumerate(lye.alkalis):
        stock = alkali.portion.stock
        if stock is not None:
            yield _caution("store-lye", NO_TEXT, f"{at}/alkalis/{index}/stock")
            if alkali.key == "NaOH" and stock.temperature_c is not None and any(
                    stock.concentration_pct >= from_pct and stock.temperature_c < below_c
                    for from_pct, below_c in _CRYSTALLISES):
                yield _caution("stock-may-crystallise", Said(
                    "A stock of {strength:.9g} % at {stored} may have crystallised: what is still liquid is weaker "
                    "than its label. Warm it to {warm} and mix it through before weighing.",
                    strength=stock.concentration_pct, stored=temperature(stock.temperature_c),
                    warm=temperature(_KEPT_ABOVE_C)), f"{at}/alkalis/{index}/stock/temperature")
        for name in ("purity_pct", "purity_at_least_pct"):
            purity = getattr(alkali.portion, name)
            if purity is not None and purity < _SOLD_FROM_PCT[alkali.key]:
                yield _caution("purity-implausible", Said(
                    "{alkali} of {purity:.9g} % is rarely sold (usual: from {usual:.0f} %); look at the label again.",
                    alkali=alkali.name, purity=purity, usual=_SOLD_FROM_PCT[alkali.key]),
                    f"{at}/alkalis/{index}/{name}")
    for index, acid in enumerate(lye.acids):
        yield _caution("acid-eats-lye", Said("The alkali that {acid} eats is added on top of the fats' alkali.",
                                             acid=acid.name), f"{at}/acids/{index}")


def _superfat(lye: Lye, at: str) -> Iterator[Caution]:
    found = lye.superfat
    floor = lye.recipe.superfat_at_least_pct is not None
    pointer = f"{at}/superfat_at_least_pct" if floor else f"{at}/superfat_pct"
    remedy = NO_TEXT if found.dominant is None else found.dominant.text
    if found.achieved_pct < 0:
        yield _caution("superfat-negative", Said(
            "A superfat of {superfat:.2f} % is more alkali than the fats can take: not for skin.",
            superfat=found.achieved_pct), pointer)
        yield _caution("rebatch-or-discard", NO_TEXT, pointer)
    elif found.likely_pct.min <= 0:
        luck = found.achieved_pct - found.asked_pct  # what rounding down left here may be gone at another figure
        enough = math.ceil(2 * (found.asked_pct - found.likely_pct.min + luck + 0.25)) / 2
        yield _caution("superfat-may-be-negative", sentences(Said(
            "The superfat likely lies between {low:.1f} and {high:.1f} %, so this batch may be lye-heavy. Ask for "
            "{enough:.9g} % or more.", low=found.likely_pct.min, high=found.likely_pct.max, enough=enough), remedy),
            pointer)
    elif found.worst_case_pct.min <= 0:
        yield _caution("superfat-margin-thin", Said(
            "Only if every fat, weight and purity errs the same way is the batch lye-heavy ({worst:.1f} %).",
            worst=found.worst_case_pct.min), pointer)
    over = found.achieved_pct - found.asked_pct
    if over >= _COARSE_POINTS and not floor and lye.superfat.achieved_pct < 100:  # without any alkali no scale helps
        yield _caution("scale-too-coarse", Said(
            "Rounding the alkali down leaves {over:.1f} points more superfat than asked: use a scale with a step of "
            "{step} for the alkali, or make at least {fats} of fats.", over=over,
            step=scale_step(mass(lye.scale.alkali_readability_g * _COARSE_POINTS / _most_over(lye))),
            fats=at_least(mass(lye.fats_mass_g * _most_over(lye) / _COARSE_POINTS, places=0, groups=True))),
            f"{at}/alkalis")


def _most_over(lye: Lye) -> float:
    """Superfat that rounding every alkali down by a whole step leaves: what this batch lost is luck. [points]"""
    step = lye.scale.alkali_readability_g
    mol = math.fsum(alkali.portion.strength / MOLAR_MASS[alkali.key] for alkali in lye.alkalis)
    return 100 * step * mol / lye.superfat.demand_mol


def _figures(lye: Lye, at: str) -> Iterator[Caution]:
    by_acids = superfat_by_acids(lye)
    if by_acids is not None:
        doubtful = [(index, one.fat) for index, one in enumerate(lye.fats) if one.fat.value_by_acids is not None]
        each = [Said("{fat}: {middle:.1f} mg KOH/g at the middle of its range, {acids:.1f} by its fatty acids.",
                     fat=fat.name, middle=fat.saponification_value.mid, acids=fat.value_by_acids or 0.0)
                for _, fat in {fat.key: (index, fat) for index, fat in reversed(doubtful)}.values()]
        yield _caution("value-and-acids-disagree", sentences(*reversed(each), Said(
            "If the fatty acids are right, the superfat is {superfat:.1f} % in place of {computed:.1f} %. The "
            "certificate of the lot decides.", superfat=by_acids + 0.0, computed=lye.superfat.achieved_pct)),
            f"{at}/fats/{doubtful[0][0]}")
    for index, weighed in enumerate(lye.fats):
        fat, pointer = weighed.fat, f"{at}/fats/{index}"
        if fat.lot_value_needed:
            yield _caution("lot-value-needed", Said(
                'The saponification value of {fat} varies too much for a table: give the "certificate" of the lot.',
                fat=fat.name), pointer)
        if fat.own and fat.saponification_value.half_width == 0:
            yield _caution("value-taken-as-exact", Said(
                "The saponification value of {fat} has no range and is taken as exact; the certificate's tolerance "
                "would make the superfat range honest.", fat=fat.name), pointer)
        if fat.range_widened:
            yield _caution("range-widened", Said(
                "The table's range for {fat} is narrower than 1 % either way and was widened to that: {low:.1f} to "
                "{high:.1f} mg KOH/g.", fat=fat.name, low=fat.saponification_value.min,
                high=fat.saponification_value.max), pointer)
        if fat.value_from_memory and fat.density_from_memory:
            yield _caution("figure-from-memory", Said("{fat}: the saponification value and the density of the table "
                                                      "are from memory.", fat=fat.name), pointer)
        elif fat.value_from_memory:
            yield _caution("figure-from-memory", Said("{fat}: the saponification value of the table is from memory.",
                                                      fat=fat.name), pointer)
        elif fat.density_from_memory:
            yield _caution("figure-from-memory", Said("{fat}: the density of the table is from memory.", fat=fat.name),
                           pointer)
        if fat.density_assumed:
            yield _caution("density-assumed", Said(
                "The density of {fat} is not known; {density:.3f} g/mL at {reference} was assumed. It moves the height "
                "of the pour, not the lye.", fat=fat.name, density=fat.density, reference=temperature(40)), pointer)


def of_division(division: Division, limits: Sequence[LimitCheck] = (), *,
                sized_to_mould: bool = False, carried: frozenset[str] = frozenset()) -> tuple[Caution, ...]:
    """What the portions, their additions and the mould bring on.

    Parameters
    ----------
    division : Division
        The buckets. [portions]
    limits : sequence of LimitCheck
        How their ingredients stand to their limits. [% of cured bar]
    sized_to_mould : bool
        The mould gave the size: what rounding down leaves free is meant so. [yes or no]
    carried : set of str
        Additions that a fade carries from bucket to bucket, as it was asked to. [keys]

    Returns
    -------
    tuple of Caution : those of equal words once, at their first place. [cautions]
    """
    limited = frozenset(check.key for check in limits)
    found = [*_of_dilutions(division), *_of_additions(division.additions, "/additions", limited)]
    for index, portion in enumerate(division.portions):
        found += _of_additions(portion.additions, f"/portions/{index}/additions", limited)
        found += _of_free_oil(portion, f"/portions/{index}/additions")
        if portion.dusting is not None:
            found.append(_caution("dust", NO_TEXT, f"/portions/{index}/dusting"))
    found += _of_borrowing(division, carried)
    found += _of_limits(division, limits)
    found += _of_mould(division, sized_to_mould)
    return tuple(_told_once(found))


def _of_additions(additions: Sequence[WeighedAddition], at: str, limited: frozenset[str]) -> Iterator[Caution]:
    for index, weighed in enumerate(additions):
        addition, pointer = weighed.addition, f"{at}/{index}"
        if weighed.weigh_g == 0 and weighed.dilution is None:
            yield _caution("dose-too-fine", Said(
                "{mass} of {addition} cannot be weighed on this scale, nor with one dilution: make a weaker "
                "dispersion, or a larger batch.", mass=dose(weighed.mass_g, digits=3), addition=addition.name), pointer)
        if addition.thickens_fast:
            yield _caution("thickens-fast", Said("{addition} thickens the batter fast: everything else first, then it, "
                                                 "and pour at once.", addition=addition.name), pointer)
        if addition.kind == "fragrance":
            yield _caution("fragrance-flammable", NO_TEXT, pointer)
            if addition.limit_pct is None and addition.key not in limited:
                yield _caution("fragrance-limit-unknown", Said(
                    "{addition}: no limit given; ask the supplier for the certificate (IFRA, category 9).",
                    addition=addition.name), pointer)
        if addition.kind == "spray":
            yield _caution("alcohol-spray", NO_TEXT, pointer)
        if addition.kind in ("colourant", "clay"):
            yield _caution("dust", NO_TEXT, pointer)
        if addition.kind == "colourant" and addition.inci is None:
            yield _caution("colourant-status-unknown", Said(
                "{addition} has no colour index number: it may not be lawful in a cosmetic where you sell. Whether a "
                "colour is permitted there is yours to check.", addition=addition.name), pointer)
        # mineral pigments stand at CI 77000 and above (from memory); the rest may be of plants
        if addition.kind == "botanical" or (addition.kind == "colourant" and not (addition.inci or "").startswith(
                "CI 77")):
            yield _caution("natural-colour-stains", NO_TEXT, pointer)
        if addition.kind == "sugar" or (any(word in addition.name.casefold() for word in ("honey", "milk")) \
                and addition.kind != "fragrance"):
            yield _caution("overheating", NO_TEXT, pointer)


def _of_dilutions(division: Division) -> Iterator[Caution]:
    """Doses too small for the scale: one dilution, and one caution, for all doses of an ingredient."""
    places = [(f"/additions/{index}", Said("the pot"), one) for index, one in enumerate(division.additions)]
    for number, portion in enumerate(division.portions):
        bucket = Said('"{portion}"', portion=portion.name)
        places += [(f"/portions/{number}/additions/{index}", bucket, one)
                   for index, one in enumerate(portion.additions)]
    small: dict[str, list[tuple[str, Said, WeighedAddition, Dilution]]] = {}
    for pointer, where, one in places:
        if one.dilution is not None:
            small.setdefault(one.key, []).append((pointer, where, one, one.dilution))
    for found in small.values():
        pointer, _, first, dilution = found[0]
        takes = tuple(Said("{take} for {where}", take=dose(one.take_weigh_g), where=where)
                      for _, where, _, one in found)
        along = math.fsum(one.carrier_in_take_g for *_, one in found)
        yield _caution("dose-too-fine", Said(
            "{addition}: too little for this scale. Stir {weigh} into {carrier} of oil, water or glycerol, as it "
            "disperses, and weigh of that {takes:, }. Of oil {along} come along in all; they get no alkali and stay "
            "free beside the superfat.", addition=first.name, weigh=dose(dilution.weigh_g),
            carrier=dose(dilution.carrier_g), takes=takes, along=dose(along, digits=3)), pointer)


def _of_borrowing(division: Division, carried: frozenset[str]) -> Iterator[Caution]:
    """What borrowed batter brings into a bucket that was given none of it, however far it has come."""
    names = {one.key: one.name for portion in division.portions for one in portion.additions}
    of_pot = {one.key for one in division.additions}
    for index, portion in enumerate(division.portions):
        given = of_pot | carried | {one.key for one in portion.additions}
        brought = tuple(Said("{mass} of {addition}", mass=dose(part.mass_g, digits=3), addition=names[key])
                        for key, part in portion.mix.parts.items() if key not in given)
        if brought:
            lenders = tuple(Said('"{portion}"', portion=one.name) for one in portion.borrowed)
            yield _caution("borrowed-additions", Said(
                '"{portion}" takes batter out of {lenders:, } and with it {brought:, }, which you did not give it. '
                "If it must stay free of that, do not let it borrow from there.",
                portion=portion.name, lenders=lenders, brought=brought), f"/portions/{index}/borrows")


def _of_limits(division: Division, limits: Sequence[LimitCheck]) -> Iterator[Caution]:
    places = _places(division) if limits else {}
    names = {one.key: one.name for one in division.portions}
    for check in limits:
        pointer = places.get(check.key, "/portions")
        if check.exceeded:
            where = Said('"{portion}"', portion=check.portion_name) if check.bar is None else check.bar
            doses = tuple(_largest(names, one.portion, one.dose, one.basis, one.mass_g) for one in check.largest)
            exceeds = Said(
                "{addition}: {where} holds {part:.4g} %, above its limit of {limit:.9g} % of the cured bar.",
                addition=check.name, where=where, part=check.decides_pct, limit=check.limit_pct)
            largest = Said("Largest dose that keeps within: {doses:; }.", doses=doses) if doses else NO_TEXT
            each = tuple(Said("{portion} {mass}", portion=one.name, mass=mass(one.mass_g)) for one in check.masses)
            masses = Said("The portions then have these masses: {masses:; }.", masses=each) if each else NO_TEXT
            assumed = NO_TEXT if division.loss_pct is not None else Said(
                'No loss in cure is given, so all the water is taken as lost; give "expected_loss_pct".')
            yield _caution("fragrance-limit-exceeded", sentences(exceeds, largest, masses, assumed), pointer)
        elif check.portion_alone_exceeds and check.bar is not None and check.bar_pct is not None:
            yield _caution("fragrance-limit-in-portion", Said(
                '{addition}: "{portion}" by itself holds {part:.4g} %, above its limit of {limit:.9g} % of the cured '
                "bar; {bar} holds {in_bar:.4g} % at most, if it is as drawn. A bar cut otherwise, or swirled unevenly, "
                "may be above.", addition=check.name, portion=check.portion_name, part=check.portion_pct,
                limit=check.limit_pct, bar=check.bar, in_bar=check.bar_pct), pointer)


def _largest(names: Mapping[str, str], portion: str | None, size: float, basis: str, mass_g: float) -> Said:
    """A dose that keeps within, as it would be sent: it has four digits."""
    where = Said("in the pot") if portion is None else Said('in "{portion}"', portion=names[portion])
    unit = _UNITS_OF_DOSES.get(basis)
    if unit is None:
        return Said("{mass} {where}", mass=at_most(dose(size, digits=4)), where=where)
    return Said("{dose:.6g} {unit} ({mass}) {where}", dose=size, unit=unit, mass=at_most(dose(mass_g, digits=4)),
                where=where)


_UNITS_OF_DOSES: Mapping[str, Said] = MappingProxyType({
    "pct_of_fats": Said("% of the fats"), "pct_of_batter": Said("% of the batter"),
    "g_per_kg_fats": Said("g per kg of fats"), "g_per_kg_batter": Said("g per kg of batter")})


def _places(division: Division) -> dict[str, str]:
    """The first place of each addition, by its key. [pointers]"""
    found = {weighed.key: f"/additions/{index}" for index, weighed in reversed(list(enumerate(division.additions)))}
    for number, portion in enumerate(division.portions):
        for index, weighed in enumerate(portion.additions):
            found.setdefault(weighed.key, f"/portions/{number}/additions/{index}")
    return found


def _of_free_oil(portion: WeighedPortion, at: str) -> Iterator[Caution]:
    for index, weighed in enumerate(portion.additions):
        if weighed.oil_g:
            yield _caution("dispersion-oil-free", Said(
                "The {oil} of oil in {addition} get no alkali: in this portion they are free fat beside the "
                "superfat asked.", oil=dose(weighed.oil_g, digits=3), addition=weighed.name), f"{at}/{index}")


def _of_mould(division: Division, sized_to_mould: bool) -> Iterator[Caution]:
    mould = division.mould
    if mould is None:
        return
    missing = division.missing_depth_mm
    if sized_to_mould:
        pass
    elif missing is not None and missing > _UNDERFILLED_MM:
        yield _caution("mould-underfilled", Said("The batch ends {missing} below the fill limit.",
                                                 missing=length(missing, places=1)), "/mould")
    elif missing is None and division.mould_volume_ml < mould.volume_ml * (1 - _UNDERFILLED_SHARE):
        yield _caution("mould-underfilled", Said("The batch leaves {missing} of the mould empty.", missing=volume(
            mould.volume_ml - division.mould_volume_ml, places=0)), "/mould")
    for index, portion in enumerate(division.portions):
        if portion.layer is not None and portion.layer.top_mm - portion.layer.bottom_mm < _THIN_MM:
            thick = portion.layer.top_mm - portion.layer.bottom_mm
            yield _caution("layer-thin", Said(
                '"{portion}" is {thick} thick; below {thin} a layer is hard to pour even.',
                portion=portion.name, thick=length(thick, places=1), thin=length(_THIN_MM, places=0)),
                f"/portions/{index}")
    if mould.shape.heights_estimated and mould.fill_height_mm is not None:
        yield _caution("height-estimated", NO_TEXT, "/mould")
    each = division.mould_mass_g / mould.count
    if each > _HEAVY_G:
        yield _caution("heavy-slab", Said("A filled mould holds {mass}: lift it with two people.",
                                          mass=_heavy(each)), "/mould")


def _heavy(mass_g: float) -> Amount:
    return mass(mass_g, places=-2, large=True)


def of_fade(fit: Fitted, other_fit: Fitted | None = None, *, at: str = "") -> tuple[Caution, ...]:
    """Swatches that a fade's fit misses by more than they can be measured.

    Parameters
    ----------
    fit, other_fit : Fitted
        Of both colourants. [CIEDE2000]
    at : str
        JSON Pointer to the fade. [text]

    Returns
    -------
    tuple of Caution : one for each swatch. [cautions]
    """
    return tuple(
        _caution("swatch-missed", Said(
            "The fit misses the swatch of {dose:.4g} g/kg by CIEDE2000 {off:.1f}: it does not fit the others, and the "
            "predicted colours may be wrong around it. Check its dose, measure it again or make it anew.",
            dose=swatch.dose, off=swatch.off), f"{at}{end}/swatches/{swatch.index}")
        for end, one in (("", fit), ("/other", other_fit)) if one is not None
        for swatch in one.swatches if swatch.missed)


def _told_once(found: Sequence[Caution]) -> Iterator[Caution]:
    """Five buckets of one pigment are one caution: the first of the same words stays."""
    said: set[tuple[str, str]] = set()
    for caution in found:
        if (caution.key, caution.message) not in said:
            said.add((caution.key, caution.message))
            yield caution


_OF_THE_BAR = frozenset({"superfat-negative", "superfat-may-be-negative", "rebatch-or-discard",
                         "fragrance-limit-exceeded", "fragrance-limit-unknown"})


def of_label(label: Label, batch: Iterable[Caution] = ()) -> tuple[Caution, ...]:
    """What a label brings on.

    Parameters
    ----------
    label : Label
        The label. [label]
    batch : iterable of Caution
        What the batch brings on: what concerns the bar that is sold is kept. [cautions]

    Returns
    -------
    tuple of Caution : those of equal words once, at their first place. [cautions]
    """
    found = [caution for caution in batch if caution.key in _OF_THE_BAR]
    lines = [line for bar in label.bars for line in bar.ingredients]
    for line in lines:
        pointer = next(iter(line.pointers), "/label")
        if line.named_by == "fallback" and line.colour_status is None:
            found.append(_caution("label-name-unknown", Said(
                'No label name of "{name}" is known here: your own word for it is printed. Give its "inci".',
                name=line.name), pointer))
        found += [_caution("label-name-uncertain", doubt, pointer) for doubt in line.doubts]
        if line.colour_status in ("not_shown", "not_listed"):
            found.append(_caution(
                "colourant-status-unknown", Said(
                    "{name} is not shown as permitted in {place}: {why} Ask its supplier for the colour index number "
                    'and for where it is permitted, and give them as "inci" and "permitted_in".', name=line.name,
                    place=label.market.name, why=line.remarks[-1]), pointer,
                "warning" if line.colour_status == "not_listed" else None))
    for bar in label.bars:
        for one in bar.allergens:
            if one.prohibited and label.market.key != "US":
                found.append(_caution("allergen-prohibited", Said(
                    "{allergen} ({part:.3g} % of the cured bar) is prohibited in cosmetics in the EU and in Great "
                    "Britain: this may not be sold there. Ask for a scent without it.", allergen=one.name,
                    part=one.concentration_pct), "/label/market"))
        net = bar.net_quantity
        if net is not None and net.asked and net.short_count:
            found.append(_caution("net-quantity-short", Said(
                "About {short} of {count} bars ({share:.1f} %) will weigh less than {promise}, which the rules of "
                "average quantity let pass. Every bar holds {every}.", short=net.short_count,
                count=bar.count or 0, share=net.short_share_pct, promise=net.text or "",
                every=at_most(mass(net.every_bar_g))),
                "/label/net_quantity"))
    if label.sold_as == "soap" and label.soap_part_pct <= 50:
        found.append(_caution("no-soap-by-rule", label.what_follows or NO_TEXT, "/label/sold_as"))
    return tuple(_told_once(found))


def of_cuts(cuts: Cuts) -> tuple[Caution, ...]:
    """What cutting brings on (`cuts`). [cautions]"""
    whole = None if cuts.bars.mass is None else cuts.bars.mass.mid_g * cuts.bars.count
    each = None if whole is None else whole / cuts.blocks_count * 100 / cuts.volume_yield_pct
    if each is None or each <= _HEAVY_G:
        return ()
    return (_caution("heavy-slab", Said("The block weighs {mass}: lift it with two people.",
                                        mass=_heavy(each)), "/block"),)


_OF_THE_JUG = frozenset({"lye-hot", "lye-strong", "store-lye", "stock-may-crystallise", "mixing-out-of-reach"})
_OF_PLANNING = frozenset({"superfat-negative", "superfat-may-be-negative", "superfat-margin-thin",
                          "rebatch-or-discard", "scale-too-coarse"})


def of_actuals(lye: Lye, *, in_jug: bool = True, kept: bool = True, rescued: bool = False, left_over: bool = False,
               not_reported: Sequence[str] = (), with_lye_of_plan_pct: float | None = None,
               division: Division | None = None, limits: Sequence[LimitCheck] = (), sized_to_mould: bool = True,
               plan_at: str = "/plan") -> tuple[Caution, ...]:
    """What a batch brings on as it was weighed; words of planning, such as what to ask for, are left out.

    Parameters
    ----------
    lye : Lye
        Of what was weighed. [lye]
    in_jug : bool
        The lye is not in the pot yet: its heat and strength still matter. [yes or no]
    kept : bool
        It keeps the superfat asked. [yes or no]
    rescued, left_over : bool
        Fat is to be added; a part of the lye is left over. [yes or no]
    not_reported : sequence of str
        Names of what is in the pot by the plan alone, since it was not reported. [text]
    with_lye_of_plan_pct : float, optional
        The superfat that the alkali of the plan would give, where it does not fit. [% of full demand]
    division, limits : Division, sequence of LimitCheck
        The buckets as they are, and ingredients held to their limits. [g, % of cured bar]
    sized_to_mould : bool
        It fills the mould as it was meant to. [yes or no]
    plan_at : str
        Where the plan stands in the request, as a JSON Pointer. [text]

    Returns
    -------
    tuple of Caution : [cautions]
    """
    found = lye.superfat
    past = _OF_PLANNING if in_jug else _OF_PLANNING | _OF_THE_JUG
    told = [caution for caution in of_lye(lye, at=f"{plan_at}/recipe") if caution.key not in past]
    if in_jug and lye.solution.concentration_pure_pct > _DISSOLVES_PCT:
        told.append(_caution("lye-not-dissolved", NO_TEXT, "/weighed"))
    if not_reported:
        told.append(_caution("rows-not-reported", Said(
            "Not reported, so that it counts as planned: {names:, }. Report 0 for what you forgot: the superfat may be "
            "another one.", names=tuple(not_reported)), "/weighed"))
    if with_lye_of_plan_pct is not None:
        told.append(_caution("lye-of-plan-outdated", Said(
            "With the alkali of the plan the superfat would be {superfat:.2f} %: weigh what is told here in its place.",
            superfat=with_lye_of_plan_pct), "/weighed",
                             "danger" if with_lye_of_plan_pct < 0 else
                             None if with_lye_of_plan_pct < found.asked_pct else "info"))
    if found.achieved_pct < 0:
        told.append(_caution("superfat-negative", Said(
            "As weighed the superfat is {superfat:.2f} %, more alkali than the fats can take: not for skin.",
            superfat=found.achieved_pct), "/weighed"))
        told.append(_caution("rebatch-or-discard", NO_TEXT, "/weighed"))
    elif found.likely_pct.min <= 0:
        told.append(_caution("superfat-may-be-negative", Said(
            "As weighed the superfat likely lies between {low:.1f} and {high:.1f} %, so this batch may be lye-heavy.",
            low=found.likely_pct.min, high=found.likely_pct.max), "/weighed"))
    elif found.worst_case_pct.min <= 0:
        told.append(_caution("superfat-margin-thin", Said(
            "Only if every fat, weight and purity errs the same way is the batch lye-heavy ({worst:.1f} %).",
            worst=found.worst_case_pct.min), "/weighed"))
    if rescued and found.achieved_pct >= 0:
        told.append(_caution("rebatch-or-discard", NO_TEXT, "/weighed", "warning"))
    if not kept and found.achieved_pct >= 0:
        least = lye.recipe.superfat_at_least_pct is not None
        figures = {"asked": found.asked_pct, "superfat": found.achieved_pct, "worst": found.worst_case_pct.min}
        told.append(_caution("superfat-not-kept", Said(
            "Asked was at least {asked:.9g} %; as weighed it is {superfat:.2f} %, and {worst:.2f} % if every input "
            "errs the harmful way.", **figures) if least else Said(
            "Asked was {asked:.9g} %; as weighed it is {superfat:.2f} %, and {worst:.2f} % if every input errs the "
            "harmful way.", **figures), "/weighed", None if least else "info"))
    if left_over:
        told.append(_caution("lye-left-over", NO_TEXT, "/weighed"))
    if division is not None:
        told += [replace(caution, pointer=plan_at + caution.pointer)
                 for caution in of_division(division, limits, sized_to_mould=sized_to_mould)]
    return tuple(_told_once(told))


def of_missing_prices(missing: Iterable[tuple[str, str]], told: Iterable[str] = (), *,
                      at: str = "/prices/ingredients") -> tuple[Caution, ...]:
    """What has no price, all at once.

    Parameters
    ----------
    missing : iterable of (key, name)
        What. [text]
    told : iterable of str
        Keys that have one: a mistyped key is pointed out. [keys]
    at : str
        Where prices stand, as a JSON Pointer. [text]

    Returns
    -------
    tuple of Caution : none, or one. [cautions]
    """
    named = _named(missing, told)
    return (_caution("price-missing", Said(
        "No price of {named:, }: the true cost is higher, and without it no selling price is told. Give each a price; "
        "0 for what costs nothing.", named=named), at),) if named else ()


def of_missing_packs(missing: Iterable[tuple[str, str]], told: Iterable[str] = (), *,
                     at: str = "/packs") -> tuple[Caution, ...]:
    """What is short and sold in no pack, all at once (`missing`, `told`, `at` as of `of_missing_prices` [text]).

    Returns
    -------
    tuple of Caution : none, or one. [cautions]
    """
    named = _named(missing, told)
    return (_caution("pack-missing", Said(
        "No pack of {named:, }: the true cost is higher. Tell the packs each is sold in, or that there is enough at "
        "hand.", named=named), at),) if named else ()


def _named(things: Iterable[tuple[str, str]], told: Iterable[str]) -> tuple[str, ...]:
    known = list(dict.fromkeys(told))
    found: list[str] = []
    for key, name in things:
        near = nearest(key, known)
        if near:
            found.append(Said('{name} (the key is "{key}", and there is one of "{near}")', name=name, key=key,
                              near=near[0]))
        else:
            found.append(name if name == key else Said("{name} ({key})", name=name, key=key))
    return tuple(found)
