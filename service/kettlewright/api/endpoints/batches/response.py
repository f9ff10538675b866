"""Response of /v1/batches."""

from __future__ import annotations

from typing import ClassVar

from kettlewright.api.door.fields import Choice, Dose, Flag, Mass, Number, Text, Whole
from kettlewright.api.door.responses import ResponsePart
from kettlewright.api.door.strict import ListOf, Part
from kettlewright.api.endpoints.batches.resolved import Comparison, ResolvedValues
from kettlewright.api.endpoints.cuts import CutsOfBatch
from kettlewright.api.endpoints.fades.response import FadeOfBatch
from kettlewright.api.endpoints.portions.response import Division
from kettlewright.api.parts.costs import CostOfBatch
from kettlewright.api.parts.dates import DatesWithNotes
from kettlewright.api.parts.envelope import BaseResponse
from kettlewright.api.parts.labels import LabelDraft
from kettlewright.api.parts.lye import LyeCore, Vessels, Working
from kettlewright.api.parts.moulds import MouldSummary
from kettlewright.api.parts.recipe_of_reply import RecipeAtNewSize
from kettlewright.api.parts.weigh_list import WeighListRow
from kettlewright.plan.set_out import BOTTLE_KINDS
from kettlewright.pour import ARRANGEMENTS

__all__ = ["Batch", "BatchesResponse"]


class Cup(ResponsePart):
    """A cup to weigh."""

    omitted = ("portion",)

    portion = Text(about="Key of the portion it is for; left out for the pot", example="deep_red")
    name = Text(about="Name of portion or pot", example="deep red")
    weigh_g = Dose(about="On the scale", example=9.6)
    diluted = Flag(about="Weighed of its dilution", example=False)
    count = Whole(about="Equal cups, one a mix", unit="cups", example=1)


class Bottle(ResponsePart):
    """What is weighed into one cup or several."""

    omitted = ("form", "lot")

    kind = Choice(BOTTLE_KINDS, attribute="row.kind", about="As in the weigh list")
    key = Text(attribute="row.key", about="Key", example="red_iron_oxide")
    name = Text(attribute="row.name", about="Name", example="red iron oxide")
    form = Text(attribute="row.form", about="What it holds", example="20 % in water")
    lot = Text(attribute="row.lot", about="Lot number", example="R-2")
    total_g = Dose(about="Of all cups, undiluted", example=27.3)
    step_g = Dose(attribute="row.step_g", about="Step of its scale", example=0.1)
    cups = ListOf(Part(Cup), about="In pour order, the pot first")


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
    set_out = ListOf(Part(Bottle), attribute="bottles", about="Cups of dyes, scents, powders and dispersions to weigh "
                     "before any lye, bottle by bottle")
    pieces = Part(CavityPieces, about="Without a cut: one piece for each cavity")
    mixes = Part(Mixes, about="Where pot_volume is given")
    fade = Part(FadeOfBatch, about="If requested: its colours, and how to make each bucket darker")
    workings = ListOf(Part(Working), about="Of the lye, line by line, if requested")


class Links(ResponsePart):
    """Addresses."""

    omitted = ("self", "message")

    self_link = Text(data_key="self", attribute="self", about="Of this plan, relative to the service. It contains the "
                     "whole body: anyone who has the link can read the recipe. Absent if it would be too long",
                     example="/v1/batches?plan=1eJyr")
    message = Text(about="Why there is none", example="This plan is too long for a link.")


class BatchesResponse(BaseResponse, Batch):
    """Everything of one batch, with cautions and sources."""

    omitted: ClassVar[tuple[str, ...]] = (*Batch.omitted, "title", "maker", "notes", "batch_number", "dates", "label",
                                          "cost", "resolved", "comparison")

    identity = Text(about="Short digest of the request and the data: the same plan has the same identity on any "
                    "machine. locale, title, maker, notes, workings and compare_to do not count", example="7KQ4D-X2M9F")
    title = Text(about="As given", example="Kiln Dusk")
    maker = Text(about="As given", example="A. Example")
    notes = ListOf(Text(example="Line the mould first."), about="As given")
    batch_number = Text(about="As given", example="KD-27-03")
    dates = Part(DatesWithNotes, about="If requested")
    label = Part(LabelDraft, about="If requested")
    cost = Part(CostOfBatch, about="If prices were given")
    resolved = Part(ResolvedValues, about="With \"resolved\": true or compare_to: every value the plan rests on. Keep "
                    "it to compare a plan made years later with this one")
    comparison = Part(Comparison, about="If compare_to was given: what changed, and why")
    links = Part(Links, about="This plan as an address: GET opens it again, in a browser as the batch sheet")

