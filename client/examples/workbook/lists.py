"""The sheet Lists: words to choose from, in both languages, and the keys that the service has for them."""

from __future__ import annotations

from dataclasses import dataclass

import formulas
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.worksheet import Worksheet

__all__ = [
           "ALKALIS", "ARRANGEMENTS", "BASES", "KINDS", "LANGUAGES", "LENGTHS", "MASSES", "PURITIES", "SIZES",
           "TEMPERATURES", "VOLUMES", "WAYS", "Words", "lists_sheet",
]


@dataclass(frozen=True)
class Words:
    """Rows of a list: key, English, German; `at` is its place among the lists."""

    at: int
    rows: tuple[tuple[str, str, str], ...]

    def _range(self, column: int) -> str:
        letter = get_column_letter(4 * self.at + column)
        return f"Lists!${letter}$1:${letter}${len(self.rows)}"

    def key(self, cell: str) -> str:
        """The key of a cell's word, percent-encoded; a word that is not in the list is sent as typed."""
        keys, english, german = (self._range(column) for column in (1, 2, 3))
        return (f'IF({cell}="","",_xlfn.ENCODEURL(IFERROR(INDEX({keys},MATCH({cell},{english},0)),'
                f"IFERROR(INDEX({keys},MATCH({cell},{german},0)),{formulas.escaped(cell)}))))")

    def said(self, key: str | None, german: bool) -> str | None:
        """The word for a key; a key that is not in the list stays as it is."""
        return next((row[2 if german else 1] for row in self.rows if row[0] == key), key)

    def offer(self, sheet: Worksheet, *cells: str) -> None:
        """Let cells choose from it."""
        choice = DataValidation(type="list", formula1=f"={self._range(4)}", allow_blank=True)
        sheet.add_data_validation(choice)
        for cell in cells:
            choice.add(cell)

    def write(self, sheet: Worksheet) -> None:
        """Its columns: keys, English, German, and what is offered."""
        for row, words in enumerate(self.rows, 1):
            for column, text in enumerate((*words, f"={formulas.say(words[1], words[2])}"), 4 * self.at + 1):
                sheet.cell(row, column, text)


def _same(*words: str) -> tuple[tuple[str, str, str], ...]:
    return tuple((word, word, word) for word in words)


SIZES = Words(0, (("share", "share, %", "Anteil, %"), ("mass", "mass", "Masse")))
ALKALIS = Words(1, (("NaOH", "sodium hydroxide (NaOH)", "Natriumhydroxid (NaOH)"),
                    ("KOH", "potassium hydroxide (KOH)", "Kaliumhydroxid (KOH)")))
PURITIES = Words(2, (("purity_at_least", "% pure at least", "% Reinheit mindestens"),
                     ("purity", "% pure", "% Reinheit")))
WAYS = Words(3, (("lye_concentration", "% alkali in the lye", "% Alkali in der Lauge"),
                 ("water_to_alkali", "parts of water per part of alkali", "Teile Wasser je Teil Alkali"),
                 ("water_pct_of_fats", "% of the fats", "% der Fette")))
BASES = Words(4, (("g_per_kg_batter", "g per kg of batter", "g je kg Seifenleim"),
                  ("pct_of_batter", "% of the batter", "% des Seifenleims"),
                  ("g_per_kg_fats", "g per kg of fats", "g je kg Fette"),
                  ("pct_of_fats", "% of the fats", "% der Fette"), ("mass", "mass in all", "Masse gesamt")))
KINDS = Words(5, (("colourant", "colourant", "Farbstoff"), ("fragrance", "fragrance", "Duftstoff"),
                  ("clay", "clay", "Tonerde"), ("exfoliant", "exfoliant", "Peelingmittel"),
                  ("botanical", "botanical", "Pflanzenteile"), ("sugar", "sugar", "Zucker"), ("salt", "salt", "Salz"),
                  ("other", "other", "anderes")))
ARRANGEMENTS = Words(6, (("layers", "flat layers", "flache Schichten"), ("mingled", "swirled", "marmoriert"),
                         ("columns", "upright columns", "senkrechte Säulen")))
MASSES = Words(7, _same("g", "kg", "oz", "lb"))
LENGTHS = Words(8, _same("mm", "cm", "in"))
VOLUMES = Words(9, (("mL", "mL", "mL"), ("L", "L", "L"), ("us_fl_oz", "US fl oz", "US fl oz")))
TEMPERATURES = Words(10, (("degC", "°C", "°C"), ("degF", "°F", "°F")))
LANGUAGES = Words(11, (("en", "English", "English"), ("de", "Deutsch", "Deutsch")))
_LISTS = (SIZES, ALKALIS, PURITIES, WAYS, BASES, KINDS, ARRANGEMENTS, MASSES, LENGTHS, VOLUMES, TEMPERATURES,
          LANGUAGES)


def lists_sheet(sheet: Worksheet) -> None:
    """All lists; the sheet is hidden."""
    for words in _LISTS:
        words.write(sheet)
    sheet.sheet_state = "hidden"
    sheet.protection.sheet = True
