"""The sheet Reply, hidden: lines of CSV taken apart into cells."""

from __future__ import annotations

from collections.abc import Mapping

import formulas
from cells import BUCKETS, name
from formulas import say
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

__all__ = ["ALWAYS_ROWS", "CAUTION_ROWS", "reply_sheet"]

_HEADER, _FIRST = 2, 3
CAUTION_ROWS = range(_FIRST, _FIRST + 20)
ALWAYS_ROWS = range(_FIRST, _FIRST + 16)
_WEIGH_ROWS = range(_FIRST, _FIRST + 40)
_LAYER_ROWS = range(_FIRST, _FIRST + len(BUCKETS))


def reply_sheet(sheet: Worksheet) -> None:
    """Each table has its text in row 1, its header in row 2 and its lines from row 3."""
    sheet["A1"] = _text("figures")
    name(sheet.parent, "figures", "Reply!$A$1")
    column = _weigh_list(sheet, 2)
    column = _layers(sheet, column)
    column = _cautions(sheet, column)
    _always(sheet, column)
    sheet.sheet_state = "hidden"
    sheet.protection.sheet = True


def _weigh_list(sheet: Worksheet, column: int) -> int:
    """What a row is, its mass and unit; and a tag that finds it."""
    table = _Table(sheet, column, "weigh_list", _WEIGH_ROWS, 15)
    kind, where, portion, weigh, unit = table.columns(
        '"kind"', '"where"', '"portion"', 'IF(answered,"weigh ["&mass_unit&"]","")', '"unit"', other={3: '"weigh"'})
    tag, number = (get_column_letter(table.next + at) for at in (5, 6))
    for row in _WEIGH_ROWS:
        alike = f"COUNTIFS({kind}${_FIRST}:{kind}{row},{kind}{row},{where}${_FIRST}:{where}{row},{where}{row}"
        of_bucket = f'{alike},{portion}${_FIRST}:{portion}{row},{portion}{row}&"")'
        sheet[f"{tag}{row}"] = (f'=IF({kind}{row}="","",{kind}{row}&"|"&{where}{row}&"|"&IF({kind}{row}="batter","#"&'
                                f'{alike}),{portion}{row}&"|"&{of_bucket}))')
        sheet[f"{number}{row}"] = f'=IF({kind}{row}="","",IFERROR(_xlfn.NUMBERVALUE({weigh}{row},".",","),no_figure))'
    for word, letter in (("tags", tag), ("weigh", number), ("portion", portion), ("unit", unit)):
        _named(sheet, f"list_{word}", letter, _WEIGH_ROWS)
    return table.next + 8


def _layers(sheet: Worksheet, column: int) -> int:
    table = _Table(sheet, column, "portions", _LAYER_ROWS, 26)
    bottom, top = table.columns('"layer.bottom ["&length_unit&"]"', '"layer.top ["&length_unit&"]"')
    _named(sheet, "layer_bottom", bottom, _LAYER_ROWS)
    _named(sheet, "layer_top", top, _LAYER_ROWS)
    return table.next + 3


def _cautions(sheet: Worksheet, column: int) -> int:
    """Severity, message, and the line of the page."""
    table = _Table(sheet, column, "cautions", CAUTION_ROWS, 6)
    severity, message = table.columns('"severity"', '"message"')
    line = get_column_letter(table.next + 2)
    for row in CAUTION_ROWS:
        sheet[f"{line}{row}"] = (f'=IF({severity}{row}="","","• "&{_said(f"{severity}{row}")}&{message}{row}'
                                 "&CHAR(10))")
    text = table.text
    sheet[f"{line}1"] = f'=IF(LEFT({text},4)="key,",LEN({text})-LEN(SUBSTITUTE({text},CHAR(10),""))-1,no_figure)'
    name(sheet.parent, "cautions_count", f"Reply!${line}$1")
    _named(sheet, "caution_severities", severity, CAUTION_ROWS)
    _named(sheet, "caution_lines", line, CAUTION_ROWS)
    return table.next + 4


