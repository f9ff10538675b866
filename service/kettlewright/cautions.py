"""The safety cautions: stable keys, texts, what triggers each, where each stands always.

A caution that fires on every batch teaches people to look away, so what always holds is standing, and only what this
request brings on is triggered. Law and first aid differ by place: the texts defer to local law, to the safety data
sheet of the product in hand and to medical help.
"""

from __future__ import annotations

import difflib
import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

from kettlewright.pour import Cuts, Division, LimitCheck, Measured, WeighedAddition, WeighedPortion
from kettlewright.recipe import Lye
from kettlewright.release import Label

__all__ = ["CATALOGUE", "SEVERITIES", "Caution", "Entry", "of_actuals", "of_cuts", "of_division", "of_label", "of_lye",
           "of_missing_packs", "of_missing_prices", "standing", "worst_severity"]

SEVERITIES = ("none", "info", "warning", "danger")

_HOT_C, _VERY_HOT_C, _HALF_FULL_C, _NEAR_BOILING_C = 50.0, 70.0, 90.0, 5.0
_STRONG_PCT = 40.0
_DISSOLVES_PCT = 50.0 + 1e-6
_CRYSTALLISES_FROM_PCT, _CRYSTALLISES_BELOW_C = 38.0, 20.0
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
    text: str
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
          "Sodium and potassium hydroxide destroy skin and eyes (H290, H314; potassium hydroxide also H302 if "
          "swallowed). Goggles, gloves and long sleeves on before the lid comes off; do not breathe the dust or mist.",
          f"{_SHEETS}; classes partly from memory", "lye", _LYE),
    Entry("alkali-into-water", "danger",
          "Alkali into cold water, slowly and stirring; never water onto alkali. It heats up within seconds and can "
          "spit or boil.", f"{_SHEETS}; common practice", "lye", _LYE),
    Entry("no-reactive-metal", "warning",
          "No aluminium, zinc, galvanised ware, tin or brass: lye eats them and sets free hydrogen. Stainless steel "
          "or polypropylene.", "read: producers' data, safety data sheets", "lye", _LYE | {"moulds", "portions"}),
    Entry("ventilate", "warning", "Mix where air moves, face turned away: the mist irritates the airways.", _SHEETS,
          "lye", _LYE),
    Entry("first-aid-water", "danger",
          "On skin or in eyes: take off what is soaked, flush with plenty of running water for at least 15 minutes, "
          "get medical help. Swallowed: rinse the mouth, do not bring on vomiting, call for help at once.",
          _SHEETS, "lye", _LYE | _SOAP),
    Entry("no-vinegar-on-skin", "warning",
          "Never vinegar on a lye burn: the reaction heats the wound and costs time. Water only.",
          "read: first-aid texts", "lye", _LYE),
    Entry("lye-unattended", "warning",
          "Lye that cools is never left alone: door closed, labelled, out of reach of children and animals.",
          _TRADE, "lye", _LYE),
    Entry("clean-up-gloves", "info", "Tools, buckets and cloths stay caustic until washed: gloves on to the end.",
          _TRADE, "pouring", _BATCH | {"portions"}),
    Entry("raw-soap-gloves", "info", "Fresh soap is caustic for the first day or days: gloves to unmould and to cut.",
          _TRADE, "unmoulding", _SOAP | _CURE | {"schedules"}),
    Entry("ph-not-proof", "info",
          "pH paper or a tongue proves neither safety nor the absence of free alkali; a titration does (ISO 456).",
          _OWN, "unmoulding", _BATCH | _CURE),
    Entry("poison-centre-number", "info", "Write the number of your local poison centre on the sheet before you start.",
          _OWN, "lye", _BATCH),
    Entry("local-law", "info",
          "Soap that is sold is regulated. What is said here is information; local law, your safety assessor and the "
          "certificates of your suppliers decide.", _OWN, "label", _BATCH | _CURE | {"labels", "costs"}),
    Entry("lye-hot", "warning", "The lye gets hot enough to burn.", "computed, an upper estimate", "lye"),
    Entry("lye-strong", "warning", "Strong lye is thick and hot and may crystallise as it cools.",
          "own decision; solubility read in producers' data", "lye"),
    Entry("store-lye", "info",
          "Stock solution: closed, labelled, locked away, upright, in polypropylene or polyethylene, from 20 °C up; "
          "strong stock crystallises in the cold. Mix it through before weighing.", f"{_SHEETS}; partly from memory",
          "lye"),
    Entry("stock-may-crystallise", "warning", "Strong stock crystallises in the cold; what is liquid is weaker.",
          "read and from memory: 50 % freezes near 12 to 14 °C, 38 to 41 % near 15 °C", "lye"),
    Entry("mixing-out-of-reach", "info", "The lye cannot bring the batter to the temperature asked.", "computed",
          "pot"),
    Entry("dispersion-oil-free", "info", "The oil of a portion's addition gets no alkali and stays free.", "computed",
          "pot"),
    Entry("superfat-negative", "danger", "More alkali than the fats can take: not for skin.", "computed", "pot"),
    Entry("superfat-may-be-negative", "warning", "This batch may turn out lye-heavy.", "computed", "pot"),
    Entry("superfat-margin-thin", "info", "Lye-heavy only if everything errs the same way.", "computed", "pot"),
    Entry("rebatch-or-discard", "danger",
          "Lye-heavy soap is rebatched by calculation or discarded, never thinned by eye.", _OWN, "pot"),
    Entry("density-assumed", "info", "A density is not known and was assumed.", _OWN, "pot"),
    Entry("range-widened", "info", "The table has one figure or nearly one; it was taken as 1 % either way.", _OWN,
          "pot"),
    Entry("value-taken-as-exact", "info", "An own saponification value without a range is taken as exact.", _OWN,
          "pot"),
    Entry("figure-from-memory", "info", "A figure of the table is from memory and was not read again.", _OWN, "pot"),
    Entry("lot-value-needed", "info", "The table's range says little here; the certificate of the lot does.", _OWN,
          "pot"),
    Entry("purity-implausible", "warning", "Alkali is rarely sold this weak; look at the label again.", _OWN, "lye"),
    Entry("acid-eats-lye", "info", "The recipe has an acid; its alkali is in the figure.", "computed", "lye"),
    Entry("scale-too-coarse", "warning", "The scale is too coarse for this batch.", "computed", "pot"),
    Entry("mould-underfilled", "info", "The batch does not reach the fill limit.", "computed", "pouring"),
    Entry("layer-thin", "info", "A layer this thin is hard to pour even.", _TRADE, "pouring"),
    Entry("height-estimated", "info", "Heights in a measured mould are estimates, as if its walls were upright.", _OWN,
          "pouring"),
    Entry("heavy-slab", "warning", "Heavy: lift it with two people or with a trolley.", _OWN, "unmoulding"),
    Entry("alcohol-spray", "warning",
          "Alcohol burns and irritates the eyes (H225, H319; isopropanol also H336): no flame, no hot plate, air.",
          _SHEETS, "pouring"),
    Entry("fragrance-flammable", "warning",
          "Fragrance and essential oils are often flammable and can sensitise skin (H317): read their safety data "
          "sheet for its flash point, no flame near, gloves on.", "from memory", "pot"),
    Entry("fragrance-limit-exceeded", "warning", "Above the supplier's limit for the cured bar.",
          "computed from the limit given", "pot"),
    Entry("fragrance-limit-in-portion", "info", "Above the limit in one portion by itself, in no bar as it is cut.",
          "computed from the limit given", "pot"),
    Entry("dose-too-fine", "info", "A dose is too small for the scale: dilute it to weigh it.", _OWN, "pot"),
    Entry("thickens-fast", "warning", "A fragrance that thickens the batter fast goes in last.", _TRADE, "pot"),
    Entry("fragrance-limit-unknown", "info",
          "No limit given: ask the supplier for the certificate (IFRA, category 9).", "read: IFRA categories", "pot"),
    Entry("colourant-status-unknown", "info",
          "No colour index number given: it may not be lawful in a cosmetic where you sell.", _OWN, "pot"),
    Entry("dust", "info", "Fine powder: mask on, no draught, wet it before it goes into the batter.", "from memory",
          "sifting"),
    Entry("natural-colour-stains", "info", "Plant colours may bleed, fade or shift with the alkali and with light.",
          _TRADE, "pot"),
    Entry("label-name-unknown", "info", "A name on the label is not known here: your own word stands for it.", _OWN,
          "label"),
    Entry("label-name-uncertain", "info", "The name of a soap is not known well enough: its fat is told as added.",
          _OWN, "label"),
    Entry("allergen-prohibited", "danger",
          "The scent holds a substance that cosmetics may no longer hold: do not sell this where it is prohibited.",
          "Regulation (EC) 1223/2009, Annex II, partly from memory", "label"),
    Entry("net-quantity-short", "info", "Some bars will weigh less than the label promises.", "computed", "label"),
    Entry("no-soap-by-rule", "warning", "Too little of it is soap to be sold as soap in the United States.",
          "read: 21 CFR 701.20", "label"),
    Entry("overheating", "warning", "Sugar, honey and milk heat the batter: watch it, keep it cool, do not cover it.",
          _TRADE, "pouring"),
    Entry("price-missing", "warning", "An ingredient has no price: the cost is not complete.", _OWN, "label"),
    Entry("pack-missing", "warning", "Nobody told a pack of something that must be bought.", _OWN, "label"),
    Entry("superfat-not-kept", "warning", "The batch as weighed does not keep the superfat asked.", "computed", "pot"),
    Entry("lye-of-plan-outdated", "warning", "The alkali of the plan does not fit what was weighed.", "computed",
          "lye"),
    Entry("lye-left-over", "warning",
          "Lye that is left over stays caustic: closed, labelled, locked away, in polypropylene or polyethylene. How "
          "it may be used up or disposed of is told by its safety data sheet and by local rules.",
          f"{_SHEETS}; own decision", "lye"),
    Entry("lye-not-dissolved", "danger",
          "More alkali than the water dissolves: solid alkali and a very hot lye. Do not use it.",
          "solubility read in producers' data", "lye"),
)})


