"""Request and reply of /v1/batches."""

from __future__ import annotations

from typing import ClassVar

from kettlewright.api.fields import Part, Text
from kettlewright.api.schemas.costs import CostTold, PricesAsked
from kettlewright.api.schemas.dates import DatesAsked, DatesTold
from kettlewright.api.schemas.envelope import Answer, Told
from kettlewright.api.schemas.labels import LabelAsked, LabelTold
from kettlewright.api.schemas.planned import BatchTold, PlannedRequest
from kettlewright.api.schemas.resolved import ComparisonTold, ResolvedAsked, ResolvedTold

__all__ = ["BatchesReply", "BatchesRequest"]


class BatchesRequest(PlannedRequest):
    """One whole batch, from the recipe to the day it is sold."""

    batch_number = Text(about="Yours, for sheet and label", example="KD-27-03")
    dates = Part(DatesAsked, about="By its release or its pour")
    label = Part(LabelAsked, about="What is asked of its label")
    prices = Part(PricesAsked, about="Prices, packaging, work, losses, and how a bar is to be priced")
    compare_to = Part(ResolvedAsked, about="`resolved` of an earlier plan, to be held beside this one")


class LinksTold(Told):
    """Addresses."""

    omitted = ("self", "note")

    self_link = Text(data_key="self", attribute="self", about="Of this plan, relative to the service; it holds the "
                     "whole body, a recipe that whoever has the link can read. Left out where it would be too long",
                     example="/v1/batches?plan=1eJyr")
    note = Text(about="Why there is none", example="This plan is too long for a link.")


class BatchesReply(Answer, BatchTold):
    """Everything of one batch, with cautions and sources."""

    omitted: ClassVar[tuple[str, ...]] = (*BatchTold.omitted, "batch_number", "dates", "label", "cost", "comparison")

    identity = Text(about="A short digest of the request and the data: the same plan has the same, on any machine. "
                    "locale, workings and compare_to do not count", example="7KQ4D-X2M9F")
    batch_number = Text(about="Yours, where it was told", example="KD-27-03")
    dates = Part(DatesTold, about="Where they were asked")
    label = Part(LabelTold, about="Where it was asked")
    cost = Part(CostTold, about="Where prices were told")
    resolved = Part(ResolvedTold, about="Every value the plan rests on: keep it, and a remake years later can be held "
                    "beside it")
    comparison = Part(ComparisonTold, about="Where compare_to was told: what moved, and why")
    links = Part(LinksTold, about="This plan as an address: GET opens it again, in a browser as the batch sheet")
