"""One batch to plan, and what a plan tells: what /v1/batches, /v1/labels and /v1/costs have in common."""

from __future__ import annotations

from typing import ClassVar

from kettlewright import limits
from kettlewright.api.fields import Choice, Flag, ListOf, Mass, Number, Part, Volume, Whole
from kettlewright.api.schemas.cuts import CutAsked, CutsTold
from kettlewright.api.schemas.envelope import Request, ScaleSteps, Told
from kettlewright.api.schemas.fade_replies import FadeTold
from kettlewright.api.schemas.fades import BatchFadeAsked
from kettlewright.api.schemas.lye import LyeCoreTold, Vessels, WeighRowTold, WorkingTold
from kettlewright.api.schemas.moulds import MouldAsked, MouldTold
from kettlewright.api.schemas.own_fats import OwnFatAsked
from kettlewright.api.schemas.portions import (
    ADDITIONS_MAX,
    PORTIONS_MAX,
    AdditionAsked,
    DivisionTold,
    PortionAsked,
    ResidueAsked,
)
from kettlewright.api.schemas.recipe import RecipeAsked
from kettlewright.api.schemas.recipe_told import RecipeTold
from kettlewright.pour import ARRANGEMENTS

__all__ = ["BatchTold", "PlannedRequest"]


class PlannedRequest(Request):
    """One whole batch."""

    recipe = Part(RecipeAsked, required=True, about="By share: the mould gives the size. By mass: it must fit")
    mould = MouldAsked(required=True)
    portions = ListOf(Part(PortionAsked), at_least=1, at_most=PORTIONS_MAX, about="Buckets, in pour order from the "
                      "bottom; without any the batch is one portion")
    additions = ListOf(Part(AdditionAsked), at_most=ADDITIONS_MAX, about="The batch's own, into the pot")
    residue = Part(ResidueAsked, about="What stays behind")
    arrangement = Choice(ARRANGEMENTS, about="How the portions lie: flat layers (where not given); columns "
                         "between upright dividers; mingled: swirled, masses but no heights; separate: one per cavity")
    fade = Part(BatchFadeAsked, about="Doses of a colourant for the portions, from your own swatches")
    cut = Part(CutAsked, about="How the block is cut; for a box mould")
    scale = Part(ScaleSteps, about="Steps of the scales")
    expected_loss_pct = Number(bounds=limits.LOSS_PCT, about="Loss in cure, as a share of the mass of a whole bar as "
                               "cut, additions included, as you measure it by weighing bars. Where not given, all the "
                               "water of batter and additions is taken as lost", unit="%", example=11)
    batter_density = Number(bounds=limits.ADDITION_DENSITY, about="Measured by you; overrides the estimate",
                            unit="g/mL", example=0.99)
    overflow_mould = MouldAsked(about="Takes what is above the mould's fill limit; of fats by mass")
    pot_volume_ml = Volume(bounds=limits.VOLUME, about="What the pot at hand holds to its brim; two thirds of it are "
                           "used, and a larger batch is made in equal mixes", example=6000)
    workings = Flag(about="The calculation of the lye line by line, in grams", example=True)
    own_fats = ListOf(Part(OwnFatAsked), at_most=200, about="Fats of your own; the recipe names them by their keys")


class PiecesTold(Told):
    """What a batch that is not cut comes to: one piece for each cavity."""

    count = Whole(about="How many", unit="pieces", example=6)
    mass_g = Mass(about="Wet, of one, where all are filled alike", example=114)
    cured_mass_g = Mass(allow_none=True, about="After the loss in cure; null where that is not given", example=101)


class MixesTold(Told):
    """The batch in equal mixes, since the pot does not hold it at once."""

    count = Whole(about="How many", unit="mixes", example=2)
    batter_mass_g = Mass(attribute="batter.mass_g", about="Fresh batter of one mix, before additions", example=4120)
    pot_mass_g = Mass(about="All that is in the pot of one mix, additions included", example=4205)
    weigh_list = ListOf(Part(WeighRowTold), about="For each mix: jug and pot, the alkali computed for the fats of this "
                        "mix. So many mixes are the whole batch")


class BatchTold(DivisionTold):
    """Everything of one batch."""

    omitted: ClassVar[tuple[str, ...]] = ("workings", "overflow", "mixes", "pieces", "fade", "kept_back")

    recipe = Part(RecipeTold, about="At the size made, unrounded")
    lye = Part(LyeCoreTold, attribute="stage", about="What to weigh for the pot and the jug, as at /v1/lye")
    vessels = Part(Vessels, about="The smallest pot, additions included, and jug; of one mix where there are "
                   "several")
    mould = Part(MouldTold, attribute="filled", about="The mould and how far it is filled, as at /v1/moulds")
    arrangement = Choice(ARRANGEMENTS, about="How the portions lie")
    cuts = Part(CutsTold, allow_none=True, about="How the block is cut, as at /v1/cuts; null where no cut was asked")
    loss_for_limits_pct = Number(about="Loss in cure that limits, allergens and net quantity are judged with: "
                                 "expected_loss_pct, else all the water of batter and additions",
                                 unit="% of a bar as cut", example=11)
    loss_assumed = Flag(about="No expected_loss_pct was given: all the water is taken as lost, and cautions on limits "
                        "are stricter than they need be", example=False)
    weigh_list = ListOf(Part(WeighRowTold), about="Everything to weigh, in bench order")
    pieces = Part(PiecesTold, about="Where no cut was asked: one piece for each cavity")
    mixes = Part(MixesTold, about="Where pot_volume is given")
    fade = Part(FadeTold, about="Where one was asked: its colours, and a ladder for each bucket")
    workings = ListOf(Part(WorkingTold), about="Of the lye, line by line, where it was asked")
