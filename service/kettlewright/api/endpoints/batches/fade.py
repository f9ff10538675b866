"""A fade over the portions of a batch."""

from __future__ import annotations

from typing import Any

from kettlewright import limits
from kettlewright.api.door.fields import Flag, Number, Text
from kettlewright.api.door.strict import ListOf, Part, Strict
from kettlewright.api.endpoints.fades.request import FadeOptionsInput, OtherEndInput, take_fade_options
from kettlewright.api.parts.additions import DispersionInput
from kettlewright.plan import BatchFade
from kettlewright.pour import Addition

__all__ = ["BatchFadeInput"]


class ColourantInput(Strict):
    """What the swatches were made with; the fade finds its dose."""

    name = Text(required=True, about="Your name for it", example="madder")
    inci = Text(about="Name on a label, or colour index number", example="CI 75330")
    lot = Text(about="Lot number", example="M-3")
    density = Number(bounds=limits.ADDITION_DENSITY, about="Of what is weighed; the batter's if not given",
                     unit="g/mL", example=0.95)
    limit_pct = Number(bounds=limits.LIMIT_PCT, about="Largest share of the cured bar", unit="% of cured bar",
                       example=2.4)
    dispersion = Part(DispersionInput, about="What you stir it into before the pour")

    @staticmethod
    def builds(**given: Any) -> Addition:
        """An addition, its dose still open."""
        return Addition(kind="colourant", dose=1.0, basis="g_per_kg_batter", **given)


class OtherColourantInput(OtherEndInput):
    """The other colourant, and its swatches."""

    colourant = Part(ColourantInput, required=True, about="Colourant of these swatches")

    def build(self, data: dict[str, Any]) -> Any:
        """Colourant and end (`data`)."""
        return data.pop("colourant"), super().build(data)


class BatchFadeInput(FadeOptionsInput):
    """A fade over portions of a batch: they get its doses as an addition, and its colours where they tell none.

    Doses are on the batter of a portion with the batch's additions, as the swatches' are.
    """

    colourant = Part(ColourantInput, required=True, about="Colourant of the swatches")
    portions = ListOf(Text(example="deep red"), at_most=limits.PORTIONS_MAX, about="Names or keys of its portions, the "
                      "darkest first; default all in pour order")
    other = Part(OtherColourantInput, about="The other end of a fade from one colour through plain to another")
    carry_over = Flag(about="Each portion is coloured with batter from the one before; only the first gets colourant",
                      example=True)

    def build(self, data: dict[str, Any]) -> Any:
        """Put the fade together (`data`)."""
        second, end = data.pop("other", (None, None))
        if end is not None:
            data["other"] = end
        options = take_fade_options(data)
        return BatchFade(options, data["colourant"], second, tuple(data.get("portions", ())))

