"""Reply of `costs`. Written by `make contract` from openapi.yaml; do not edit."""

from dataclasses import dataclass

from kettlewright_client.generated.results.batches import CostOfBatch
from kettlewright_client.generated.results.shared import Reply

__all__ = ["Costs"]


@dataclass(frozen=True, kw_only=True, repr=False)
class Costs(Reply):
    """Reply of `costs`: what a batch and a bar cost, and what a bar must sell for."""

    cost: CostOfBatch
    """The cost."""
