"""What to weigh for pot and jug, and the result, wherever a lye is computed."""

from __future__ import annotations

from typing import ClassVar

from kettlewright.api.door.fields import Choice, Dose, Flag, Mass, Number, Temperature, Text, Volume
from kettlewright.api.door.responses import ResponsePart
from kettlewright.api.door.strict import ListOf, Part
from kettlewright.api.parts.ranges import PctRange, TemperatureRange
from kettlewright.api.parts.weigh_list import WeighListRow

__all__ = ["SOURCES_OF_LYE", "Batter", "LyeCore", "LyeResult", "SaponificationOfBlend", "SuperfatOutcome", "Vessels",
           "Working"]

SOURCES_OF_LYE = ("iupac_atomic_weights", "iso_3657", "gum_jcgm_100", "naoh_density", "laliberte_2009",
                  "naoh_heat_of_solution", "parker_1965", "iso_685", "own_density_rules")
INPUTS = ("saponification_value", "strength", "alkali_weighing", "fat_weighing", "acid_weighing")


class WeighedFat(ResponsePart):
    """A fat to weigh."""

    key = Text(about="Key of the table, or a slug of your name", example="olive")
    name = Text(about="Name", example="olive oil (virgin, refined)")
    mass_g = Mass(about="Exact, as requested", example=500)
    weigh_g = Mass(about="On the scale", example=500)
    share_pct = Number(about="Of all fats as weighed", unit="%", example=55)
    lot = Text(allow_none=True, about="Lot number", example="L-7")


class WeighedAcid(ResponsePart):
    """An acid to weigh."""

    key = Text(about="Key", example="citric_anhydrous")
    name = Text(about="Name", example="citric acid, anhydrous")
    mass_g = Dose(about="Exact, as bought", example=15)
    weigh_g = Dose(about="On the scale", example=15)
    lot = Text(allow_none=True, about="Lot number", example="C-3")


class WeighedStock(ResponsePart):
    """A stock solution to weigh."""

    mass_g = Mass(about="Solution, exact", example=308.789)
    weigh_g = Mass(about="Solution, on the scale", example=308.7)
    water_mass_g = Mass(about="Water in what is weighed", example=154.35)


class WeighedAlkali(ResponsePart):
    """An alkali to weigh; of a stock, mass and weigh are the solution's."""

    omitted = ("stock",)

    key = Choice(["NaOH", "KOH"], about="Which alkali")
    name = Text(about="Name", example="sodium hydroxide")
    mass_pure_g = Mass(about="Pure alkali, exact", example=143.508)
    mass_g = Mass(about="As bought, exact", example=146.437)
    weigh_g = Mass(about="On the scale, rounded down", example=146.4)
    lot = Text(allow_none=True, about="Lot number", example="N-26")
    stock = Part(WeighedStock, about="If it is a solution")


class WeighedLiquid(ResponsePart):
    """A liquid to weigh, in place of part of the water."""

    key = Text(about="A slug of its name", example="goat_milk")
    name = Text(about="Name", example="goat milk")
    mass_g = Mass(about="Exact", example=150)
    weigh_g = Mass(about="On the scale", example=150)
    lot = Text(allow_none=True, about="Lot number", example="M-2")


class WeighedIce(ResponsePart):
    """Ice to weigh."""

    mass_g = Mass(about="Exact", example=148.7)
    weigh_g = Mass(about="On the scale", example=149)


class WeighedWater(ResponsePart):
    """Water to weigh, less what stocks, liquids and acid solutions bring."""

    omitted = ("ice",)

    mass_g = Mass(attribute="water.mass_g", data_key="mass", about="Exact, ice included", example=297.311)
    weigh_g = Mass(attribute="water.weigh_g", data_key="weigh", about="On the scale, ice included", example=297)
    ice = Part(WeighedIce, about="The part of it that goes in as ice, if requested")


