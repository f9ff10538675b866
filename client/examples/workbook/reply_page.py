"""The sheet Reply, hidden: lines of CSV taken apart into cells."""

from __future__ import annotations

import formulas
from cells import BUCKETS, name
from formulas import say
from openpyxl.utils import column_index_from_string, get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

__all__ = ["ALWAYS_ROWS", "CAUTION_ROWS", "reply_sheet"]

_FIRST = 3
CAUTION_ROWS = range(_FIRST, _FIRST + 20)
ALWAYS_ROWS = range(_FIRST, _FIRST + 16)
_WEIGH_ROWS = range(_FIRST, _FIRST + 40)
_LAYER_ROWS = range(_FIRST, _FIRST + len(BUCKETS))


def reply_sheet(sheet: Worksheet) -> None:
    """Each table has its text in row 1 and its lines from row 3."""
    sheet["A1"] = _text("figures")
    name(sheet.parent, "figures", "Reply!$A$1")
    column = _weigh_list(sheet, 2)
    column = _layers(sheet, column)
    column = _cautions(sheet, column)
    _always(sheet, column)
    sheet.sheet_state = "hidden"
    sheet.protection.sheet = True


def _weigh_list(sheet: Worksheet, column: int) -> int:
    """kind, where, portion, key, name, form, lot, weigh, step, unit; and a tag that finds a row."""
    fields, column = _table(sheet, column, "weigh_list", _WEIGH_ROWS, 10)
    kind, where, portion, weigh, unit = (fields[at] for at in (0, 1, 2, 7, 9))
    tag = get_column_letter(column)
    for row in _WEIGH_ROWS:
        alike = f"COUNTIFS({kind}${_FIRST}:{kind}{row},{kind}{row},{where}${_FIRST}:{where}{row},{where}{row}"
        of_bucket = f'{alike},{portion}${_FIRST}:{portion}{row},{portion}{row}&"")'
        sheet[f"{tag}{row}"] = (f'=IF({kind}{row}="","",{kind}{row}&"|"&{where}{row}&"|"&IF({kind}{row}="batter","#"&'
                                f'{alike}),{portion}{row}&"|"&{of_bucket}))')
        sheet[f"{get_column_letter(column + 1)}{row}"] = (
            f'=IF({kind}{row}="","",IFERROR(_xlfn.NUMBERVALUE({weigh}{row},".",","),no_figure))')
    for word, letter in (("tags", tag), ("weigh", get_column_letter(column + 1)), ("portion", portion), ("unit", unit)):
        _named(sheet, f"list_{word}", letter, _WEIGH_ROWS)
    return column + 3


def _layers(sheet: Worksheet, column: int) -> int:
    fields, column = _table(sheet, column, "portions", _LAYER_ROWS, 14)
    _named(sheet, "layer_bottom", fields[12], _LAYER_ROWS)
    _named(sheet, "layer_top", fields[13], _LAYER_ROWS)
    return column + 1


def _cautions(sheet: Worksheet, column: int) -> int:
    """key, severity, place, message; and the line of the page."""
    fields, column = _table(sheet, column, "cautions", CAUTION_ROWS, 4)
    letter = get_column_letter(column)
    for row in CAUTION_ROWS:
        severity, message = f"{fields[1]}{row}", f"{fields[3]}{row}"
        sheet[f"{letter}{row}"] = f'=IF({severity}="","","• "&{_said(severity)}&{message}&CHAR(10))'
    text = f"{_text_column(fields)}1"
    sheet[f"{letter}1"] = (f'=IF(LEFT({text},4)="key,",LEN({text})-LEN(SUBSTITUTE({text},CHAR(10),""))-1,no_figure)')
    name(sheet.parent, "cautions_count", f"Reply!${letter}$1")
    _named(sheet, "caution_severities", fields[1], CAUTION_ROWS)
    _named(sheet, "caution_lines", letter, CAUTION_ROWS)
    return column + 2


