"""Request and reply of /v1/lye."""

from __future__ import annotations

from typing import Any

from marshmallow import Schema

from kettlewright import limits
from kettlewright.api.fields import Choice, Dose, ListOf, Mass, Number, Part, Text, Volume
from kettlewright.api.schemas.envelope import Answer, PctRange, Request, ScaleSteps, TemperatureRange, Told, scale_of
from kettlewright.api.schemas.recipe import RECIPE_FIELDS, RecipeAsked
from kettlewright.api.units import current_units, from_base
from kettlewright.digits import nine_digits
from kettlewright.weigh_list import WeighRow

__all__ = ["BatterTold", "LyeCoreTold", "LyeReply", "LyeRequest", "LyeResult", "Vessels", "WeighRowTold"]


class LyeRequest(RecipeAsked, Request):
    """A recipe by masses, at top level."""

    scale = Part(ScaleSteps, about="Steps of the scales")
    batter_density = Number(bounds=limits.ADDITION_DENSITY, about="Measured by you; overrides the estimate",
                            unit="g/mL", example=0.99)

    def build(self, data: dict[str, Any]) -> Any:
        """Make the recipe of its fields, and leave the rest beside it (`data`)."""
        data.pop("units", None)
        around = {name: data.pop(name) for name in list(data) if name not in RECIPE_FIELDS}
        return {"scale": scale_of(), **around, "recipe": super().build(data)}


class WeighedFatTold(Told):
    """A fat to weigh."""

    key = Text(about="Key of the table, or a slug of your name", example="olive")
    name = Text(about="Name", example="olive oil (virgin, refined)")
    mass_g = Mass(about="Exact, as asked", example=500)
    weigh_g = Mass(about="On the scale", example=500)
    share_pct = Number(about="Of all fats as weighed", unit="%", example=55)
    lot = Text(allow_none=True, about="Lot number", example="L-7")


class WeighedAcidTold(Told):
    """An acid to weigh."""

    key = Text(about="Key", example="citric_anhydrous")
    name = Text(about="Name", example="citric acid, anhydrous")
    mass_g = Dose(about="Exact, as bought", example=15)
    weigh_g = Dose(about="On the scale", example=15)
    lot = Text(allow_none=True, about="Lot number", example="C-3")


class StockTold(Told):
    """A stock solution to weigh."""

    mass_g = Mass(about="Solution, exact", example=308.789)
    weigh_g = Mass(about="Solution, on the scale", example=308.7)
    water_mass_g = Mass(about="Water in what is weighed", example=154.35)


class WeighedAlkaliTold(Told):
    """An alkali to weigh; of a stock, mass and weigh are the solution's."""

    omitted = ("stock",)

    key = Choice(["NaOH", "KOH"], about="Which")
    name = Text(about="Name", example="sodium hydroxide")
    mass_pure_g = Mass(about="Pure alkali, exact", example=143.508)
    mass_g = Mass(about="As bought, exact", example=146.437)
    weigh_g = Mass(about="On the scale, rounded down", example=146.4)
    lot = Text(allow_none=True, about="Lot number", example="N-26")
    stock = Part(StockTold, about="Where it comes as a solution")


class WeighedWaterTold(Told):
    """Water to weigh, less what stocks and acid solutions bring."""

    mass_g = Mass(about="Exact", example=297.311)
    weigh_g = Mass(about="On the scale", example=297)


class LyeSolutionTold(Told):
    """The lye in the jug, of what is weighed."""

    mass_g = Mass(about="Alkali as weighed and all water", example=443.4)
    concentration_pct = Number(about="Alkali as weighed (of stocks: pure) in it", unit="% by mass", example=33)
    concentration_pure_pct = Number(about="Pure alkali in it", unit="% by mass", example=32.3)
    water_to_alkali = Number(about="Water for one part of alkali as weighed", unit="g per g", example=2.03)
    density = Number(about="At 40 degC", unit="g/mL", example=1.34)
    volume_ml = Volume(about="At 40 degC", example=330)
    peak_temperature = Part(TemperatureRange, allow_none=True, attribute="peak_range", about="An upper "
                            "estimate, nothing lost to the room; null without temperatures.water, and for potassium "
                            "hydroxide and stock solutions, whose heat is not computed (they get hot all the same)")


