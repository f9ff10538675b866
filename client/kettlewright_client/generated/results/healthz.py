"""Reply of `healthz`. Written by `make contract` from openapi.yaml; do not edit."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from kettlewright_client.generated.results.shared import CoopDataVersion
from kettlewright_client.record import Result

__all__ = ["State"]


@dataclass(frozen=True, kw_only=True, repr=False)
class State(Result):
    """Reply of `healthz`: whether the service is alive."""

    status: str
    """Ok."""

    coop_data: CoopDataVersion | None = None
    """Of /readyz: the operator's data folder, if there is one."""

    if TYPE_CHECKING:
        def need(self, part: Literal["coop_data"]) -> CoopDataVersion: ...
