"""Reply of `blends`. Written by `make contract` from openapi.yaml; do not edit."""

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Literal, overload

from kettlewright_client.generated.results.lye import LyeResult, SaponificationOfBlend
from kettlewright_client.generated.results.shared import Reply
from kettlewright_client.record import Record

if TYPE_CHECKING:
    from kettlewright_client.generated.inputs import RecipeInput

__all__ = ["Blend", "BlendAcid", "BlendCore", "BlendShare", "FattyAcidGroups", "PricePerMass"]


@dataclass(frozen=True, kw_only=True, repr=False)
class BlendShare(Record):
    """`fats[]` of `BlendCore` (Fats with a share, in the order given)."""

    key: str
    """Its key."""

    name: str
    """Its name."""

    share_pct: float
    """Of the blend. Unit: % of fats."""

    mass: float | None
    """Of the fats, unrounded; null without a size. Unit: `units.mass`, g if not set."""

    if TYPE_CHECKING:
        def need(self, part: Literal["mass"]) -> float: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class BlendAcid(Record):
    """`fatty_acids[]` of `BlendCore` (In chain order; null if not known of a fat)."""

    fatty_acid: str
    """Its notation."""

    share_pct: float
    """At the middle of each range. Unit: % of fatty acids."""


@dataclass(frozen=True, kw_only=True, repr=False)
class FattyAcidGroups(Record):
    """`groups` of `BlendCore` (The same in groups)."""

    saturated: float
    """Without double bonds. Unit: % of fatty acids."""

    monounsaturated: float
    """With one. Unit: % of fatty acids."""

    polyunsaturated: float
    """With several. Unit: % of fatty acids."""

    hydroxy: float
    """With a hydroxyl group. Unit: % of fatty acids."""


@dataclass(frozen=True, kw_only=True, repr=False)
class PricePerMass(Record):
    """`price` of `BlendCore` (Of the blend; null if a fat in it has no price)."""

    amount: str
    """Amount, as decimal text."""

    currency: str
    """ISO 4217."""

    per_mass: float
    """What it buys. Unit: `units.mass`, g if not set."""


@dataclass(frozen=True, kw_only=True, repr=False)
class BlendCore(Record):
    """Fields that several objects have."""

    fats: tuple[BlendShare, ...]
    """Fats with a share, in the order given."""

    saponification_value: SaponificationOfBlend
    """Of the blend."""

    iodine_value: float | None
    """At the middle of each range; null if one is not known. Unit: g iodine per 100 g."""

    fatty_acids: tuple[BlendAcid, ...] | None
    """In chain order; null if not known of a fat."""

    groups: FattyAcidGroups | None
    """The same in groups."""

    price: PricePerMass | None
    """Of the blend; null if a fat in it has no price."""

    distance_pct: float | None
    """For closest and replace: half the sum of the differences in fatty acids. Unit: % of fatty acids."""

    recipe: "RecipeInput | None" = field(default=None, hash=False)
    """The recipe with the blend, where one was given."""

    lye: LyeResult | None = None
    """Computed again for it, if its size is known; never swap fats and keep the old alkali."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["iodine_value"]) -> float: ...
        @overload
        def need(self, part: Literal["fatty_acids"]) -> tuple[BlendAcid, ...]: ...
        @overload
        def need(self, part: Literal["groups"]) -> FattyAcidGroups: ...
        @overload
        def need(self, part: Literal["price"]) -> PricePerMass: ...
        @overload
        def need(self, part: Literal["distance_pct"]) -> float: ...
        @overload
        def need(self, part: Literal["recipe"]) -> RecipeInput: ...
        @overload
        def need(self, part: Literal["lye"]) -> LyeResult: ...
        def need(self, part: str) -> Any: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class Blend(Reply, BlendCore):
    """Reply of `blends`: shares of the fats at hand, within your limits."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["iodine_value"]) -> float: ...
        @overload
        def need(self, part: Literal["fatty_acids"]) -> tuple[BlendAcid, ...]: ...
        @overload
        def need(self, part: Literal["groups"]) -> FattyAcidGroups: ...
        @overload
        def need(self, part: Literal["price"]) -> PricePerMass: ...
        @overload
        def need(self, part: Literal["distance_pct"]) -> float: ...
        @overload
        def need(self, part: Literal["recipe"]) -> RecipeInput: ...
        @overload
        def need(self, part: Literal["lye"]) -> LyeResult: ...
        def need(self, part: str) -> Any: ...
