"""Positions in the workbook, and the look of its cells."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from openpyxl import Workbook
from openpyxl.styles import Alignment, Border, Font, PatternFill, Protection, Side
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.worksheet import Worksheet

FAT_ROWS = range(14, 24)
ALKALI_ROWS = range(27, 29)
FIGURE_ROW = 35
CAUTION_ROWS = range(50, 56)
WATER_WAYS = ("lye_concentration_pct", "water_to_alkali", "water_pct_of_fats")
LONGEST_ADDRESS = 2_048
STANDING = ("alkali-corrosive", "alkali-into-water", "no-reactive-metal", "ventilate", "first-aid-water",
            "no-vinegar-on-skin", "lye-unattended")

FIGURES = (  # label, field, shape of the number, unit (a piece of formula)
    ("Water to weigh", "water.weigh", "General", "mass_unit"),
    ("Superfat that is left", "superfat.achieved_pct", "0.0", '"%"'),
    ("   likely from", "superfat.likely_pct.min", "0.0", '"%"'),
    ("   likely to", "superfat.likely_pct.max", "0.0", '"%"'),
    ("Lye", "solution.mass", "General", "mass_unit"),
    ("Lye, share of alkali", "solution.concentration_pct", "0.0", '"% by mass"'),
    ("Lye may reach", "solution.peak_temperature.max", "0", '"°C"'),
    ("Jug, at least", "vessels.jug", "0", '"mL"'),
    ("Batter", "batter.mass", "General", "mass_unit"),
    ("Pot, at least", "vessels.pot", "0", '"mL"'),
)

_LINE = Side(style="thin", color="808080")
FRAME = Border(left=_LINE, right=_LINE, top=_LINE, bottom=_LINE)
PAPER = PatternFill("solid", fgColor="FFF8E6")
WRAP = Alignment(wrap_text=True, vertical="top")


def font(size: int = 11, **more: Any) -> Font:
    """The font of the workbook."""
    return Font(name="Arial", size=size, **more)


def fill_in(sheet: Worksheet, cell: str, value: object) -> None:
    """A cell that you fill in."""
    sheet[cell] = value
    if isinstance(value, str):
        sheet[cell].data_type = "s"  # a name that begins with = is a name
    sheet[cell].border, sheet[cell].fill, sheet[cell].font = FRAME, PAPER, font()
    sheet[cell].protection = Protection(locked=False)
    sheet[cell].alignment = Alignment(horizontal="left" if isinstance(value, str) else "right", vertical="center")


def head(sheet: Worksheet, row: int, *words: str) -> None:
    """Bold heading of a table."""
    for column, text in enumerate(words, 1):
        at = sheet.cell(row, column, text)
        at.font, at.alignment = font(bold=True), Alignment(wrap_text=True, vertical="bottom")


def choices(sheet: Worksheet, cells: str, words: str) -> None:
    """A list to choose from."""
    choice = DataValidation(type="list", formula1=f'"{words}"', allow_blank=True)
    sheet.add_data_validation(choice)
    choice.add(cells)


def paper(sheet: Worksheet, area: str, widths: Mapping[str, float]) -> None:
    """One sheet of A4, as wide as these columns."""
    for column, width in widths.items():
        sheet.column_dimensions[column].width = width
    sheet.sheet_format.defaultRowHeight, sheet.sheet_format.customHeight = 16, True
    sheet.print_area = area
    sheet.page_setup.paperSize = sheet.PAPERSIZE_A4
    sheet.page_setup.orientation = sheet.ORIENTATION_PORTRAIT
    sheet.page_setup.fitToWidth = sheet.page_setup.fitToHeight = 1
    sheet.sheet_properties.pageSetUpPr.fitToPage = True
    sheet.print_options.horizontalCentered = True
    sheet.sheet_view.showGridLines = False


def name(book: Workbook, word: str, at: str) -> None:
    """A name for a cell, so that formulas can be read."""
    book.defined_names[word] = DefinedName(word, attr_text=at)