@dataclass(frozen=True, slots=True)
class Caution:
    """A caution this request brings on.

    Parameters
    ----------
    key, severity, message, pointer : str
        Of the catalogue; as it is here; what holds here; the part of the request, as a JSON Pointer. [text]
    """

    key: str
    severity: str
    message: str
    pointer: str = ""


def standing(operation: str) -> tuple[str, ...]:
    """Keys of what always holds at an operation (`operation`: its name [key]). [keys]"""
    return tuple(entry.key for entry in CATALOGUE.values() if operation in entry.standing_for)


def worst_severity(cautions: Iterable[Caution]) -> str:
    """The gravest of them, "none" where there are none (`cautions`). [key]"""
    return max((caution.severity for caution in cautions), key=SEVERITIES.index, default="none")


def _caution(key: str, message: str, pointer: str = "", severity: str | None = None) -> Caution:
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


def _degrees(*temperatures_c: float) -> str:
    """Both scales at once: a caution is read by whoever stands there, whatever the units of the request."""
    celsius = " to ".join(f"{value:.0f}" for value in temperatures_c)
    fahrenheit = " to ".join(f"{value * 9 / 5 + 32:.0f}" for value in temperatures_c)
    return f"{celsius} °C, {fahrenheit} °F"


def _heat(lye: Lye, at: str) -> Iterator[Caution]:
    peak = lye.solution.peak_temperature
    if peak is None or peak.range.max < _HOT_C:
        return
    hot = peak.range.max
    said = (f"The lye may reach {_degrees(peak.range.min, hot)} (an upper estimate: nothing lost to the room; "
            f"{_degrees(peak.after_heat_loss.min, peak.after_heat_loss.max)} with a tenth lost).")
    if peak.with_half_ice is not None:
        said += f" Half of the water as ice: {_degrees(peak.with_half_ice.min, peak.with_half_ice.max)}."
    if peak.basis == "upper_bound":
        said += " Of potassium hydroxide only an upper bound is known."
    if lye.acids:
        said += " The heat of the acids comes on top and is not counted."
    pointer = f"{at}/temperatures/water"
    # an upper bound alone is no reason to call every potash lye a danger: there the lower figure must be near as well
    if (peak.range.min if peak.basis == "upper_bound" else hot) >= peak.boiling_c - _NEAR_BOILING_C:
        yield _caution("lye-hot", f"{said} It boils at about {_degrees(peak.boiling_c)}: never all the alkali at once. "
                       "Use ice for part of the water, pauses, or a stock made the day before.", pointer, "danger")
    elif hot >= _VERY_HOT_C:
        half = " and at most half full" if hot > _HALF_FULL_C else ""
        yield _caution("lye-hot", f"{said} Heavy polypropylene or stainless steel{half}, never glass or thin plastic; "
                       "in the sink, in portions, with pauses.", pointer, "warning")
    else:
        yield _caution("lye-hot", f"{said} It burns skin by heat as well.", pointer, "info")


