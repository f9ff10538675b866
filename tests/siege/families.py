"""Families of requests for every operation that computes; a search turns their knobs (see `search.py`)."""

from __future__ import annotations

import random
from datetime import date, timedelta

from kettlewright.reference.fats import fats

from siege.knobs import Body, Family, Knob, Settings, choice, real, whole
from siege.recipes import (
    BATCH_KNOBS,
    CUT_KNOBS,
    FATS,
    MOULD_KNOBS,
    PORTION_KNOBS,
    RECIPE_KNOBS,
    batch_of,
    cut_of,
    lye_of,
    mould_of,
    portions_of,
    recipe_of,
)

__all__ = ["FAMILIES"]

START = date(2027, 1, 4)
_WITH_ACIDS = [key for key in FATS if fats()[key].fatty_acids]
EUR = {"currency": "EUR"}


def _money(value: float) -> Body:
    return {"amount": f"{value:.2f}", **EUR}


def _price(value: float, mass: float = 1000) -> Body:
    return {**_money(value), "per_mass": mass}


def _day(after: int) -> str:
    return (START + timedelta(days=after)).isoformat()


def _scaling(s: Settings) -> Body:
    targets: dict[str, Body] = {
        "mould": {"mould": mould_of(s)}, "bars": {"bars": {"count": 40, "mass": 110, "expected_loss_pct": 11}},
        "factor": {"fats_mass": 1000}}
    found = {"recipe": recipe_of(s), "target": targets[s["target"]], "scale": {"readability": s["step"]}}
    more = portions_of({**s, "portions": 1, "additions": 0, "borrows": 0})
    return found | ({"additions": more["additions"]} if "additions" in more else {})


def _moulds(s: Settings) -> Body:
    rng = random.Random(s["seed"])
    at_hand = [{"name": f"m{i}", "at_most": s["at_most"], "mould": {
        "shape": "measured", "volume": round(rng.uniform(s["smallest"], 2000), s["places"]), "depth": 40}}
        for i in range(s["moulds"])]
    return {"moulds": at_hand, "order": {"volume": s["order"]}, "objective": s["objective"]}


def _mould(s: Settings) -> Body:
    return {"mould": mould_of(s), "fill": {"depth": 0.4 * s["size"] * 20}}


def _portions(s: Settings) -> Body:
    return {"batter": {"mass": 5000, "density": 1.0, "fats_mass": 3500}, **portions_of(s), "mould": mould_of(s),
            "scale": {"readability": s["step"], "dose_readability": min(s["step"], 0.1)}}


def _cuts(s: Settings) -> Body:
    return {"block": {"length": s["length"], "width": s["width"], "height": 60}, **cut_of(s), "density": 1,
            "expected_loss_pct": 11}


def _swatches(count: int, seed: int, reach: float) -> list[Body]:
    rng = random.Random(seed)
    return [{"dose": reach * i / count, "lab": {"lightness": 90 - 60 * i / count + rng.uniform(-0.3, 0.3),
                                               "a": 2 + 10 * i / count, "b": 8 + rng.uniform(-0.2, 0.2)}}
            for i in range(count)]


def _fades(s: Settings) -> Body:
    steps = "ciede2000" if s["other"] else s["steps"]
    found: Body = {"swatches": _swatches(s["swatches"], s["seed"], s["reach"]), "kind": "plant", "steps": steps,
                   "portions": [{"name": f"p{i}", "mass": 500} for i in range(s["portions"])],
                   "carry_over": s["carry_over"]}
    if s["other"]:
        found["other"] = {"swatches": [{**one, "lab": {**one["lab"], "b": -8}} if one["dose"] else one
                                       for one in _swatches(s["other"], s["seed"] + 1, s["reach"])]}
        found["carry_over"] = False
    if s["more"]:
        found["more"] = {"mass": 500, "now": {"dose": s["reach"] * 0.2}, "wanted": {"dose": s["reach"] * 0.5}}
    return found


def _cure(s: Settings) -> Body:
    rng = random.Random(s["seed"])
    days = sorted(rng.uniform(0, 90) for _ in range(s["weighings"]))
    found: Body = {"weighings": [{"day": float(f"{day:.6g}"), "mass": 110 + 20 * 2.718281828 ** (-s["rate"] * day)
                                  + rng.gauss(0, s["scatter"])} for day in days],
                   "on": [{"day": 14.5 * i} for i in range(s["on"])], "promise": {"mass": 110},
                   "until": {"daily_loss": 0.1, "within_pct": 1}}
    if s["closed"]:
        found["dates"] = {"release": _day(1400), "cure_days": s["cure_days"], "packing_days": s["packing"],
                          "closed": _closed(s)}
    return found


