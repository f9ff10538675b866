"""The sheet Addresses: how the recipe becomes an address, and whether the service replied."""

from __future__ import annotations

import formulas
from cells import ALKALI_ROWS, FAT_ROWS, FIGURE_ROW, LONGEST_ADDRESS, font, head, name
from openpyxl.styles import Alignment
from openpyxl.worksheet.worksheet import Worksheet


def address_sheet(sheet: Worksheet) -> None:
    """Build the address: a piece for every row that is not empty."""
    sheet["A1"] = "How the recipe becomes an address"
    sheet["A1"].font = font(bold=True, size=14)
    head(sheet, 3, "row", "its piece of the address", "its number in the answer")
    for at, row in enumerate(FAT_ROWS):
        _piece(sheet, 4 + at, f"fat {at + 1}", 4, [f"Plan!{column}{row}" for column in "ABC"],
               f'"&fat="&{formulas.part(f"Plan!A{row}")}&",mass:"&{formulas.number(f"Plan!B{row}")}'
               + _if_given(f"Plan!C{row}", "sv"))
    first = 4 + len(FAT_ROWS)
    for at, row in enumerate(ALKALI_ROWS):
        _piece(sheet, first + at, f"alkali {at + 1}", first, [f"Plan!{column}{row}" for column in "ABCD"],
               f'"&alkali="&{formulas.part(f"Plan!A{row}")}' + _if_given(f"Plan!B{row}", "share")
               + _if_given(f"Plan!C{row}", "purity") + _if_given(f"Plan!D{row}", "purity_at_least"))
    last = first + len(ALKALI_ROWS) - 1
    pieces = "&".join(f"B{row}" for row in range(4, last + 1))
    long = f'"This recipe makes an address of "&LEN(recipe_address)&" characters; {LONGEST_ADDRESS:,} are the most."'
    # a text inside a formula ends at 255 characters in some programs, so the longer ones are in two pieces
    silent = ('"No figures: weigh nothing. Open the link below in a browser: it shows every error in the recipe. "&'
              '"If it shows no error, let this program update links to external data. If it does not open at all, the '
              'service does not run at the address above. When it does, type a number beside Ask again."')
    some = ('"Some figures did not come: weigh nothing. Type another number beside Ask again; if they stay away, the "&'
            '"service has stopped."')
    listed = formulas.fetched('recipe_address&"&format=csv&table=cautions"')
    broken = '"No figures: weigh nothing. A cell of the recipe holds an error of its own: type a figure into it."'
    danger = '"DANGER: do not make this batch as it is. Read the cautions."'
    missing = (f"COUNTIF(Plan!B{FIGURE_ROW}:B47,no_figure)+COUNTIF(Plan!E{FAT_ROWS[0]}:E{ALKALI_ROWS[-1]},no_figure)"
               f"+IF(ISNUMBER(cautions_count),0,1)")
    lines = (
        ("decimal_sign", "decimal sign of this locale", "=MID(1/2,2,1)"),
        ("service", "service", '=IF(RIGHT(service_address,1)="/",LEFT(service_address,LEN(service_address)-1),'
         "service_address)"),
        ("again", "end of every requested address", '=IF(ask_again="","","#"&ask_again)'),
        ("recipe_address", "address of the recipe", f'=service&"/v1/lye?units="&{formulas.word("mass_unit")}'
         f'&"&locale="&{formulas.word("language")}&"&superfat_pct="&IF(ISNUMBER(superfat),{formulas.number("superfat")},{formulas.word("superfat")})'
         f'&"&water="&{formulas.part("water_given_as")}&":"&{formulas.number("water_figure")}'
         f'&IF(water_temperature="","","&temperatures=water:"&{formulas.number("water_temperature")})&{pieces}'),
        ("answered", "mass of the batter: a number where the service answers",
         f'=IFERROR(_xlfn.NUMBERVALUE({formulas.text_of(formulas.quoted("batter.mass"))},".",","),no_figure)'),
        ("no_figure", "shown where a figure is missing", "no figure"),
        ("cautions_list", "cautions, as CSV", f'=IF(ISNUMBER(answered),IFERROR({listed},no_figure),no_figure)'),
        ("cautions_count", "their count", f'=IF(LEFT(cautions_list,4)="key,",{formulas.count_of_lines("cautions_list")}'
         ",no_figure)"),
        ("most_severe", "number of the most_severe", f'=IFERROR({formulas.line_with(",danger,", "cautions_list")},'
         f'IFERROR({formulas.line_with(",warning,", "cautions_list")},0))'),
        ("missing", "figures that did not come", f"={missing}"),
        ("what_to_do", "what to do", f'=IF(ISNUMBER(answered),IF(missing>0,{some},IF(Plan!B47="danger",{danger},'
         f'"The service answers; these are the figures of this recipe.")),IF(ISERROR(recipe_address),{broken},'
         f"IF(LEN(recipe_address)>{LONGEST_ADDRESS},{long},{silent})))"),
    )
    for row, (known_as, label, text) in enumerate(lines, last + 2):
        sheet[f"A{row}"], sheet[f"B{row}"] = label, text
        sheet[f"B{row}"].alignment = sheet[f"A{row}"].alignment = Alignment(wrap_text=True, vertical="top",
                                                                            horizontal="left")
        sheet.row_dimensions[row].height = 90 if known_as in ("recipe_address", "cautions_list", "what_to_do") else 16
        name(sheet.parent, known_as, f"Addresses!$B${row}")
    sheet.column_dimensions["A"].width, sheet.column_dimensions["B"].width = 56, 100
    sheet.column_dimensions["C"].width = 24
    sheet.page_setup.orientation, sheet.page_setup.fitToHeight = sheet.ORIENTATION_LANDSCAPE, 0
    sheet.sheet_properties.pageSetUpPr.fitToPage = True


def _piece(sheet: Worksheet, row: int, label: str, first: int, cells: list[str], text: str) -> None:
    """A row counts as soon as one of its cells is filled. An incomplete row is sent too, and the service rejects it."""
    sheet[f"A{row}"] = label
    sheet[f"B{row}"] = f'=IF({"&".join(cells)}="","",{text})'
    above = f'SUMPRODUCT(--(B${first}:B{row - 1}<>""))' if row > first else "0"
    sheet[f"C{row}"] = f'=IF(B{row}="","",{above})'


def _if_given(cell: str, part: str) -> str:
    return f'&IF({cell}="","",",{part}:"&{formulas.number(cell)})'