class Heat(ResponsePart):
    """What is known of the heat behind the peak temperature."""

    basis = Choice(["tables", "upper_bound", "extrapolated"], about="Published heats; or, with potassium hydroxide, "
                   "only the heat at infinite dilution, which is an upper bound (its lower end a fifth less, from "
                   "memory); or beyond the table")
    after_heat_loss = Part(TemperatureRange, about="With a tenth of the heat lost to the room and the jug")
    with_half_ice = Part(TemperatureRange, allow_none=True, about="With half of the added water as ice; null if ice "
                         "is planned already or no water is added")
    boiling_c = Temperature(about="Boiling point of a sodium hydroxide lye of this strength, less the alkali that "
                            "acids consume", example=119)


class LyeAt(ResponsePart):
    """The lye at the temperature given for it."""

    temperature_c = Temperature(about="As given", example=45)
    density = Number(about="There", unit="g/mL", example=1.34)
    volume_ml = Volume(about="There", example=331)
    within_validity = Flag(about="Whether the source of the density covers it: 15 to 60 degC, up to 50 % NaOH or 52 % "
                           "KOH", example=True)


class LyeSolution(ResponsePart):
    """The lye in the jug, of what is weighed."""

    omitted = ("heat", "at_temperature")

    mass_g = Mass(about="Alkali as weighed and all water", example=443.4)
    concentration_pct = Number(about="Alkali as weighed (of stocks: pure) in it", unit="% by mass", example=33)
    concentration_pure_pct = Number(about="Pure alkali in it", unit="% by mass", example=32.3)
    water_to_alkali = Number(allow_none=True, about="Water per part of alkali as weighed; null if the alkali was "
                             "forgotten", unit="g per g", example=2.03)
    density = Number(about="At 40 degC", unit="g/mL", example=1.34)
    volume_ml = Volume(about="At 40 degC", example=330)
    peak_temperature = Part(TemperatureRange, allow_none=True, attribute="peak_range", about="Upper estimate without "
                            "heat loss; null without temperatures.water, and with a potassium hydroxide stock, whose "
                            "heat of dilution is not known (it still gets hot)")
    heat = Part(Heat, attribute="peak_temperature", about="How well that heat is known")
    at_temperature = Part(LyeAt, about="If temperatures.lye is given")


class SuperfatInfluence(ResponsePart):
    """What one input adds to the spread of the superfat."""

    input = Choice(INPUTS, about="What is uncertain: the saponification value, the strength of the alkali, or what the "
                   "step of a scale hides")
    key = Text(about="Key of what it belongs to", example="olive")
    variance_share_pct = Number(about="Its share of the variance", unit="%", example=81)


class DominantInfluence(SuperfatInfluence):
    """The input that makes most of the spread, and what to do about it."""

    likely_pct_if_known = Part(PctRange, about="The likely range if this input were known exactly")
    message = Text(attribute="text", about="The same in words", example="How strong the sodium hydroxide really is "
                   "makes 81 % of the spread: a certificate of the lot, or a titration, would narrow the "
                "likely range of 1.6 to 8.9 % to one of 4.4 to 5.7 %.")


class FloorCost(ResponsePart):
    """What it costs to keep a superfat over the whole declared range."""

    extra_superfat_pct = Number(about="Superfat above the requested one, on average", unit="points", example=4.1)
    extra_free_fat_mass_g = Mass(about="The same as fat without alkali", example=41)
    message = Text(attribute="text", about="In words", example="Kept at 2 % over the whole declared range, the "
                   "superfat is 6.1 % on average.")


class SuperfatOutcome(ResponsePart):
    """The superfat, and how far it can be off."""

    omitted = ("floor_cost",)

    asked_pct = Number(about="As given", unit="% of the fats' alkali", example=5)
    achieved_pct = Number(signed=True, about="From what is weighed, at the middle of each fat's range",
                          unit="% of the fats' alkali", example=5.02)
    likely_pct = Part(PctRange, about="Range of about 95 of 100 batches")
    worst_case_pct = Part(PctRange, about="If all errors go in the same direction")
    inputs = ListOf(Part(SuperfatInfluence), about="Causes of the spread, the largest first")
    dominant = Part(DominantInfluence, allow_none=True, about="The first of them; null if nothing is uncertain")
    floor_cost = Part(FloorCost, about="Of superfat_at_least_pct")


