"""Request and reply of /v1/batches."""

from __future__ import annotations

from typing import ClassVar

from kettlewright.api.door.fields import Flag, Text
from kettlewright.api.door.strict import Part
from kettlewright.api.schemas.costs import CostOfBatch, PricesInput
from kettlewright.api.schemas.dates import DatesInput, DatesWithNotes
from kettlewright.api.schemas.envelope import BaseResponse, ResponsePart
from kettlewright.api.schemas.labels import LabelDraft, LabelInput
from kettlewright.api.schemas.planned import Batch, PlannedRequest
from kettlewright.api.schemas.resolved import Comparison, ResolvedInput, ResolvedValues

__all__ = ["BatchesRequest", "BatchesResponse"]


class BatchesRequest(PlannedRequest):
    """One whole batch, from the recipe to the day it is sold."""

    batch_number = Text(about="Yours, for sheet and label", example="KD-27-03")
    dates = Part(DatesInput, about="By its release or its pour")
    label = Part(LabelInput, about="What you want on its label")
    prices = Part(PricesInput, about="Prices, packaging, work, losses, and how a bar is to be priced")
    resolved = Flag(about="Return `resolved`: every value the plan rests on", example=True)
    compare_to = Part(ResolvedInput, about="`resolved` of an earlier plan, to compare this one with")


class Links(ResponsePart):
    """Addresses."""

    omitted = ("self", "message")

    self_link = Text(data_key="self", attribute="self", about="Of this plan, relative to the service. It contains the "
                     "whole body: anyone who has the link can read the recipe. Absent if it would be too long",
                     example="/v1/batches?plan=1eJyr")
    message = Text(about="Why there is none", example="This plan is too long for a link.")


class BatchesResponse(BaseResponse, Batch):
    """Everything of one batch, with cautions and sources."""

    omitted: ClassVar[tuple[str, ...]] = (*Batch.omitted, "batch_number", "dates", "label", "cost", "resolved",
                                          "comparison")

    identity = Text(about="Short digest of the request and the data: the same plan has the same identity on any "
                    "machine. locale, workings and compare_to do not count", example="7KQ4D-X2M9F")
    batch_number = Text(about="Yours, where it was given", example="KD-27-03")
    dates = Part(DatesWithNotes, about="If requested")
    label = Part(LabelDraft, about="If requested")
    cost = Part(CostOfBatch, about="If prices were given")
    resolved = Part(ResolvedValues, about="With \"resolved\": true or compare_to: every value the plan rests on. Keep "
                    "it to compare a plan made years later with this one")
    comparison = Part(Comparison, about="If compare_to was given: what changed, and why")
    links = Part(Links, about="This plan as an address: GET opens it again, in a browser as the batch sheet")
