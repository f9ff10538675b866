"""The sheet Settings: where the service is, units and language; and how the cells become an address."""

from __future__ import annotations

import formulas
import lists
from cells import (
    ALKALI_ROWS,
    BATTER_ROW,
    BUCKETS,
    CUT,
    FAT_ROWS,
    LAST_ROW,
    LONGEST_ADDRESS,
    MOULD,
    POT_ADDITION_ROWS,
    POT_HEAD,
    SUPERFAT_ROW,
    TEMPERATURE_ROW,
    WATER_ROW,
    fill_in,
    font,
    formula,
    name,
    page,
    paper,
)
from formulas import number, part, say
from openpyxl.styles import Alignment
from openpyxl.worksheet.worksheet import Worksheet

__all__ = ["FIRST_PIECE", "settings_sheet"]

FIRST_PIECE = 16
_ROOM = 420  # characters of a problem that the cell on the sheet Batch has room for
_SETTINGS = (("service_address", "Address of the service", "Adresse des Dienstes", None),
             ("language", "Language", "Sprache", lists.LANGUAGES),
             ("mass_unit", "Unit of mass", "Einheit der Massen", lists.MASSES),
             ("length_unit", "Unit of length", "Einheit der Längen", lists.LENGTHS),
             ("volume_unit", "Unit of volume", "Einheit der Volumen", lists.VOLUMES),
             ("temperature_unit", "Unit of temperature", "Einheit der Temperatur", lists.TEMPERATURES),
             ("ask_again", "Ask again: type another number", "Erneut fragen: andere Zahl eingeben", None),
             ("read_only_key", "Read-only key, if needed", "Leseschlüssel, falls nötig", None))


def settings_sheet(sheet: Worksheet, values: dict[str, object]) -> None:
    """The settings (`values` by name), the pieces of the address and what the service said."""
    formula(sheet, "A1", say("Settings", "Einstellungen"), size=16, bold=True)
    for row, (word, english, german, words) in enumerate(_SETTINGS, 3):
        formula(sheet, f"A{row}", say(english, german))
        fill_in(sheet, f"B{row}", values[word])
        sheet[f"B{row}"].alignment = Alignment(horizontal="left")
        name(sheet.parent, word, f"Settings!$B${row}")
        if words:
            words.offer(sheet, f"B{row}")
    formula(sheet, "A11", _what_to_do(), bold=True, over="B11")
    name(sheet.parent, "what_to_do", "Settings!$A$11")
    sheet["A11"].alignment = Alignment(wrap_text=True, vertical="top")
    sheet.row_dimensions[11].height = 64
    formula(sheet, "A12", f'IFERROR(IF(answered,HYPERLINK(recipe_address&"&format=html"&with_key,{_OPEN_SHEET}),'
            f'HYPERLINK(recipe_address&with_key,{_OPEN_PROBLEM})),"")', over="B12")
    sheet["A12"].font = font(underline="single", color="1A4B8C")
    formula(sheet, "A14", say("How the cells become an address", "Wie aus den Feldern eine Adresse wird"), size=12,
            bold=True)
    formula(sheet, "C15", say("number", "Nummer"), size=9)
    last = _pieces(sheet)
    _lines(sheet, last + 1)
    paper(sheet, f"A1:B{sheet.max_row}", {"A": 40, "B": 92})
    page(sheet)


_OPEN_SHEET = say("Open the batch sheet with the cut face in a browser",
                  "Ansatzblatt mit Schnittbild im Browser öffnen")
_OPEN_PROBLEM = say("Open the answer of the service in a browser", "Antwort des Dienstes im Browser öffnen")


