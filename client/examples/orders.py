"""From orders to batches to pour, packs to buy and a calendar.

    cd client/examples
    ../../.venv/bin/python orders.py shop/products.csv shop/orders.csv shop/workshop.json invented_prices.csv \\
        --earliest 2027-01-04 --out orders

Orders are a CSV of date, sku and bars: so many good bars must be on sale that day. Bars left over from a batch go to
the next order of the same product, so batches are counted over all orders up to each date. The bars that a batch keeps
back and the share that breaks are in the product's `prices`, its duration in its `dates`. Moulds, closed days, curing
places and suppliers are in the workshop's file. The service computes how many batches that takes, what to buy and when
to pour.

The script writes batches.csv, purchases.csv, calendar.csv and calendar.ics. Exit codes: 0 success; 1 there is no pack
of something you need; 2 there is no plan or no calendar. Results that could be computed are always written.
"""

from __future__ import annotations

import datetime
import json
import sys
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from kettlewright_client import Batch, Client, ClientError, InvalidInput, Purchases, read_fats, read_prices
from kettlewright_client.inputs import BarsOrderInput, BatchNeedInput
from kettlewright_client.own_table import Row, above_zero
from kettlewright_client.results import WeighListRow
from shop_files import (
    REPORTED,
    Product,
    ShopFault,
    body_of,
    in_one_line,
    parser,
    part_of,
    read_list,
    read_products,
    read_rows,
    whole,
    with_lines,
    write_rows,
)

BATCHES_PER_REQUEST = 40
STEPS = ("unmould_days", "cure_days", "packing_days")
SCHEDULED = ("moulds", "pours_per_day_count", "places", "closed", "objective")


@dataclass(frozen=True, kw_only=True)
class Design:
    """An ordered product: what one batch takes and gives, and how long it takes."""

    product: Product
    weigh_list: Sequence[WeighListRow]
    bars_count: int
    kept_back_count: int
    broken_pct: float
    steps: Mapping[str, int]


@dataclass(frozen=True, kw_only=True)
class Pour:
    """Batches of a design for a date: bars ordered, and further batches that this order needs."""

    design: Design
    date: str
    ordered_count: int
    batches_count: int


def read_orders(path: str, products: Mapping[str, Product]) -> dict[str, dict[str, int]]:
    """Read the bars ordered, by sku and date in order (`path` of the table, known `products`)."""
    def errors(row: Row) -> Iterator[str]:
        if row["sku"] and row["sku"] not in products:
            yield f'sku "{row["sku"]}" is not in the table of products'
        try:
            if row["date"] and datetime.date.fromisoformat(row["date"]).isoformat() != row["date"]:
                raise ValueError
        except ValueError:
            yield f'date "{row["date"]}" is not a date such as 2027-03-20'
        yield from whole(row, "bars")

    columns = ("date", "sku", "bars")
    wanted: dict[str, dict[str, int]] = defaultdict(lambda: defaultdict(int))
    for row in sorted(read_rows(path, needed=columns, known=(*columns, "order"), find_errors=errors),
                      key=lambda row: row["date"]):
        wanted[row["sku"]][row["date"]] += int(row["bars"])
    if not wanted:
        raise ShopFault(f"{path}: no orders")
    return {sku: dict(wanted[sku]) for sku in products if sku in wanted}


def designs(products: Sequence[Product], options: Any, client: Client) -> list[Design]:
    """Plan one batch of each product (`products`, `options` of the command line, `client`)."""
    own = read_list(read_fats, options.fats).own_fats if options.fats else ()
    plain = [body_of(product) for product in products]
    bodies = [with_lines(body, "own_fats", own, used_in=body) for body in plain]
    sale = ("prices", "dates", "label")
    plans = list(client.plan_many({name: value for name, value in body.items() if name not in sale} for body in bodies))
    errors = [f"{product.sku}: {in_one_line(plan)}" for product, plan in zip(products, plans, strict=True)
              if not isinstance(plan, Batch)]
    found = []
    for product, body, plan in zip(products, bodies, plans, strict=True):
        if not isinstance(plan, Batch):
            continue
        cautions = [f"{one.severity}: {one.message}" for one in plan.cautions if one.severity in REPORTED]
        for words in dict.fromkeys(cautions):
            print(f"{product.sku}: {words}", file=sys.stderr)
        made = plan.cuts.bars.count if plan.cuts is not None else plan.pieces.count if plan.pieces is not None else 0
        prices, dates = part_of(body, "prices"), part_of(body, "dates")
        kept = prices.get("kept_back_count", 0)
        if not isinstance(kept, int) or not 0 <= kept < made:
            errors.append(f"{product.sku}: a batch makes {made} bars and keeps back {kept}; nothing is left to sell")
            continue
        if not product.mould:
            errors.append(f"{product.sku}: the table of products has no mould for it")
        found.append(Design(product=product, weigh_list=plan.weigh_list, bars_count=made,
                            kept_back_count=kept, broken_pct=prices.get("broken_pct", 0),
                            steps={name: dates[name] for name in STEPS if name in dates}))
    if errors:
        raise ShopFault("\n".join(errors))
    return found


