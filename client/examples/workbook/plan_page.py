"""The sheet Plan: your input, its errors, and the figures."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import formulas
from cells import (
    ALKALI_ROWS,
    CAUTION_ROWS,
    FAT_ROWS,
    FIGURE_ROW,
    FIGURES,
    WATER_WAYS,
    WRAP,
    choices,
    fill_in,
    font,
    head,
    paper,
)
from openpyxl.styles import Alignment
from openpyxl.worksheet.worksheet import Worksheet


class TooMuch(ValueError):
    """The recipe has a part that the sheet has no cell for."""


def take(given: Mapping[str, Any], what: str, *known: str) -> tuple[Any, ...]:
    """The known entries of a part of the recipe; any other is rejected."""
    if not isinstance(given, Mapping):
        raise TooMuch(f"{what}: an object is needed, with {', '.join(known)}.")
    more = sorted(set(given) - set(known))
    if more:
        raise TooMuch(f"{what}: the sheet has no cell for {', '.join(more)}; it knows {', '.join(known)}.")
    return tuple(given.get(name) for name in known)


def rows_of(entries: list[Any], what: str, rows: range) -> list[Any]:
    """Pad the entries to the number of rows."""
    if len(entries) > len(rows):
        raise TooMuch(f"{what}: the sheet has {len(rows)} rows, the recipe {len(entries)}.")
    return [*entries, *[{}] * (len(rows) - len(entries))]


def fill_recipe(plan: Worksheet, body: Mapping[str, Any]) -> None:
    """The example's recipe in the cells of the plan."""
    fats, superfat, alkalis, water, temperatures, units, language = take(
        body, "recipe", "fats", "superfat_pct", "alkalis", "water", "temperatures", "units", "locale")
    (unit,) = take(units or {}, "units", "mass")
    (water_temperature,) = take(temperatures or {}, "temperatures", "water")
    ways = take(water or {}, "water", *WATER_WAYS)
    way = next((at for at, value in enumerate(ways) if value is not None), 0)
    for cell, value in (("B6", unit or "g"), ("B7", superfat), ("B8", WATER_WAYS[way]), ("B9", ways[way]),
                        ("B10", water_temperature), ("B12", language or "en")):
        fill_in(plan, cell, value)
    for row, fat in zip(FAT_ROWS, rows_of(fats, "fats", FAT_ROWS), strict=True):
        key, name, values, mass = take(fat, "fats", "fat", "name", "saponification_value", "mass")
        fill_in(plan, f"A{row}", key or name)
        fill_in(plan, f"B{row}", mass)
        fill_in(plan, f"C{row}", values and f"{values['min']}-{values['max']}")
    for row, alkali in zip(ALKALI_ROWS, rows_of(alkalis, "alkalis", ALKALI_ROWS), strict=True):
        values = take(alkali, "alkalis", "alkali", "share_pct", "purity_pct", "purity_at_least_pct")
        for column, value in zip("ABCD", values, strict=True):
            fill_in(plan, f"{column}{row}", value)


