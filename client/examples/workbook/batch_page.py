"""The sheet Batch: one page in the order of the day. Pot, jug, buckets, mould; what you fill in and what you weigh."""

from __future__ import annotations

import formulas
import lists
from cells import (
    ALKALI_ROWS,
    BATTER_ROW,
    BUCKET_ROWS,
    BUCKETS,
    CENTRE,
    CUT,
    FAT_ROWS,
    IDENTITY,
    JUG_HEAD,
    LAST_ROW,
    MOULD,
    MOULD_HEAD,
    POT_ADDITION_ROWS,
    POT_HEAD,
    RESULT_ROW,
    STATUS,
    SUPERFAT_ROW,
    TEMPERATURE_ROW,
    WATER_ROW,
    font,
    formula,
    page,
    paper,
)
from formulas import figure, say, weighed
from openpyxl.formatting.rule import FormulaRule
from openpyxl.styles import Alignment, Border, Font, PatternFill, Side
from openpyxl.worksheet.worksheet import Worksheet

_HEAD = PatternFill("solid", fgColor="E4E4E4")
_RULE = Border(bottom=Side(style="hair", color="8C8C8C"))
_BOX = Border(top=Side(style="thin"), bottom=Side(style="thin"))
_BLANK = 22 * "_"
_RED = "9C1C00"
_ROUNDED, _VESSEL = "[>=1000]0;[>=10]0.0;0.00", "[>=100]0;[>=10]0.0;0.00"
_WEIGH = say("weigh", "abwiegen")


def batch_sheet(sheet: Worksheet) -> None:
    """Everything but what you fill in."""
    formula(sheet, IDENTITY, f'"Plan "&IF(answered,{formulas.found("identity")},"–")', right=True, over="G1")
    sheet.row_dimensions[1].height = 30
    formula(sheet, STATUS, "what_to_do", size=11, bold=True, over="G2")
    sheet[STATUS].alignment = Alignment(wrap_text=True, vertical="center", indent=1)
    sheet[STATUS].font = font(10, bold=True, color=_RED)
    for column in "ABCDEFG":
        sheet[f"{column}2"].border = _BOX
    sheet.conditional_formatting.add(STATUS, FormulaRule(formula=["fine"], font=Font(color="1E5B2E")))
    sheet.row_dimensions[2].height = 68
    formula(sheet, "A3", say(
        "Fill in the coloured cells. Estimates for a trained person. Local law and your suppliers' certificates "
        "decide.",
        "Farbige Felder ausfüllen. Schätzwerte für Fachkundige; maßgeblich sind das Recht am Ort und die Zertifikate "
        "der Lieferanten."), size=8, over="G3")
    _pot(sheet)
    _jug(sheet)
    _buckets(sheet)
    _mould(sheet)
    formula(sheet, f"A{LAST_ROW - 1}", say(
        f"Poison centre {_BLANK}  Weighed by {_BLANK}  on {_BLANK[:14]}",
        f"Giftnotruf {_BLANK}  Gewogen von {_BLANK}  am {_BLANK[:14]}"), over=f"G{LAST_ROW - 1}")
    formula(sheet, f"D{LAST_ROW}", f'IF(answered,{say("Service ", "Dienst ")}&{formulas.found("meta.version")}&'
            f'{say(", data ", ", Daten ")}&{formulas.found("meta.data_version")},"")', size=8, right=True,
            over=f"G{LAST_ROW}")
    sheet.row_dimensions[LAST_ROW - 1].height = 34
    paper(sheet, f"A1:G{LAST_ROW}", {"A": 28, "B": 11, "C": 21, "D": 26, "E": 14, "F": 8, "G": 4})
    page(sheet)


