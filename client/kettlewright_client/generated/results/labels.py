"""Reply of `labels`. Written by `make contract` from openapi.yaml; do not edit."""

from dataclasses import dataclass

from kettlewright_client.generated.results.batches import LabelDraft
from kettlewright_client.generated.results.shared import Reply

__all__ = ["Labels"]


@dataclass(frozen=True, kw_only=True, repr=False)
class Labels(Reply):
    """Reply of `labels`: what a label must list, and what it may promise."""

    label: LabelDraft
    """The labels."""
