"""Positions on the sheet Batch, and the look of cells."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from openpyxl import Workbook
from openpyxl.styles import Alignment, Border, Font, PatternFill, Protection, Side
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.worksheet import Worksheet

__all__ = [
           "ALKALI_ROWS", "BATTER_ROW", "BUCKETS", "BUCKET_ROWS", "CENTRE", "CUT", "CUT_ROWS", "FAT_ROWS", "IDENTITY",
           "JUG_HEAD", "LAST_ROW", "LONGEST_ADDRESS", "MOULD", "MOULD_HEAD", "NAME", "POT_ADDITION_ROWS", "POT_HEAD",
           "RESULT_ROW", "STATUS", "SUPERFAT_ROW", "TEMPERATURE_ROW", "WATER_ROW", "WRAP", "fill_in", "font", "formula",
           "name", "page", "paper",
]

NAME, IDENTITY, STATUS = "A1", "E1", "A2"
POT_HEAD = 4
FAT_ROWS = range(5, 13)
POT_ADDITION_ROWS = range(13, 15)
BATTER_ROW = 15  # and what stays behind in the pot; the pot's size is in the row below
JUG_HEAD = 17
WATER_ROW = 18
ALKALI_ROWS = range(19, 21)
SUPERFAT_ROW, TEMPERATURE_ROW = 21, 22  # the jug's size is in the row below
BUCKET_ROWS = 24
BUCKETS = tuple(range(25, 37, 3))  # a bucket, then two additions to it
MOULD_HEAD = 39
CUT_ROWS = range(40, 47)
RESULT_ROW = 47
LAST_ROW = 52
MOULD: Mapping[str, int] = {"length": 40, "width": 41, "depth": 42, "headspace": 43, "liner": 44, "count": 45}
"""Rows of the mould, in column B."""
CUT: Mapping[str, int] = {"loaf": 40, "bar": 41, "kerf": 42, "trim": 43, "loss": 44, "cure": 45}
"""Rows of the cut and of the cure, in column E."""
LONGEST_ADDRESS = 2_048

_LINE = Side(style="thin", color="8C8C8C")
_BOX = Border(left=_LINE, right=_LINE, top=_LINE, bottom=_LINE)
_INPUT = PatternFill("solid", fgColor="FFF3CC")
WRAP = Alignment(wrap_text=True, vertical="top")
CENTRE = Alignment(horizontal="center", vertical="center")
_TO_THE_RIGHT = Alignment(horizontal="right", vertical="center")
_TO_THE_LEFT = Alignment(horizontal="left", vertical="center", shrink_to_fit=True)
_BESIDE = Alignment(horizontal="left", vertical="center", indent=1, shrink_to_fit=True)  # a unit, after its figure


def font(size: float = 10, **more: Any) -> Font:
    """The font of the workbook."""
    return Font(name="Arial", size=size, **more)


def fill_in(sheet: Worksheet, cell: str, value: object, *, shape: str = "General", over: str = "") -> None:
    """A cell that you fill in, `over` more cells if given."""
    sheet[cell] = value
    if isinstance(value, str):
        sheet[cell].data_type = "s"  # a name that begins with = is a name
    for row in sheet[f"{cell}:{over or cell}"]:
        for one in row:
            one.fill, one.border = _INPUT, _BOX
    sheet[cell].font, sheet[cell].number_format = font(), shape
    sheet[cell].protection = Protection(locked=False)
    sheet[cell].alignment = (_BESIDE if cell[0] == "C" else _TO_THE_LEFT if isinstance(value, str) or over
                             or cell[0] == "A" else _TO_THE_RIGHT)
    if over:
        sheet.merge_cells(f"{cell}:{over}")


def formula(sheet: Worksheet, cell: str, text: str, *, size: float = 10, bold: bool = False, shape: str = "General",
            right: bool = False, over: str = "") -> None:
    """A cell that shows a formula."""
    sheet[cell] = f"={text}"
    sheet[cell].font, sheet[cell].number_format = font(size, bold=bold), shape
    sheet[cell].alignment = _TO_THE_RIGHT if right else _BESIDE if cell[0] in "CF" else _TO_THE_LEFT
    if over:
        sheet.merge_cells(f"{cell}:{over}")


def paper(sheet: Worksheet, area: str, widths: Mapping[str, float], height: float = 15.5) -> None:
    """One sheet of A4 with these columns; only cells to fill in can be changed."""
    for column, width in widths.items():
        sheet.column_dimensions[column].width = width
    sheet.sheet_format.defaultRowHeight, sheet.sheet_format.customHeight = height, True
    sheet.print_area = area
    sheet.protection.sheet = True
    sheet.protection.formatColumns = sheet.protection.formatRows = False  # which means allowed
    sheet.sheet_view.showGridLines = False


def page(sheet: Worksheet) -> None:
    """How a sheet is printed."""
    sheet.page_setup.paperSize = sheet.PAPERSIZE_A4
    sheet.page_setup.orientation = sheet.ORIENTATION_PORTRAIT
    sheet.page_setup.fitToWidth = sheet.page_setup.fitToHeight = 1
    sheet.sheet_properties.pageSetUpPr.fitToPage = True
    sheet.print_options.horizontalCentered = True
    margins = sheet.page_margins
    margins.left = margins.right = margins.top = 0.4  # inches
    margins.bottom, margins.footer = 0.6, 0.3
    sheet.oddFooter.right.text, sheet.oddFooter.right.size = "&P / &N", 9


def name(book: Workbook, word: str, at: str) -> None:
    """A name for a cell, so that formulas can be read."""
    book.defined_names[word] = DefinedName(word, attr_text=at)