class SaponificationOfBlend(ResponsePart):
    """Saponification value of the blend of fats, by their ranges."""

    min = Number(about="Every fat at its lower end", unit="mg KOH per g of fat", example=198.9)
    mid = Number(about="Middle", unit="mg KOH per g of fat", example=206.1)
    max = Number(about="Every fat at its upper end", unit="mg KOH per g of fat", example=213.3)


class Soap(ResponsePart):
    """What comes out of the pot."""

    mass_g = Mass(about="Anhydrous soap", example=980.2)
    glycerol_mass_g = Mass(about="Glycerol released", example=99.8)
    tfm_pct = Number(about="Total fatty matter of the fresh batter and the oil of its additions",
                     unit="% by mass", example=68.97)
    tfm_after_loss_pct = Number(allow_none=True, about="The same after the loss in cure; null without "
                                "expected_loss_pct", unit="% by mass", example=77.5)
    free_fat_mass_g = Mass(about="Fat left without alkali", example=50)
    free_alkali_mass_g = Mass(about="Pure alkali left without fat; a computed 0 is not a measurement", example=0)
    free_alkali_worst_case_mass_g = Mass(about="The same if all errors lower the superfat", example=0)
    water_mass_g = Mass(about="Water of the lye, and what free fatty acids release", example=297)


class Batter(ResponsePart):
    """The batter before any addition."""

    mass_g = Mass(about="All of it", example=1390)
    density = Number(about="At 40 degC, without air", unit="g/mL", example=1.0)
    volume_ml = Volume(about="At 40 degC", example=1390)


class Vessels(ResponsePart):
    """The smallest vessels that leave room, in whole steps of 250 mL."""

    pot_ml = Volume(about="For the batter, two thirds full", example=2250)
    jug_ml = Volume(about="For the lye; half full if that may exceed 90 degC, or its heat is not known", example=750)


class Mixing(ResponsePart):
    """Where fats and lye meet; saponification warms the batter further."""

    batter_c = Temperature(allow_none=True, signed=True, about="Of the batter; null without temperatures.lye",
                           example=41)
    lye_c = Temperature(allow_none=True, signed=True, about="Lye temperature that brings the batter to "
                        "temperatures.pour; null without it", example=42)


class Working(ResponsePart):
    """A line of the calculation, in the units it names, whatever the units of the request."""

    figure = Text(about="Which figure it gives", example="pure NaOH")
    formula = Text(about="Formula, in names", example="share * needed * M")
    numbers = Text(about="The same with numbers", example="1 * 3.58797 * 39.9971")
    result = Number(about="Result", unit="unit of the line", example=143.508, signed=True)
    unit = Text(about="Its unit", example="g")
    source = Text(about="Source of the formula", example="equivalents; molar masses computed")


class LyeCore(ResponsePart):
    """What to weigh and the result."""

    omitted: ClassVar[tuple[str, ...]] = ("mixing",)

    fats = ListOf(Part(WeighedFat), attribute="lye.fats", about="Fats, in the order given")
    acids = ListOf(Part(WeighedAcid), attribute="lye.acids", about="Acids, in the order given")
    alkalis = ListOf(Part(WeighedAlkali), attribute="lye.alkalis", about="Alkalis, in the order given")
    liquids = ListOf(Part(WeighedLiquid), attribute="lye.liquids", about="Liquids, in the order given")
    water = Part(WeighedWater, attribute="lye", about="Water to add")
    solution = Part(LyeSolution, attribute="lye.solution", about="The lye in the jug")
    superfat = Part(SuperfatOutcome, attribute="lye.superfat", about="The superfat, and how far it can be off")
    saponification_value = Part(SaponificationOfBlend, attribute="lye.saponification_value", about="Of the blend")
    soap = Part(Soap, attribute="lye.soap", about="Soap made, and what stays free")
    batter = Part(Batter, about="The batter before any addition")
    mixing = Part(Mixing, attribute="lye.meeting", about="If temperatures.fats is given with lye or pour")


class LyeResult(LyeCore):
    """The same, with vessels and the weigh list."""

    vessels = Part(Vessels, about="The smallest pot and jug")
    weigh_list = ListOf(Part(WeighListRow), about="Everything to weigh, in bench order")

