"""POST /v1/lye."""

from __future__ import annotations

from typing import Any

from kettlewright import plan
from kettlewright.api.door.operations import Face, operation
from kettlewright.api.schemas.envelope import answer
from kettlewright.api.schemas.lye import LyeRequest, LyeResponse
from kettlewright.recipe import Recipe, Scale
from kettlewright.views import lye_page, sheet_policy

__all__ = ["SOURCES_OF_LYE", "lye"]

SOURCES_OF_LYE = ("iupac_atomic_weights", "iso_3657", "gum_jcgm_100", "naoh_density", "laliberte_2009",
                  "naoh_heat_of_solution", "parker_1965", "iso_685", "own_density_rules")


@operation("POST", "/v1/lye", name="lye", group="recipe", takes=LyeRequest, gives=LyeResponse,
           summary="What to weigh for a recipe",
           description="Alkali, water and acids for fats by mass; the superfat and its ranges; the lye, the soap and "
           "the batter. `mass` is exact, `weigh` is what the scale shows. Alkali is computed from the weighed fats and "
           "rounded down, so the superfat is never below the one you set.",
           faces={"html": Face("text/html", lye_page, sheet_policy)})
def lye(recipe: Recipe, scale: Scale, **more: Any) -> object:
    """What to weigh for a recipe (the loaded request)."""
    found = plan.plan_lye(recipe, scale, **more)
    return answer("lye", found.cautions, sources=SOURCES_OF_LYE, more_sources=found.lye.sources, lye=found.lye,
                  batter=found.batter, vessels=found.vessels, weigh_list=found.weigh_list,
                  workings=found.workings or None)