def _mixing(lye: Lye, at: str) -> Iterator[Caution]:
    needed = None if lye.meeting is None else lye.meeting.lye_c
    if needed is None:
        return
    peak = lye.solution.peak_temperature
    hottest = 100.0 if peak is None else peak.range.max
    if needed > hottest:
        yield _caution("mixing-out-of-reach", f"For the batter asked the lye would need {_degrees(needed)}, more than "
                       "it reaches: warm the fats further.", f"{at}/temperatures/pour")
    elif needed < 0:
        yield _caution("mixing-out-of-reach", "For the batter asked the lye would have to be ice: let the fats cool "
                       "first.", f"{at}/temperatures/pour")


def _strength(lye: Lye, at: str) -> Iterator[Caution]:
    pure = lye.solution.concentration_pure_pct
    if pure > _STRONG_PCT:
        yield _caution("lye-strong", f"The lye holds {pure:.1f} % pure alkali; above {_STRONG_PCT:.0f} % it is thick "
                       "and hot and may crystallise as it cools.", f"{at}/water")
    for index, alkali in enumerate(lye.alkalis):
        stock = alkali.portion.stock
        if stock is not None:
            yield _caution("store-lye", "", f"{at}/alkalis/{index}/stock")
            if alkali.key == "NaOH" and stock.concentration_pct >= _CRYSTALLISES_FROM_PCT \
                    and stock.temperature_c is not None and stock.temperature_c < _CRYSTALLISES_BELOW_C:
                yield _caution("stock-may-crystallise", f"A stock of {stock.concentration_pct:.9g} % at "
                               f"{_degrees(stock.temperature_c)} may have crystallised: what is still liquid is weaker "
                               f"than its label. Warm it to {_degrees(_CRYSTALLISES_BELOW_C)} and mix it through "
                               "before weighing.", f"{at}/alkalis/{index}/stock/temperature")
        for name in ("purity_pct", "purity_at_least_pct"):
            purity = getattr(alkali.portion, name)
            if purity is not None and purity < _SOLD_FROM_PCT[alkali.key]:
                yield _caution("purity-implausible", f"{alkali.name} of {purity:.9g} % is rarely sold (usual: from "
                               f"{_SOLD_FROM_PCT[alkali.key]:.0f} %); look at the label again.",
                               f"{at}/alkalis/{index}/{name}")
    for index, acid in enumerate(lye.acids):
        yield _caution("acid-eats-lye", f"The alkali that {acid.name} eats is added on top of the fats' alkali.",
                       f"{at}/acids/{index}")


