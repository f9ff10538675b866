"""Reply of `rebatches`. Written by `make contract` from openapi.yaml; do not edit."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal, overload

from kettlewright_client.generated.results.batches import LabelDraft
from kettlewright_client.generated.results.cure import DatesWithNotes
from kettlewright_client.generated.results.cuts import CutsOfBatch, MassRange
from kettlewright_client.generated.results.lye import PctRange
from kettlewright_client.generated.results.moulds import MouldSummary
from kettlewright_client.generated.results.portions import DosedAddition
from kettlewright_client.generated.results.shared import Reply
from kettlewright_client.record import Record

__all__ = ["MeltedOffcuts", "MeltingLiquid", "Rebatches", "SuperfatOfSoap"]


@dataclass(frozen=True, kw_only=True, repr=False)
class SuperfatOfSoap(Record):
    """`superfat` of `MeltedOffcuts` (Of these offcuts), and 1 more."""

    achieved_pct: float
    """At the middle of every range. Unit: %."""

    likely_pct: PctRange
    """Range of about 95 of 100 batches."""

    worst_case_pct: PctRange
    """If all errors go in the same direction."""

    lye_heavy: str
    """Yes: below 0; possible: the likely range reaches 0. Of a mixture: the worst in it. One of not_expected, possible,
    yes.
    """


@dataclass(frozen=True, kw_only=True, repr=False)
class MeltedOffcuts(Record):
    """`offcuts[]` of `Rebatches` (In the order of the request)."""

    identity: str
    """Identity of the plan of their batch."""

    mass: float
    """Now. Unit: `units.mass`, g if not set."""

    fresh_mass: float
    """When they were poured. Unit: `units.mass`, g if not set."""

    water: MassRange
    """Water left in them."""

    superfat: SuperfatOfSoap
    """Of these offcuts."""


@dataclass(frozen=True, kw_only=True, repr=False)
class MeltingLiquid(Record):
    """`liquid` of `Rebatches` (To add)."""

    name: str
    """As given."""

    weigh: float
    """On the scale. Unit: `units.mass`, g if not set."""

    assumed: bool
    """Whether no amount was given, so that the middle of `usual` is used."""

    usual: MassRange
    """For 20, 25 or 30 % of water in the pot (common practice, no source)."""


@dataclass(frozen=True, kw_only=True, repr=False)
class Rebatches(Reply):
    """Reply of `rebatches`: offcuts and shavings of known batches, melted down."""

    offcuts: tuple[MeltedOffcuts, ...]
    """In the order of the request."""

    liquid: MeltingLiquid
    """To add."""

    pot_mass: float
    """Offcuts and liquid. Unit: `units.mass`, g if not set."""

    melting_loss: MassRange
    """Evaporates while they melt; everything after it uses mid."""

    additions: tuple[DosedAddition, ...]
    """To stir in."""

    too_much_mass: float
    """Soap that does not fit into the mould. Unit: `units.mass`, g if not set."""

    room_mass: float
    """Soap that would still fit. Unit: `units.mass`, g if not set."""

    mould: MouldSummary
    """The mould, and how far it is filled."""

    cuts: CutsOfBatch | None = None
    """If requested."""

    cure_loss: MassRange
    """Evaporates in cure."""

    cured_mass: MassRange
    """Of the soap in the mould, after cure."""

    superfat: SuperfatOfSoap
    """Of the mixture: the mean by the alkali that the fats take."""

    labels: tuple[LabelDraft, ...] = ()
    """With names as added and with names as reacted; left out if the mixture is lye-heavy."""

    dates: DatesWithNotes | None = None
    """If requested."""

    notes: tuple[str, ...]
    """Remarks."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["cuts"]) -> CutsOfBatch: ...
        @overload
        def need(self, part: Literal["dates"]) -> DatesWithNotes: ...
        def need(self, part: str) -> Any: ...