def _pieces(sheet: Worksheet) -> int:
    """A piece for every row; its rank among the rows that are filled has a name. The last row."""
    row = FIRST_PIECE
    for many, label, rows, cells, piece in (
            ("fats", say("fat", "Fett"), FAT_ROWS, "ABD", _fat), ("alkalis", say("alkali", "Alkali"), ALKALI_ROWS,
                                                                  "ABCD", _alkali),
            ("additions", say("into the pot", "in den Topf"), POT_ADDITION_ROWS, "ABCD", _addition),
            ("buckets", say("bucket", "Becher"), BUCKETS, "AB", _bucket)):
        first = row
        for at in rows:
            row = _piece(sheet, row, first, many, at, label, cells, piece(at))
    for bucket in BUCKETS:
        first = row
        for at in (bucket + 1, bucket + 2):
            row = _piece(sheet, row, first, "additions", at, say("into the bucket", "in den Becher"), "ABCD",
                         f'{_addition(at)}&",to:"&{part(f"Batch!A{bucket}")}')
    return row - 1


def _piece(sheet: Worksheet, row: int, first: int, many: str, at: int, label: str, cells: str, text: str) -> int:
    """A row counts once one of its cells is filled. An incomplete row is sent too, and the service rejects it."""
    formula(sheet, f"A{row}", f'{label}&{say(", row ", ", Zeile ")}&{at}', size=9)
    filled = "&".join(f"Batch!{column}{at}" for column in cells)
    formula(sheet, f"B{row}", f'IF({filled}="","",{text})', size=9)
    above = f'SUMPRODUCT(--(B${first}:B{row - 1}<>""))' if row > first else "0"
    sheet[f"C{row}"] = f'=IF(B{row}="","",{above}+1)'
    sheet[f"C{row}"].font = font(9, color="8C8C8C")
    name(sheet.parent, f"{many}_{at}", f"Settings!$C${row}")
    return row + 1


def _fat(row: int) -> str:
    size, amount = lists.SIZES.key(f"Batch!$B${POT_HEAD}"), f"Batch!B{row}"
    return (f'"&fat="&{part(f"Batch!A{row}")}&IF({amount}="","",","&{size}&":"&{number(amount)})'
            f'{_if_given(f"Batch!D{row}", "sv")}')


def _alkali(row: int) -> str:
    purity = (f'&IF(Batch!B{row}&Batch!C{row}="","",","&{lists.PURITIES.key(f"Batch!C{row}")}&":"&'
              f'{number(f"Batch!B{row}")})')
    return f'"&alkali="&{lists.ALKALIS.key(f"Batch!A{row}")}{purity}{_if_given(f"Batch!D{row}", "share")}'


def _addition(row: int) -> str:
    words = "".join(f'&IF({cell}="","",",{of}:"&{words.key(cell)})' for cell, of, words in (
        (f"Batch!D{row}", "kind", lists.KINDS), (f"Batch!C{row}", "basis", lists.BASES)))
    return f'"&addition="&{part(f"Batch!A{row}")}{_if_given(f"Batch!B{row}", "dose")}{words}'


def _bucket(row: int) -> str:
    return f'"&portion="&{part(f"Batch!A{row}")}{_if_given(f"Batch!B{row}", "share")}'


def _if_given(cell: str, of: str, before: str = ",") -> str:
    return f'&IF({cell}="","",{formulas.quoted(f"{before}{of}")}&":"&{number(cell)})'