def _superfat(lye: Lye, at: str) -> Iterator[Caution]:
    found = lye.superfat
    floor = lye.recipe.superfat_at_least_pct is not None
    pointer = f"{at}/superfat_at_least_pct" if floor else f"{at}/superfat_pct"
    remedy = "" if found.dominant is None else f" {found.dominant.text}"
    if found.achieved_pct < 0:
        yield _caution("superfat-negative", f"A superfat of {found.achieved_pct:.2f} % is more alkali than the fats "
                       "can take: not for skin.", pointer)
        yield _caution("rebatch-or-discard", "", pointer)
    elif found.likely_pct.min <= 0:
        enough = math.ceil(2 * (found.asked_pct - found.likely_pct.min + 0.25)) / 2
        yield _caution("superfat-may-be-negative", f"The superfat likely lies between {found.likely_pct.min:.1f} and "
                       f"{found.likely_pct.max:.1f} %, so this batch may be lye-heavy. Ask for {enough:.9g} % or more."
                       f"{remedy}", pointer)
    elif found.worst_case_pct.min <= 0:
        yield _caution("superfat-margin-thin", "Only if every fat, weight and purity errs the same way is the batch "
                       f"lye-heavy ({found.worst_case_pct.min:.1f} %).", pointer)
    over = found.achieved_pct - found.asked_pct
    if over >= _COARSE_POINTS and not floor:
        yield _caution("scale-too-coarse", f"Rounding the alkali down leaves {over:.1f} points more superfat than "
                       f"asked: use a scale with a step of {_step_below(lye, over):.9g} g for the alkali, or make at "
                       f"least {lye.fats_mass_g * over / _COARSE_POINTS:,.0f} g of fats.", f"{at}/alkalis")