def _always(sheet: Worksheet, column: int) -> None:
    """Keys of what always applies to a batch, each with its text out of the table of all cautions."""
    fields, column = _table(sheet, column, "standing_cautions", ALWAYS_ROWS, 1)
    every = f"${get_column_letter(column)}$1"
    sheet[every.replace("$", "")] = "=IF(answered,IFERROR(" + formulas.fetched(
        'service&"/v1/cautions?format=csv&locale="&IF(german,"de","en")') + ',""),"")'
    rest, severity, after, line = (get_column_letter(column + at) for at in (1, 2, 3, 4))
    for row in ALWAYS_ROWS:
        key = f"{fields[0]}{row}"
        mark = f'CHAR(10)&{key}&","'
        sheet[f"{rest}{row}"] = (f'=IF({key}="","",IFERROR(MID({every},FIND({mark},{every})+LEN({key})+2,4000),'
                                 "no_figure))")
        sheet[f"{severity}{row}"] = f'=IF({key}="","",{formulas.field_of(f"{rest}{row}")})'
        sheet[f"{after}{row}"] = f'=IF({key}="","",{formulas.after(f"{rest}{row}")})'
        sheet[f"{line}{row}"] = f'=IF({key}="","","• "&{formulas.field_of(f"{after}{row}")}&CHAR(10))'
    rests = f"{rest}{ALWAYS_ROWS[0]}:{rest}{ALWAYS_ROWS[-1]}"
    text = f"{_text_column(fields)}1"
    sheet[f"{line}1"] = (f'=IF(AND(LEFT({text},17)="standing_cautions",COUNTIF({rests},no_figure)=0),'
                         f'LEN({text})-LEN(SUBSTITUTE({text},CHAR(10),""))-1,no_figure)')
    name(sheet.parent, "always_count", f"Reply!${line}$1")
    _named(sheet, "always_lines", line, ALWAYS_ROWS)


def _said(severity: str) -> str:
    danger, warning, note = say("DANGER: ", "GEFAHR: "), say("Warning: ", "Warnung: "), say("Note: ", "Hinweis: ")
    return f'IF({severity}="danger",{danger},IF({severity}="warning",{warning},{note}))'


def _table(sheet: Worksheet, column: int, table: str, rows: range, fields: int) -> tuple[list[str], int]:
    """A table of the reply from this column on: its text, then for each line its start, itself, its fields.

    Gives the letters of the columns of the fields, and the next free column.
    """
    text, start, line = (get_column_letter(column + at) for at in range(3))
    sheet[f"{text}1"] = _text(table)
    found = []
    for row in rows:
        before = f"{text}$1,1" if row == rows[0] else f"{text}$1,{start}{row - 1}"
        sheet[f"{start}{row}"] = f'=IFERROR(FIND(CHAR(10),{before})+1,LEN({text}$1)+1)'
        end = f"IFERROR(FIND(CHAR(13),{text}$1,{start}{row}),LEN({text}$1)+1)"
        sheet[f"{line}{row}"] = f"=MID({text}$1,{start}{row},{end}-{start}{row})"
    for at in range(fields):
        value, rest = (get_column_letter(column + 3 + 2 * at + more) for more in (0, 1))
        found.append(value)
        before = line if not at else get_column_letter(column + 2 + 2 * at)
        for row in rows:
            sheet[f"{value}{row}"] = f'=IF({line}{row}="","",{formulas.field_of(f"{before}{row}")})'
            sheet[f"{rest}{row}"] = f'=IF({line}{row}="","",{formulas.after(f"{before}{row}")})'
    return found, column + 3 + 2 * fields


def _text(table: str) -> str:
    asked = formulas.fetched(f'recipe_address&"&table={table}"')
    return f'=IF(answered,IFERROR({asked},""),"")'


def _text_column(fields: list[str]) -> str:
    """The column of a table's text: three before its first field."""
    return get_column_letter(column_index_from_string(fields[0]) - 3)


def _named(sheet: Worksheet, word: str, letter: str, rows: range) -> None:
    name(sheet.parent, word, f"Reply!${letter}${rows[0]}:${letter}${rows[-1]}")
