"""The sheet Print: one page for the bench, in the order you do the steps."""

from __future__ import annotations

import formulas
from cells import ALKALI_ROWS, CAUTION_ROWS, FAT_ROWS, FIGURE_ROW, STANDING, WRAP, font, paper
from openpyxl.styles import Alignment
from openpyxl.worksheet.worksheet import Worksheet


def print_sheet(page: Worksheet) -> None:
    """One page for the bench, in the order you do the steps: the jug, the pot, the cautions."""
    page["A1"] = "=Plan!B4"
    page["A1"].font = font(bold=True, size=26)
    page["A2"] = ('=IF(missing+IF(ISNUMBER(answered),0,1)=0,IF(Plan!B47="danger",what_to_do,"Superfat requested: "'
                  '&superfat&" %. Tick each line when it is weighed."),"NO FIGURES. Do not weigh from this page.")')
    page["A2"].font = font(bold=True, size=18)
    page.row_dimensions[1].height, page.row_dimensions[2].height = 38, 28
    row = 4
    for title, lines in (
            ("Jug: water first, then the alkali into it", [
                ('="water"', f"=Plan!B{FIGURE_ROW}", "1=1"),
                *[(f"=IF(Plan!A{at}=0,\"\",Plan!A{at})", f"=Plan!E{at}", f'Plan!E{at}<>""') for at in ALKALI_ROWS]]),
            ("Pot: fats", [(f"=IF(Plan!A{at}=0,\"\",Plan!A{at})", f"=Plan!E{at}", f'Plan!E{at}<>""')
                           for at in FAT_ROWS])):
        page[f"A{row}"] = title
        page[f"A{row}"].font = font(bold=True, size=16)
        for name, weigh, used in lines:
            row += 1
            page[f"A{row}"], page[f"B{row}"] = name, weigh
            page[f"C{row}"] = f'=IF({used},IF(ISNUMBER(B{row}),mass_unit,""),"")'
            page[f"D{row}"] = f'=IF({used},IF(ISNUMBER(B{row}),"☐",""),"")'
            for column, size in zip("ABCD", (20, 28, 16, 20), strict=True):
                page[f"{column}{row}"].font = font(size=size, bold=column == "B")
            page.row_dimensions[row].height = 34
            for column in "ABCD":
                page[f"{column}{row}"].alignment = Alignment(vertical="center", horizontal="right" if column == "B"
                                                             else "left")
        row += 2
    for label, text in (
            ("Superfat that is left, likely", _between("0.0", FIGURE_ROW + 2, FIGURE_ROW + 3, " %")),
            ("Lye may reach", _single(FIGURE_ROW + 6, "0", " °C")),
            ("Batter", _single(FIGURE_ROW + 8, "", '"&" "&mass_unit&"')),
            ("Jug at least / pot at least", _between("0", FIGURE_ROW + 7, FIGURE_ROW + 9, " mL"))):
        page[f"A{row}"], page[f"B{row}"] = label, text
        page[f"A{row}"].font, page[f"B{row}"].font = font(size=14), font(size=14, bold=True)
        page[f"B{row}"].alignment = Alignment(horizontal="right")
        row += 1
    row += 1
    page[f"A{row}"] = '="Beware: cautions of this recipe: "&IF(ISNUMBER(cautions_count),cautions_count,"not known")'
    own = "&".join(f'IF(Plan!A{at}="","","{number}.  "&Plan!A{at}&CHAR(10))'
                   for number, at in enumerate(CAUTION_ROWS, 1))
    fetched = "&".join(f"IFERROR({formulas.fetched(text)}&CHAR(10),\"\")" for text in (
        f'service&"/v1/cautions?field=cautions.{key}.message&locale="&language' for key in STANDING))
    always = ('"Always: goggles, gloves and long sleeves on; alkali into water, never the other way round."&CHAR(10)&'
              f'{fetched}&"Estimates for a trained person. Local law and the certificates of your suppliers decide."')
    page[f"A{row}"].font = font(bold=True, size=16)
    for text, rows, bold in ((own, 10, True), (always, 11, False)):
        page[f"A{row + 1}"] = f"={text}"
        page[f"A{row + 1}"].alignment, page[f"A{row + 1}"].font = WRAP, font(14, bold=bold)
        page.merge_cells(f"A{row + 1}:D{row + rows}")
        for line in range(row + 1, row + rows + 1):
            page.row_dimensions[line].height = 30
        row += rows
    row += 2
    page[f"A{row}"] = "Weighed by                                        on"
    page[f"A{row}"].font = font(size=14)
    paper(page, f"A1:D{row}", {"A": 58, "B": 30, "C": 10, "D": 8})


def _single(row: int, shape: str, unit: str) -> str:
    cell = f'TEXT(Plan!B{row},"{shape}")' if shape else f"Plan!B{row}"
    return f'=IF(ISNUMBER(Plan!B{row}),{cell}&"{unit}",Plan!B{row})'


def _between(shape: str, low: int, high: int, unit: str) -> str:
    sign = " to " if shape == "0.0" else " / "
    texts = [f"FIXED(Plan!B{row},{1 if shape == '0.0' else 0},TRUE)" for row in (low, high)]
    return (f'=IF(AND(ISNUMBER(Plan!B{low}),ISNUMBER(Plan!B{high})),{texts[0]}&"{sign}"&{texts[1]}&"{unit}",'
            "no_figure)")