def _pot(sheet: Worksheet) -> None:
    _head(sheet, POT_HEAD, say("POT: melt the fats", "TOPF: Fette schmelzen"),
          say("fat of your own: saponification value", "eigenes Fett: Verseifungszahl"), _WEIGH, choice=True)
    formula(sheet, f"C{POT_HEAD}", say("lot, by hand", "Charge, von Hand"), size=8)
    size_unit = f'IF({lists.SIZES.key(f"B${POT_HEAD}")}="share","%",mass_unit)'
    for row in FAT_ROWS:
        formula(sheet, f"C{row}", f'IFERROR(IF(A{row}&B{row}="","",{size_unit}),"")')
        sheet[f"C{row}"].border = _RULE
        _weigh(sheet, row, f"fats_{row}", f'"fat|pot||"&fats_{row}')
    for row in POT_ADDITION_ROWS:
        _weigh(sheet, row, f"additions_{row}", f'"addition|pot||"&additions_{row}')
    row = BATTER_ROW
    _unit(sheet, row, say("Left behind in the pot", "Rest im Topf"), "mass_unit")
    _result(sheet, row, say("Batter in the pot", "Seifenleim im Topf"), figure("pot_mass"), "mass_unit", shape=_ROUNDED)
    row += 1
    formula(sheet, f"A{row}", say("Fats together", "Fette zusammen"))
    formula(sheet, f"B{row}", f'IFERROR(SUM(B{FAT_ROWS[0]}:B{FAT_ROWS[-1]}),"")', right=True)
    formula(sheet, f"C{row}", size_unit)
    _result(sheet, row, say("Pot of at least", "Topf mit mindestens"), figure("vessels.pot"), "volume_unit",
            shape=_VESSEL)


def _jug(sheet: Worksheet) -> None:
    _head(sheet, JUG_HEAD, say("JUG: water first, then the alkali into it",
                               "KRUG: erst Wasser, dann das Alkali hinein"),
          say("of two alkalis: share, %", "von zwei Alkalien: Anteil, %"), _WEIGH)
    formula(sheet, f"A{WATER_ROW}", say("Water", "Wasser"))
    _weigh(sheet, WATER_ROW, "answered", '"water|jug||1"')
    for row in ALKALI_ROWS:
        _weigh(sheet, row, f"alkalis_{row}", f'"alkali|jug||"&alkalis_{row}')
    low, high = (f'FIXED({figure(f"lye.superfat.likely_pct.{end}")},1,TRUE)' for end in ("min", "max"))
    _unit(sheet, SUPERFAT_ROW, say("Superfat", "Überfettung"),
          'IF(ISNUMBER(superfat),IF(AND(superfat>0,superfat<1),'
          f'{say("% ? For 5 % type 5.", "% ? Für 5 % eine 5 eingeben.")},"%"),"%")')
    _result(sheet, SUPERFAT_ROW, say("Likely to be left", "Bleibt wahrscheinlich"),
            f'IF(answered,IFERROR({low}&{say(" to ", " bis ")}&{high},no_figure),no_figure)', '"%"')
    _unit(sheet, TEMPERATURE_ROW, say("Temperature of the water", "Temperatur des Wassers"), "temperature_unit")
    _result(sheet, TEMPERATURE_ROW, say("The lye may reach", "Die Lauge kann erreichen"),
            f'IF(water_temperature="","",{figure("lye.solution.peak_temperature.max")})', "temperature_unit", shape="0")
    row = TEMPERATURE_ROW + 1
    formula(sheet, f"A{row}", say("Goggles, gloves, long sleeves. Never add water to lye.",
                                  "Schutzbrille, Handschuhe, lange Ärmel. Nie Wasser auf Alkali gießen."), bold=True,
            over=f"C{row}")
    sheet[f"A{row}"].font = font(10, bold=True, color=_RED)
    _result(sheet, row, say("Jug of at least", "Krug mit mindestens"), figure("vessels.jug"), "volume_unit",
            shape=_VESSEL)


