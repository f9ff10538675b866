"""Request of /v1/fades."""

from __future__ import annotations

from typing import Any

from kettlewright import limits
from kettlewright.api.door.fields import Choice, Flag, Mass, Number, Text
from kettlewright.api.door.strict import ListOf, Part, Strict
from kettlewright.api.parts.envelope import Request
from kettlewright.api.parts.prices import PriceInput
from kettlewright.errors import DomainError, Missing, one_of
from kettlewright.plan import FadeOptions, MadeSwatch, OtherEnd
from kettlewright.pour.fade.colours import Colour, from_hex, from_lab
from kettlewright.pour.fade.fades import STEPS
from kettlewright.pour.fade.swatches import CAVEATS, Swatch

__all__ = ["GELLED", "FadeOptionsInput", "FadesRequest", "OtherEndInput", "take_fade_options"]

GELLED = ("unknown", "yes", "no")


class LabInput(Strict):
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


class SwatchInput(Strict):
    """Soap of a known dose and its measured colour, by `colour` or `lab`."""

    exactly_one = (("colour", "lab"),)

    dose = Number(required=True, bounds=limits.SWATCH_DOSE, about="Colourant; 0 for plain batter", unit="g per kg of "
                  "batter", example=12)
    colour = Text(pattern=r"#[0-9A-Fa-f]{6}", like='a colour such as "#7a4b2a"', about="As a screen shows it",
                  example="#7a4b2a")
    lab = Part(LabInput, about="In place of colour")
    state = Choice(["cured", "wet"], about="Cured soap (if not given), or wet batter")
    gelled = Choice(GELLED, about="Whether it went through gel phase")

    @staticmethod
    def builds(dose: float, state: str = "cured", gelled: str = "unknown", **given: Any) -> MadeSwatch:
        """A swatch, and how it was made."""
        colour = _colour(given)
        if colour is None:
            raise Missing('A swatch needs its "colour" (#rrggbb) or "lab".', field=("colour",))
        return MadeSwatch(Swatch(dose, colour), state, gelled)


class FadePortionInput(Strict):
    """A bucket of the fade."""

    name = Text(required=True, about="Your name for it", example="deep")
    mass_g = Mass(bounds=limits.MASS, about="Batter in it; masses of colourant need it", example=1500)

    @staticmethod
    def builds(name: str, mass_g: float | None = None) -> tuple[str, float | None]:
        """Name and mass."""
        return name, mass_g


class OtherEndInput(Strict):
    """The other colourant of a fade from one colour through plain to another."""

    builds = OtherEnd

    swatches = ListOf(Part(SwatchInput), required=True, at_least=2, at_most=40, about="Of the other colourant, one of "
                      "them plain")
    darkest_dose = Number(bounds=limits.SWATCH_DOSE, about="Its dose at the end; default its darkest swatch",
                          unit="g per kg of batter", example=8)


class LookInput(Strict):
    """How batter looks, or its dose: exactly one of the three."""

    exactly_one = (("dose", "colour", "lab"),)

    dose = Number(bounds=limits.SWATCH_DOSE, about="Colourant in it", unit="g per kg of batter", example=3)
    colour = Text(pattern=r"#[0-9A-Fa-f]{6}", like='a colour such as "#7a4b2a"', about="As a screen shows it",
                  example="#ac7d51")
    lab = Part(LabInput, about="In place of colour")

    @staticmethod
    def builds(**given: Any) -> Colour | float:
        """The colour or the dose."""
        dose = given.pop("dose", None)
        colour = _colour(given)
        if (dose is None) == (colour is None):
            raise one_of(dose)('Give exactly one of "dose", "colour" and "lab".', field=("dose",))
        if colour is not None:
            return colour
        return float(dose)


class ExtraColourInput(Strict):
    """A bucket that is to get another colour."""

    mass_g = Mass(required=True, bounds=limits.MASS, about="Batter in it", example=500)
    now = Part(LookInput, required=True, about="As it is")
    wanted = Part(LookInput, required=True, about="Wanted")

    @staticmethod
    def builds(mass_g: float, now: Colour | float, wanted: Colour | float) -> tuple[float, object, object]:
        """The bucket and its two looks."""
        return mass_g, now, wanted


class FadeOptionsInput(Strict):
    """A fade, whatever it is poured into."""

    swatches = ListOf(Part(SwatchInput), required=True, at_least=1, at_most=40, about="Of one colourant, made alike: "
                      "one plain and one dyed are enough")
    kind = Choice(tuple(CAVEATS), about="Kind of colourant; the notes depend on it")
    steps = Choice(STEPS, about="Equal steps of CIEDE2000 (if not given) or of L*")
    curve = ListOf(Number(bounds=limits.UNIT, unit="1", example=0.3), at_most=40, about="In place of equal steps: "
                   "lightness of each portion, rising from 0 (darkest) to 1 (lightest)")
    doses = ListOf(Number(bounds=limits.SWATCH_DOSE, unit="g per kg of batter", example=4), at_most=40, about="In "
                   "place of steps: your own doses; only their colours are predicted")
    darkest_dose = Number(bounds=limits.SWATCH_DOSE, about="Default the darkest swatch's",
                          unit="g per kg of batter", example=12)
    lightest_dose = Number(bounds=limits.SWATCH_DOSE, about="Default the lightest swatch's",
                           unit="g per kg of batter", example=0.5)
    other = Part(OtherEndInput, about="The other end of a fade from one colour through plain to another")
    carry_over = Flag(about="Also how much of each batter to keep to colour the next; needs the masses of all portions",
                      example=True)


_OPTION_FIELDS = tuple(FadeOptionsInput().fields)  # once: a schema costs more to make than a body to load


def take_fade_options(data: dict[str, Any]) -> FadeOptions:
    """Fade options out of the fields of `FadeOptionsInput`, which leave the loaded fields (`data`)."""
    fields: dict[str, Any] = {name: tuple(value) if isinstance(value := data.pop(name), list) else value
                              for name in _OPTION_FIELDS if name in data}
    return FadeOptions(**fields)


class FadesRequest(Request, FadeOptionsInput):
    """Swatches of a colourant, and the portions of a fade, the darkest first."""

    portions = ListOf(Part(FadePortionInput), required=True, at_most=limits.PORTIONS_MAX, about="The darkest first; "
                      "with `other` from one end to the other")
    dispersion_pct = Number(bounds=limits.STRENGTH_PCT, about="Colourant in the dispersion it is weighed as",
                            unit="% by mass", example=10)
    price = Part(PriceInput, about="Of the colourant: the response then has the cost of the fade beside that of equal "
                 "dose steps")
    more = Part(ExtraColourInput, about="How much more a bucket needs")

    def build(self, data: dict[str, Any]) -> Any:
        """Put the fade together (`data`)."""
        return super().build({"options": take_fade_options(data), **data})

