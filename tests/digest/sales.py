"""Random requests from the cut bar to the sale, and reports of what was really weighed."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from kettlewright.api.door.operations import OPERATIONS, run

from digest.draw import Body, Draw
from digest.pours import batch

__all__ = ["actuals_request", "batch_with_sale", "costs_request", "cure_request", "labels_request", "plan_of",
           "purchases_request", "rebatches_request", "schedules_request"]

_START = date(2027, 1, 4)


def _day(after: int) -> str:
    return (_START + timedelta(days=after)).isoformat()


def _money(draw: Draw, low: float, high: float) -> Body:
    return {"amount": f"{draw.uniform(low, high):.2f}", "currency": "EUR"}


def plan_of(body: Body) -> dict[str, Any]:
    """The plan of a batch, computed by the installed service (`body`: of the batch)."""
    return run(OPERATIONS["batches"], body)


def _closed(draw: Draw) -> Body:
    made: Body = {"weekdays": ["sunday"], "dates": [_day(draw.randint(0, 90))],
                  "spans": [{"first": _day(40), "last": _day(40 + draw.randint(1, 6))}]}
    return {key: made[key] for key in draw.some(tuple(made), 1, 3)}


def dates(draw: Draw) -> Body:
    """From the pour to the release, or back."""
    made: Body = {"release": _day(draw.randint(80, 200))} if draw.chance(0.5) else {"pour": _day(draw.randint(0, 60))}
    for key, options in (("unmould_days", (1, 2, 3)), ("cure_days", (28, 42)), ("packing_days", (0, 3))):
        if draw.chance(0.6):
            made[key] = draw.choice(options)
    return made | ({"closed": _closed(draw)} if draw.chance(0.3) else {})


def cure_request(draw: Draw) -> Body:
    """Weighings of a bar, the dates of its batch, and what follows from them."""
    made: Body = {}
    if draw.chance(0.7):
        rate, dry = draw.uniform(0.03, 0.09), draw.about(95, 120)
        days = sorted(draw.sample(range(1, 60), draw.randint(3, 8)))
        made["weighings"] = [{"day": day, "mass": round(dry * (1 + 0.13 * 2.718281828 ** (-rate * day)), 1)}
                             for day in (0, *days)]
        made["on"] = [{"day": draw.randint(20, 70)}]
        if draw.chance(0.5):
            made["until"] = draw.choice(({"daily_loss": 0.1}, {"within_pct": 1}, {"daily_loss": 0.1, "within_pct": 1}))
        if draw.chance(0.5):
            made["promise"] = {"mass": draw.about(90, 110)}
    if not made or draw.chance(0.5):
        made["dates"] = dates(draw)
    if draw.chance(0.3):
        made |= {"batter_mass": 1410, "water_mass": draw.about(240, 320)}
    return made | ({"stamp": "2026-12-01"} if draw.chance(0.1) else {})


def schedules_request(draw: Draw) -> Body:
    """Batches of a few designs before their releases."""
    kinds = draw.some(("slab", "long loaf", "tray"), 1, 3)
    batches = []
    for name in draw.some(("deep red", "oat", "olive", "mint"), 1, 4):
        one: Body = {"name": name, "count": draw.randint(1, 3), "mould": draw.choice(kinds),
                     "release": _day(draw.randint(100, 130))}
        for key, options in (("unmould_days", (1, 2)), ("cure_days", (28, 35)), ("packing_days", (1, 3)),
                             ("bars_count", (12, 36))):
            if draw.chance(0.6) or key == "bars_count":
                one[key] = draw.choice(options)
        batches.append(one)
    made: Body = {"earliest": _day(0), "batches": batches,
                  "moulds": [{"name": name, "count": draw.randint(1, 3)} for name in kinds]}
    if draw.chance(0.5):
        made["pours_per_day_count"] = draw.randint(1, 2)
    if draw.chance(0.4):
        made["places"] = draw.choice(({"batches_count": 12}, {"bars_count": 400}))
    if draw.chance(0.4):
        made["closed"] = _closed(draw)
    return made | ({"objective": draw.choice(("late_pours", "early_pours"))} if draw.chance(0.5) else {})


def _saleable(draw: Draw) -> Body:
    made = batch(draw)
    made.pop("pot_volume", None)
    return made


def _label(draw: Draw) -> Body:
    made: Body = {"market": draw.choice(("EU", "GB", "US"))}
    more: Body = {"naming": draw.choice(("as_added", "as_reacted")), "sold_on": _day(draw.randint(60, 300)),
                  "net_quantity": draw.about(20, 45, 2), "durability": "2029-03", "precautions": ["Keep dry."],
                  "responsible_person": "Invented Soapworks, 1 Example Lane, Nowhere",
                  "batch_number": f"K-{draw.randint(1, 99)}", "names": [{"key": "kaolin", "inci": "Kaolin"}]}
    if made["market"] == "US":
        made["sold_as"] = draw.choice(("soap", "cosmetic"))
    return made | {key: more[key] for key in draw.some(tuple(more), 1, 6)}


def labels_request(draw: Draw) -> Body:
    """The label of a batch."""
    made = _saleable(draw)
    for name in ("resolved", "batch_number"):
        made.pop(name, None)
    return {**made, "label": _label(draw)}


def _prices(draw: Draw, rows: list[Body], *, bars: bool) -> Body:
    keys = list(dict.fromkeys(row["buy"] for row in rows if "buy" in row))
    priced = [key for key in keys if draw.chance(0.9)]
    made: Body = {"ingredients": [{"key": key, "price": {**_money(draw, 1, 30), "per_mass": draw.choice((250, 1000))}}
                                  for key in priced]}
    if draw.chance(0.5):
        made["packaging"] = [{"name": "paper band", "per_bar": _money(draw, 0.05, 0.5)}]
    if draw.chance(0.5):
        made["labour"] = {"work_hours": draw.about(0.5, 3, 2), "per_hour": _money(draw, 12, 30)}
    if draw.chance(0.4):
        made["overhead_pct"] = draw.choice((10, 15))
    if not bars:
        made["bars_count"] = draw.randint(6, 60)
    if draw.chance(0.3):
        made["broken_pct"] = draw.choice((2, 4))
    if draw.chance(0.5):
        selling: Body = {draw.choice(("margin_pct", "markup_pct")): draw.choice((25, 40))}
        if draw.chance(0.5):
            selling["sales_tax"] = {"rate_pct": 20, "shown": draw.choice(("included", "on_top"))}
        if draw.chance(0.4):
            selling["price_step"] = {"step": "0.50"}
        made["selling"] = selling
    return made


def batch_with_sale(draw: Draw) -> Body:
    """A whole batch with what its sale needs."""
    made = _saleable(draw)
    rows = plan_of(made)["weigh_list"]
    parts = {"label": _label(draw), "prices": _prices(draw, rows, bars="cut" in made or "count" in made["mould"]),
             "dates": dates(draw)}
    return {**made, **{key: parts[key] for key in draw.some(tuple(parts), 1, 3)}}


def costs_request(draw: Draw) -> Body:
    """What a batch, or a list of ingredients, costs."""
    if draw.chance(0.3):
        rows: list[Body] = [{"key": name, "name": f"{name} of a list", "mass": draw.about(5, 900)}
                            for name in draw.some(("olive", "coconut", "petals", "NaOH"), 1, 4)]
        return {"rows": rows, "prices": _prices(draw, [{"buy": row["key"]} for row in rows], bars=False)}
    made = _saleable(draw)
    for name in ("resolved", "batch_number"):
        made.pop(name, None)
    return {**made, "prices": _prices(draw, plan_of(made)["weigh_list"], bars="cut" in made)}


def purchases_request(draw: Draw) -> Body:
    """Packs to buy for some needs, or for the weigh lists of batches."""
    made: Body = {}
    if draw.chance(0.5):
        keys = draw.some(("olive", "coconut", "shea", "castor", "NaOH"), 1, 5)
        made["needs"] = [{"key": key, "name": f"{key} in stock", "mass": draw.about(200, 9000)} for key in keys]
    else:
        rows = plan_of(batch(draw))["weigh_list"]
        keys = list(dict.fromkeys(row["buy"] for row in rows if "buy" in row))
        one: Body = {"weigh_list": rows}
        if draw.chance(0.5):
            one["order"] = {"bars_count": draw.randint(20, 90), "bars_per_batch_count": draw.randint(8, 20)}
        made["batches"] = [one]
    suppliers = ["invented mill", "invented pharmacy"] if draw.chance(0.3) else []
    made["packs"] = [{"key": key, "price": {**_money(draw, 2, 40), "per_mass": mass},
                      **({"supplier": draw.choice(suppliers)} if suppliers else {})}
                     for key in keys for mass in draw.some((250, 500, 1000, 5000), 1, 3)]
    if suppliers:
        made["suppliers"] = [{"name": name, "shipping": _money(draw, 3, 8)} for name in suppliers]
    if draw.chance(0.4):
        made["at_hand"] = [{"key": keys[0], "mass": draw.about(10, 400)}]
    return made


def rebatches_request(draw: Draw) -> Body:
    """Offcuts of one or two batches, melted down."""
    offcuts: list[Body] = []
    for _ in range(draw.randint(1, 2)):
        plan = _saleable(draw)
        plan_of(plan)
        one: Body = {"plan": plan, "mass": draw.about(150, 900)}
        one.update({"lost_pct": draw.about(1, 6, 2)} if draw.chance(0.5) else {"days": draw.randint(1, 60)})
        offcuts.append(one)
    made: Body = {"offcuts": offcuts, "label": _label(draw),
                  "mould": {"shape": "box", "length": 250, "width": 80, "depth": 75}}
    made["label"].pop("net_quantity", None)
    if draw.chance(0.4):
        made["liquid"] = draw.choice(({"mass": 60}, {"pct_of_offcuts": 15},
                                      {"name": "oat milk", "water_pct": 90, "pct_of_offcuts": 12}))
    if draw.chance(0.4):
        made["additions"] = [{"name": "orange oil", "kind": "fragrance", "dose": 8, "basis": "g_per_kg_batter"}]
    if draw.chance(0.3):
        made |= {"residue": 15, "melting_loss_pct": 2}
    if draw.chance(0.3):
        made["dates"] = dates(draw)
    return made


def actuals_request(draw: Draw, plan: Body) -> Body:
    """A plan followed with slips of the scale, reported at some stage (`plan`: body of the batch)."""
    reply = plan_of(plan)
    stage = draw.choice(("fats", "lye_made", "in_pot", "poured", *["cut"] * ("cut" in plan)))
    reached = {"fats": ("fat",), "lye_made": ("fat", "alkali", "stock", "water"), "in_pot": ("fat", "alkali", "water")}
    wanted = reached.get(stage, ("fat", "alkali", "batter"))
    rows = [row for row in reply["weigh_list"] if row["kind"] in wanted and row["weigh"]]
    weighed = [{key: row[key] for key in ("where", "portion", "kind", "key", "lot") if key in row} | {
        "mass": float(f"{row['weigh'] * draw.uniform(0.97, 1.03):.5g}")} for row in draw.some(rows, 1, 3)]
    made: Body = {"plan": plan, "identity": reply["identity"], "stage": stage}
    if weighed:
        made["weighed"] = weighed
    if stage == "cut":
        made["bars"] = {"count": draw.randint(4, 40)}
        if draw.chance(0.5):
            course = ((0, 120), (7, 114.1), (14, 110.9), (28, 108))
            made["weighings"] = [{"day": day, "mass": mass} for day, mass in course]
    return made
