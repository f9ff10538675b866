"""Random recipes, lye requests and recipes at another size, in grams."""

from __future__ import annotations

from kettlewright.reference.fats import fats

from digest.draw import Body, Draw

__all__ = ["blend_request", "lye_request", "own_fats", "recipe", "scaling_request"]

_FATS = sorted(fats())
_WITH_FATTY_ACIDS = [key for key in _FATS if fats()[key].fatty_acids and fats()[key].kind == "triglyceride"]
_ORDINARY = ("olive", "coconut", "shea", "sunflower", "castor", "palm", "lard", "canola", "cocoa_butter", "rice_bran")
_ACIDS = ("citric_anhydrous", "citric_monohydrate", "lactic", "acetic", "tartaric", "ascorbic", "stearic", "oleic")
_LIQUIDS = ("goat milk", "oat water", "aloe juice", "coffee", "chamomile tea")


def _saponification_value(draw: Draw) -> Body:
    middle = draw.about(180, 200)
    return {"min": middle - draw.choice((0, 1, 4)), "max": middle + draw.choice((0, 1, 4))}


def _profile(draw: Draw) -> Body:
    keys = draw.some(("C12:0", "C14:0", "C16:0", "C18:0", "C18:1", "C18:2"), 2, 5)
    shares = draw.shares(len(keys))
    return {"fatty_acids": [{"fatty_acid": key, "share_pct": share} for key, share in zip(keys, shares, strict=True)]}


def _fat(draw: Draw, key: str, place: int, own: list[Body]) -> Body:
    kind = draw.random()
    if own and kind < 0.4:
        made: Body = {"fat": own[place % len(own)]["key"]} if place < len(own) else {"fat": key}
    elif kind < 0.75:
        made = {"fat": key}
    elif kind < 0.82:
        made = {"fat": key, "certificate": {"value": draw.about(185, 195, 4), "tolerance": 1, "date": "2026-10-01"}}
    elif kind < 0.95:
        made = {"name": f"oil of jar {place}", "saponification_value": _saponification_value(draw)}
    else:
        made = {"name": f"oil of jar {place}", "profile": _profile(draw)}
    if draw.chance(0.2):
        made["lot"] = f"L-{draw.randint(1, 99)}"
    if "name" in made and draw.chance(0.3):
        made["density"] = draw.about(0.88, 0.93)
    return made


def own_fats(draw: Draw) -> list[Body]:
    """The maker's own fats, in some of the requests."""
    return [{"key": f"own_{i}", "name": f"own pressing {i}", "saponification_value": _saponification_value(draw)}
            for i in range(1, draw.choice((0, 0, 0, 1, 2)) + 1)]


def _alkalis(draw: Draw) -> list[Body]:
    keys = draw.choice((("NaOH",), ("NaOH",), ("NaOH",), ("KOH",), ("KOH", "NaOH")))
    shares = draw.shares(2, 10.0) if len(keys) == 2 else []
    made = []
    for place, key in enumerate(keys):
        strengths: list[Body] = [
            {"purity_pct": draw.about(97, 99.5) if key == "NaOH" else draw.about(85, 92)},
            {"purity_pct": 95, "purity_tolerance_pct": draw.about(0, 3)},
            {"purity_at_least_pct": 97 if key == "NaOH" else 85},
            {"stock": {"concentration_pct": draw.choice((45, 50))}},
            {"purity_pct": 96, "count_impurity_as_water": True}]
        one = {"alkali": key, **draw.choice(strengths + [{}] * (key == "NaOH"))}
        if shares:
            one["share_pct"] = shares[place]
        if draw.chance(0.3):
            one["lot"] = f"{key[0]}-{draw.randint(20, 29)}"
        made.append(one)
    return made


def _acids(draw: Draw, by_share: bool, fats_mass: float) -> list[Body]:
    made = []
    for key in draw.some(_ACIDS, 0, 2) if draw.chance(0.35) else []:
        one: Body = {"acid": key}
        if key in ("lactic", "acetic", "stearic"):
            one["strength_pct"] = draw.choice((10, 80, 90)) if key != "stearic" else 95
        pct = draw.about(0.3, 2)
        one |= {"pct_of_fats": pct} if by_share or draw.chance(0.5) else {"mass": round(pct * fats_mass / 100, 1)}
        made.append(one)
    return made


def _liquids(draw: Draw, by_share: bool, fats_mass: float) -> list[Body]:
    made = []
    for name in draw.some(_LIQUIDS, 1, 2) if draw.chance(0.25) else []:
        one: Body = {"name": name, "water_pct": draw.choice((87, 95, 99))}
        pct = draw.about(1, 5)
        one |= {"pct_of_fats": pct} if by_share or draw.chance(0.5) else {"mass": round(pct * fats_mass / 100)}
        if one["water_pct"] == 87:
            one |= {"fat_pct": 4, "fat": "butterfat"}
        if draw.chance(0.3):
            one["frozen"] = True
        made.append(one)
    if len(made) == 1 and draw.chance(0.15):
        made[0] = {"name": made[0]["name"], "water_pct": 97, "rest_of_water": True}
    return made


def _water(draw: Draw) -> Body:
    made = draw.choice((lambda: {"lye_concentration_pct": draw.about(25, 36)},
                        lambda: {"water_to_alkali": draw.about(1.9, 2.8)},
                        lambda: {"water_pct_of_fats": draw.about(32, 42)}))()
    return made | ({"ice_pct": draw.choice((20, 50))} if draw.chance(0.15) else {})