def plan_sheet(plan: Worksheet, body: Mapping[str, Any], service: str, title: str) -> None:
    """Your input, its errors, and the figures."""
    plan["A1"] = "What to weigh for a cold-process soap"
    plan["A1"].font = font(bold=True, size=16)
    plan["A2"] = ("Fill in the framed cells. They now contain an invented example, not a recommendation. The "
                  "figures are estimates for a trained person; lye burns, and local law decides.")
    plan.merge_cells("A2:E2")
    plan["A2"].alignment = WRAP
    plan.row_dimensions[2].height = 32
    labels = ("Name of the batch", "Address of the service", "Unit of mass", "Superfat, %", "Water, given as",
              "   its figure", "Temperature of the water, °C (may be empty)", "Ask again (type another number)",
              "Language of the cautions")
    for row, text in enumerate(labels, 4):
        plan[f"A{row}"] = text
    fill_in(plan, "B4", title)
    fill_in(plan, "B5", service)
    fill_in(plan, "B11", None)
    plan.merge_cells("B5:D5")
    plan["C7"] = '=IF(ISNUMBER(superfat),IF(AND(superfat>0,superfat<1),"Less than 1 %: for 5 % type 5, not 5%.",""),"")'
    plan["C7"].font = font(bold=True, color="9C1C00")
    head(plan, 13, "Fat: its key, or your own name", "Mass", "Own saponification value or range, such as 180-185.5 "
         "(with a point)", "", "To weigh")
    fill_recipe(plan, body)
    plan["A24"] = "Fats together"
    plan["B24"] = f"=SUM(B{FAT_ROWS[0]}:B{FAT_ROWS[-1]})"
    head(plan, 26, "Alkali: NaOH or KOH", "Share, % (with two)", "Purity, %", "or purity at least, %", "To weigh")
    for at, row in enumerate(FAT_ROWS):
        plan[f"E{row}"] = _weighed("fats", at, "fat")
    for at, row in enumerate(ALKALI_ROWS):
        plan[f"E{row}"] = _weighed("alkalis", at, "alkali")
    for row in (*FAT_ROWS, *ALKALI_ROWS):
        plan[f"E{row}"].font, plan[f"E{row}"].alignment = font(bold=True), Alignment(horizontal="right")
    link = ('=IF(OR(ISNUMBER(answered),ISERROR(recipe_address)),"",IFERROR(HYPERLINK(recipe_address,"Open what the '
            'service says"),"Copy this address into a browser:"))')
    address = '=IF(ISNUMBER(answered),"",IFERROR(recipe_address,""))'
    for row, text in ((30, "=what_to_do"), (31, link), (32, address)):
        plan[f"A{row}"] = text
        plan.merge_cells(f"A{row}:E{row}")
        plan[f"A{row}"].alignment = WRAP
    plan["A30"].font = font(bold=True, size=12)
    plan["A31"].font = font(underline="single", color="1A4B8C")
    plan["A32"].font = font(size=8)
    plan.row_dimensions[13].height = 46
    plan.row_dimensions[30].height, plan.row_dimensions[32].height = 64, 36
    head(plan, FIGURE_ROW - 1, "Figures", "", "")
    for row, (label, field, shape, unit) in enumerate(FIGURES, FIGURE_ROW):
        asked = formulas.figure(f'"{field}"')
        if "temperature" in field:
            asked = f'IF(water_temperature="","not asked",{asked})'
        plan[f"A{row}"], plan[f"B{row}"] = label, f"={asked}"
        plan[f"C{row}"] = f'=IF(ISNUMBER(B{row}),{unit},"")'
        plan[f"B{row}"].number_format, plan[f"B{row}"].font = shape, font(bold=True)
        plan[f"B{row}"].alignment, plan[f"C{row}"].alignment = Alignment(horizontal="right"), Alignment(indent=1)
    plan["A47"] = "Severity of the cautions"
    severity = formulas.text_of(formulas.quoted("worst_severity"))
    plan["B47"] = f"=IF(ISNUMBER(answered),IFERROR({severity},no_figure),no_figure)"
    plan["B47"].font = font(bold=True)
    head(plan, CAUTION_ROWS[0] - 1, "Cautions of this recipe")
    for at, row in enumerate(CAUTION_ROWS):
        plan[f"A{row}"] = _caution(at)
        plan.merge_cells(f"A{row}:E{row}")
        plan[f"A{row}"].alignment = WRAP
        plan.row_dimensions[row].height = 84 if at == 0 else 50  # German is longer
    choices(plan, "B6", "g,kg,oz,lb")
    choices(plan, "B12", "en,de")
    choices(plan, "B8", ",".join(WATER_WAYS))
    choices(plan, f"A{ALKALI_ROWS[0]}:A{ALKALI_ROWS[-1]}", "NaOH,KOH")
    paper(plan, f"A1:E{CAUTION_ROWS[-1]}", {"A": 40, "B": 24, "C": 26, "D": 22, "E": 20})


def _weighed(many: str, at: int, kind: str) -> str:
    row = (4 if kind == "fat" else 4 + len(FAT_ROWS)) + at
    field = f'"{many}."&Addresses!C{row}&".weigh"'
    return f'=IF(Addresses!B{row}="","",{formulas.figure(field)})'


def _caution(at: int) -> str:
    """One caution. "None" needs a list that was loaded; a text that was not loaded says so."""
    # the most severe comes first, then the others in order
    number = f"IF(most_severe>={at},{at - 1},{at})" if at else "most_severe"
    asked = formulas.text_of(f'"cautions."&{number}&".message"')
    unknown = '"The cautions could not be loaded. Read them before you weigh anything; see above what to do."'
    if at == len(CAUTION_ROWS) - 1:
        asked = f'IF(cautions_count>{at + 1},"There are more: open the address on the sheet Addresses.",{asked})'
    none = '"None of its own."' if at == 0 else '""'
    lost = unknown if at == 0 else '""'
    return f'=IF(ISNUMBER(cautions_count),IF(cautions_count<={at},{none},IFERROR({asked},{unknown})),{lost})'
