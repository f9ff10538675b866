"""Write a workbook that plans a batch with the service: cells form an address, and cells show its reply.

    .venv/bin/python client/examples/workbook/build_workbook.py [--batch FILE] [--service ADDRESS] [--out FILE]

The batch is a body of POST /v1/batches; without one, the invented example beside this file is used. Sheets: Batch (one
page in the order of the day: what you fill in and what you weigh), Cautions (a page to read first), Settings (service,
units, language, and how the cells become an address). The script sends no request; the cells do when you open the
workbook.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from batch_page import batch_sheet, offer_lists
from cautions_page import cautions_sheet
from cells import CUT, SUPERFAT_ROW, TEMPERATURE_ROW, font, name
from lists import lists_sheet
from openpyxl import Workbook
from recipe_cells import fill_recipe
from reply_page import reply_sheet
from settings_page import settings_sheet

HERE = Path(__file__).resolve().parent
SERVICE = "http://127.0.0.1:8000"


def build(body: Mapping[str, Any], service: str, title: str) -> Workbook:
    """The workbook of a batch; raises `TooMuch` for what it has no cells for."""
    book = Workbook()
    book._named_styles["Normal"].font = font()
    batch = book.active
    batch.title = "Batch"
    cautions, settings, words, reply = map(book.create_sheet, ("Cautions", "Settings", "Lists", "Reply"))
    for word, cell in (("superfat", f"$B${SUPERFAT_ROW}"), ("water_temperature", f"$B${TEMPERATURE_ROW}"),
                       ("pour_day", f"$B${CUT['cure'] + 1}"), ("cure_days", f"$E${CUT['cure']}"),
                       ("loss", f"$E${CUT['loss']}"), ("bar", f"$E${CUT['bar']}")):
        name(book, word, f"Batch!{cell}")
    batch_sheet(batch)
    values = fill_recipe(batch, body, title)
    offer_lists(batch)
    cautions_sheet(cautions)
    settings_sheet(settings, {**values, "service_address": service})
    lists_sheet(words)
    reply_sheet(reply)
    return book


def main(arguments: list[str]) -> int:
    """What the command does; the exit code."""
    parser = argparse.ArgumentParser(description="Writes a workbook that plans a batch with the service.")
    parser.add_argument("--batch", type=Path, default=HERE / "hearth_bar.json", help="a body of POST /v1/batches")
    parser.add_argument("--service", default=SERVICE, help=f"address of the service ({SERVICE})")
    parser.add_argument("--out", type=Path, default=Path("build/kettlewright.xlsx"), help="(build/kettlewright.xlsx)")
    options = parser.parse_args(arguments)
    try:
        body = json.loads(options.batch.read_text(encoding="utf-8"))
        book = build(body, options.service, options.batch.stem.replace("_", " "))
    except (OSError, ValueError) as error:
        print(f"{options.batch}: {error}", file=sys.stderr)
        return 1
    options.out.parent.mkdir(parents=True, exist_ok=True)
    book.save(options.out)
    print(f"{options.out} uses {options.service}")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