def _buckets(sheet: Worksheet) -> None:
    _head(sheet, BUCKET_ROWS, say("BUCKETS: in pour order, additions below", "BECHER: in Gießfolge, Zusätze darunter"),
          say("layer in the mould; kind of addition", "Schicht in der Form; Art des Zusatzes"), _WEIGH)
    for row in BUCKETS:
        rank = f"buckets_{row}"
        formula(sheet, f"C{row}", f'IFERROR(IF(A{row}&B{row}="","","%"),"")')
        ends = [f'FIXED(_xlfn.NUMBERVALUE(INDEX(layer_{end},{rank}),".",","),1,TRUE)' for end in ("bottom", "top")]
        formula(sheet, f"D{row}", f'IFERROR(IF({rank}="","",{ends[0]}&{say(" to ", " bis ")}&{ends[1]}&" "&'
                                  'length_unit),"")')
        _weigh(sheet, row, rank, f'"batter|bucket|#"&{rank}')
        for one in (row + 1, row + 2):
            _weigh(sheet, one, f"additions_{one}", f'"addition|bucket|"&IFERROR(INDEX(list_portion,MATCH('
                   f'"batter|bucket|#"&{rank},list_tags,0)),"")&"|"&additions_{one}')
    row = BUCKETS[-1] + 3
    _unit(sheet, row, say("Left behind in each bucket", "Rest in jedem Becher"), "mass_unit")
    _result(sheet, row, say("Batter in the mould", "Seifenleim in der Form"), figure("mould_mass"), "mass_unit",
            shape=_ROUNDED)
    formula(sheet, f"A{row + 1}", say("They lie in the mould as", "Sie liegen in der Form als"))
    _result(sheet, row + 1, say("Fill the mould to", "Form füllen bis"), figure("mould.fill.depth"), "length_unit",
            shape=_ROUNDED)


def _mould(sheet: Worksheet) -> None:
    _head(sheet, MOULD_HEAD, say("MOULD: a box, measured inside", "FORM: ein Kasten, Innenmaße"),
          say("CUT AND CURE", "SCHNEIDEN UND REIFEN"))
    for key, english, german in (
            ("length", "Length", "Länge"), ("width", "Width", "Breite"), ("depth", "Depth", "Tiefe"),
            ("headspace", "Stays free at the rim", "Bleibt oben frei"), ("liner", "Thickness of the liner",
                                                                         "Dicke der Auskleidung"),
            ("count", "Moulds like this", "Formen dieser Art")):
        _unit(sheet, MOULD[key], say(english, german), '""' if key == "count" else "length_unit")
    for key, english, german, unit in (
            ("loaf", "Width of a loaf", "Breite eines Strangs", "length_unit"),
            ("bar", "Thickness of a bar", "Dicke eines Stücks", "length_unit"),
            ("kerf", "Width of the cut", "Breite des Schnitts", "length_unit"),
            ("trim", "Trimmed off each end", "Abschnitt an jedem Ende", "length_unit"),
            ("loss", "Loss in cure", "Verlust beim Reifen", '"%"'),
            ("cure", "Days of cure", "Tage Reifezeit", say("days", "Tage"))):
        formula(sheet, f"D{CUT[key]}", say(english, german))
        formula(sheet, f"F{CUT[key]}", unit)
    pour = CUT["cure"] + 1
    formula(sheet, f"A{pour}", say("Pour on", "Gießen am"))
    formula(sheet, f"C{pour}", _weekday(f"B{pour}"))
    _result(sheet, pour, say("Loaves", "Stränge"), _if_cut(figure("cuts.loaves.count")), None)
    for row, (label, date) in enumerate((
            (say("Unmould and cut on", "Ausformen, schneiden am"), "dates.unmould"),
            (say("Pack from", "Verpacken ab"), "dates.pack_from")), RESULT_ROW):
        text = formulas.found(date)
        made = f"DATE(LEFT({text},4),MID({text},6,2),RIGHT({text},2))"
        formula(sheet, f"A{row}", label)
        formula(sheet, f"B{row}", f'IF(pour_day&cure_days="","",IF(answered,IFERROR({made},no_figure),no_figure))',
                bold=True, right=True, shape="mm-dd-yy")  # format 14: the locale's short date
        formula(sheet, f"C{row}", _weekday(f"B{row}"))
    for row, (label, path, unit) in enumerate((
            (say("Bars", "Stücke"), "cuts.bars.count", None),
            (say("A bar as cut", "Ein Stück, frisch geschnitten"), "cuts.bars.mass.mid", "mass_unit"),
            (say("   at least", "   mindestens"), "cuts.bars.mass.min", "mass_unit"),
            (say("A bar after cure", "Ein Stück nach dem Reifen"), "cuts.bars.cured_mass.mid", "mass_unit"),
    ), RESULT_ROW):
        value = figure(path)
        if "cured" in path:
            value = f'IF(loss="","",{value})'
        _result(sheet, row, label, _if_cut(value), unit, shape=_ROUNDED if unit else "0")
    formula(sheet, f"A{RESULT_ROW + 2}", say("Room up to the fill line", "Raum bis zur Füllgrenze"))
    formula(sheet, f"B{RESULT_ROW + 2}", figure("mould.volume"), bold=True, right=True, shape=_ROUNDED)
    formula(sheet, f"C{RESULT_ROW + 2}", f'IF(ISNUMBER(B{RESULT_ROW + 2}),volume_unit,"")')
    formula(sheet, f"A{RESULT_ROW + 3}", say("Share of the block in bars", "Anteil des Blocks in Stücken"))
    formula(sheet, f"B{RESULT_ROW + 3}", _if_cut(figure("cuts.volume_yield_pct")), bold=True, right=True, shape="0.0")
    formula(sheet, f"C{RESULT_ROW + 3}", f'IF(ISNUMBER(B{RESULT_ROW + 3}),"%","")')


