"""Plan every product of a shop again, and report what has changed since the last run.

    cd client/examples
    ../../.venv/bin/python nightly.py shop/products.csv figures.csv --prices invented_prices.csv

`figures.csv` is for your shop: net quantity, cost, price tag, ingredient list and identity of each product, with a row
for each different label. The run compares its results with the figures in that file, then replaces them. `cautions` has
the keys of the batch's warnings and dangers; `/v1/cautions` has their texts. A product that cannot be planned keeps its
old figures, and `trouble` says why: do not print labels of it.

Exit codes: 0 nothing has changed; 1 something has; 2 a product or a file could not be read or planned. Figures are
drafts: local law and your product's assessor decide what a label must say.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from kettlewright_client import (
    AllergenList,
    Batch,
    Client,
    ClientError,
    read_allergens,
    read_fats,
    read_names,
    read_prices,
)
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
    safe,
    with_lines,
    write_rows,
)

WATCHED = ("name", "net_quantity", "cost", "tag", "currency", "label", "missing", "cautions", "identity")
COLUMNS = ("sku", "bars", *WATCHED, "trouble")
Figures = Mapping[str, str]


@dataclass(frozen=True, kw_only=True)
class Lists:
    """Your own lists; those not given are empty."""

    fats: Sequence[Mapping[str, Any]]
    names: Sequence[Mapping[str, Any]]
    prices: Sequence[Mapping[str, Any]]
    fragrances: AllergenList


def read_lists(options: Any) -> Lists:
    """Read the lists named on the command line (`options`)."""
    return Lists(fats=read_list(read_fats, options.fats).own_fats if options.fats else (),
                 names=read_list(read_names, options.names).names if options.names else (),
                 prices=read_list(read_prices, options.prices).ingredients if options.prices else (),
                 fragrances=read_list(read_allergens, options.allergens) if options.allergens else AllergenList(()))


def whole_body(product: Product, lists: Lists) -> dict[str, Any]:
    """The batch of a product with your own lists in it (`product`, `lists`)."""
    plain = body_of(product)
    body = with_lines(lists.fragrances.put_into(plain), "own_fats", lists.fats, used_in=plain)
    if lists.prices:
        body["prices"] = with_lines(part_of(body, "prices"), "ingredients", lists.prices, used_in=plain)
    if part_of(body, "label"):
        body["label"] = with_lines(part_of(body, "label"), "names", lists.names, used_in=plain)
    return body


def check_units(bodies: Iterable[Mapping[str, Any]]) -> None:
    """Reject plans (`bodies`) in several units of mass: a price list has one unit and does not say which."""
    units = sorted({str(part_of(body, "units").get("mass", "g")) for body in bodies if "prices" in body})
    if len(units) > 1:
        raise ShopFault(f"Plans with prices use {' and '.join(units)}, but a price list has one unit of mass. "
                        "Run the products of each unit separately, each with a price list in that unit.")


def figures_of(product: Product, plan: Batch, *, no_composition: Sequence[str]) -> list[dict[str, str]]:
    """Figures of a plan for the shop (`product`, `plan`, `no_composition`: fragrances without substances)."""
    missing = [f"substances of {name}" for name in no_composition]
    row = {"sku": product.sku, "bars": "", "name": product.name, "net_quantity": "", "cost": "", "tag": "",
           "currency": "", "label": "", "identity": plan.identity, "trouble": ""}
    if plan.cost is not None:
        # a sum with prices missing would look like a low cost
        row |= {"cost": plan.cost.bar.total.amount if plan.cost.complete else "", "currency": plan.cost.currency}
        row["tag"] = plan.cost.selling[0].tag.amount if plan.cost.selling else ""
        missing += [f"price of {one.name}" for one in plan.cost.missing]
    if plan.label is not None:
        missing += [f"label: {one.key}" for one in plan.label.missing]
    row["missing"] = "; ".join(missing)
    row["cautions"] = "; ".join(dict.fromkeys(caution.key for caution in plan.cautions if caution.severity in REPORTED))
    return [{**row, "bars": "; ".join(bars.where), "label": bars.text,
             "net_quantity": bars.net_quantity.text or "" if bars.net_quantity else ""}
            for bars in plan.label.labels] if plan.label is not None else [row]


def changes(then: Sequence[Figures], now: Sequence[Figures]) -> list[str]:
    """A line for each figure that has changed (`then`, `now`; products that could not be planned are left out)."""
    failed = {row["sku"] for row in now if row["trouble"]}
    before = {(row["sku"], row["bars"]): row for row in then if row["identity"] and row["sku"] not in failed}
    after = {(row["sku"], row["bars"]): row for row in now if row["sku"] not in failed}
    lines = []
    for key in [*after, *(key for key in before if key not in after)]:
        where = f"{key[0]} ({key[1]})" if key[1] else key[0]
        if key not in before or key not in after:
            lines.append(f"{where}: {'new' if key in after else 'gone'}")
            continue
        lines += [f"{where}: {name}: {before[key][name]} -> {after[key][name]}"
                  for name in WATCHED if before[key][name] != after[key][name]]
    return lines


def last_figures(path: Path) -> list[Figures]:
    """The figures of the last run (`path`), if there are any."""
    if not path.exists():
        return []
    rows = read_rows(path, needed=(), known=COLUMNS, find_errors=lambda row: iter(()))
    return [{name: row[name] for name in COLUMNS} for row in rows]


def run(options: Any, client: Client) -> int:
    """Plan all products (`options` of the command line, `client`). [exit code]"""
    figures = Path(options.figures)
    then = last_figures(figures)
    lists = read_lists(options)
    products = read_products(options.products)
    bodies: dict[str, dict[str, Any]] = {}
    found: dict[str, Batch | ClientError] = {}
    for sku, product in products.items():
        try:
            bodies[sku] = whole_body(product, lists)
        except ShopFault as error:  # files of this product only; the others continue
            found[sku] = error
    check_units(bodies.values())
    found |= zip(bodies, client.plan_many(bodies.values(), workers=options.workers, progress=True), strict=True)
    now: list[Figures] = []
    failed = 0
    for sku, product in products.items():
        plan = found[sku]
        if isinstance(plan, Batch):
            now += [{name: safe(" ".join(cell.split())) for name, cell in row.items()}
                    for row in figures_of(product, plan,
                                          no_composition=lists.fragrances.without_composition(bodies[sku]))]
            continue
        failed += 1
        trouble = safe(in_one_line(plan))
        print(f"{sku}: {trouble}", file=sys.stderr)
        kept = [row for row in then if row["sku"] == sku] or [dict.fromkeys(COLUMNS, "") | {
            "sku": sku, "name": product.name}]
        now += [{**row, "trouble": trouble} for row in kept]
    lines = changes(then, now)
    write_rows(figures, COLUMNS, now)
    print("\n".join(lines or [f"Nothing has changed{' among the planned products' if failed else ''}."]))
    return 2 if failed else 1 if lines else 0


def main(arguments: Sequence[str] | None = None, *, client: Client | None = None) -> int:
    """Run the script (`arguments` of the command line, `client` of your own). [exit code]"""
    found = parser("Plan every product again, and report what has changed.")
    found.add_argument("figures", help="CSV of the last figures; it is compared and then replaced")
    found.add_argument("--prices", help="CSV of your prices, in the plans' unit of mass")
    found.add_argument("--names", help="CSV of your label names")
    found.add_argument("--allergens", help="CSV of the compositions of your fragrances")
    found.add_argument("--workers", type=int, default=4, help="how many plans run at a time (default %(default)s)")
    options = found.parse_args(arguments)
    try:
        if client is not None:
            return run(options, client)
        with Client(options.url) as own:
            return run(options, own)
    except (ClientError, OSError) as error:
        print(f"Nothing was written: {error}", file=sys.stderr)
        return 2


if __name__ == "__main__":
    sys.exit(main())
