"""Rows of a weigh list in a response."""

from __future__ import annotations

from typing import Any

from kettlewright.api.door.fields import Choice, Number, Text
from kettlewright.api.door.responses import ResponsePart
from kettlewright.digits import nine_digits
from kettlewright.languages import translated
from kettlewright.units import current_units, from_base
from kettlewright.weigh_list import KINDS, WHERES, WeighRow

__all__ = ["WeighListRow", "row_identity"]


class WeighListRow(ResponsePart):
    """One weighing; it says what it is and names its own unit, so that it can travel alone.

    `where`, `portion`, `kind`, `key` and `lot` together name no other row of the same weigh list.
    """

    omitted = ("portion", "form", "lot", "buy", "each_mix", "take")

    kind = Choice(KINDS, about="What it is; dispersion, batter and kept_back are made at the bench from other rows",
                  example="fat")
    where = Choice(WHERES, about="The vessel it goes into; what is sifted or sprayed on top goes into the mould",
                   example="pot")
    portion = Text(about="Key of the portion it belongs to; left out if it belongs to the whole batch",
                   example="deep_red")
    key = Text(about="Key; both rows of a jar have the key of the addition dispersed in it, and batter has the key of "
               "the portion it comes from", example="olive")
    name = Text(about="Name", example="olive oil (virgin, refined)")
    form = Text(about="What is in the bottle if the name does not say: its strength, or that it is frozen",
                example="50 % solution")
    lot = Text(about="Lot number; left out if none was given", example="L-7")
    weigh = Number(about="On the scale", unit="in this row's unit", example=500)
    step = Number(about="Step of the scale it is weighed on", unit="in this row's unit", example=1)
    unit = Choice(["g", "kg", "oz", "lb"], about="Unit of this row")
    each_mix = Number(about="On the scale for each mix, if the pot takes several mixes and each is weighed separately; "
                      "weigh is their sum", unit="in this row's unit", example=250)
    take = Number(about="Dilution to weigh instead, if the dose is too small for the scale; for each mix if there is "
                  "each_mix", unit="in this row's unit", example=1.4)
    buy = Text(about="Key in prices and packs, the same in every language; absent for what is made at the bench",
               example="olive")

    def dump(self, obj: Any, *, many: bool | None = None) -> Any:
        """One row, or several (`obj`, `many`), in their own units."""
        return [_row(row) for row in obj] if many else _row(obj)


def row_identity(row: WeighRow, *, lot: str | None) -> dict[str, Any]:
    """What a row is, in the language of the request.

    Parameters
    ----------
    row : WeighRow
        Of a weigh list. [g]
    lot : str, optional
        Its lot, as given. [text]

    Returns
    -------
    dict : its identity, name and form; what there is not is left out. [text]
    """
    shown: dict[str, Any] = {"kind": row.kind, "where": row.where}
    if row.portion is not None:
        shown["portion"] = row.portion
    shown["key"], shown["name"] = row.key, translated(row.name)
    if row.form is not None:
        shown["form"] = translated(row.form)
    if lot is not None:
        shown["lot"] = lot
    return shown


def _row(row: WeighRow) -> dict[str, Any]:
    kind = "dose" if row.fine else "mass"
    shown = row_identity(row, lot=row.lot)
    shown["weigh"], shown["step"] = nine_digits(from_base(row.weigh_g, kind)), nine_digits(from_base(row.step_g, kind))
    shown["unit"] = getattr(current_units.get(), kind)
    if row.each_mix_g is not None:
        shown["each_mix"] = nine_digits(from_base(row.each_mix_g, kind))
    if row.take_g is not None:
        shown["take"] = nine_digits(from_base(row.take_g, kind))
    if row.buy is not None:
        shown["buy"] = row.buy
    return shown

