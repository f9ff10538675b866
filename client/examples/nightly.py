"""Plans every product of a shop anew and tells what moved since the last run.

    python client/examples/nightly.py shop/products.csv figures.csv --prices invented_prices.csv

`figures.csv` is what a shop reads: net quantity, cost, price tag, ingredient list and identity of each product, a row
for each label that differs. The run compares with the figures that stand there and puts the new ones in their place.
`cautions` has the keys of warnings and dangers of the batch (the service tells their texts at `/v1/cautions`).
A product that cannot be planned keeps its old figures, and `trouble` says why: do not print labels of it.

It ends with 0 where nothing moved, 1 where something did, 2 where a product (or a file) could not be read or planned.
Figures are drafts: what a label must say is decided by local law and by whoever assesses the product.
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
    TOLD,
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
    """The maker's own lists; those that were not given are empty."""

    fats: Sequence[Mapping[str, Any]]
    names: Sequence[Mapping[str, Any]]
    prices: Sequence[Mapping[str, Any]]
    fragrances: AllergenList


def read_lists(asked: Any) -> Lists:
    """The lists that were given (`asked` on the command line)."""
    return Lists(fats=read_list(read_fats, asked.fats).own_fats if asked.fats else (),
                 names=read_list(read_names, asked.names).names if asked.names else (),
                 prices=read_list(read_prices, asked.prices).ingredients if asked.prices else (),
                 fragrances=read_list(read_allergens, asked.allergens) if asked.allergens else AllergenList(()))


def whole_body(product: Product, lists: Lists) -> dict[str, Any]:
    """The batch of a product with the maker's lists in it (`product`, `lists`)."""
    plain = body_of(product)
    body = with_lines(lists.fragrances.put_into(plain), "own_fats", lists.fats, speaks_in=plain)
    if lists.prices:
        body["prices"] = with_lines(part_of(body, "prices"), "ingredients", lists.prices, speaks_in=plain)
    if part_of(body, "label"):
        body["label"] = with_lines(part_of(body, "label"), "names", lists.names, speaks_in=plain)
    return body


def check_units(bodies: Iterable[Mapping[str, Any]]) -> None:
    """Refuse plans (`bodies`) in several units of mass: a list of prices stands in one, and nothing says in which."""
    units = sorted({str(part_of(body, "units").get("mass", "g")) for body in bodies if "prices" in body})
    if len(units) > 1:
        raise ShopFault(f"Plans with prices stand in {' and '.join(units)}; a list of prices has one unit of mass. "
                        "Run the products of each unit by themselves, each with a list in that unit.")


def figures_of(product: Product, plan: Batch, *, untold: Sequence[str]) -> list[dict[str, str]]:
    """What a shop wants of a plan (`product`, `plan`, `untold`: fragrances of which no substance is told)."""
    missing = [f"substances of {name}" for name in untold]
    row = {"sku": product.sku, "bars": "", "name": product.name, "net_quantity": "", "cost": "", "tag": "",
           "currency": "", "label": "", "identity": plan.identity, "trouble": ""}
    if plan.cost is not None:
        # a sum with prices missing would look like a cost, only a low one
        row |= {"cost": plan.cost.bar.total.amount if plan.cost.complete else "", "currency": plan.cost.currency}
        row["tag"] = plan.cost.selling[0].tag.amount if plan.cost.selling else ""
        missing += [f"price of {one.name}" for one in plan.cost.missing]
    if plan.label is not None:
        missing += [f"label: {one.key}" for one in plan.label.missing]
    row["missing"] = "; ".join(missing)
    row["cautions"] = "; ".join(dict.fromkeys(caution.key for caution in plan.cautions if caution.severity in TOLD))
    return [{**row, "bars": "; ".join(bars.where), "label": bars.text,
             "net_quantity": bars.net_quantity.text or "" if bars.net_quantity else ""}
            for bars in plan.label.labels] if plan.label is not None else [row]


def moved(then: Sequence[Figures], now: Sequence[Figures]) -> list[str]:
    """A line for each figure that is another one (`then`, `now`; what could not be planned now is left out)."""
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
    """The figures of the last run (`path`); none where there was none."""
    if not path.exists():
        return []
    rows = read_rows(path, needed=(), known=COLUMNS, faults_of=lambda row: iter(()))
    return [{name: row[name] for name in COLUMNS} for row in rows]


def run(asked: Any, client: Client) -> int:
    """All products (`asked` on the command line, `client`). [exit code]"""
    figures = Path(asked.figures)
    then = last_figures(figures)
    lists = read_lists(asked)
    products = read_products(asked.products)
    bodies: dict[str, dict[str, Any]] = {}
    found: dict[str, Batch | ClientError] = {}
    for sku, product in products.items():
        try:
            bodies[sku] = whole_body(product, lists)
        except ShopFault as error:  # this product's own files; the others go on
            found[sku] = error
    check_units(bodies.values())
    found |= zip(bodies, client.plan_many(bodies.values(), workers=asked.workers, progress=True), strict=True)
    now: list[Figures] = []
    failed = 0
    for sku, product in products.items():
        plan = found[sku]
        if isinstance(plan, Batch):
            now += [{name: safe(" ".join(cell.split())) for name, cell in row.items()}
                    for row in figures_of(product, plan, untold=lists.fragrances.without_composition(bodies[sku]))]
            continue
        failed += 1
        trouble = safe(in_one_line(plan))
        print(f"{sku}: {trouble}", file=sys.stderr)
        kept = [row for row in then if row["sku"] == sku] or [dict.fromkeys(COLUMNS, "") | {
            "sku": sku, "name": product.name}]
        now += [{**row, "trouble": trouble} for row in kept]
    lines = moved(then, now)
    write_rows(figures, COLUMNS, now)
    print("\n".join(lines or [f"Nothing moved{' of what could be planned' if failed else ''}."]))
    return 2 if failed else 1 if lines else 0


def main(arguments: Sequence[str] | None = None, *, client: Client | None = None) -> int:
    """One run (`arguments` of the command line, `client` of your own). [exit code]"""
    asked = parser("Plan every product anew, and tell what moved.")
    asked.add_argument("figures", help="CSV that is compared with and then written anew")
    asked.add_argument("--prices", help="CSV of your prices, in the plans' unit of mass")
    asked.add_argument("--names", help="CSV of your label names")
    asked.add_argument("--allergens", help="CSV of what is in your fragrances")
    asked.add_argument("--workers", type=int, default=4, help="how many are planned at a time (%(default)s)")
    told = asked.parse_args(arguments)
    try:
        if client is not None:
            return run(told, client)
        with Client(told.url) as own:
            return run(told, own)
    except (ClientError, OSError) as error:
        print(f"Nothing was written: {error}", file=sys.stderr)
        return 2


if __name__ == "__main__":
    sys.exit(main())