def _step_below(lye: Lye, over_points: float) -> float:
    wanted = lye.scale.alkali_readability_g * _COARSE_POINTS / over_points
    power: float = 10.0 ** math.floor(math.log10(wanted))
    return max(part * power for part in (1, 2, 5) if part * power <= wanted * (1 + 1e-9))


def _figures(lye: Lye, at: str) -> Iterator[Caution]:
    for index, weighed in enumerate(lye.fats):
        fat, pointer = weighed.fat, f"{at}/fats/{index}"
        if fat.lot_value_needed:
            yield _caution("lot-value-needed", f"What {fat.name} takes up varies too much for a table: give the value "
                           "on the certificate of the lot as a fat of your own.", pointer)
        if fat.own and fat.saponification_value.half_width == 0:
            yield _caution("value-taken-as-exact", f"The saponification value of {fat.name} has no range and is taken "
                           "as exact; the certificate's tolerance would make the superfat range honest.", pointer)
        if fat.range_widened:
            yield _caution("range-widened", f"The table's range for {fat.name} is narrower than 1 % either way and "
                           f"was widened to that: {fat.saponification_value.min:.1f} to "
                           f"{fat.saponification_value.max:.1f} mg KOH/g.", pointer)
        remembered = [what for what, is_so in (("saponification value", fat.value_from_memory),
                                               ("density", fat.density_from_memory)) if is_so]
        if remembered:
            yield _caution("figure-from-memory", f"{fat.name}: the {' and the '.join(remembered)} of the table "
                           f"{'is' if len(remembered) == 1 else 'are'} from memory.", pointer)
        if fat.density_assumed:
            yield _caution("density-assumed", f"The density of {fat.name} is not known; {fat.density:.3f} g/mL at "
                           "40 °C was assumed. It moves the height of the pour, not the lye.", pointer)


def of_division(division: Division, limits: Sequence[LimitCheck] = (), *,
                sized_to_mould: bool = False) -> tuple[Caution, ...]:
    """What the portions, their additions and the mould bring on.

    Parameters
    ----------
    division : Division
        The buckets. [portions]
    limits : sequence of LimitCheck
        How their ingredients stand to their limits. [% of cured bar]
    sized_to_mould : bool
        The mould gave the size: what rounding down leaves free is meant so. [yes or no]

    Returns
    -------
    tuple of Caution : those of equal words once, at their first place. [cautions]
    """
    found = [*_of_additions(division.additions, "/additions")]
    for index, portion in enumerate(division.portions):
        found += _of_additions(portion.additions, f"/portions/{index}/additions")
        found += _of_free_oil(portion, f"/portions/{index}/additions")
        if portion.dusting is not None:
            found.append(_caution("dust", "", f"/portions/{index}/dusting"))
    found += _of_limits(division, limits)
    found += _of_mould(division, sized_to_mould)
    return tuple(_told_once(found))


