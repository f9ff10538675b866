"""POST /v1/blends."""

from __future__ import annotations

from typing import Any

from kettlewright import plan
from kettlewright.api.door.operations import operation
from kettlewright.api.routes.lye import SOURCES_OF_LYE
from kettlewright.api.schemas.blends import BlendsRequest, BlendsResponse, price_told
from kettlewright.api.schemas.envelope import answer

__all__ = ["blends"]


@operation("POST", "/v1/blends", name="blends", group="recipe", heavy=True, takes=BlendsRequest, gives=BlendsResponse,
           summary="Shares of the fats at hand, within your limits",
           description="A linear program finds the cheapest blend, the blend closest to a recipe in fatty acids, a "
           "replacement for one fat of a recipe, or the least or most of a fat. If no blend meets your limits, the "
           "problem names the smallest change that would make one possible. Plain chemistry at the middle of each "
           "range, no scores.")
def blends(currency: str | None = None, **more: Any) -> object:
    """Shares of the fats at hand under wishes (the loaded request)."""
    found = plan.plan_blend(**more)
    blend, lye = found.blend, found.lye
    return answer(
        "blends", () if lye is None else lye.cautions, sources=SOURCES_OF_LYE if lye else ("iupac_atomic_weights",),
        more_sources=() if lye is None else lye.lye.sources,
        fats=[{"key": share.key, "name": share.name, "share_pct": share.share_pct,
               "mass_g": None if found.fats_g is None else found.fats_g * share.share_pct / 100}
              for share in blend.shares],
        saponification_value=blend.saponification_value, iodine_value=blend.iodine_value,
        fatty_acids=None if blend.fatty_acids is None else [
            {"fatty_acid": notation, "share_pct": share} for notation, share in blend.fatty_acids.items()],
        groups=blend.groups, price=price_told(blend.price_per_g, currency), distance_pct=blend.distance_pct,
        recipe=found.recipe, lye=lye)