def offer_lists(sheet: Worksheet) -> None:
    """The cells that offer words to choose from."""
    lists.SIZES.offer(sheet, f"B{POT_HEAD}")
    lists.WAYS.offer(sheet, f"C{WATER_ROW}")
    lists.ALKALIS.offer(sheet, f"A{ALKALI_ROWS[0]}:A{ALKALI_ROWS[-1]}")
    lists.PURITIES.offer(sheet, f"C{ALKALI_ROWS[0]}:C{ALKALI_ROWS[-1]}")
    rows = (*POT_ADDITION_ROWS, *(row + at for row in BUCKETS for at in (1, 2)))
    lists.BASES.offer(sheet, *(f"C{row}" for row in rows))
    lists.KINDS.offer(sheet, *(f"D{row}" for row in rows))
    lists.ARRANGEMENTS.offer(sheet, f"B{BUCKETS[-1] + 4}")


def _head(sheet: Worksheet, row: int, step: str, beside: str, last: str = '""', *, choice: bool = False) -> None:
    """The head of a step: its name, what column D has, and E; with `choice` B is a cell to fill in."""
    for column in "ABCDEFG":
        sheet[f"{column}{row}"].fill = _HEAD
    formula(sheet, f"A{row}", step, size=11, bold=True, over="" if choice else f"C{row}")
    formula(sheet, f"D{row}", beside, size=8)
    formula(sheet, f"E{row}", last, size=8, right=True)
    sheet.row_dimensions[row].height = 20


def _weigh(sheet: Worksheet, row: int, used: str, tag: str) -> None:
    """What to weigh, its unit and a box to tick; nothing in a row that is not used."""
    there = used if used == "answered" else f'{used}<>""'
    otherwise = "no_figure" if used == "answered" else '""'
    formula(sheet, f"E{row}", f"IFERROR(IF({there},{weighed(tag)},{otherwise}),no_figure)",
            size=12, bold=True, right=True)
    formula(sheet, f"F{row}", f'IF(ISNUMBER(E{row}),{weighed(tag, "unit")},"")')
    formula(sheet, f"G{row}", f'IF(ISNUMBER(E{row}),"☐","")', size=12)
    sheet[f"G{row}"].alignment = CENTRE
    for column in "EFG":
        sheet[f"{column}{row}"].border = _RULE


def _unit(sheet: Worksheet, row: int, label: str, unit: str) -> None:
    """The label and the unit of a cell that you fill in."""
    formula(sheet, f"A{row}", label)
    formula(sheet, f"C{row}", unit)


def _result(sheet: Worksheet, row: int, label: str, value: str, unit: str | None, shape: str = "General") -> None:
    """A figure that is no row of the weigh list."""
    formula(sheet, f"D{row}", label)
    formula(sheet, f"E{row}", value, bold=True, right=True, shape=shape)
    if unit:
        formula(sheet, f"F{row}", f'IF(OR(E{row}="",E{row}=no_figure),"",{unit})')


def _if_cut(value: str) -> str:
    return f'IF(bar="","",{value})'


def _weekday(cell: str) -> str:
    """The day of the week, without a format whose letters differ by locale."""
    english = '"Monday","Tuesday","Wednesday","Thursday","Friday","Saturday","Sunday"'
    german = '"Montag","Dienstag","Mittwoch","Donnerstag","Freitag","Samstag","Sonntag"'
    number = f"WEEKDAY({cell},2)"
    return f'IF(ISNUMBER({cell}),IF(german,CHOOSE({number},{german}),CHOOSE({number},{english})),"")'
