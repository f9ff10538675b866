"""Request and reply of /v1/fades."""

from __future__ import annotations

from typing import Any, ClassVar

from kettlewright import limits
from kettlewright.api.fields import Choice, Dose, Flag, ListOf, Mass, Number, Part, Strict, Text, Whole
from kettlewright.api.schemas.envelope import Answer, Request, Told
from kettlewright.errors import DomainError
from kettlewright.pour.colours import Colour, from_hex, from_lab
from kettlewright.pour.fades import STEPS, FadePortion
from kettlewright.pour.swatches import CAVEATS, Swatch

__all__ = ["FadesReply", "FadesRequest"]

_GELLED = ("unknown", "yes", "no")


class LabAsked(Strict):
    """A colour of CIELAB under D65, 2 degrees."""

    lightness = Number(required=True, bounds=limits.LIGHTNESS, about="L*", unit="1", example=36.6)
    a = Number(required=True, bounds=limits.LAB_AXIS, about="a*", unit="1", example=16.5)
    b = Number(required=True, bounds=limits.LAB_AXIS, about="b*", unit="1", example=27.7)

    builds = from_lab


def _colour(given: dict[str, Any]) -> Colour | None:
    text, lab = given.pop("colour", None), given.pop("lab", None)
    if text is not None and lab is not None:
        raise DomainError('Give "colour" or "lab", not both.', field=("lab",))
    return lab if text is None else from_hex(text)


class SwatchAsked(Strict):
    """Soap of a known dose and its measured colour, by `colour` or `lab`."""

    dose = Number(required=True, bounds=limits.SWATCH_DOSE, about="Colourant; 0 for plain batter", unit="g per kg of "
                  "batter", example=12)
    colour = Text(pattern=r"#[0-9A-Fa-f]{6}", like='a colour such as "#7a4b2a"', about="As a screen shows it",
                  example="#7a4b2a")
    lab = Part(LabAsked, about="In place of colour")
    state = Choice(["cured", "wet"], about="Cured soap (where not given), or wet batter")
    gelled = Choice(_GELLED, about="Whether it went through gel phase")

    @staticmethod
    def builds(dose: float, state: str = "cured", gelled: str = "unknown", **given: Any) -> tuple[Swatch, str, str]:
        """A swatch, and how it was made."""
        colour = _colour(given)
        if colour is None:
            raise DomainError('A swatch needs its "colour" (#rrggbb) or "lab".', field=("colour",))
        return Swatch(dose, colour), state, gelled


class FadePortionAsked(Strict):
    """A bucket of the fade."""

    builds = FadePortion

    name = Text(required=True, about="Your name for it", example="deep")
    mass_g = Mass(bounds=limits.MASS, about="Batter in it; masses of colourant need it", example=1500)


class OtherEndAsked(Strict):
    """The other colourant of a fade from one colour through plain to another."""

    swatches = ListOf(Part(SwatchAsked), required=True, at_least=2, at_most=40, about="Of the other colourant")
    darkest_dose = Number(bounds=limits.SWATCH_DOSE, about="Where its end lies; its darkest swatch where not given",
                          unit="g per kg of batter", example=8)

    @staticmethod
    def builds(swatches: tuple[Any, ...], darkest_dose: float | None = None) -> tuple[Any, float | None]:
        """Swatches and end."""
        return swatches, darkest_dose


class LookAsked(Strict):
    """How batter looks, or its dose: exactly one of the three."""

    dose = Number(bounds=limits.SWATCH_DOSE, about="Colourant in it", unit="g per kg of batter", example=3)
    colour = Text(pattern=r"#[0-9A-Fa-f]{6}", like='a colour such as "#7a4b2a"', about="As a screen shows it",
                  example="#ac7d51")
    lab = Part(LabAsked, about="In place of colour")

    @staticmethod
    def builds(**given: Any) -> Colour | float:
        """The colour or the dose."""
        dose = given.pop("dose", None)
        colour = _colour(given)
        if (dose is None) == (colour is None):
            raise DomainError('Tell it by exactly one of "dose", "colour" and "lab".', field=("dose",))
        if colour is not None:
            return colour
        return float(dose)


class MoreAsked(Strict):
    """A bucket that looks like this and shall look like that."""

    mass_g = Mass(required=True, bounds=limits.MASS, about="Batter in it", example=500)
    now = Part(LookAsked, required=True, about="As it is")
    wanted = Part(LookAsked, required=True, about="As it shall be")

    @staticmethod
    def builds(mass_g: float, now: Colour | float, wanted: Colour | float) -> tuple[float, object, object]:
        """The bucket and its two looks."""
        return mass_g, now, wanted


