"""A body of POST /v1/batches in the cells of the sheet Batch; a part that has no cell is refused, never left out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import Any

import lists
from cells import (
    ALKALI_ROWS,
    BATTER_ROW,
    BUCKETS,
    CUT,
    FAT_ROWS,
    MOULD,
    NAME,
    POT_ADDITION_ROWS,
    POT_HEAD,
    SUPERFAT_ROW,
    TEMPERATURE_ROW,
    WATER_ROW,
    fill_in,
    font,
)
from openpyxl.worksheet.worksheet import Worksheet

__all__ = ["TooMuch", "fill_recipe", "take"]

_UNITS = {"mass": "g", "length": "mm", "volume": "mL", "temperature": "degC"}


class TooMuch(ValueError):
    """The batch has a part that the sheet has no cell for."""


def take(given: Any, what: str, *known: str) -> tuple[Any, ...]:
    """The known entries of a part; any other is refused."""
    if given is None:
        given = {}
    if not isinstance(given, Mapping):
        raise TooMuch(f"{what}: an object is needed, with {', '.join(known)}.")
    more = sorted(set(given) - set(known))
    if more:
        raise TooMuch(f"{what}: the sheet has no cell for {', '.join(more)}; it knows {', '.join(known)}.")
    return tuple(given.get(key) for key in known)


def rows_of(entries: Any, what: str, rows: Sequence[int]) -> Iterable[tuple[int, Any]]:
    """Each row with its entry, or with nothing."""
    entries = entries or []
    if not isinstance(entries, list):
        raise TooMuch(f"{what}: a list is needed.")
    if len(entries) > len(rows):
        raise TooMuch(f"{what}: the sheet has {len(rows)} rows, the batch {len(entries)}.")
    return zip(rows, [*entries, *[{}] * (len(rows) - len(entries))], strict=True)


def fill_recipe(sheet: Worksheet, body: Mapping[str, Any], title: str) -> dict[str, object]:
    """Fill in the batch; the settings that it needs, by name."""
    (recipe, mould, residue, additions, portions, arrangement, cut, loss, dates, units, locale) = take(
        body, "batch", "recipe", "mould", "residue", "additions", "portions", "arrangement", "cut", "expected_loss_pct",
        "dates", "units", "locale")
    german = locale == "de"
    fill_in(sheet, NAME, title, over="D1")
    sheet[NAME].font = font(18, bold=True)
    _pot_and_jug(sheet, recipe, german)
    in_pot, in_bucket = take(residue, "residue", "pot", "portion")
    fill_in(sheet, f"B{BATTER_ROW}", in_pot)
    fill_in(sheet, f"B{BUCKETS[-1] + 3}", in_bucket)
    for row, addition in rows_of(additions, "additions", POT_ADDITION_ROWS):
        _addition(sheet, row, addition, german)
    for row, portion in rows_of(portions, "portions", BUCKETS):
        called, share, own = take(portion, "portions", "name", "share_pct", "additions")
        fill_in(sheet, f"A{row}", called)
        fill_in(sheet, f"B{row}", share)
        sheet[f"A{row}"].font = sheet[f"B{row}"].font = font(bold=True)
        for at, addition in rows_of(own, "additions", (row + 1, row + 2)):
            _addition(sheet, at, addition, german)
    row = BUCKETS[-1] + 4
    fill_in(sheet, f"B{row}", lists.ARRANGEMENTS.said(arrangement, german), over=f"C{row}")
    shape, *sizes = take(mould, "mould", "shape", *MOULD)
    if shape not in (None, "box"):
        raise TooMuch(f"mould: the sheet has no cells for {shape}; it knows box.")
    for key, size in zip(MOULD, sizes, strict=True):
        fill_in(sheet, f"B{MOULD[key]}", size)
    _cut_and_cure(sheet, cut, loss, dates)
    wanted = dict(zip(_UNITS, take(units, "units", *_UNITS, "dose"), strict=False))
    return {f"{kind}_unit": words.said(wanted[kind] or usual, german) for (kind, usual), words in zip(
        _UNITS.items(), (lists.MASSES, lists.LENGTHS, lists.VOLUMES, lists.TEMPERATURES), strict=True)} | {
            "language": lists.LANGUAGES.said(locale or "en", german), "ask_again": None,
            "read_only_key": None}


def _pot_and_jug(sheet: Worksheet, recipe: Any, german: bool) -> None:
    fats, superfat, alkalis, water, temperatures = take(recipe, "recipe", "fats", "superfat_pct", "alkalis", "water",
                                                        "temperatures")
    by_mass = any("mass" in fat for fat in fats or [])
    fill_in(sheet, f"B{POT_HEAD}", lists.SIZES.said("mass" if by_mass else "share", german))
    for row, fat in rows_of(fats, "fats", FAT_ROWS):
        key, called, values, size = take(fat, "fats", "fat", "name", "saponification_value",
                                         "mass" if by_mass else "share_pct")
        fill_in(sheet, f"A{row}", key or called)
        fill_in(sheet, f"B{row}", size)
        fill_in(sheet, f"D{row}", values and f"{values['min']}-{values['max']}")
    for row, alkali in rows_of(alkalis, "alkalis", ALKALI_ROWS):
        key, share, purity, at_least = take(alkali, "alkalis", "alkali", "share_pct", "purity_pct",
                                            "purity_at_least_pct")
        fill_in(sheet, f"A{row}", lists.ALKALIS.said(key, german))
        fill_in(sheet, f"B{row}", purity if at_least is None else at_least)
        named = None if purity is at_least is None else "purity" if at_least is None else "purity_at_least"
        fill_in(sheet, f"C{row}", lists.PURITIES.said(named, german))
        fill_in(sheet, f"D{row}", share)
    ways = {"lye_concentration": "lye_concentration_pct", "water_to_alkali": "water_to_alkali",
            "water_pct_of_fats": "water_pct_of_fats"}
    given = take(water, "water", *ways.values())
    way, amount = next(((way, one) for way, one in zip(ways, given, strict=True) if one is not None),
                       ("lye_concentration", None))
    fill_in(sheet, f"B{WATER_ROW}", amount)
    fill_in(sheet, f"C{WATER_ROW}", lists.WAYS.said(way, german), over=f"D{WATER_ROW}")
    fill_in(sheet, f"B{SUPERFAT_ROW}", superfat)
    (degrees,) = take(temperatures, "temperatures", "water")
    fill_in(sheet, f"B{TEMPERATURE_ROW}", degrees)


def _addition(sheet: Worksheet, row: int, addition: Any, german: bool) -> None:
    called, kind, dose, basis = take(addition, "additions", "name", "kind", "dose", "basis")
    for column, value in (("A", called), ("B", dose), ("C", lists.BASES.said(basis, german)),
                          ("D", lists.KINDS.said(kind, german))):
        fill_in(sheet, f"{column}{row}", value)
    sheet[f"A{row}"].alignment = sheet[f"A{row}"].alignment.copy(indent=1)


def _cut_and_cure(sheet: Worksheet, cut: Any, loss: Any, dates: Any) -> None:
    loaf, bar, kerf, trim = take(cut, "cut", "loaf", "bar", "kerf", "trim")
    (width,), (thickness,), (start, end) = (take(loaf, "loaf", "width"), take(bar, "bar", "thickness"),
                                            take(trim, "trim", "start", "end"))
    if start != end:
        raise TooMuch("trim: the sheet has one cell for both ends.")
    pour, cure_days = take(dates, "dates", "pour", "cure_days")
    for key, value in (("loaf", width), ("bar", thickness), ("kerf", kerf), ("trim", start), ("loss", loss),
                       ("cure", cure_days)):
        fill_in(sheet, f"E{CUT[key]}", value)
    fill_in(sheet, f"B{CUT['cure'] + 1}", pour and date.fromisoformat(pour), shape="mm-dd-yy")
