"""POST /v1/fades."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from kettlewright import plan
from kettlewright.api.door.operations import Face, operation
from kettlewright.api.endpoints.fades.request import FadesRequest
from kettlewright.api.endpoints.fades.response import FadesResponse
from kettlewright.api.parts.envelope import answer
from kettlewright.plan import FadeOptions
from kettlewright.views import fade_strip

__all__ = ["SOURCES_OF_FADES", "fades"]

SOURCES_OF_FADES = ("kubelka_munk", "iec_61966_2_1", "cie_lab", "ciede2000")


@operation("POST", "/v1/fades", name="fades", group="pour", heavy=True, request=FadesRequest, response=FadesResponse,
           main_table="portions", summary="Doses so that a colour fades in even steps",
           description="From your own swatches (dose and measured colour) the service fits Kubelka-Munk in linear "
           "light with a monotone curve. You get the doses of a fade in equal steps, the colours of given doses, how "
           "much more colourant a bucket needs, and how much of each batter to keep to colour the next. With two "
           "swatches the curve is assumed straight. It is valid only between the swatches, and only for soap made as "
           "they were.", faces={"svg": Face("image/svg+xml", fade_strip)})
def fades(options: FadeOptions, portions: Sequence[Any], **more: Any) -> object:
    """Doses of a fade (the loaded request)."""
    found = plan.plan_fade(options, portions, **more)
    return answer("fades", found.cautions, sources=SOURCES_OF_FADES, result=found)

