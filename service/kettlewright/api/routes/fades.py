"""POST /v1/fades."""

from __future__ import annotations

from typing import Any

from kettlewright import plan
from kettlewright.api.operations import Face, operation
from kettlewright.api.schemas.envelope import answer
from kettlewright.api.schemas.fades import FadesReply, FadesRequest
from kettlewright.pour.swatches import Material
from kettlewright.views import fade_strip

__all__ = ["fades"]


@operation("POST", "/v1/fades", name="fades", takes=FadesRequest, gives=FadesReply,
           summary="Doses so that a colour fades in even steps",
           description="From swatches of your own (dose and measured colour), Kubelka-Munk in linear light gives the "
           "doses of a fade in equal steps, the colours of doses given, how much more a bucket needs, and how much to "
           "keep of each batter to colour the next. Only inside what the swatches reach, and only of soap made as they "
           "were.", faces={"svg": Face("image/svg+xml", fade_strip)})
def fades(swatches: list[Any], portions: list[Any], carry_over: bool = False, **more: Any) -> object:
    """Doses of a fade (the loaded request)."""
    found = plan.plan_fade(swatches, portions, carry=carry_over, **more)
    carried = found.carry_over
    return answer(
        "fades", sources=("kubelka_munk", "iec_61966_2_1", "cie_lab", "ciede2000"), portions=found.lines,
        fit=_fit(found.material),
        other_fit=None if found.other is None else _fit(found.other), state=found.state, gelled=found.gelled,
        colourant_mass_g=found.colourant_g, equal_doses_mass_g=found.equal_doses_g, notes=found.notes,
        carry_over=None if carried is None else [
            {"key": key, "plain_mass_g": step.plain_g, "colourant_mass_g": step.colourant_g, "make_mass_g": step.make_g,
             "pour_mass_g": step.pour_g, "keep_mass_g": step.keep_g} for key, step in carried],
        more=None if found.more is None else {
            "now_dose": found.more.now_dose, "wanted_dose": found.more.wanted_dose,
            "colourant_mass_g": found.more.colourant_g, "plain_mass_g": found.more.plain_g})


def _fit(material: Material) -> dict[str, Any]:
    return {"error": material.error, "dose_min": material.doses[0], "dose_max": material.doses[1]}
