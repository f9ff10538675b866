"""The sheet Cautions: those of this batch, the most severe first, then those that always apply."""

from __future__ import annotations

from cells import IDENTITY, NAME, WRAP, formula, page, paper
from formulas import say
from openpyxl.worksheet.worksheet import Worksheet
from reply_page import ALWAYS_ROWS, CAUTION_ROWS

__all__ = ["cautions_sheet"]

_BOX = range(5, 61)
_WIDTH = 96  # characters in a line of the page
_LOST = say("The cautions could not be loaded. Read them before you weigh anything: the sheet Batch says what to do.",
            "Die Hinweise wurden nicht geladen. Vor dem Abwiegen lesen: Das Blatt Batch sagt, was zu tun ist.")


def cautions_sheet(sheet: Worksheet) -> None:
    """One tall cell, in which the text flows whatever its length; a text that would not fit says so."""
    formula(sheet, "A1", f'Batch!{NAME}&{say(": cautions", ": Hinweise")}', size=16, bold=True)
    formula(sheet, "A2", f"Batch!{IDENTITY}", size=10)
    formula(sheet, "A3", f'{say("Of this batch: ", "Zu diesem Ansatz: ")}&IF(ISNUMBER(cautions_count),cautions_count,'
            f"no_figure)&{_too_long()}", size=12, bold=True)
    own = "&".join(f'IF(INDEX(caution_severities,{row})="{severity}",INDEX(caution_lines,{row}),"")'
                   for severity in ("danger", "warning", "info") for row in range(1, len(CAUTION_ROWS) + 1))
    always = "&".join(f"INDEX(always_lines,{row})" for row in range(1, len(ALWAYS_ROWS) + 1))
    last = say("Estimates for a trained person. Local law and the certificates of your suppliers decide.",
               "Schätzwerte für Fachkundige. Maßgeblich sind das Recht am Ort und die Zertifikate der Lieferanten.")
    formula(sheet, f"A{_BOX[0]}", f"IF(AND(ISNUMBER(cautions_count),ISNUMBER(always_count)),{own}&"
            f'CHAR(10)&{say("ALWAYS", "IMMER")}&CHAR(10)&{always}&{last},{_LOST})')
    sheet[f"A{_BOX[0]}"].alignment = WRAP
    sheet.merge_cells(f"A{_BOX[0]}:A{_BOX[-1]}")
    paper(sheet, f"A1:A{_BOX[-1]}", {"A": 100}, 14)
    page(sheet)


def _too_long() -> str:
    """A remark where the lines would need more room than the cell has, or there are more cautions than rows."""
    lines = "+".join(f"SUMPRODUCT(INT(LEN({lines})/{_WIDTH})+(LEN({lines})>0))"
                     for lines in ("caution_lines", "always_lines"))
    text = say(". Not all fit here: read the batch sheet, by the link on the sheet Settings.",
               ". Nicht alle passen hierher: Ansatzblatt lesen, Verweis auf dem Blatt Settings.")
    return f'IF(ISNUMBER(cautions_count),IF(OR({lines}+3>{len(_BOX)},cautions_count>{len(CAUTION_ROWS)}),{text},""),"")'
