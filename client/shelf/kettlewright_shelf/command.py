"""The shelf on the command line: python -m kettlewright_shelf COMMAND.

The file is `--shelf`, else KETTLEWRIGHT_SHELF, else shelf.db here. The service is `--url`, else KETTLEWRIGHT_URL.
"""

from __future__ import annotations

import argparse
import json
import os
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from kettlewright_client import Client, ClientError

from kettlewright_shelf.errors import ShelfError
from kettlewright_shelf.exchange import export_csv, export_json, import_json
from kettlewright_shelf.shelf import Shelf

__all__ = ["main"]

SUCCESS, REFUSED, NO_REPLY = 0, 1, 3
_CODES = """exit codes:
  0  success
  1  the shelf or the service refuses it; nothing was changed
  2  the command is wrong
  3  the service did not reply
"""


def main(argv: Sequence[str] | None = None) -> int:
    """Run a command.

    Parameters
    ----------
    argv : sequence of str, optional
        The arguments; those of the process if left out. [words]

    Returns
    -------
    int : the exit code. [code]
    """
    options = _parser().parse_args(argv)
    do: Callable[[Shelf, argparse.Namespace], None] = options.do
    try:
        with Shelf(options.shelf, today=options.today) as shelf:
            do(shelf, options)
    except ShelfError as error:
        print(error, file=sys.stderr)
        return REFUSED
    except ClientError as error:
        print(error, file=sys.stderr)
        return REFUSED if getattr(error, "status", 500) < 500 else NO_REPLY
    return SUCCESS


def _read(path: str) -> dict[str, Any]:
    try:
        text = sys.stdin.read() if path == "-" else Path(path).read_text(encoding="utf-8")
        found = json.loads(text)
    except OSError as error:
        raise ShelfError(f"{path} cannot be read: {error.strerror}.") from error
    except ValueError as error:
        raise ShelfError(f"{path} is not JSON: {error}.") from error
    if not isinstance(found, dict):
        raise ShelfError(f"{path} must hold one JSON object.")
    return found


def _add(shelf: Shelf, options: argparse.Namespace) -> None:
    with Client(options.url) as client:
        print(shelf.add_plan(_read(options.plan), client, number=options.number, made_on=options.made_on))


def _weigh(shelf: Shelf, options: argparse.Namespace) -> None:
    shelf.weigh(options.number, options.key, options.mass, options.unit, lot=options.lot, where=options.where,
                portion=options.portion, by=options.by, anyway=options.anyway)


def _record(shelf: Shelf, options: argparse.Namespace) -> None:
    more = _read(options.more) if options.more else {}
    with Client(options.url) as client:
        answer = shelf.record(options.number, options.stage, client, **more)
    print(answer["next_action"]["message"])
    for caution in answer["cautions"]:
        print(f"{caution['severity']}: {caution['message']}")


def _lots(shelf: Shelf, options: argparse.Namespace) -> None:
    if options.used_up:
        shelf.use_up(options.key, options.lot)
    elif options.key:
        if options.lot is None or options.mass is None:
            raise ShelfError("A lot needs its key, its number and its mass: lots KEY LOT MASS [UNIT].")
        shelf.add_lot(options.key, options.lot, options.mass, options.unit, received=options.received,
                      best_before=options.best_before, supplier=options.supplier,
                      certificate=_read(options.certificate) if options.certificate else None)
    else:
        for lot in shelf.lots():
            _line(lot.key, lot.lot, f"{lot.mass_g:.6g} g", f"received {lot.received_on}",
                  f"best before {lot.best_before}" if lot.best_before else "",
                  f"used up {lot.used_up_on}" if lot.used_up_on else "")


def _stock(shelf: Shelf, options: argparse.Namespace) -> None:
    for left in shelf.stock(options.key):
        _line(left.key, left.lot, f"{left.left_g:.6g} g left of {left.received_g:.6g} g",
              f"best before {left.best_before}" if left.best_before else "", "PAST ITS DAY" if left.past else "",
              "MORE USED THAN RECEIVED" if left.left_g < 0 else "")


def _recall(shelf: Shelf, options: argparse.Namespace) -> None:
    found = shelf.recall(options.lot, options.key)
    for use in found:
        _line(use.number, use.made_on, f"{use.bars_count} bars" if use.bars_count is not None else "bars unknown",
              f"{use.mass_g:.6g} g of {use.key}", use.basis)
    bars = {use.number: use.bars_count or 0 for use in found}
    print(f"{len(bars)} {'batch' if len(bars) == 1 else 'batches'}, {sum(bars.values())} bars")


