"""Request and reply of /v1/labels: a batch, and its labels."""

from __future__ import annotations

from kettlewright.api.fields import Part
from kettlewright.api.schemas.batches import BatchesRequest
from kettlewright.api.schemas.envelope import Answer
from kettlewright.api.schemas.labels import LabelAsked, LabelTold

__all__ = ["LabelsReply", "LabelsRequest"]


class LabelsRequest(BatchesRequest):
    """A batch, and what is asked of its label."""

    label = Part(LabelAsked, required=True, about="What is asked of the label")


class LabelsReply(Answer):
    """The labels of a batch, with cautions and sources."""

    label = Part(LabelTold, about="The labels")
