"""One batch to plan, and what a plan tells: what /v1/batches, /v1/labels and /v1/costs have in common."""

from __future__ import annotations

from typing import ClassVar

from kettlewright import limits
from kettlewright.api.door.fields import Choice, Flag, Mass, Number, Volume, Whole
from kettlewright.api.door.strict import ListOf, Part
from kettlewright.api.schemas.cuts import CutInput, CutsOfBatch
from kettlewright.api.schemas.envelope import Request, ResponsePart, ScaleSteps
from kettlewright.api.schemas.fade_replies import FadeOfBatch
from kettlewright.api.schemas.fades import BatchFadeInput
from kettlewright.api.schemas.lye import LyeCore, Vessels, WeighListRow, Working
from kettlewright.api.schemas.moulds import MouldInput, MouldSummary
from kettlewright.api.schemas.own_fats import OwnFatInput
from kettlewright.api.schemas.portions import (
    ADDITIONS_MAX,
    PORTIONS_MAX,
    AdditionInput,
    Division,
    PortionInput,
    ResidueInput,
)
from kettlewright.api.schemas.recipe import RecipeInput
from kettlewright.api.schemas.recipe_told import RecipeAtNewSize
from kettlewright.pour import ARRANGEMENTS

__all__ = ["Batch", "PlannedRequest"]


class PlannedRequest(Request):
    """One whole batch."""

    recipe = Part(RecipeInput, required=True, about="By share: the mould gives the size. By mass: it must fit")
    mould = MouldInput(required=True)
    portions = ListOf(Part(PortionInput), at_least=1, at_most=PORTIONS_MAX, about="Buckets in pour order, from the "
                      "bottom; default one portion")
    additions = ListOf(Part(AdditionInput), at_most=ADDITIONS_MAX, about="The batch's own, into the pot")
    residue = Part(ResidueInput, about="What stays behind")
    arrangement = Choice(ARRANGEMENTS, about="How the portions lie: flat layers (default), columns between "
                         "upright dividers, mingled (swirled: masses but no heights), separate (one per cavity)")
    fade = Part(BatchFadeInput, about="Doses of a colourant for the portions, from your own swatches")
    cut = Part(CutInput, about="How the block is cut; for a box mould")
    scale = Part(ScaleSteps, about="Steps of the scales")
    expected_loss_pct = Number(bounds=limits.LOSS_PCT, about="Loss in cure, as a share of the mass of the whole bar as "
                               "cut, measured by weighing bars. By default all water of batter and additions is lost",
                               unit="%", example=11)
    batter_density = Number(bounds=limits.ADDITION_DENSITY, about="Measured by you; overrides the estimate",
                            unit="g/mL", example=0.99)
    overflow_mould = MouldInput(about="Takes what is above the mould's fill limit; for fats by mass")
    pot_volume_ml = Volume(bounds=limits.VOLUME, about="Volume of your pot to the brim; two thirds of it are used, "
                           "and a larger batch is made in equal mixes", example=6000)
    workings = Flag(about="The calculation of the lye line by line, in grams", example=True)
    own_fats = ListOf(Part(OwnFatInput), at_most=200, about="Fats of your own; the recipe names them by their keys")


class CavityPieces(ResponsePart):
    """What a batch that is not cut comes to: one piece for each cavity."""

    count = Whole(about="How many", unit="pieces", example=6)
    mass_g = Mass(about="Wet, of one, where all are filled alike", example=114)
    cured_mass_g = Mass(allow_none=True, about="After the loss in cure; null if that is not given", example=101)


class Mixes(ResponsePart):
    """The batch in equal mixes, since the pot does not hold it at once."""

    count = Whole(about="How many", unit="mixes", example=2)
    batter_mass_g = Mass(attribute="batter.mass_g", about="Fresh batter of one mix, before additions", example=4120)
    pot_mass_g = Mass(about="All that is in the pot of one mix, additions included", example=4205)
    weigh_list = ListOf(Part(WeighListRow), about="For each mix: jug and pot, with the alkali for the fats of this "
                        "mix. `count` mixes make the whole batch")


class Batch(Division):
    """Everything of one batch."""

    omitted: ClassVar[tuple[str, ...]] = ("workings", "overflow", "mixes", "pieces", "fade", "kept_back")

    recipe = Part(RecipeAtNewSize, about="At the size made, unrounded")
    lye = Part(LyeCore, attribute="stage", about="What to weigh for the pot and the jug, as at /v1/lye")
    vessels = Part(Vessels, about="The smallest pot, additions included, and jug; of one mix where there are "
                   "several")
    mould = Part(MouldSummary, attribute="filled", about="The mould and how far it is filled, as at /v1/moulds")
    arrangement = Choice(ARRANGEMENTS, about="How the portions lie")
    cuts = Part(CutsOfBatch, allow_none=True, about="How the block is cut, as at /v1/cuts; null without a cut")
    loss_for_limits_pct = Number(about="Loss in cure used for limits, allergens and net quantity: expected_loss_pct, "
                                 "else all the water of batter and additions",
                                 unit="% of a bar as cut", example=11)
    loss_assumed = Flag(about="No expected_loss_pct was given: all the water is assumed lost, and cautions on limits "
                        "are stricter than they need be", example=False)
    weigh_list = ListOf(Part(WeighListRow), about="Everything to weigh, in bench order")
    pieces = Part(CavityPieces, about="Without a cut: one piece for each cavity")
    mixes = Part(Mixes, about="Where pot_volume is given")
    fade = Part(FadeOfBatch, about="If requested: its colours, and how to make each bucket darker")
    workings = ListOf(Part(Working), about="Of the lye, line by line, if requested")
