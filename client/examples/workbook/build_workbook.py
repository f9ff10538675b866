"""Write a workbook that plans a recipe with the service: cells form an address, and cells show values of its reply.

    .venv/bin/python client/examples/workbook/build_workbook.py [--recipe FILE] [--service ADDRESS] [--out FILE]

The recipe is a body of POST /v1/lye; without one, the invented example beside this file is used. Sheets: Plan (your
input and the results), Print (one page for the bench), Addresses (how the recipe becomes an address). The script sends
no request; the cells do when you open the workbook.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from address_page import address_sheet
from bench_page import print_sheet
from cells import font, name
from openpyxl import Workbook
from plan_page import plan_sheet

HERE = Path(__file__).resolve().parent
SERVICE = "http://127.0.0.1:8000"


def build(body: Mapping[str, Any], service: str, title: str) -> Workbook:
    """The workbook of a recipe; raises `TooMuch` for what it has no cells for."""
    book = Workbook()
    book._named_styles["Normal"].font = font()
    plan = book.active
    plan.title = "Plan"
    page, addresses = book.create_sheet("Print"), book.create_sheet("Addresses")
    for word, cell in (("service_address", "B$5"), ("mass_unit", "B$6"), ("superfat", "B$7"), ("water_given_as", "B$8"),
                       ("water_figure", "B$9"), ("water_temperature", "B$10"), ("ask_again", "B$11"),
                       ("language", "B$12")):
        name(book, word, f"Plan!${cell}")
    plan_sheet(plan, body, service, title)
    print_sheet(page)
    address_sheet(addresses)
    return book


def main(arguments: list[str]) -> int:
    """What the command does; the exit code."""
    parser = argparse.ArgumentParser(description="Writes a workbook that plans a recipe with the service.")
    parser.add_argument("--recipe", type=Path, default=HERE / "hearth_bar.json", help="a body of POST /v1/lye")
    parser.add_argument("--service", default=SERVICE, help=f"address of the service ({SERVICE})")
    parser.add_argument("--out", type=Path, default=Path("build/kettlewright.xlsx"), help="(build/kettlewright.xlsx)")
    options = parser.parse_args(arguments)
    try:
        body = json.loads(options.recipe.read_text(encoding="utf-8"))
        book = build(body, options.service, options.recipe.stem.replace("_", " "))
    except (OSError, ValueError) as error:
        print(f"{options.recipe}: {error}", file=sys.stderr)
        return 1
    options.out.parent.mkdir(parents=True, exist_ok=True)
    book.save(options.out)
    print(f"{options.out} uses {options.service}")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
