"""Request of /v1/purchases."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from kettlewright import limits
from kettlewright.api.door.fields import Choice, Mass, Number, Text, Whole
from kettlewright.api.door.strict import ListOf, Part, Strict
from kettlewright.api.parts.coop import current_coop, has_packs
from kettlewright.api.parts.envelope import Request
from kettlewright.api.parts.own_fats import fat_key_if_known
from kettlewright.api.parts.packs import PackInput, mass_or_count
from kettlewright.api.parts.prices import MoneyInput
from kettlewright.copies import replace
from kettlewright.errors import DomainError, Missing, OutOfRange
from kettlewright.names import slug
from kettlewright.release import AtHand, Need, Supplier, batches_for
from kettlewright.said import Said
from kettlewright.units import OPTIONS
from kettlewright.weigh_list import BENCH_MADE, KINDS, WHERES

__all__ = ["PurchasesRequest"]

ROWS_MAX = 300
PACKS_MAX = 600


class NeedInput(Strict):
    """Something that is needed; several of one key add up."""

    exactly_one = (("mass", "count"),)

    key = Text(convert=fat_key_if_known, about="Key of its packs; default that of the fat with this name, else a slug "
               "of the name",
               example="olive")
    name = Text(required=True, about="Name", example="olive oil")
    mass_g = Mass(bounds=limits.MASS, about="How much; this or count", example=7300)
    count = Whole(bounds=limits.PIECES_COUNT, about="How many, of what is bought by the count, such as wraps",
                  unit="pieces", example=120)

    @staticmethod
    def builds(name: str, key: str | None = None, **amount: float) -> Need:
        """A need."""
        how_much, counted = mass_or_count(amount)
        return Need(key or slug(fat_key_if_known(name)), name, how_much, counted)


class WeighRowInput(Strict):
    """A row of a weigh list, as a batch's reply has it; it names its own unit."""

    kind = Choice(KINDS, required=True, about="What it is; dispersion, batter and kept_back are made from other rows, "
                  "not bought", example="fat")
    where = Choice(WHERES, about="Not used here", example="pot")
    portion = Text(about="Not used here", example="deep_red")
    key = Text(about="Not used here", example="olive")
    name = Text(required=True, about="Name", example="olive oil (virgin, refined)")
    form = Text(about="Not used here", example="50 % solution")
    lot = Text(about="Not used here", example="L-7")
    weigh = Number(required=True, bounds=limits.KEEPS_BACK, about="On the scale", unit="in this row's unit",
                   example=500)
    step = Number(bounds=limits.KEEPS_BACK, about="Step of the scale; not used here", unit="in this row's unit",
                  example=1)
    unit = Choice(tuple(OPTIONS["mass"]), required=True, about="Unit of this row")
    each_mix = Number(bounds=limits.KEEPS_BACK, about="Not used here", unit="in this row's unit", example=250)
    take = Number(bounds=limits.KEEPS_BACK, about="Not used here", unit="in this row's unit", example=1.4)
    buy = Text(about="Key of its packs; needed in every row of something that you buy", example="olive")

    @staticmethod
    def builds(kind: str, name: str, weigh: float, unit: str, buy: str | None = None, **unused: Any) -> Need | None:
        """The need; none of what is made on the bench, and of nothing."""
        if kind in BENCH_MADE:
            return None
        if buy is None:
            raise Missing(f'A row of kind "{kind}" is bought: "buy", the key of its packs, is required. '
                          "Send the row as it is in the response of a batch.", field=("buy",))
        mass_g = weigh * OPTIONS["mass"][unit][0]
        return Need(buy, Said("water") if kind == "ice" else name, mass_g) if mass_g else None


class BarsOrderInput(Strict):
    """Bars that are wanted, and what a batch gives."""

    builds = batches_for

    bars_count = Whole(required=True, bounds=limits.BARS_COUNT, about="Good bars needed", unit="bars",
                       example=120)
    bars_per_batch_count = Whole(required=True, bounds=limits.BARS_COUNT, about="Bars per batch", unit="bars",
                                 example=10)
    broken_pct = Number(bounds=limits.BROKEN_PCT, about="Bars that break or fail; default 0",
                        unit="% of bars made", example=5)
    kept_back_count = Whole(bounds=limits.KEPT_BACK_COUNT, about="Good bars of each batch that are not sold, as in "
                            "prices; default 0", unit="bars", example=1)