def _closed(s: Settings) -> Body:
    found: Body = {"dates": [_day(3 * i) for i in range(400)],
                   "spans": [{"first": _day(13 * i), "last": _day(13 * i + s["span"])} for i in range(100)]}
    return found | ({"weekdays": ["monday", "tuesday", "thursday", "saturday", "sunday"]} if s["closed"] > 1 else {})


def _schedules(s: Settings) -> Body:
    rng = random.Random(s["seed"])
    designs, kinds = s["designs"], s["kinds"]
    moulds = [{"name": f"m{i}", "count": rng.choice((1, 2, 3, 8))} for i in range(kinds)]
    days = max(5, min(s["days"], s["variables"] // designs))
    batches = []
    for i in range(designs):
        cure, mould = rng.choice((14, 21, 28)) if s["mixed"] else 28, rng.randrange(kinds)
        batches.append({"name": f"d{i}", "count": rng.randint(1, s["count"]), "mould": f"m{mould}",
                        "moulds_count": rng.randint(1, moulds[mould]["count"]),
                        "release": _day(cure + 3 + days - rng.randint(0, 5)), "unmould_days": rng.choice((0, 1, 2, 3)),
                        "cure_days": cure, "packing_days": rng.choice((0, 1, 2)),
                        "bars_count": rng.choice((20, 36, 72))})
    found: Body = {"earliest": _day(0), "pours_per_day_count": s["pours"], "moulds": moulds, "batches": batches,
                   "objective": s["objective"]}
    if s["places"]:
        found["places"] = {s["places_by"]: s["places"] * (36 if s["places_by"] == "bars_count" else 1)}
    if s["closed"]:
        found["closed"] = {"weekdays": ["sunday"]}
    return found


def _blends(s: Settings) -> Body:
    rng = random.Random(s["seed"])
    names = rng.sample(_WITH_ACIDS, min(s["fats"], len(_WITH_ACIDS)))
    found: Body = {"fats": [{"fat": name, "price": _price(rng.uniform(2, 20)), "at_most_pct": s["most"]}
                            for name in names], "objective": {"kind": s["objective"]}, "fats_mass": 3000}
    wishes: list[Body] = []
    for i in range(s["wishes"]):
        middle = rng.uniform(5, 60)
        low, high = middle - s["width"] / 2, middle + s["width"] / 2
        wishes.append(({"property": "fatty_acid", "of": rng.choice(("C12:0", "C16:0", "C18:0", "C18:1", "C18:2"))},
                       {"property": "group", "of": rng.choice(("saturated", "monounsaturated", "polyunsaturated"))},
                       {"property": "iodine_value"}, {"property": "saponification_value"})[i % 4]
                      | {"min": max(low, 0) + (140 if i % 4 == 3 else 0), "max": high + (140 if i % 4 == 3 else 0)})
    found["wishes"] = wishes
    if s["objective"] != "cheapest":
        found["recipe"] = recipe_of({**s, "fats": min(s["fats"], 8), "own": "table", "alkalis": 1, "liquids": 0,
                                     "acids": 0, "floor": False, "water": 2.0})
    if s["objective"] in ("least", "most"):
        found["objective"]["fat"] = names[0]
    if s["objective"] == "replace":
        found["objective"]["fat"] = FATS[0]
    return found


def _priced(s: Settings) -> Body:
    found: Body = {"ingredients": [{"key": f"thing_{i}", "price": _price(i + 1)} for i in range(s["priced"])],
                   "packaging": [{"name": f"band {i}", "per_bar": _money(0.1)} for i in range(s["packaging"])],
                   "overhead_pct": 15, "broken_pct": 2}
    found["ingredients"] += [{"key": name, "price": _price(6)} for name in [*FATS[:s["fats"]], "NaOH", "water"]]
    return found


def _costs(s: Settings) -> Body | None:
    batch = batch_of(s)
    if batch is None or "pot_volume" in batch:
        return None
    return {**batch, "prices": _priced(s)}


def _label(s: Settings) -> Body:
    return {"market": s["market"], "naming": s["naming"], "sold_on": "2027-03-20", "net_quantity": s["net"],
            "names": [{"key": f"thing {i}", "inci": "Invented Powder"} for i in range(s["names"])]}


def _labels(s: Settings) -> Body | None:
    batch = batch_of(s)
    if batch is None or "pot_volume" in batch:
        return None
    return {**batch, "label": _label(s)}


def _batches(s: Settings) -> Body | None:
    batch = batch_of(s)
    if batch is None:
        return None
    if s["sale"] and "pot_volume" not in batch:
        batch |= {"label": _label(s), "prices": _priced(s), "dates": {"release": "2027-03-20", "packing_days": 3}}
    return batch


def _actuals(s: Settings) -> Body | None:
    plan = _batches(s)
    if plan is None:
        return None
    weighed: list[Body] = []
    if s["off"]:
        weighed = [{"where": "pot", "key": fat.get("fat", fat.get("name", "").replace(" ", "_")), "kind": "fat",
                    "mass": s["off"]} for fat in plan["recipe"]["fats"][:s["rows"]]]
    if s["stage"] in ("poured", "cut"):
        weighed += [{"where": "bucket", "portion": f"p{i}", "kind": "batter", "key": f"p{i}", "mass": s["off"] or 10}
                    for i in range(min(s["portions"], s["rows"]))]
    found: Body = {"plan": plan, "identity": "AAAAA-AAAAA", "stage": s["stage"], "weighed": weighed}
    if s["stage"] == "cut":
        found["bars"] = {"count": 40, "masses": [100 + i % 7 for i in range(s["masses"])]}
    return found


def _rebatches(s: Settings) -> Body | None:
    batch = batch_of(s)
    if batch is None or "pot_volume" in batch:
        return None
    return {"offcuts": [{"plan": batch, "mass": 500 + i, "days": s["days"]} for i in range(s["soaps"])],
            "mould": {"shape": "measured", "volume": 2_000}, "label": {**_label(s), "net_quantity": 1}}


def _purchases(s: Settings) -> Body:
    rng = random.Random(s["seed"])
    needs = [{"name": f"x{i}", "mass": round(rng.uniform(200, s["largest"]), s["places"])} for i in range(s["needs"])]
    packs = []
    for i in range(s["needs"]):
        base = rng.uniform(3, 20)
        for _ in range(max(min(s["packs"], (96 if s["suppliers"] else 600) // s["needs"]), 1)):
            mass = rng.choice((100, 250, 500, 1000, 2500, 5000)) if s["even"] else round(rng.uniform(80, 6000),
                                                                                       s["places"])
            cost = base * mass / 1000 * rng.uniform(1 - s["spread"], 1 + s["spread"]) + 0.5
            pack: Body = {"key": f"x{i}", "price": _price(cost, mass)}
            if s["limited"]:
                pack["at_most"] = rng.randint(1, 6)
            if s["suppliers"]:
                pack["supplier"] = f"s{rng.randrange(s['suppliers'])}"
            packs.append(pack)
    found: Body = {"needs": needs, "packs": packs}
    if s["suppliers"]:
        found["suppliers"] = [{"name": f"s{i}", "shipping": _money(rng.uniform(3, 9)),
                               "free_from": _money(rng.uniform(40, 300)), "minimum_order": _money(rng.uniform(10, 40))}
                              for i in range(s["suppliers"])]
    return found


SALE: dict[str, Knob] = {"priced": choice(0, 20, 230), "packaging": choice(0, 5, 40), "names": choice(0, 500),
                         "market": choice("EU", "GB", "US"), "naming": choice("as_added", "as_reacted"),
                         "net": choice(1, 50)}
SEED = whole(0, 10_000)
# every limit exceeded in many buckets that borrow from each other: the search starts here, beside its random draws
_PLAIN: Settings = {
    "fats": 10, "own": "table", "alkalis": 1, "liquids": 0, "acids": 0, "floor": False, "workings": False,
    "own_fats": 0, "step": 0.001, "water": 2.0, "shape": "box", "size": 1.0, "count": 1, "portions": 40, "additions": 5,
    "pot_additions": 40, "borrows": 2, "dusting": True, "limit": 0.01, "kind": "clay", "dose": 0.5, "allergens": 0,
    "dispersion": False, "distinct": True, "arrangement": "layers", "loss": 5, "residue": 0, "basis": "g_per_kg_batter",
    "cut": True, "loaf": 60, "bar": 25, "kerf": 0, "finish": 0, "trim": 0, "pot": None, "fade": False, "sale": False,
    "priced": 0, "packaging": 0, "names": 0, "market": "EU", "naming": "as_added", "net": 1}
_STARTS = (_PLAIN, {**_PLAIN, "dispersion": True, "limit": 0.05}, {**_PLAIN, "shape": "trough", "size": 3, "loaf": 30},
           {**_PLAIN, "limit": 2.5}, {**_PLAIN, "sale": True, "net": 1},
           {**_PLAIN, "sale": True, "kind": "fragrance", "allergens": 80, "priced": 200, "names": 500})
FAMILIES = (
    Family("lye", RECIPE_KNOBS, lye_of, link=True),
    Family("scaling", {**RECIPE_KNOBS, **MOULD_KNOBS, **PORTION_KNOBS, "target": choice("mould", "bars", "factor")},
           _scaling, link=True),
    Family("moulds", {"moulds": whole(1, 40), "at_most": whole(1, 200), "smallest": real(1, 1900),
                      "places": choice(0, 1, 4), "order": real(100, 5e6), "seed": SEED,
                      "objective": choice("least_left_over", "fewest_pours")}, _moulds, link=True),
    Family("moulds", MOULD_KNOBS, _mould, link=True),
    Family("portions", {**MOULD_KNOBS, **PORTION_KNOBS, "step": choice(1.0, 0.001, 1e-9)}, _portions, link=True,
           starts=tuple({**one, "size": 2} for one in _STARTS[:4])),
    Family("cuts", {**CUT_KNOBS, "length": real(50, 10_000), "width": real(50, 10_000)}, _cuts, link=True),
    Family("fades", {"swatches": whole(2, 40), "portions": whole(2, 40), "other": choice(0, 2, 40), "seed": SEED,
                     "reach": real(1, 500), "steps": choice("ciede2000", "lightness"),
                     "carry_over": choice(False, True), "more": choice(False, True)}, _fades),
    Family("cure", {"weighings": whole(3, 200), "on": whole(0, 100), "rate": real(0.005, 0.5),
                    "scatter": real(0.001, 2),
                    "closed": choice(0, 1, 2), "span": whole(1, 12), "cure_days": whole(0, 1300), "seed": SEED,
                    "packing": whole(0, 60)}, _cure, link=True),
    Family("schedules", {"designs": whole(1, 40), "kinds": whole(1, 12), "count": whole(1, 20), "days": whole(5, 300),
                         "pours": whole(1, 5), "places": choice(0, 4, 8, 20, 60), "seed": SEED,
                         "places_by": choice("batches_count", "bars_count"), "mixed": choice(False, True),
                         "variables": whole(100, 1000), "closed": choice(False, True),
                         "objective": choice("late_pours", "early_pours")}, _schedules),
    Family("blends", {"fats": whole(2, 60), "wishes": whole(0, 60), "width": real(0.1, 80), "seed": SEED,
                      "most": choice(100, 20, 8),
                       "objective": choice("cheapest", "closest", "replace", "least", "most")}, _blends),
    Family("batches", {**BATCH_KNOBS, **SALE, "sale": choice(False, True)}, _batches, link=True, starts=_STARTS),
    Family("labels", {**BATCH_KNOBS, **SALE}, _labels, starts=_STARTS),
    Family("costs", {**BATCH_KNOBS, **SALE}, _costs, starts=_STARTS),
    Family("actuals", {**BATCH_KNOBS, **SALE, "sale": choice(False, True), "rows": whole(0, 60), "off": real(1e-3, 1e5),
                       "stage": choice("fats", "lye_made", "in_pot", "poured", "cut"), "masses": choice(0, 40, 5000)},
           _actuals, starts=tuple({**one, "rows": 60, "off": off, "stage": stage, "masses": 40}
                                  for one in _STARTS[:3] for off in (20.0, 900.0)
                                  for stage in ("fats", "lye_made", "in_pot", "poured"))),
    Family("rebatches", {**BATCH_KNOBS, **SALE, "soaps": whole(1, 6), "days": choice(0, 30)}, _rebatches,
           starts=tuple({**one, "soaps": soaps, "days": 30, **less} for one in _STARTS for soaps, less in (
               (1, {}), (6, {"portions": 10, "additions": 2, "pot_additions": 20, "borrows": 1})))),
    Family("purchases", {"needs": whole(1, 300), "packs": whole(1, 96), "suppliers": whole(0, 8), "seed": SEED,
                         "largest": real(300, 1e5), "places": choice(0, 1, 4), "even": choice(False, True),
                         "spread": real(0.01, 0.6), "limited": choice(False, True)}, _purchases),
)