def pours(found: Sequence[Design], orders: Mapping[str, Mapping[str, int]], client: Client) -> list[Pour]:
    """Batches for each date (`found` designs, `orders` by sku and date, `client`), counted by the service."""
    requests: list[tuple[Design, str, BatchNeedInput]] = []
    for design in found:
        bars = 0
        for date, count in orders[design.product.sku].items():
            bars += count
            order: BarsOrderInput = {"bars_count": bars, "bars_per_batch_count": design.bars_count,
                                     "broken_pct": design.broken_pct, "kept_back_count": design.kept_back_count}
            requests.append((design, date, {"weigh_list": design.weigh_list, "order": order}))
    counts: list[int] = []
    for start in range(0, len(requests), BATCHES_PER_REQUEST):
        several = [need for _, _, need in requests[start:start + BATCHES_PER_REQUEST]]
        counts += [times.batches_count for times in client.purchases(batches=several, packs=[]).batches]
    done: dict[str, int] = defaultdict(int)
    plan = []
    for (design, date, _), count in zip(requests, counts, strict=True):
        sku = design.product.sku
        plan.append(Pour(design=design, date=date, ordered_count=orders[sku][date], batches_count=count - done[sku]))
        done[sku] = count
    return plan


def buy(plan: Sequence[Pour], workshop: Mapping[str, Any], options: Any, client: Client) -> Purchases:
    """Choose packs for all batches (`plan`, `workshop`, `options` of the command line, `client`)."""
    totals: dict[str, int] = defaultdict(int)
    lists: dict[str, Sequence[WeighListRow]] = {}
    for pour in plan:
        totals[pour.design.product.sku] += pour.batches_count
        lists[pour.design.product.sku] = pour.design.weigh_list
    more: dict[str, Any] = {"suppliers": workshop["suppliers"]} if "suppliers" in workshop else {}
    if options.at_hand is not None:
        rows = read_rows(options.at_hand, needed=("key", "mass"), known=("key", "mass"),
                         find_errors=lambda row: above_zero(row, "mass", like="1250"))
        more["at_hand"] = [{"key": row["key"], "mass": float(row["mass"])} for row in rows]
    return client.purchases(packs=read_list(read_prices, options.packs).packs, **more, batches=[
        {"weigh_list": lists[sku], "batches_count": count} for sku, count in totals.items()])


def write_purchases(path: Path, bought: Purchases) -> None:
    """Write a row for each kind of pack, and one for an ingredient without any (`path`, `bought`)."""
    rows = []
    for one in bought.ingredients:
        row = {"key": one.key, "name": one.name, "needed": f"{one.needed_mass:.9g}",
               "short": f"{one.short_mass:.9g}", "unit": bought.units.mass, "pack": "", "pack_mass": "",
               "supplier": "", "count": "0", "cost": "", "currency": ""}
        rows += [{**row, "pack": packs.name or "", "pack_mass": f"{packs.mass:.9g}", "supplier": packs.supplier or "",
                  "count": str(packs.count), "cost": packs.cost.amount, "currency": packs.cost.currency}
                 for packs in one.packs] or [row]
    write_rows(path, ("key", "name", "needed", "short", "unit", "pack", "pack_mass", "supplier", "count", "cost",
                      "currency"), rows)