def _lines(sheet: Worksheet, first: int) -> None:
    """The whole address, and what came back."""
    pieces = "&".join(f"B{row}" for row in range(FIRST_PIECE, first))
    missing = (f"COUNTIF(Batch!B{POT_HEAD}:E{LAST_ROW},no_figure)+IF(ISNUMBER(cautions_count),0,1)"
               "+IF(ISNUMBER(always_count),0,1)")
    lines = (
        ("decimal_sign", "decimal sign of this locale", "Dezimalzeichen", "MID(1/2,2,1)"),
        ("german", "labels in German", "deutsche Beschriftung", 'language="Deutsch"'),
        ("no_figure", "shown where a figure is missing", "steht für einen fehlenden Wert",
         'IF(language="Deutsch","kein Wert","no figure")'),
        ("service", "service", "Dienst", 'IF(RIGHT(service_address,1)="/",LEFT(service_address,LEN(service_address)-1),'
         "service_address)"),
        ("again", "end of every address", "Ende jeder Adresse", 'IF(ask_again="","","#"&ask_again)'),
        ("with_key", "key in every address", "Schlüssel in jeder Adresse",
         f'IF(read_only_key="","","&key="&{formulas.word("read_only_key")})'),
        ("recipe_address", "address of the batch", "Adresse des Ansatzes", f"{_ADDRESS}&{pieces}"),
        ("problem", "what is wrong with it", "was daran falsch ist", 'IF(ISERROR(recipe_address),"error",'
         f'IF(LEN(recipe_address)+LEN(with_key)>{LONGEST_ADDRESS},"long",IFERROR({_text("field=problem")},"silent")))'),
        ("answered", "the service has figures", "der Dienst liefert Werte", 'problem="none"'),
        ("severity", "most severe caution", "schwerster Hinweis", f'IFERROR({formulas.found("worst_severity")},"")'),
        ("missing", "figures that did not come", "fehlende Werte", missing),
        ("fine", "nothing is missing, no danger", "nichts fehlt, keine Gefahr",
         'AND(answered,missing=0,severity<>"danger")'),
    )
    for row, (known_as, english, german, text) in enumerate(lines, first):
        formula(sheet, f"A{row}", say(english, german), size=9)
        formula(sheet, f"B{row}", text, size=9)
        sheet[f"A{row}"].alignment = sheet[f"B{row}"].alignment = Alignment(wrap_text=True, vertical="top",
                                                                            horizontal="left")
        sheet.row_dimensions[row].height = {"recipe_address": 100, "problem": 38}.get(known_as, 15.5)
        name(sheet.parent, known_as, f"Settings!$B${row}")


def _what_to_do() -> str:
    """One sentence for the top of both pages: whether the figures are there, and if not, why and what to do."""
    nothing = say("NO FIGURES: weigh nothing. ", "KEINE WERTE: nichts abwiegen. ")
    silent = say("NO FIGURES: weigh nothing. The service does not answer. Start it, let this program update links to "
                 "external data, check address and key on the sheet Settings. Then type another number beside Ask "
                 "again.",
                 "KEINE WERTE: nichts abwiegen. Der Dienst antwortet nicht. Dienst starten, Aktualisierung externer "
                 "Verknüpfungen zulassen, Adresse und Schlüssel auf dem Blatt Settings prüfen. Dann bei Erneut fragen "
                 "eine andere Zahl eingeben.")
    long = (f'{nothing}&{say("This batch makes an address of ", "Dieser Ansatz ergibt eine Adresse mit ")}&'
            f'LEN(recipe_address)&{say(" characters; ", " Zeichen; ")}&"{LONGEST_ADDRESS:,}"&'
            f'{say(" are the most. Use shorter names or fewer rows.", " sind möglich. Kürzere Namen verwenden.")}')
    broken = say("NO FIGURES: weigh nothing. A cell holds an error: type a value into it.",
                 "KEINE WERTE: nichts abwiegen. Ein Feld enthält einen Fehler: Wert eingeben.")
    some = say("SOME FIGURES ARE MISSING: weigh nothing. Type another number beside Ask again on the sheet Settings. "
               "If they stay away, the service has stopped.",
               "EINIGE WERTE FEHLEN: nichts abwiegen. Auf dem Blatt Settings bei Erneut fragen eine andere Zahl "
               "eingeben. Fehlen sie weiter, läuft der Dienst nicht mehr.")
    danger = say("DANGER: do not make this batch as it is. Read the cautions on the next page.",
                 "GEFAHR: diesen Ansatz so nicht herstellen. Die Hinweise auf der nächsten Seite lesen.")
    all_there = say("All figures are there. Cautions of this batch: ",
                    "Alle Werte sind da. Hinweise zu diesem Ansatz: ")
    read = say(". Read the next page before you begin.", ". Vor dem Beginn die nächste Seite lesen.")
    more = say(" ... All of it is on the sheet Settings.", " ... Alles steht auf dem Blatt Settings.")
    return (f'IF(answered,IF(missing>0,{some},IF(severity="danger",{danger},{all_there}&cautions_count&{read})),'
            f'IF(problem="error",{broken},IF(problem="long",{long},IF(problem="silent",{silent},{nothing}&'
            f'IF(LEN(problem)>{_ROOM},LEFT(problem,{_ROOM})&{more},problem)))))')