class SuperfatTold(Told):
    """The superfat, and how far it can be off."""

    asked_pct = Number(about="As asked", unit="% of the fats' alkali", example=5)
    achieved_pct = Number(about="Of what is weighed, at the middle of each fat's range", unit="% of the fats' alkali",
                          example=5.02)
    likely_pct = Part(PctRange, about="Where about 95 of 100 batches lie")
    worst_case_pct = Part(PctRange, about="Where every input errs the same way at once")


class BlendTold(Told):
    """Saponification value of the blend of fats as weighed."""

    min = Number(about="Every fat at its lower end", unit="mg KOH per g of fat", example=198.9)
    mid = Number(about="Middle", unit="mg KOH per g of fat", example=206.1)
    max = Number(about="Every fat at its upper end", unit="mg KOH per g of fat", example=213.3)


class SoapTold(Told):
    """What comes out of the pot."""

    mass_g = Mass(about="Anhydrous soap", example=980.2)
    glycerol_mass_g = Mass(about="Glycerol set free", example=99.8)
    tfm_pct = Number(about="Total fatty matter of the fresh batter", unit="% by mass", example=68.97)


class BatterTold(Told):
    """The batter before any addition."""

    mass_g = Mass(about="All of it", example=1390)
    density = Number(about="At 40 degC, without air", unit="g/mL", example=1.0)
    volume_ml = Volume(about="At 40 degC", example=1390)


class Vessels(Told):
    """The smallest vessels that leave room, in whole steps of 250 mL."""

    pot_ml = Volume(about="For the batter, two thirds full", example=2250)
    jug_ml = Volume(about="For the lye; half full where it may pass 90 degC or is not known", example=750)


class WeighRowTold(Schema):
    """One weighing; it names its own unit, so that it can travel alone."""

    key = Text(about="Key", example="olive")
    name = Text(about="Name", example="olive oil (virgin, refined)")
    lot = Text(allow_none=True, about="Lot number", example="L-7")
    where = Text(about="jug, pot, bucket/<portion>, sieve/<portion> or spray/<portion>", example="pot")
    weigh = Number(about="On the scale", unit="in this row's unit", example=500)
    step = Number(about="Step of the scale it is weighed on", unit="in this row's unit", example=1)
    unit = Choice(["g", "kg", "oz", "lb"], about="Unit of this row")

    def dump(self, obj: Any, *, many: bool | None = None) -> Any:
        """One row, or several (`obj`, `many`), in their own units."""
        return [_row(row) for row in obj] if many else _row(obj)


def _row(row: WeighRow) -> dict[str, Any]:
    kind = "dose" if row.fine else "mass"
    return {"key": row.key, "name": row.name, "lot": row.lot, "where": row.where,
            "weigh": nine_digits(from_base(row.weigh_g, kind)), "step": nine_digits(from_base(row.step_g, kind)),
            "unit": getattr(current_units.get(), kind)}


class LyeCoreTold(Told):
    """What to weigh and what comes of it."""

    fats = ListOf(Part(WeighedFatTold), attribute="lye.fats", about="Fats, in the order asked")
    acids = ListOf(Part(WeighedAcidTold), attribute="lye.acids", about="Acids, in the order asked")
    alkalis = ListOf(Part(WeighedAlkaliTold), attribute="lye.alkalis", about="Alkalis, in the order asked")
    water = Part(WeighedWaterTold, attribute="lye.water", about="Water to add")
    lye = Part(LyeSolutionTold, attribute="lye.solution", about="The lye in the jug")
    superfat = Part(SuperfatTold, attribute="lye.superfat", about="The superfat, and how far it can be off")
    saponification_value = Part(BlendTold, attribute="lye.saponification_value", about="Of the blend")
    soap = Part(SoapTold, attribute="lye.soap", about="What comes out of the pot")
    batter = Part(BatterTold, about="The batter before any addition")


class LyeResult(LyeCoreTold):
    """The same, with vessels and the weigh list."""

    vessels = Part(Vessels, about="The smallest pot and jug")
    weigh_list = ListOf(Part(WeighRowTold), about="Everything to weigh, in bench order")


class LyeReply(Answer, LyeResult):
    """Everything of one recipe."""