def schedule(plan: Sequence[Pour], workshop: Mapping[str, Any], options: Any, client: Client) -> None:
    """Write both calendar files (`plan`, `workshop`, `options` of the command line, `client`)."""
    out = Path(options.out)
    body = {**{name: workshop[name] for name in SCHEDULED if name in workshop}, "earliest": options.earliest,
            "batches": [{"name": f"{pour.design.product.name} ({pour.design.product.sku})", "release": pour.date,
                         "count": pour.batches_count, "mould": pour.design.product.mould,
                         "moulds_count": pour.design.product.moulds_count, "bars_count": pour.design.bars_count,
                         **pour.design.steps} for pour in plan if pour.batches_count]}
    found = client.schedules(**body)
    write_rows(out / "calendar.csv", ("pour", "cut", "pack_from", "release", "name", "number", "mould"), [
        {"pour": one.dates.pour, "cut": one.dates.unmould, "pack_from": one.dates.pack_from,
         "release": one.dates.release, "name": one.name, "number": f"{one.number} of {one.of_count}",
         "mould": one.mould} for one in found.batches])
    (out / "calendar.ics").write_text(client.calendar("schedules", **body), encoding="utf-8", newline="")
    print(f"The first pour is on {found.batches[0].dates.pour}.")


def run(options: Any, client: Client) -> int:
    """Run all steps (`options` of the command line, `client`). [exit code]"""
    try:
        workshop = json.loads(Path(options.workshop).read_text(encoding="utf-8"))
    except ValueError as error:
        raise ShopFault(f"{options.workshop}: {error}") from None
    if not isinstance(workshop, dict) or "moulds" not in workshop:
        raise ShopFault(f'{options.workshop}: not a JSON object with "moulds"')
    products = read_products(options.products)
    orders = read_orders(options.orders, products)
    plan = pours(designs([products[sku] for sku in orders], options, client), orders, client)
    out = Path(options.out)
    out.mkdir(parents=True, exist_ok=True)
    for name in ("calendar.csv", "calendar.ics"):
        (out / name).unlink(missing_ok=True)  # an old calendar must not look like the new one
    write_rows(out / "batches.csv", ("date", "sku", "name", "bars_ordered", "batches", "bars_of_a_batch"), [
        {"date": pour.date, "sku": pour.design.product.sku, "name": pour.design.product.name,
         "bars_ordered": str(pour.ordered_count), "batches": str(pour.batches_count),
         "bars_of_a_batch": str(pour.design.bars_count - pour.design.kept_back_count)}
        for pour in sorted(plan, key=lambda pour: (pour.date, pour.design.product.sku))])
    print(f"{sum(pour.batches_count for pour in plan)} batches to pour.")
    bought = buy(plan, workshop, options, client)
    write_purchases(out / "purchases.csv", bought)
    print(f"{bought.packs_count} packs to buy" + (f", {bought.cost}." if bought.cost else "."))
    for one in bought.missing:
        print(f"No pack is listed for {one.name}; you are {one.mass:.9g} {bought.units.mass} short.",
              file=sys.stderr)
    try:
        schedule(plan, workshop, options, client)
    except InvalidInput as error:
        print("No calendar is possible:", *(f"  {one.detail}" for one in error.errors), sep="\n", file=sys.stderr)
        return 2
    return 1 if bought.missing else 0


def main(arguments: Sequence[str] | None = None, *, client: Client | None = None) -> int:
    """Run the script (`arguments` of the command line, `client` of your own). [exit code]"""
    found = parser("Orders to batches, purchases and a calendar.")
    found.add_argument("orders", help="CSV: date, sku, bars")
    found.add_argument("workshop", help="JSON: moulds, and other fields of schedules and purchases")
    found.add_argument("packs", help="CSV of packs you can buy, pack_mass in g")
    found.add_argument("--at-hand", help="CSV: key, mass in g of your stock")
    found.add_argument("--earliest", required=True, help="first possible pour day, such as 2027-01-04")
    found.add_argument("--out", default="build/orders", help="folder for the files (%(default)s)")
    options = found.parse_args(arguments)
    try:
        if client is not None:
            return run(options, client)
        with Client(options.url) as own:
            return run(options, own)
    except (ClientError, OSError) as error:
        print(error, file=sys.stderr)
        return 2


if __name__ == "__main__":
    sys.exit(main())