def _feed(shelf: Shelf, options: argparse.Namespace) -> None:
    body = {**(_read(options.body) if options.body else {}), "at_hand": shelf.at_hand()}
    if not options.send:
        print(json.dumps(body, ensure_ascii=False, indent=1))
        return
    with Client(options.url) as client:
        print(client.form("purchases", options.format, json.dumps(body).encode()))


def _remake(shelf: Shelf, options: argparse.Namespace) -> None:
    body = shelf.remake_body(options.batch)
    with Client(options.url) as client:
        reply = json.loads(client.form("batches", "json", json.dumps(body).encode()))
        print(f"{options.batch} then, {reply['identity']} today")
        print(json.dumps(reply["comparison"], ensure_ascii=False, indent=1))
        if options.number:
            body = {key: value for key, value in body.items() if key not in ("compare_to", "resolved")}
            print(shelf.add_plan(body, client, number=options.number))


def _export(shelf: Shelf, options: argparse.Namespace) -> None:
    if options.csv:
        export_csv(shelf, options.path)
    else:
        export_json(shelf, options.path)


def _import(shelf: Shelf, options: argparse.Namespace) -> None:
    for name, count in import_json(shelf, options.path).items():
        print(f"{name}: {count} added")


def _line(*parts: str) -> None:
    print("  ".join(part for part in parts if part))


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser("kettlewright_shelf", description="Plans, weighings and lots of your workshop, in "
                                     "one file.", epilog=_CODES, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--shelf", default=os.environ.get("KETTLEWRIGHT_SHELF", "shelf.db"),
                        help="the file (default: shelf.db)")
    parser.add_argument("--url", help="address of the service")
    parser.add_argument("--today", help="the day, if it is not today's")
    commands = parser.add_subparsers(required=True, metavar="COMMAND")

    def command(name: str, do: Callable[[Shelf, argparse.Namespace], None], about: str) -> argparse.ArgumentParser:
        made = commands.add_parser(name, help=about, description=about)
        made.set_defaults(do=do)
        return made

    add = command("add", _add, "plan a batch and keep it; prints its number")
    add.add_argument("plan", help="JSON file with the body, or -")
    add.add_argument("--number", help="number of the batch")
    add.add_argument("--made-on", help="day of the batch")
    weigh = command("weigh", _weigh, "write down what was weighed")
    weigh.add_argument("number")
    weigh.add_argument("key", help="of the row, as in the weigh list")
    weigh.add_argument("mass", type=float)
    weigh.add_argument("unit", nargs="?", default="g")
    for name in ("lot", "where", "portion", "by"):
        weigh.add_argument(f"--{name}")
    weigh.add_argument("--anyway", action="store_true", help="also if the lot has less left")
    record = command("record", _record, "ask the service about the batch as weighed, and keep its answer")
    record.add_argument("number")
    record.add_argument("stage", choices=("fats", "lye_made", "in_pot", "poured", "cut"))
    record.add_argument("--more", help="JSON file with bars, weighings, rescue_with")
    lots = command("lots", _lots, "list the lots, add one, or mark one as used up")
    lots.add_argument("key", nargs="?")
    lots.add_argument("lot", nargs="?")
    lots.add_argument("mass", nargs="?", type=float)
    lots.add_argument("unit", nargs="?", default="g")
    for name in ("received", "best-before", "supplier", "certificate"):
        lots.add_argument(f"--{name}")
    lots.add_argument("--used-up", action="store_true", help="nothing is left of it, whatever the sums say")
    command("stock", _stock, "what is left of each lot, the oldest first").add_argument("key", nargs="?")
    recall = command("recall", _recall, "every batch a lot went into, and its bars")
    recall.add_argument("lot")
    recall.add_argument("--key", help="of the ingredient, if two suppliers use the same number")
    feed = command("feed", _feed, "what is at hand, as the service's purchases take it")
    feed.add_argument("what", choices=("purchases",))
    feed.add_argument("body", nargs="?", help="JSON file with needs, batches, packs, suppliers")
    feed.add_argument("--send", action="store_true", help="ask the service what to buy")
    feed.add_argument("--format", default="json", choices=("json", "csv"))
    remake = command("remake", _remake, "an old plan on today's data and lots, and what has changed")
    remake.add_argument("batch", help="its number, or the identity of its plan")
    remake.add_argument("--number", help="add it as a new batch of this number")
    export = command("export", _export, "write the whole shelf to a file")
    export.add_argument("path")
    export.add_argument("--csv", action="store_true", help="a folder of tables for a spreadsheet")
    command("import", _import, "add what another shelf has exported").add_argument("path")
    return parser
