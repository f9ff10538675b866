"""Hands on a spreadsheet program: run by the system's Python, which knows UNO; obeys lines of JSON on stdin.

    /usr/bin/python3 calc_hands.py <name of the pipe>

Each line is {"do": ..., ...} and is answered by one line.
"""

from __future__ import annotations

import json
import sys
import time
from pathlib import Path

import uno
from com.sun.star.beans import PropertyValue
from com.sun.star.connection import NoConnectException
from com.sun.star.document.UpdateDocMode import FULL_UPDATE
from com.sun.star.table.CellContentType import VALUE

START_S = 90


def program(pipe: str):
    """The program's context, once it listens."""
    local = uno.getComponentContext()
    resolver = local.ServiceManager.createInstanceWithContext("com.sun.star.bridge.UnoUrlResolver", local)
    end = time.monotonic() + START_S
    while True:
        try:
            return resolver.resolve(f"uno:pipe,name={pipe};urp;StarOffice.ComponentContext")
        except NoConnectException:
            if time.monotonic() > end:
                raise
            time.sleep(0.2)


def option(name: str, value: object) -> PropertyValue:
    given = PropertyValue()
    given.Name, given.Value = name, value
    return given


class Hands:
    """What can be done to one open workbook."""

    def __init__(self, pipe: str) -> None:
        self.context = program(pipe)
        self.desktop = self._service("com.sun.star.frame.Desktop")
        self.book = None

    def _service(self, name: str):
        return self.context.ServiceManager.createInstanceWithContext(name, self.context)

    def cell(self, place: str):
        """A cell by `Sheet.B2`, or by a name of the workbook."""
        if "." in place:
            sheet, at = place.split(".")
            return self.book.Sheets.getByName(sheet).getCellRangeByName(at)
        return self.book.NamedRanges.getByName(place).getReferredCells().getCellByPosition(0, 0)

    def open(self, path: str) -> None:
        options = (option("Hidden", True), option("UpdateDocMode", FULL_UPDATE))
        self.book = self.desktop.loadComponentFromURL(Path(path).as_uri(), "_blank", 0, options)

    def type(self, place: str, text: str) -> None:
        """As a person types it: read by the locale."""
        self.cell(place).FormulaLocal = text

    def read(self, places: list[str]) -> list[object]:
        """A number, a text, or {"error": code} of every place."""
        found = []
        for place in places:
            cell = self.cell(place)
            kind = cell.FormulaResultType2 if cell.Formula.startswith("=") else None
            if cell.getError():
                found.append({"error": cell.getError()})
            elif cell.Type == VALUE or kind == 1:  # com.sun.star.sheet.FormulaResult.VALUE
                found.append(cell.Value)
            else:
                found.append(cell.String)
        return found

    def shown(self, places: list[str]) -> list[str]:
        """What a person sees in every place."""
        return [self.cell(place).String for place in places]

    def errors(self, sheet: str) -> list[list[object]]:
        """Place and error code of every cell of a sheet that holds an error."""
        cursor = self.book.Sheets.getByName(sheet).createCursor()
        cursor.gotoEndOfUsedArea(False)
        last = cursor.RangeAddress
        cells = ((row, column) for row in range(last.EndRow + 1) for column in range(last.EndColumn + 1))
        at = self.book.Sheets.getByName(sheet)
        return [[at.getCellByPosition(column, row).AbsoluteName, at.getCellByPosition(column, row).getError()]
                for row, column in cells if at.getCellByPosition(column, row).getError()]

    def update_links(self) -> None:
        """As the menu does: Edit, Links, Update."""
        frame = self.book.CurrentController.Frame
        self._service("com.sun.star.frame.DispatchHelper").executeDispatch(frame, ".uno:UpdateTableLinks", "", 0, ())

    def pdf(self, path: str) -> None:
        self.book.storeToURL(Path(path).as_uri(), (option("FilterName", "calc_pdf_Export"),))

    def close(self) -> None:
        self.book.close(True)
        self.book = None

    def quit(self) -> None:
        self.desktop.terminate()


def main() -> None:
    hands = Hands(sys.argv[1])
    print(json.dumps("ready"), flush=True)
    for line in sys.stdin:
        given = json.loads(line)
        print(json.dumps(getattr(hands, given.pop("do"))(**given)), flush=True)


if __name__ == "__main__":
    main()