def _of_additions(additions: Sequence[WeighedAddition], at: str) -> Iterator[Caution]:
    for index, weighed in enumerate(additions):
        addition, pointer = weighed.addition, f"{at}/{index}"
        if weighed.dilution is not None:
            yield _caution("dose-too-fine", _how_to_dilute(weighed), pointer)
        elif weighed.weigh_g == 0:
            yield _caution("dose-too-fine", f"{weighed.mass_g:.3g} g of {addition.name} cannot be weighed on this "
                           "scale, nor with one dilution: make a weaker dispersion, or a larger batch.", pointer)
        if addition.thickens_fast:
            yield _caution("thickens-fast", f"{addition.name} thickens the batter fast: everything else first, then "
                           "it, and pour at once.", pointer)
        if addition.kind == "fragrance":
            yield _caution("fragrance-flammable", "", pointer)
            if addition.limit_pct is None:
                yield _caution("fragrance-limit-unknown", f"{addition.name}: no limit given; ask the supplier for the "
                               "certificate (IFRA, category 9).", pointer)
        if addition.kind == "spray":
            yield _caution("alcohol-spray", "", pointer)
        if addition.kind in ("colourant", "clay"):
            yield _caution("dust", "", pointer)
        if addition.kind == "colourant" and addition.inci is None:
            yield _caution("colourant-status-unknown", f"{addition.name} has no colour index number: it may not be "
                           "lawful in a cosmetic where you sell. Whether a colour is permitted there is yours to "
                           "check.", pointer)
        # mineral pigments stand at CI 77000 and above (from memory); the rest may be of plants
        if addition.kind == "botanical" or (addition.kind == "colourant" and not (addition.inci or "").startswith(
                "CI 77")):
            yield _caution("natural-colour-stains", "", pointer)
        if addition.kind == "sugar" or (any(word in addition.name.casefold() for word in ("honey", "milk")) \
                and addition.kind != "fragrance"):
            yield _caution("overheating", "", pointer)


def _how_to_dilute(weighed: WeighedAddition) -> str:
    dilution = weighed.dilution
    assert dilution is not None
    return (f"{weighed.mass_g:.3g} g of {weighed.name} is too little for this scale: stir {dilution.weigh_g:.6g} g "
            f"into {dilution.carrier_g:.6g} g of oil, water or glycerol, as it disperses, and weigh "
            f"{dilution.take_weigh_g:.6g} g of that. Of oil {dilution.carrier_in_take_g:.3g} g come along; they get no "
            "alkali and stay free beside the superfat.")


def _of_limits(division: Division, limits: Sequence[LimitCheck]) -> Iterator[Caution]:
    for check in limits:
        pointer = _place_of(division, check.key)
        limit = f"its limit of {check.limit_pct:.9g} % of the cured bar"
        if check.exceeded:
            where = f'"{check.portion_name}"' if check.bar is None else check.bar
            doses = "; ".join(_largest(division, dose.portion, dose.dose, dose.basis, dose.mass_g)
                              for dose in check.largest)
            yield _caution("fragrance-limit-exceeded", f"{check.name}: {where} holds {check.decides_pct:.4g} %, "
                           f"above {limit}. Largest dose that keeps within: {doses}.", pointer)
        elif check.portion_alone_exceeds:
            yield _caution("fragrance-limit-in-portion", f'{check.name}: "{check.portion_name}" by itself holds '
                           f"{check.portion_pct:.4g} %, above {limit}; {check.bar} holds {check.bar_pct:.4g} % at "
                           "most, if it is as drawn. A bar cut otherwise, or swirled unevenly, may be above.", pointer)


def _largest(division: Division, portion: str | None, dose: float, basis: str, mass_g: float) -> str:
    """Down to four digits, so that the words never allow more than the figure."""
    digits = 3 - math.floor(math.log10(dose)) if dose > 0 else 0
    down = math.floor(dose * 10.0 ** digits) / 10.0 ** digits
    names = {one.key: one.name for one in division.portions}
    where = "in the pot" if portion is None else f'in "{names[portion]}"'
    unit = {"pct_of_fats": "% of the fats", "pct_of_batter": "% of the batter", "g_per_kg_fats": "g per kg of fats",
            "g_per_kg_batter": "g per kg of batter"}.get(basis)
    return f"{down:.6g} g {where}" if unit is None else f"{down:.6g} {unit} ({mass_g:.4g} g) {where}"


