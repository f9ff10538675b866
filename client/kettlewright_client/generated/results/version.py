"""Reply of `version`. Written by `make contract` from openapi.yaml; do not edit."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from kettlewright_client.generated.results.shared import CoopDataVersion
from kettlewright_client.record import Result

__all__ = ["Version"]


@dataclass(frozen=True, kw_only=True, repr=False)
class Version(Result):
    """Reply of `version`: versions of service and data."""

    version: str
    """Of the service."""

    data_version: str
    """Of the tables."""

    coop_data: CoopDataVersion | None = None
    """Of the operator's data folder, if there is one."""

    if TYPE_CHECKING:
        def need(self, part: Literal["coop_data"]) -> CoopDataVersion: ...