class BatchNeedInput(Strict):
    """A batch that will be made, by its weigh list."""

    at_most_one = (("batches_count", "order"),)

    weigh_list = ListOf(Part(WeighRowInput), required=True, at_least=1, at_most=ROWS_MAX, about="As in the response of "
                        "/v1/batches or /v1/lye, in any language")
    batches_count = Whole(bounds=limits.TIMES_MADE, about="How often it is made; default 1",
                          unit="batches", example=3)
    order = Part(BarsOrderInput, about="In place of batches_count: as often as an order of bars needs")

    @staticmethod
    def builds(weigh_list: Sequence[Need | None], batches_count: int | None = None,
               order: int | None = None) -> tuple[int, tuple[Need, ...]]:
        """How often, and the needs of all of them."""
        if batches_count is not None and order is not None:
            raise DomainError('Give "batches_count" or "order", not both.', field=("order",))
        times = order or batches_count or 1
        return times, tuple(replace(need, mass_g=need.mass_g * times) for need in weigh_list if need is not None)


class AtHandInput(Strict):
    """What is there already."""

    exactly_one = (("mass", "count"),)

    key = Text(required=True, convert=fat_key_if_known, about="Key, or name of a fat", example="olive")
    mass_g = Mass(bounds=limits.KEEPS_BACK, about="How much; this or count", example=300)
    count = Whole(bounds=limits.PIECES_THERE, about="How many, of what is bought by the count", unit="pieces",
                  example=20)

    @staticmethod
    def builds(key: str, **amount: float) -> AtHand:
        """What is there."""
        return AtHand(key, *mass_or_count(amount))


class SupplierInput(Strict):
    """Terms of somebody who sells packs."""

    builds = Supplier

    name = Text(required=True, about="As packs name it", example="the mill")
    shipping = Part(MoneyInput, about="Of an order; default free")
    free_from = Part(MoneyInput, about="Value of goods from which shipping is free")
    minimum_order = Part(MoneyInput, about="Smallest value of goods in an order")


class PurchasesRequest(Request):
    """Needs, packs, what is at hand."""

    needs = ListOf(Part(NeedInput), at_most=ROWS_MAX, about="What is needed")
    batches = ListOf(Part(BatchNeedInput), at_most=40, about="What batches need, by their weigh lists; adds to needs")
    packs = ListOf(Part(PackInput), required=True, at_most=PACKS_MAX, about="What is sold, in one currency")
    at_hand = ListOf(Part(AtHandInput), at_most=ROWS_MAX, about="What you have; it is used first")
    suppliers = ListOf(Part(SupplierInput), at_most=8, about="Terms of suppliers; if you give any, list every supplier "
                       "that a pack names")

    def completed(self, body: Mapping[str, Any], *, at: str = "") -> Mapping[str, Any]:
        """The body; where the co-op has packs, `packs` may be left out (`body`, `at`)."""
        found = super().completed(body, at=at)
        return {"packs": [], **found} if has_packs() else found

    def build(self, data: dict[str, Any]) -> Any:
        """All needs in one list, and the co-op's packs beside those of the request (`data`)."""
        batches = data.pop("batches", [])
        needs = [*data.pop("needs", []), *(need for _, wanted in batches for need in wanted)]
        if not needs:
            raise Missing('Nothing is needed; give "needs", or the weigh lists of "batches".', field=("needs",))
        use = current_coop.get()
        if use is not None:
            data["packs"] += use.packs_for(needs, data["packs"], data.get("suppliers", ()))
            if len(data["packs"]) > PACKS_MAX:
                raise OutOfRange(f"{len(data['packs'])} packs are sold of what is needed, those of the co-op included; "
                                 f"at most {PACKS_MAX} can be compared. Ask for fewer needs at once.", field=("needs",),
                                 value=len(data["packs"]), allowed=f"needs with at most {PACKS_MAX} packs")
        return super().build({**data, "needs": needs, "times": [times for times, _ in batches]})