def _place_of(division: Division, key: str) -> str:
    """The first place where an addition with a limit stands."""
    for index, weighed in enumerate(division.additions):
        if weighed.key == key:
            return f"/additions/{index}"
    for number, portion in enumerate(division.portions):
        for index, weighed in enumerate(portion.additions):
            if weighed.key == key:
                return f"/portions/{number}/additions/{index}"
    return "/portions"


def _of_free_oil(portion: WeighedPortion, at: str) -> Iterator[Caution]:
    for index, weighed in enumerate(portion.additions):
        if weighed.oil_g:
            yield _caution("dispersion-oil-free", f"The {weighed.oil_g:.3g} g of oil in {weighed.name} get no alkali: "
                           "in this portion they are free fat beside the superfat asked.", f"{at}/{index}")


def _of_mould(division: Division, sized_to_mould: bool) -> Iterator[Caution]:
    mould = division.mould
    if mould is None:
        return
    missing = division.missing_depth_mm
    if sized_to_mould:
        pass
    elif missing is not None and missing > _UNDERFILLED_MM:
        yield _caution("mould-underfilled", f"The batch ends {missing:.1f} mm below the fill limit.", "/mould")
    elif missing is None and division.mould_volume_ml < mould.volume_ml * (1 - _UNDERFILLED_SHARE):
        yield _caution("mould-underfilled", f"The batch leaves {mould.volume_ml - division.mould_volume_ml:.0f} mL of "
                       "the mould empty.", "/mould")
    for index, portion in enumerate(division.portions):
        if portion.layer is not None and portion.layer.top_mm - portion.layer.bottom_mm < _THIN_MM:
            thick = portion.layer.top_mm - portion.layer.bottom_mm
            yield _caution("layer-thin", f'"{portion.name}" is {thick:.1f} mm thick; below {_THIN_MM:.0f} mm a layer '
                           "is hard to pour even.", f"/portions/{index}")
    if isinstance(mould.shape, Measured) and mould.fill_height_mm is not None:
        yield _caution("height-estimated", "", "/mould")
    each = division.mould_mass_g / mould.count
    if each > _HEAVY_G:
        yield _caution("heavy-slab", f"A filled mould holds {each / 1000:.1f} kg: lift it with two people.", "/mould")


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
            found.append(_caution("label-name-unknown", f'No label name of "{line.name}" is known here: your own word '
                                  'for it is printed. Give its "inci".', pointer))
        found += [_caution("label-name-uncertain", doubt, pointer) for doubt in line.doubts]
        if line.colour_status in ("not_shown", "not_listed"):
            found.append(_caution(
                "colourant-status-unknown", f"{line.name} is not shown as permitted in {label.market.name}: "
                f'{line.remarks[-1]} Ask its supplier for the colour index number and for where it is permitted, '
                'and give them as "inci" and "permitted_in".', pointer,
                "warning" if line.colour_status == "not_listed" else None))
    for bar in label.bars:
        for one in bar.allergens:
            if one.prohibited and label.market.key != "US":
                found.append(_caution("allergen-prohibited", f"{one.name} ({one.concentration_pct:.3g} % of the cured "
                                      "bar) is prohibited in cosmetics in the EU and in Great Britain: this may not be "
                                      "sold there. Ask for a scent without it.", "/label/market"))
        net = bar.net_quantity
        if net is not None and net.asked and net.short_count:
            found.append(_caution("net-quantity-short", f"About {net.short_count} of {bar.count} bars "
                                  f"({net.short_share_pct:.1f} %) will weigh less than {net.text}, which the rules of "
                                  f"average quantity let pass. Every bar holds {net.every_bar_g:.6g} g.",
                                  "/label/net_quantity"))
    if label.sold_as == "soap" and label.soap_part_pct <= 50:
        found.append(_caution("no-soap-by-rule", label.what_follows or "", "/label/sold_as"))
    return tuple(_told_once(found))


