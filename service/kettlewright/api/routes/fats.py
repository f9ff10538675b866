"""GET /v1/fats and GET /v1/fats/{key}."""

from __future__ import annotations

from kettlewright.api.door.operations import operation
from kettlewright.api.door.problems import Problem
from kettlewright.api.schemas.envelope import answer
from kettlewright.api.schemas.fats import FatResponse, FatsQuery, FatsResponse
from kettlewright.errors import UnknownIngredient
from kettlewright.reference import (
    DISAGREE_PCT,
    FatFilter,
    FatRecord,
    density_at_40,
    fat,
    find_fats,
    saponification_value_by_acids,
)

__all__ = ["fat_by_key", "fats"]


@operation("GET", "/v1/fats", name="fats", query=FatsQuery, gives=FatsResponse, group="data",
           summary="The table of fats", description="Fats, oils, waxes and free acids, with the range of each figure "
           "and how it is known.")
def fats(wanted: FatFilter) -> object:
    """The table of fats (the loaded query)."""
    return answer("fats", fats=find_fats(wanted))


def _by_acids(record: FatRecord) -> dict[str, object] | None:
    value = saponification_value_by_acids(record)
    if value is None:
        return None
    middle = (record.saponification_value.min + record.saponification_value.max) / 2
    return {"value": value, "middle": middle, "disagrees": 100 * abs(middle / value - 1) > DISAGREE_PCT}


@operation("GET", "/v1/fats/{key}", name="fat", gives=FatResponse, group="data", statuses=(404,),
           summary="Everything known of a fat", description="Every figure of the table, how it is known, and its "
           "source. A standard gives the allowed range, not your lot: the certificate of the lot overrides the table.")
def fat_by_key(key: str) -> object:
    """Everything known of a fat (`key`, or another name that only this fat bears)."""
    try:
        record = fat(key)
    except UnknownIngredient as error:
        raise Problem(404, error.detail) from None
    names = ("name", "aliases", "kind", "saponification_value", "iodine_value", "source", "verified", "origin",
             "label_names", "unsaponifiable_max", "relative_density", "refractive_index",
             "second_saponification_value", "second_iodine_value", "fatty_acids", "read_at")
    return answer("fats", key=record.key, notes=[record.notes] if record.notes else [], density=density_at_40(record),
                  saponification_value_by_acids=_by_acids(record),
                  **{name: getattr(record, name) for name in names})
