"""POST /v1/labels."""

from __future__ import annotations

from typing import Any

from kettlewright import cautions as caution_texts
from kettlewright import plan
from kettlewright.api.door.operations import operation
from kettlewright.api.door.strict import Part
from kettlewright.api.endpoints.batches.request import PlannedRequest
from kettlewright.api.parts.envelope import BaseResponse, answer
from kettlewright.api.parts.labels import LabelDraft, LabelInput, note_names
from kettlewright.pour import Mould
from kettlewright.recipe import Recipe, Scale
from kettlewright.release import LabelOptions

__all__ = ["LabelsRequest", "LabelsResponse", "labels"]


class LabelsRequest(PlannedRequest):
    """A batch, and what its label is to say."""

    label = Part(LabelInput, required=True, about="What you want on the label")


class LabelsResponse(BaseResponse):
    """The labels of a batch, with cautions and sources."""

    label = Part(LabelDraft, about="The labels")


@operation("POST", "/v1/labels", name="labels", group="release", heavy=True,
           request=LabelsRequest, response=LabelsResponse,
           main_table="label.labels.ingredients", summary="What a label must list, and what it may promise",
           description="From a whole batch: the ingredient list of every kind of bar in it, the allergens by their "
           "part of the cured bar, the net quantity that the bars hold on the day of packing, and what else a label "
           "needs in the European Union, Great Britain or the United States. Information only: local law decides.")
def labels(recipe: Recipe, mould: Mould, scale: Scale, label: LabelOptions, **more: Any) -> object:
    """The labels of a batch (the loaded request)."""
    planned = plan.plan_batch(recipe, mould, scale, **more)
    found = plan.label_of(planned, label)
    note_names(found)
    return answer("labels", caution_texts.of_label(found, planned.cautions), sources=found.market.sources, label=found)

