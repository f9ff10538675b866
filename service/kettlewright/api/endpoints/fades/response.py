"""Response of /v1/fades."""

from __future__ import annotations

from typing import ClassVar

from kettlewright.api.door.fields import Choice, Dose, Mass, Number, Text, Whole
from kettlewright.api.door.responses import ResponsePart
from kettlewright.api.door.strict import ListOf, Part
from kettlewright.api.endpoints.fades.request import GELLED
from kettlewright.api.parts.envelope import BaseResponse
from kettlewright.pour.fade.swatches import MODELS

__all__ = ["FadeOfBatch", "FadesResponse"]


class Lab(ResponsePart):
    """A colour of CIELAB under D65, 2 degrees."""

    lightness = Number(about="L*", unit="1", example=36.6)
    a = Number(about="a*", unit="1", example=16.5, signed=True)
    b = Number(about="b*", unit="1", example=27.7, signed=True)


class Band(ResponsePart):
    """A band of colours, all channels off in the same direction."""

    darkest = Text(attribute="darkest.hex", about="As a screen shows it", example="#9a6b45")
    lightest = Text(attribute="lightest.hex", about="The same", example="#a6774f")
    lightness_min = Number(attribute="darkest.lab.lightness", about="L* of the darkest", unit="1", example=48.4)
    lightness_max = Number(attribute="lightest.lab.lightness", about="L* of the lightest", unit="1", example=53.0)


class FittedSwatch(ResponsePart):
    """A swatch beside what the fit makes of it."""

    dose = Number(about="Colourant", unit="g per kg of batter", example=3)
    colour = Text(attribute="colour.hex", about="As measured", example="#ac7d51")
    predicted = Text(attribute="predicted.hex", about="Of the fit", example="#ad7e52")
    off = Number(about="Between the two", unit="CIEDE2000", example=0.4)


class FadeStep(ResponsePart):
    """A portion of the fade."""

    key = Text(attribute="step.key", about="A slug of the name", example="deep")
    name = Text(attribute="step.name", about="Your name for it", example="deep")
    end = Whole(attribute="step.end", about="0: the first colourant; 1: the other", unit="number", example=0)
    dose = Number(attribute="step.dose", about="Colourant", unit="g per kg of batter", example=4.46)
    colour = Text(attribute="step.colour.hex", about="Predicted, as a screen shows it; a screen is not a swatch",
                  example="#a0714a")
    lab = Part(Lab, attribute="step.colour.lab", about="The same")
    band = Part(Band, attribute="step.band", allow_none=True, about="Colours between which one more swatch of this "
                "dose is likely to lie (95 %), from how far swatches lie from the fit of the others; null with fewer "
                "than four doses")
    colourant_mass_g = Dose(attribute="colourant_g", allow_none=True, about="Colourant in this bucket, carried over or "
                            "not; null without its mass", example=6.7)
    dispersion_mass_g = Dose(attribute="dispersion_g", allow_none=True, about="The same as dispersion; null without "
                             "dispersion_pct", example=67)
    darker_by_mass_g = Dose(attribute="darker_by_g", allow_none=True, about="Colourant that brings this bucket to the "
                            "next darker step; null for the darkest", example=11)
    darker_by_of = Text(allow_none=True, about="What that mass is of: the dispersion with its strength if one is "
                        "given, else the dry colourant; null for the darkest", example="dry colourant")
    to_next = Number(attribute="step.to_next", allow_none=True, about="Difference to the next portion; null for the "
                     "last", unit="CIEDE2000", example=13.1)


class SwatchFitResult(ResponsePart):
    """How the swatches were fitted."""

    model = Choice(MODELS, about="K/S of each channel against the dose: straight (always so between two doses), a "
                   "power of the dose, or interpolated through all swatches")
    error = Number(allow_none=True, about="Root mean square between swatches and fit; null with two swatches",
                   unit="CIEDE2000", example=0.4)
    left_out_error = Number(allow_none=True, about="Root mean square between swatches and the fit of the others, each "
                            "swatch left out in turn: how far a prediction between swatches may be off; null with "
                            "fewer than four doses", unit="CIEDE2000", example=0.8)
    swatches = ListOf(Part(FittedSwatch), about="The swatches, the lightest first")
    dose_min = Number(about="Lowest dose of the swatches", unit="g per kg of batter", example=0)
    dose_max = Number(about="Highest dose of the swatches; nothing is predicted beyond it",
                      unit="g per kg of batter", example=12)


class CarryOver(ResponsePart):
    """A step of the carry-over, in the order of the work."""

    key = Text(about="Of the portion", example="deep")
    plain_mass_g = Mass(attribute="step.plain_g", about="Plain batter to put in first", example=399)
    colourant_mass_g = Dose(attribute="step.colourant_g", about="Colourant to put in: only into the first", example=8.6)
    make_mass_g = Mass(attribute="step.make_g", about="What the bucket then holds", example=757)
    pour_mass_g = Mass(attribute="step.pour_g", about="How much of it you pour", example=500)
    keep_mass_g = Mass(attribute="step.keep_g", about="What is kept to colour the next", example=257)


class FadeCost(ResponsePart):
    """What the colourant costs."""

    amount = Text(about="Of this fade, as a decimal text", example="3.52")
    equal_doses_amount = Text(about="Of steps of equal dose between the same ends", example="5.10")
    currency = Text(about="ISO 4217", example="EUR")


class ExtraColour(ResponsePart):
    """What a bucket needs."""

    now_dose = Number(about="As given, or read off its lightness", unit="g per kg of batter", example=3)
    wanted_dose = Number(about="The same", unit="g per kg of batter", example=6)
    colourant_mass_g = Dose(attribute="colourant_g", about="Colourant to add for a darker colour", example=1.5)
    plain_mass_g = Mass(attribute="plain_g", about="Plain batter to add for a lighter one", example=0)


class FadeOfBatch(ResponsePart):
    """Doses and predicted colours of a fade."""

    omitted: ClassVar[tuple[str, ...]] = ("carry_over", "more", "cost")

    portions = ListOf(Part(FadeStep), attribute="lines", about="The darkest first, or from one end to the "
                      "other")
    fit = Part(SwatchFitResult, about="How the swatches were fitted")
    other_fit = Part(SwatchFitResult, allow_none=True, about="Those of the other end; null without one")
    state = Choice(["cured", "wet"], about="State that the colours are predicted for: that of "
                   "the swatches")
    gelled = Choice(GELLED, about="The same")
    colourant_mass_g = Dose(attribute="colourant_g", allow_none=True, about="To weigh for all portions; null "
                            "without their masses", example=22)
    equal_doses_mass_g = Dose(attribute="equal_doses_g", allow_none=True, about="The same for steps of equal dose "
                              "between the same ends", example=45)
    cost = Part(FadeCost, about="If a price was given and the masses are known")
    notes = ListOf(Text(example="Screens are not swatches."), about="What to know about this "
                   "prediction")
    carry_over = ListOf(Part(CarryOver), about="If requested, in the order you do the "
                        "steps")
    more = Part(ExtraColour, about="If requested")


class FadesResponse(BaseResponse, FadeOfBatch):
    """Doses and predicted colours of a fade."""

