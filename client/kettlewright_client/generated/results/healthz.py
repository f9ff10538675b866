"""Reply of `healthz`. Written by `make contract` from openapi.yaml; do not edit."""

from dataclasses import dataclass

from kettlewright_client.record import Result

__all__ = ["State"]


@dataclass(frozen=True, kw_only=True, repr=False)
class State(Result):
    """Reply of `healthz`: whether the service is alive."""

    status: str
    """Ok."""