def _temperatures(draw: Draw) -> Body:
    made = {"water": draw.about(4, 25), "fats": draw.about(30, 45), "pour": draw.about(33, 45)}
    return {key: made[key] for key in draw.some(tuple(made), 1, 3)}


def recipe(draw: Draw, own: list[Body], *, by_share: bool) -> Body:
    """A recipe by shares, or by masses (`own`: the maker's own fats, which it may use)."""
    count = draw.choice((1, 2, 3, 3, 4, 5, 7))
    keys = draw.sample(_ORDINARY if draw.chance(0.7) else _WITH_FATTY_ACIDS, count)
    rows = [_fat(draw, key, place, own) for place, key in enumerate(keys)]
    shares, total = draw.shares(count), draw.about(400, 6000, 2)
    for row, share in zip(rows, shares, strict=True):
        row |= {"share_pct": share} if by_share else {"mass": round(share * total / 100)}
    made: Body = {"fats": rows}
    made["superfat_at_least_pct" if draw.chance(0.15) else "superfat_pct"] = draw.about(1, 10, 2)
    made |= {"alkalis": _alkalis(draw), "water": _water(draw)}
    if acids := _acids(draw, by_share, total):
        made["acids"] = acids
    if liquids := _liquids(draw, by_share, total):
        made["liquids"] = liquids
    if draw.chance(0.4):
        made["temperatures"] = _temperatures(draw)
    return made


def around(draw: Draw, own: list[Body]) -> Body:
    """What may accompany any recipe (`own`: the maker's own fats)."""
    made: Body = {"own_fats": own} if own else {}
    if draw.chance(0.2):
        step = draw.choice((0.1, 0.5, 1, 2))
        made["scale"] = {"readability": step, "alkali_readability": min(step, 0.5), "dose_readability": 0.01}
    if draw.chance(0.15):
        made["expected_loss_pct"] = draw.about(4, 10, 2)
    if draw.chance(0.1):
        made["batter_density"] = draw.about(0.95, 1.05)
    if draw.chance(0.1):
        made["workings"] = True
    return made


def lye_request(draw: Draw) -> Body:
    """What to weigh for a pot."""
    own = own_fats(draw)
    return {**recipe(draw, own, by_share=False), **around(draw, own)}


def scaling_request(draw: Draw, mould: Body) -> Body:
    """A recipe at another size (`mould`: one that it may be made for)."""
    own, by_share = own_fats(draw), draw.chance(0.6)
    pot = recipe(draw, own, by_share=by_share)
    named = [fat["fat"] for fat in pot["fats"] if "fat" in fat]
    targets: list[Body] = [
        {"fats_mass": draw.about(300, 9000)}, {"batter_mass": draw.about(800, 9000)}, {"mould": mould},
        {"mould": mould, "residue": {"pot": 10}},
        {"bars": {"count": draw.randint(5, 90), "mass": draw.about(80, 140), "expected_loss_pct": draw.about(5, 10)}}]
    targets += [{"factor": draw.about(0.3, 4)}] * (2 * (not by_share))
    targets += [{"limiting": {"kind": "fat", "key": key, "mass": draw.about(100, 2000)}} for key in named[:1]]
    return {"recipe": pot, "target": draw.choice(targets), **around(draw, own)}


def _at_hand(draw: Draw, key: str) -> Body:
    made: Body = {"fat": key, "price": {"amount": f"{draw.uniform(2, 20):.2f}", "currency": "EUR", "per_mass": 1000}}
    bound = draw.random()
    if bound < 0.2:
        made["at_most_pct"] = draw.choice((40, 60))
    elif bound < 0.4:
        made["at_least_pct"] = draw.choice((5, 10))
    return made


def blend_request(draw: Draw) -> Body:
    """Fats at hand, wishes and what to optimise: the wishes are wide enough for most choices of fats."""
    keys = ["olive", "coconut", *draw.sample(sorted(set(_WITH_FATTY_ACIDS) - {"olive", "coconut"}), draw.randint(1, 6))]
    wishes: list[Body] = draw.some((
        {"property": "saponification_value", "min": 180, "max": draw.about(215, 230)},
        {"property": "iodine_value", "max": draw.about(80, 100)},
        {"property": "group", "of": "polyunsaturated", "max": draw.about(20, 40)},
        {"property": "group", "of": "saturated", "min": draw.about(15, 25)},
        {"property": "fatty_acid", "of": "C18:1", "min": draw.about(15, 30)},
        {"property": "fatty_acid", "of": "C12:0", "max": draw.about(25, 40)}), 0, 3)
    kind = draw.choice(("cheapest", "cheapest", "closest", "replace", "least", "most"))
    made: Body = {"fats": [_at_hand(draw, key) for key in keys], "objective": {"kind": kind}}
    if wishes:
        made["wishes"] = wishes
    if kind in ("least", "most"):
        made["objective"]["fat"] = draw.choice(keys)
    if kind in ("closest", "replace"):
        pot = recipe(draw, [], by_share=False)
        pot["fats"] = [{"fat": "olive", "mass": 500}, {"fat": "palm", "mass": 250}, {"fat": "coconut", "mass": 250}]
        made["recipe"] = pot
        if kind == "replace":
            made["objective"]["fat"] = "palm"
            made["fats"] = [one for one in made["fats"] if one["fat"] != "palm"]
            made.pop("wishes", None)
    elif draw.chance(0.6):
        made["fats_mass"] = draw.about(500, 5000)
    return made