class FadesRequest(Request):
    """Swatches of a colourant, and the portions of a fade, the darkest first."""

    swatches = ListOf(Part(SwatchAsked), required=True, at_least=1, at_most=40, about="Of one colourant, made alike: "
                      "one plain and one dyed suffice")
    kind = Choice(tuple(CAVEATS), about="What kind of colourant it is: the caveats depend on it")
    portions = ListOf(Part(FadePortionAsked), required=True, about="The darkest first; with `other` from one end to "
                      "the other")
    steps = Choice(STEPS, about="Equal steps of CIEDE2000 (where not given) or of L*")
    curve = ListOf(Number(bounds=limits.UNIT, unit="1", example=0.3), at_most=40, about="In place of equal steps: "
                   "where each portion stands by lightness, rising from 0 (darkest) to 1 (lightest)")
    doses = ListOf(Number(bounds=limits.SWATCH_DOSE, unit="g per kg of batter", example=4), at_most=40, about="In "
                   "place of steps: doses given, and only looked at")
    darkest_dose = Number(bounds=limits.SWATCH_DOSE, about="The darkest swatch's where not given",
                          unit="g per kg of batter", example=12)
    lightest_dose = Number(bounds=limits.SWATCH_DOSE, about="The lightest swatch's where not given",
                           unit="g per kg of batter", example=0.5)
    other = Part(OtherEndAsked, about="The other end of a fade from one colour through plain to another")
    carry_over = Flag(about="Also how much to keep of each batter to colour the next; masses of all portions needed",
                      example=True)
    dispersion_pct = Number(bounds=limits.STRENGTH_PCT, about="Colourant in the dispersion it is weighed as",
                            unit="% by mass", example=10)
    more = Part(MoreAsked, about="How much more a bucket needs")


class LabTold(Told):
    """A colour of CIELAB under D65, 2 degrees."""

    lightness = Number(about="L*", unit="1", example=36.6)
    a = Number(about="a*", unit="1", example=16.5, signed=True)
    b = Number(about="b*", unit="1", example=27.7, signed=True)


class FadeStepTold(Told):
    """A portion of the fade."""

    key = Text(attribute="step.key", about="A slug of the name", example="deep")
    name = Text(attribute="step.name", about="Your name for it", example="deep")
    end = Whole(attribute="step.end", about="0: the first colourant; 1: the other", unit="number", example=0)
    dose = Number(attribute="step.dose", about="Colourant", unit="g per kg of batter", example=4.46)
    colour = Text(attribute="step.colour.hex", about="Predicted, as a screen shows it; a screen is no swatch",
                  example="#a0714a")
    lab = Part(LabTold, attribute="step.colour.lab", about="The same")
    colourant_mass_g = Dose(attribute="step.colourant_g", allow_none=True, about="Colourant in this bucket; null "
                            "without its mass", example=6.7)
    dispersion_mass_g = Dose(attribute="dispersion_g", allow_none=True, about="The same as dispersion; null without "
                             "dispersion_pct", example=67)
    darker_by_mass_g = Dose(attribute="darker_by_g", allow_none=True, about="What brings this bucket to the next "
                            "darker step: of dispersion where dispersion_pct is told, else of colourant; null for the "
                            "darkest",
                            example=11)
    to_next = Number(attribute="step.to_next", allow_none=True, about="Difference to the next portion; null for the "
                     "last", unit="CIEDE2000", example=13.1)


class FitTold(Told):
    """How the swatches were fitted."""

    error = Number(allow_none=True, about="Root mean square between swatches and fit; null where no swatch is to "
                   "spare, and no error can be given", unit="CIEDE2000", example=0.8)
    dose_min = Number(about="Where the swatches begin", unit="g per kg of batter", example=0)
    dose_max = Number(about="Where they end: beyond, nothing is said", unit="g per kg of batter", example=12)


class CarryOverTold(Told):
    """A step of the carry-over, in the order of the hands."""

    key = Text(about="Of the portion", example="deep")
    plain_mass_g = Mass(about="Plain batter to put in first", example=399)
    colourant_mass_g = Dose(about="Colourant to put in: only into the first", example=8.6)
    make_mass_g = Mass(about="What the bucket then holds", example=757)
    pour_mass_g = Mass(about="What is poured of it", example=500)
    keep_mass_g = Mass(about="What is kept to colour the next", example=257)


class MoreTold(Told):
    """What a bucket needs."""

    now_dose = Number(about="As told, or read off its lightness", unit="g per kg of batter", example=3)
    wanted_dose = Number(about="The same", unit="g per kg of batter", example=6)
    colourant_mass_g = Dose(about="Colourant to add for a darker colour", example=1.5)
    plain_mass_g = Mass(about="Plain batter to add for a lighter one", example=0)


class FadesReply(Answer):
    """Doses and predicted colours of a fade."""

    omitted: ClassVar[tuple[str, ...]] = ("carry_over", "more")

    portions = ListOf(Part(FadeStepTold), about="In the order asked")
    fit = Part(FitTold, about="How the swatches were fitted")
    other_fit = Part(FitTold, allow_none=True, about="Those of the other end; null without one")
    state = Choice(["cured", "wet"], about="What the colours are predicted of: that of the swatches")
    gelled = Choice(_GELLED, about="The same")
    colourant_mass_g = Dose(allow_none=True, about="In all portions; null without their masses", example=22)
    equal_doses_mass_g = Dose(allow_none=True, about="What steps of equal dose between the same ends would take",
                              example=45)
    notes = ListOf(Text(example="Screens are not swatches."), about="What to know of this prediction")
    carry_over = ListOf(Part(CarryOverTold), about="Where it was asked, in the order of the hands")
    more = Part(MoreTold, about="Where it was asked")
