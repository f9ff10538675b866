"""Replies of `fades`."""

from __future__ import annotations

from dataclasses import dataclass

from kettlewright_client.results.ground import Reply

__all__ = ["CarryOver", "ColourBand", "Fade", "FadeCore", "FadeCost", "FadeStep", "Fit", "FittedSwatch", "Lab",
           "MoreColour"]


@dataclass(frozen=True, kw_only=True)
class Lab:
    """A colour of CIELAB."""

    lightness: float
    a: float
    b: float


@dataclass(frozen=True, kw_only=True)
class ColourBand:
    """The range of colours in which a swatch is likely to be."""

    darkest: str
    lightest: str
    lightness_min: float
    lightness_max: float


@dataclass(frozen=True, kw_only=True)
class FadeStep:
    """A portion of a fade."""

    key: str
    name: str
    end: int
    dose: float
    colour: str
    lab: Lab
    band: ColourBand | None
    colourant_mass: float | None
    dispersion_mass: float | None
    darker_by_mass: float | None
    darker_by_of: str | None
    to_next: float | None


@dataclass(frozen=True, kw_only=True)
class FittedSwatch:
    """A swatch, and the fit's prediction of it."""

    dose: float
    colour: str
    predicted: str
    off: float


@dataclass(frozen=True, kw_only=True)
class Fit:
    """How swatches were fitted."""

    model: str
    error: float | None
    left_out_error: float | None
    swatches: tuple[FittedSwatch, ...]
    dose_min: float
    dose_max: float


@dataclass(frozen=True, kw_only=True)
class CarryOver:
    """A step of the carry-over."""

    key: str
    plain_mass: float
    colourant_mass: float
    make_mass: float
    pour_mass: float
    keep_mass: float


@dataclass(frozen=True, kw_only=True)
class MoreColour:
    """Colourant for a bucket."""

    now_dose: float
    wanted_dose: float
    colourant_mass: float
    plain_mass: float


@dataclass(frozen=True, kw_only=True)
class FadeCost:
    """Cost of the colourant of a fade."""

    amount: str
    equal_doses_amount: str
    currency: str


@dataclass(frozen=True, kw_only=True)
class FadeCore:
    """A fade."""

    portions: tuple[FadeStep, ...]
    fit: Fit
    other_fit: Fit | None
    state: str
    gelled: str
    colourant_mass: float | None
    equal_doses_mass: float | None
    notes: tuple[str, ...]
    cost: FadeCost | None = None
    carry_over: tuple[CarryOver, ...] | None = None
    more: MoreColour | None = None


@dataclass(frozen=True, kw_only=True)
class Fade(FadeCore, Reply):
    """Reply of `fades`."""
