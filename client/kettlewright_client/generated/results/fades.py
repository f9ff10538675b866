"""Reply of `fades`. Written by `make contract` from openapi.yaml; do not edit."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal, overload

from kettlewright_client.generated.results.shared import Reply
from kettlewright_client.record import Record

__all__ = ["Band", "CarryOver", "ExtraColour", "Fade", "FadeCost", "FadeOfBatch", "FadeStep", "FittedSwatch", "Lab",
           "SwatchFitResult"]


@dataclass(frozen=True, kw_only=True, repr=False)
class Lab(Record):
    """`lab` of `FadeStep` (The same)."""

    lightness: float
    """L*. Unit: 1."""

    a: float
    """A*. Unit: 1."""

    b: float
    """B*. Unit: 1."""


@dataclass(frozen=True, kw_only=True, repr=False)
class Band(Record):
    """`band` of `FadeStep` (Colours between which one more swatch of this dose is likely to lie (95 %), from how far
    swatches lie from the fit of the others; null with fewer than four doses).
    """

    darkest: str
    """As a screen shows it."""

    lightest: str
    """The same."""

    lightness_min: float
    """L* of the darkest. Unit: 1."""

    lightness_max: float
    """L* of the lightest. Unit: 1."""


@dataclass(frozen=True, kw_only=True, repr=False)
class FadeStep(Record):
    """`portions[]` of `FadeOfBatch` (The darkest first, or from one end to the other)."""

    key: str
    """A slug of the name."""

    name: str
    """Your name for it."""

    end: int
    """0: the first colourant; 1: the other. Unit: number."""

    dose: float
    """Colourant. Unit: g per kg of batter."""

    colour: str
    """Predicted, as a screen shows it; a screen is not a swatch."""

    lab: Lab
    """The same."""

    band: Band | None
    """Colours between which one more swatch of this dose is likely to lie (95 %), from how far swatches lie from the
    fit of the others; null with fewer than four doses.
    """

    colourant_mass: float | None
    """Colourant in this bucket, carried over or not; null without its mass. Unit: `units.dose`, g if not set."""

    dispersion_mass: float | None
    """The same as dispersion; null without dispersion_pct. Unit: `units.dose`, g if not set."""

    darker_by_mass: float | None
    """Colourant that brings this bucket to the next darker step; null for the darkest. Unit: `units.dose`, g if not
    set.
    """

    darker_by_of: str | None
    """What that mass is of: the dispersion with its strength if one is given, else the dry colourant; null for the
    darkest.
    """

    to_next: float | None
    """Difference to the next portion; null for the last. Unit: CIEDE2000."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["band"]) -> Band: ...
        @overload
        def need(self, part: Literal["colourant_mass"]) -> float: ...
        @overload
        def need(self, part: Literal["dispersion_mass"]) -> float: ...
        @overload
        def need(self, part: Literal["darker_by_mass"]) -> float: ...
        @overload
        def need(self, part: Literal["darker_by_of"]) -> str: ...
        @overload
        def need(self, part: Literal["to_next"]) -> float: ...
        def need(self, part: str) -> Any: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class FittedSwatch(Record):
    """`swatches[]` of `SwatchFitResult` (The swatches, the lightest first)."""

    dose: float
    """Colourant. Unit: g per kg of batter."""

    colour: str
    """As measured."""

    predicted: str
    """Of the fit."""

    off: float
    """Between the two. Unit: CIEDE2000."""