def of_cuts(cuts: Cuts) -> tuple[Caution, ...]:
    """What cutting brings on (`cuts`). [cautions]"""
    mass = None if cuts.bars.mass is None else cuts.bars.mass.mid_g * cuts.bars.count
    each = None if mass is None else mass / cuts.blocks_count * 100 / cuts.volume_yield_pct
    if each is None or each <= _HEAVY_G:
        return ()
    return (_caution("heavy-slab", f"The block weighs {each / 1000:.1f} kg: lift it with two people.", "/block"),)


_OF_THE_JUG = frozenset({"lye-hot", "lye-strong", "store-lye", "stock-may-crystallise", "mixing-out-of-reach"})
_OF_PLANNING = frozenset({"superfat-negative", "superfat-may-be-negative", "superfat-margin-thin",
                          "rebatch-or-discard", "scale-too-coarse"})


def of_actuals(lye: Lye, *, in_jug: bool = True, kept: bool = True, rescued: bool = False, left_over: bool = False,
               with_lye_of_plan_pct: float | None = None, division: Division | None = None,
               limits: Sequence[LimitCheck] = (), sized_to_mould: bool = True,
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
        told.append(_caution("lye-not-dissolved", "", "/weighed"))
    if with_lye_of_plan_pct is not None:
        told.append(_caution("lye-of-plan-outdated", "With the alkali of the plan the superfat would be "
                             f"{with_lye_of_plan_pct:.2f} %: weigh what is told here in its place.", "/weighed",
                             "danger" if with_lye_of_plan_pct < 0 else
                             None if with_lye_of_plan_pct < found.asked_pct else "info"))
    if found.achieved_pct < 0:
        told.append(_caution("superfat-negative", f"As weighed the superfat is {found.achieved_pct:.2f} %, more alkali "
                             "than the fats can take: not for skin.", "/weighed"))
        told.append(_caution("rebatch-or-discard", "", "/weighed"))
    elif found.likely_pct.min <= 0:
        told.append(_caution("superfat-may-be-negative", "As weighed the superfat likely lies between "
                             f"{found.likely_pct.min:.1f} and {found.likely_pct.max:.1f} %, so this batch may be "
                             "lye-heavy.", "/weighed"))
    elif found.worst_case_pct.min <= 0:
        told.append(_caution("superfat-margin-thin", "Only if every fat, weight and purity errs the same way is the "
                             f"batch lye-heavy ({found.worst_case_pct.min:.1f} %).", "/weighed"))
    if rescued and found.achieved_pct >= 0:
        told.append(_caution("rebatch-or-discard", "", "/weighed", "warning"))
    if not kept and found.achieved_pct >= 0:
        least = lye.recipe.superfat_at_least_pct is not None
        told.append(_caution("superfat-not-kept", f"Asked was {'at least ' if least else ''}{found.asked_pct:.9g} %; "
                             f"as weighed it is {found.achieved_pct:.2f} %, and {found.worst_case_pct.min:.2f} % if "
                             "every input errs the harmful way.", "/weighed", None if least else "info"))
    if left_over:
        told.append(_caution("lye-left-over", "", "/weighed"))
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
    return (_caution("price-missing", f"No price of {named}: the true cost is higher, and without it no selling price "
                     "is told. Give each a price; 0 for what costs nothing.", at),) if named else ()


def of_missing_packs(missing: Iterable[tuple[str, str]], told: Iterable[str] = (), *,
                     at: str = "/packs") -> tuple[Caution, ...]:
    """What is short and sold in no pack, all at once (`missing`, `told`, `at` as of `of_missing_prices` [text]).

    Returns
    -------
    tuple of Caution : none, or one. [cautions]
    """
    named = _named(missing, told)
    return (_caution("pack-missing", f"No pack of {named}: the true cost is higher. Tell the packs each is sold in, or "
                     "that there is enough at hand.", at),) if named else ()


def _named(things: Iterable[tuple[str, str]], told: Iterable[str]) -> str:
    known = list(dict.fromkeys(told))
    found = []
    for key, name in things:
        near = difflib.get_close_matches(key, known, n=1, cutoff=0.6)
        meant = f'the key is "{key}", and there is one of "{near[0]}"' if near else "" if name == key else key
        found.append(f"{name} ({meant})" if meant else name)
    return ", ".join(found)
