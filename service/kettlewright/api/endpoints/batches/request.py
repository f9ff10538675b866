"""Request of /v1/batches; without dates, label and prices also of /v1/labels and /v1/costs."""

from __future__ import annotations

from kettlewright import limits
from kettlewright.api.door.fields import Choice, Flag, Number, Text, Volume
from kettlewright.api.door.strict import ListOf, Part
from kettlewright.api.endpoints.batches.fade import BatchFadeInput
from kettlewright.api.endpoints.batches.resolved import ResolvedInput
from kettlewright.api.endpoints.cuts import CutInput
from kettlewright.api.endpoints.portions.request import PortionInput
from kettlewright.api.parts.additions import AdditionInput, ResidueInput
from kettlewright.api.parts.costs import PricesInput
from kettlewright.api.parts.dates import DatesInput
from kettlewright.api.parts.envelope import Request
from kettlewright.api.parts.labels import LabelInput
from kettlewright.api.parts.moulds import MouldInput
from kettlewright.api.parts.own_fats import OwnFatInput
from kettlewright.api.parts.recipe import RecipeInput
from kettlewright.api.parts.scales import ScaleSteps
from kettlewright.pour import ARRANGEMENTS

__all__ = ["BatchesRequest", "PlannedRequest"]


class PlannedRequest(Request):
    """One whole batch."""

    recipe = Part(RecipeInput, required=True, about="By share: the mould gives the size. By mass: it must fit")
    mould = MouldInput(required=True)
    portions = ListOf(Part(PortionInput), at_least=1, at_most=limits.PORTIONS_MAX, about="Buckets in pour order, from "
                      "the bottom; default one portion")
    additions = ListOf(Part(AdditionInput), at_most=limits.ADDITIONS_MAX, about="The batch's own, into the pot")
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


class BatchesRequest(PlannedRequest):
    """One whole batch, from the recipe to the day it is sold."""

    title = Text(about="What you call the soap: for sheet, label draft, calendar and file names; no figure depends on "
                 "it", example="Kiln Dusk")
    maker = Text(about="Who makes it, for the sheet", example="A. Example")
    notes = ListOf(Text(example="Line the mould first."), at_most=limits.NOTES_MAX, about="Yours, for the sheet, line "
                   "by line")
    batch_number = Text(about="Yours, for sheet and label", example="KD-27-03")
    dates = Part(DatesInput, about="By its release or its pour")
    label = Part(LabelInput, about="What you want on its label")
    prices = Part(PricesInput, about="Prices, packaging, work, losses, and how a bar is to be priced")
    resolved = Flag(about="Return `resolved`: every value the plan rests on", example=True)
    compare_to = Part(ResolvedInput, about="`resolved` of an earlier plan, to compare this one with")