def _text(query: str) -> str:
    return formulas.fetched(f'recipe_address&"&{query}"')


_DOSE_UNIT = 'IF(mass_unit="kg","g",IF(mass_unit="lb","oz",mass_unit))'
_UNITS = "&".join((f'"mass:"&{lists.MASSES.key("mass_unit")}', f'",dose:"&{formulas.word(_DOSE_UNIT)}',
                   f'",length:"&{lists.LENGTHS.key("length_unit")}', f'",volume:"&{lists.VOLUMES.key("volume_unit")}',
                   f'",temperature:"&{lists.TEMPERATURES.key("temperature_unit")}'))
_RESIDUE = (f"Batch!B{BATTER_ROW}", f"Batch!B{BUCKETS[-1] + 3}")
_TRIM = f"Batch!E{CUT['trim']}"
_POUR, _CURE = f"Batch!B{CUT['cure'] + 1}", f"Batch!E{CUT['cure']}"


def _value(cell: str, of: str) -> str:
    """A key with a single number, where the cell is filled."""
    return f'IF({cell}="","","&{of}="&{number(cell)})'


_ADDRESS = "&".join((
    f'service&"/v1/batches?units="&{_UNITS}', f'"&locale="&{lists.LANGUAGES.key("language")}',
    _value(f"Batch!B{SUPERFAT_ROW}", "superfat_pct"),
    f'IF(Batch!B{WATER_ROW}="","","&water="&{lists.WAYS.key(f"Batch!C{WATER_ROW}")}&":"&{number(f"Batch!B{WATER_ROW}")})',
    f'IF(Batch!B{TEMPERATURE_ROW}="","","&temperatures=water:"&{number(f"Batch!B{TEMPERATURE_ROW}")})',
    '"&mould=box"' + "".join(_if_given(f"Batch!B{row}", key) for key, row in MOULD.items()),
    f'IF({_RESIDUE[0]}&{_RESIDUE[1]}="","","&residue="{_if_given(_RESIDUE[0], "pot", "")}'
    f'&IF(OR({_RESIDUE[0]}="",{_RESIDUE[1]}=""),"",","){_if_given(_RESIDUE[1], "portion", "")})',
    f'IF(Batch!B{BUCKETS[-1] + 4}="","","&arrangement="&{lists.ARRANGEMENTS.key(f"Batch!B{BUCKETS[-1] + 4}")})',
    *(f'IF(Batch!E{CUT[key]}="","","&{key}={of}:"&{number(f"Batch!E{CUT[key]}")})'
      for key, of in (("loaf", "width"), ("bar", "thickness"))),
    _value(f"Batch!E{CUT['kerf']}", "kerf"),
    f'IF({_TRIM}="","","&trim=start:"&{number(_TRIM)}&",end:"&{number(_TRIM)})',
    _value(f"Batch!E{CUT['loss']}", "expected_loss_pct"),
    f'IF({_POUR}&{_CURE}="","","&dates="&IF({_POUR}="","","pour:"&{formulas.day(_POUR)})'
    f'&IF(OR({_POUR}="",{_CURE}=""),"",","){_if_given(_CURE, "cure_days", "")})'))