def _always(sheet: Worksheet, column: int) -> None:
    """Keys of what always applies to a batch, each with its text out of the table of all cautions."""
    table = _Table(sheet, column, "standing_cautions", ALWAYS_ROWS, 1)
    (keys,) = table.columns('"standing_cautions"')
    every, start, line, message = (get_column_letter(table.next + at) for at in (1, 2, 3, 4))
    asked = formulas.fetched('service&"/v1/cautions?format=csv&locale="&IF(german,"de","en")')
    sheet[f"{every}1"] = f'=IF(answered,IFERROR({asked},""),"")'
    for row in ALWAYS_ROWS:
        key = f"{keys}{row}"
        found = f'FIND(CHAR(10)&{key}&",",{every}$1)+LEN({key})+2'
        sheet[f"{start}{row}"] = f'=IF({key}="","",IFERROR({found},no_figure))'
        # key, severity, message: the severity is a word and needs no quotation marks
        rest = f"MID({every}$1,FIND(\",\",{every}$1,{start}{row})+1,4000)"
        sheet[f"{line}{row}"] = f'=IF(ISNUMBER({start}{row}),{rest},"")'
        sheet[f"{message}{row}"] = (f'=IF({line}{row}="","","• "&{formulas.field_of(f"{line}{row}")}&CHAR(10))')
    starts = f"{start}{ALWAYS_ROWS[0]}:{start}{ALWAYS_ROWS[-1]}"
    sheet[f"{message}1"] = (
        f'=IF(AND(LEFT({table.text},17)="standing_cautions",LEFT({every}1,21)="key,severity,message,",'
        f'COUNTIF({starts},no_figure)=0),LEN({table.text})-LEN(SUBSTITUTE({table.text},CHAR(10),""))-1,no_figure)')
    name(sheet.parent, "always_count", f"Reply!${message}$1")
    _named(sheet, "always_lines", message, ALWAYS_ROWS)


class _Table:
    """A table of the reply from a column on: its text, then for its header and each line the start, itself, its fields.

    Columns are found by the words of the header, because a newer service may have more of them.
    """

    def __init__(self, sheet: Worksheet, column: int, table: str, rows: range, fields: int) -> None:
        self.sheet, self.rows, self.column = sheet, rows, column
        text, start, line = (get_column_letter(column + at) for at in range(3))
        self.text = f"{text}1"
        sheet[self.text] = _text(table)
        for row in (_HEADER, *rows):
            after = "1" if row == _HEADER else f"IFERROR(FIND(CHAR(10),{text}$1,{start}{row - 1})+1,LEN({text}$1)+1)"
            sheet[f"{start}{row}"] = f"={after}"
            end = f"IFERROR(FIND(CHAR(13),{text}$1,{start}{row}),LEN({text}$1)+1)"
            sheet[f"{line}{row}"] = f"=MID({text}$1,{start}{row},{end}-{start}{row})"
            before = line
            for at in range(fields):
                value, rest = (get_column_letter(column + 3 + 2 * at + more) for more in (0, 1))
                sheet[f"{value}{row}"] = f'=IF({before}{row}="","",{formulas.field_of(f"{before}{row}")})'
                sheet[f"{rest}{row}"] = f'=IF({before}{row}="","",{formulas.after(f"{before}{row}")})'
                before = rest
        self.next = column + 3 + 2 * fields

    def columns(self, *heads: str, other: Mapping[int, str] | None = None) -> list[str]:
        """Columns after the table with the values under these heads (`other`: a second head, by number)."""
        first, last = get_column_letter(self.column + 3), get_column_letter(self.next - 1)
        found = []
        for number, head in enumerate(heads):
            letter = get_column_letter(self.next + number)
            found.append(letter)
            where = f"MATCH({head},{first}${_HEADER}:{last}${_HEADER},0)"
            if other and number in other:
                where = f"IFERROR({where},MATCH({other[number]},{first}${_HEADER}:{last}${_HEADER},0))"
            for row in self.rows:
                self.sheet[f"{letter}{row}"] = f'=IFERROR(INDEX({first}{row}:{last}{row},1,{where}),"")'
        return found


def _said(severity: str) -> str:
    danger, warning, note = say("DANGER: ", "GEFAHR: "), say("Warning: ", "Warnung: "), say("Note: ", "Hinweis: ")
    return f'IF({severity}="danger",{danger},IF({severity}="warning",{warning},{note}))'


def _text(table: str) -> str:
    asked = formulas.fetched(f'recipe_address&"&table={table}"')
    return f'=IF(answered,IFERROR({asked},""),"")'


def _named(sheet: Worksheet, word: str, letter: str, rows: range) -> None:
    name(sheet.parent, word, f"Reply!${letter}${rows[0]}:${letter}${rows[-1]}")
