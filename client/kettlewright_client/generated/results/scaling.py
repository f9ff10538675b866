"""Reply of `scaling`. Written by `make contract` from openapi.yaml; do not edit."""

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

from kettlewright_client.generated.results.lye import LyeResult, WorkingLine
from kettlewright_client.generated.results.shared import Reply
from kettlewright_client.record import Record

if TYPE_CHECKING:
    from kettlewright_client.generated.inputs import RecipeInput

__all__ = ["Scaled", "ScaledCore"]


@dataclass(frozen=True, kw_only=True, repr=False)
class ScaledCore(Record):
    """Fields that several objects have."""

    factor: float | None
    """How much larger; null for a recipe by shares. Unit: 1."""

    recipe: "RecipeInput" = field(hash=False)
    """At the new size, unrounded."""

    lye: LyeResult
    """Computed again for it."""

    workings: tuple[WorkingLine, ...] = ()
    """Line by line, if requested."""

    if TYPE_CHECKING:
        def need(self, part: Literal["factor"]) -> float: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class Scaled(Reply, ScaledCore):
    """Reply of `scaling`: a recipe at another size."""

    if TYPE_CHECKING:
        def need(self, part: Literal["factor"]) -> float: ...