@dataclass(frozen=True, kw_only=True, repr=False)
class SwatchFitResult(Record):
    """`fit` of `FadeOfBatch` (How the swatches were fitted), and 1 more."""

    model: str
    """K/S of each channel against the dose: straight (always so between two doses), a power of the dose, or
    interpolated through all swatches. One of straight, power, interpolated.
    """

    error: float | None
    """Root mean square between swatches and fit; null with two swatches. Unit: CIEDE2000."""

    left_out_error: float | None
    """Root mean square between swatches and the fit of the others, each swatch left out in turn: how far a prediction
    between swatches may be off; null with fewer than four doses. Unit: CIEDE2000.
    """

    swatches: tuple[FittedSwatch, ...]
    """The swatches, the lightest first."""

    dose_min: float
    """Lowest dose of the swatches. Unit: g per kg of batter."""

    dose_max: float
    """Highest dose of the swatches; nothing is predicted beyond it. Unit: g per kg of batter."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["error"]) -> float: ...
        @overload
        def need(self, part: Literal["left_out_error"]) -> float: ...
        def need(self, part: str) -> Any: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class FadeCost(Record):
    """`cost` of `FadeOfBatch` (If a price was given and the masses are known)."""

    amount: str
    """Of this fade, as a decimal text."""

    equal_doses_amount: str
    """Of steps of equal dose between the same ends."""

    currency: str
    """ISO 4217."""


@dataclass(frozen=True, kw_only=True, repr=False)
class CarryOver(Record):
    """`carry_over[]` of `FadeOfBatch` (If requested, in the order you do the steps)."""

    key: str
    """Of the portion."""

    plain_mass: float
    """Plain batter to put in first. Unit: `units.mass`, g if not set."""

    colourant_mass: float
    """Colourant to put in: only into the first. Unit: `units.dose`, g if not set."""

    make_mass: float
    """What the bucket then holds. Unit: `units.mass`, g if not set."""

    pour_mass: float
    """How much of it you pour. Unit: `units.mass`, g if not set."""

    keep_mass: float
    """What is kept to colour the next. Unit: `units.mass`, g if not set."""


@dataclass(frozen=True, kw_only=True, repr=False)
class ExtraColour(Record):
    """`more` of `FadeOfBatch` (If requested)."""

    now_dose: float
    """As given, or read off its lightness. Unit: g per kg of batter."""

    wanted_dose: float
    """The same. Unit: g per kg of batter."""

    colourant_mass: float
    """Colourant to add for a darker colour. Unit: `units.dose`, g if not set."""

    plain_mass: float
    """Plain batter to add for a lighter one. Unit: `units.mass`, g if not set."""


@dataclass(frozen=True, kw_only=True, repr=False)
class FadeOfBatch(Record):
    """`fade` of `BatchCore` (If requested: its colours, and how to make each bucket darker)."""

    portions: tuple[FadeStep, ...]
    """The darkest first, or from one end to the other."""

    fit: SwatchFitResult
    """How the swatches were fitted."""

    other_fit: SwatchFitResult | None
    """Those of the other end; null without one."""

    state: str
    """State that the colours are predicted for: that of the swatches. One of cured, wet."""

    gelled: str
    """The same. One of unknown, yes, no."""

    colourant_mass: float | None
    """To weigh for all portions; null without their masses. Unit: `units.dose`, g if not set."""

    equal_doses_mass: float | None
    """The same for steps of equal dose between the same ends. Unit: `units.dose`, g if not set."""

    cost: FadeCost | None = None
    """If a price was given and the masses are known."""

    notes: tuple[str, ...]
    """What to know about this prediction."""

    carry_over: tuple[CarryOver, ...] = ()
    """If requested, in the order you do the steps."""

    more: ExtraColour | None = None
    """If requested."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["other_fit"]) -> SwatchFitResult: ...
        @overload
        def need(self, part: Literal["colourant_mass"]) -> float: ...
        @overload
        def need(self, part: Literal["equal_doses_mass"]) -> float: ...
        @overload
        def need(self, part: Literal["cost"]) -> FadeCost: ...
        @overload
        def need(self, part: Literal["more"]) -> ExtraColour: ...
        def need(self, part: str) -> Any: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class Fade(Reply, FadeOfBatch):
    """Reply of `fades`: doses so that a colour fades in even steps."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["other_fit"]) -> SwatchFitResult: ...
        @overload
        def need(self, part: Literal["colourant_mass"]) -> float: ...
        @overload
        def need(self, part: Literal["equal_doses_mass"]) -> float: ...
        @overload
        def need(self, part: Literal["cost"]) -> FadeCost: ...
        @overload
        def need(self, part: Literal["more"]) -> ExtraColour: ...
        def need(self, part: str) -> Any: ...
