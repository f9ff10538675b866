"""Random moulds, portions, fades, cuts and whole batches, in grams and millimetres."""

from __future__ import annotations

from digest.draw import Body, Draw
from digest.pots import around, own_fats, recipe

__all__ = ["batch", "cuts_request", "fades_request", "mould", "moulds_request", "portions_request"]

BLOCKS = ("box", "box", "box", "tapered_box", "trough")
SHAPES = (*BLOCKS, "half_round", "cylinder", "elliptic_cylinder", "cone_frustum", "lying_cylinder", "bowl", "prism",
          "measured")
_NAMES = ("ember", "brick", "clay rose", "plain", "last light", "slate", "chalk")


def mould(draw: Draw, shapes: tuple[str, ...] = SHAPES) -> Body:
    """A mould of one of these shapes (`shapes`)."""
    shape = draw.choice(shapes)
    length, width, depth = draw.about(180, 420, 2), draw.about(70, 300, 2), draw.about(50, 90, 2)
    round_mm, small = draw.about(60, 110, 2), draw.about(45, 60, 2)
    dimensions: dict[str, Body] = {
        "box": {"length": length, "width": width, "depth": depth},
        "tapered_box": {"length": length, "width": width, "base_length": length - 10, "base_width": width - 8,
                        "depth": depth},
        "trough": {"length": length, "width": width, "base_width": width - 12, "depth": depth},
        "half_round": {"length": length, "diameter": round_mm},
        "cylinder": {"diameter": round_mm, "depth": depth},
        "elliptic_cylinder": {"diameter": round_mm, "short_diameter": round_mm - 15, "depth": depth},
        "cone_frustum": {"diameter": round_mm, "base_diameter": round_mm - 10, "depth": depth},
        "lying_cylinder": {"diameter": round_mm, "length": length},
        "bowl": {"diameter": round_mm, "depth": round_mm / 4},
        "prism": {"sides": draw.randint(3, 8), draw.choice(("side", "across_flats", "circumradius")): small,
                  "depth": depth},
        "measured": {"volume": draw.about(100, 900), "depth": depth}}
    made: Body = {"shape": shape, **dimensions[shape]}
    if shape not in BLOCKS or draw.chance(0.1):
        made["count"] = draw.randint(2, 8)
    if shape != "measured" and draw.chance(0.3):
        made["liner"] = draw.choice((0.5, 1))
    if draw.chance(0.5):
        made["headspace"] = draw.choice((3, 5))
    return made


def moulds_request(draw: Draw) -> Body:
    """A mould and its filling, or which moulds to fill for an order."""
    if draw.chance(0.6):
        made: Body = {"mould": mould(draw)}
        fill = draw.choice(({}, {"depth": draw.about(6, 12)}, {"volume": draw.about(50, 150)},
                            {"mass": draw.about(50, 150), "density": draw.about(0.95, 1.05)}))
        return made | ({"fill": fill} if fill else {})
    at_hand = [{"name": name, "at_most": draw.randint(1, 6), "mould": mould(draw)}
               for name in draw.some(("long loaf", "slab", "rounds", "tray", "hexagons"), 1, 4)]
    order = draw.choice(({"volume": draw.about(100, 900)}, {"mass": draw.about(100, 900), "density": 1.0}))
    return {"moulds": at_hand, "order": order} | (
        {"objective": draw.choice(("least_left_over", "fewest_pours"))} if draw.chance(0.5) else {})


def _ingredients(draw: Draw) -> list[Body]:
    """What the workshop has: an ingredient keeps its lot, dispersion and label wherever it is used."""
    scent: Body = {"name": "cedar and lavender", "kind": "fragrance", "density": 0.92, "allergens": [
        {"cas": "78-70-6", "pct": draw.about(2, 12)}, {"name": "Limonene", "pct": draw.about(0.1, 3)}]}
    red: Body = {"name": "red iron oxide", "kind": "colourant", "inci": "CI 77491"}
    if draw.chance(0.4):
        red["dispersion"] = {"strength_pct": draw.choice((20, 25)), **draw.choice((
            {"carrier": "oil", "fat": "sunflower"}, {"carrier": "water"}, {"carrier": "glycerol"},
            {"carrier": "oil", "saponification_value": {"min": 185, "max": 190}}))}
    kinds: list[Body] = [
        scent, red, {"name": "rose clay", "kind": "clay"}, {"name": "ground oats", "kind": "exfoliant"},
        {"name": "calendula petals", "kind": "botanical"}, {"name": "sugar", "kind": "sugar"},
        {"name": "sea salt", "kind": "salt"}, {"name": "mist", "kind": "spray"},
        {"name": "yoghurt powder", "kind": "other", "contains": {"water_pct": 5, "fat_pct": 10, "fat": "butterfat"}},
        {"name": "soap shavings", "kind": "soap_pieces"}]
    found = draw.some(kinds, 1, 4)
    for one in found:
        if draw.chance(0.3):
            one["lot"] = f"A-{draw.randint(1, 99)}"
        if draw.chance(0.2):
            one["limit_pct"] = draw.about(0.5, 4)
    return found


def _dose(draw: Draw, ingredient: Body) -> Body:
    basis = draw.choice(("pct_of_fats", "pct_of_batter", "g_per_kg_fats", "g_per_kg_batter", "g_per_kg_batter"))
    return {**ingredient, "dose": draw.about(0.2, 1.5) if basis.startswith("pct") else draw.about(1, 12),
            "basis": basis}


def poured(draw: Draw, cavity: Body | None, *, coloured_by_fade: bool = False) -> Body:
    """Portions, additions and what stays behind, for a batter poured into `cavity`."""
    count = 4 if coloured_by_fade else draw.randint(1, 5)
    at_hand = [] if coloured_by_fade else _ingredients(draw)
    arrangements = ["layers", "layers", "mingled"]
    if cavity is not None and cavity["shape"] in BLOCKS and "base_length" not in cavity and "base_width" not in cavity:
        arrangements.append("columns")
    arrangement = draw.choice(arrangements)
    names = draw.sample(_NAMES, count)
    portions: list[Body] = []
    for place, (name, share) in enumerate(zip(names, draw.shares(count, 8.0), strict=True)):
        one: Body = {"name": name, "share_pct": share}
        if draw.chance(0.5):
            one["colour"] = f"#{draw.randrange(1 << 24):06x}"
        if at_hand and draw.chance(0.6):
            one["additions"] = [_dose(draw, each) for each in draw.some(at_hand, 1, 2)]
        if place and draw.chance(0.15):
            one["borrows"] = [{"from": names[place - 1], "share_pct": draw.choice((10, 25))}]
        if arrangement == "layers" and cavity is not None and draw.chance(0.2):
            one["dusting"] = {"name": "kaolin", "coverage": draw.choice((20, 60))}
        portions.append(one)
    made: Body = {"portions": portions}
    if arrangement != "layers" or draw.chance(0.3):
        made["arrangement"] = arrangement
    if draw.chance(0.3) and at_hand:
        used = {each["name"] for one in portions for each in one.get("additions", ())}
        free = [each for each in at_hand if each["name"] not in used]
        if free:
            made["additions"] = [_dose(draw, free[0])]
    if draw.chance(0.6):
        made["residue"] = {"pot": draw.choice((5, 10, 15)), "portion": draw.choice((0, 2, 4))}
    if draw.chance(0.4) or any("limit_pct" in one for one in at_hand):
        made["expected_loss_pct"] = draw.about(4, 10, 2)
    return made


def portions_request(draw: Draw) -> Body:
    """A batter and its portions."""
    cavity = mould(draw, BLOCKS) | {"headspace": 3} if draw.chance(0.6) else None
    if cavity is not None:
        cavity.pop("count", None)
    batter = {"mass": draw.about(400, 700), "density": draw.about(0.97, 1.04)}
    return {"batter": {**batter, "fats_mass": round(batter["mass"] * draw.uniform(0.62, 0.72))},
            **poured(draw, cavity)} | ({"mould": cavity} if cavity else {})


def _swatches(draw: Draw, least: int = 2) -> list[Body]:
    """Swatches of a colourant that darkens evenly, measured with some scatter."""
    count, reach = draw.randint(least, 7), draw.about(4, 20, 2)
    by_lab = draw.chance(0.3)
    made: list[Body] = []
    for place in range(count):
        depth = place / (count - 1)
        red, green, blue = (round(high - (high - low) * depth) for high, low in ((240, 120), (230, 70), (214, 50)))
        look: Body = {"lab": {"lightness": round(90 - 45 * depth, 1), "a": round(2 + 20 * depth, 1),
                              "b": round(8 + 14 * depth, 1)}} if by_lab else {
            "colour": f"#{red:02x}{green:02x}{blue:02x}"}
        made.append({"dose": round(reach * place / (count - 1), 2), **look})
    return made


def _fade(draw: Draw) -> Body:
    made: Body = {"swatches": _swatches(draw), "kind": draw.choice(("mineral", "plant", "mica", "other"))}
    if draw.chance(0.3):
        made["steps"] = draw.choice(("ciede2000", "lightness"))
    if draw.chance(0.3):
        made["darkest_dose"] = round(made["swatches"][-1]["dose"] * 0.8, 2)
    return made


def fades_request(draw: Draw) -> Body:
    """A fade over some portions."""
    made = {**_fade(draw), "portions": [{"name": f"band {i}", "mass": 500} for i in range(draw.randint(2, 7))]}
    if draw.chance(0.3):
        made["other"] = {"swatches": [{"dose": 0, "colour": "#efe6d6"}, {"dose": 6, "colour": "#4a5a8c"}]}
        made["swatches"] = [{"dose": 0, "colour": "#efe6d6"}, {"dose": 5, "colour": "#7a2b1f"}]
        for name in ("darkest_dose", "steps"):
            made.pop(name, None)
    elif draw.chance(0.5):
        made["carry_over"] = True
    if draw.chance(0.3):
        made["dispersion_pct"] = draw.choice((10, 25))
    elif draw.chance(0.2):
        made["price"] = {"amount": f"{draw.uniform(20, 90):.2f}", "currency": "EUR", "per_mass": 1000}
    return made


def cut(draw: Draw, *, loaves: bool) -> Body:
    """How a block is cut, with or without `loaves` across its width."""
    made: Body = {"bar": draw.choice(({"thickness": draw.about(18, 32, 2)}, {"count": draw.randint(2, 6)}))}
    if loaves and draw.chance(0.5):
        made["loaf"] = {"width": draw.about(50, 68, 2)}
    if draw.chance(0.7):
        made["kerf"] = draw.choice((0.5, 1, 2))
    if draw.chance(0.5):
        made["trim"] = {"start": draw.choice((3, 5)), "end": draw.choice((3, 5))}
    if draw.chance(0.2):
        made["tolerance"] = {"length": 1, "height": draw.choice((1, 3))}
    return made


def cuts_request(draw: Draw) -> Body:
    """A block and how it is cut."""
    made = {"block": {"length": draw.about(180, 420), "width": draw.about(70, 320), "height": draw.about(40, 80)},
            **cut(draw, loaves=True)}
    if draw.chance(0.7):
        made["density"] = draw.about(0.97, 1.04)
        if draw.chance(0.5):
            made["expected_loss_pct"] = draw.about(4, 14)
        if draw.chance(0.3):
            made["bar"] = {"mass": draw.about(80, 140)}
    if draw.chance(0.2):
        made |= {"planing": 1, "bevel": draw.choice((1, 2))}
    return made


def batch(draw: Draw) -> Body:
    """A whole batch, sized to its mould."""
    own, cavity = own_fats(draw), mould(draw)
    coloured_by_fade = draw.chance(0.15)
    made: Body = {"recipe": recipe(draw, own, by_share=True), "mould": cavity, **around(draw, own)}
    if draw.chance(0.85):
        made |= poured(draw, cavity, coloured_by_fade=coloured_by_fade)
        if coloured_by_fade:
            colourant: Body = {"name": "madder", "inci": "CI 75330"}
            made["fade"] = {**_fade(draw), "colourant": colourant, "carry_over": draw.chance(0.5)}
            for one in made["portions"]:
                one.pop("borrows", None)
    if draw.chance(0.7) and cavity["shape"] in (*BLOCKS, "half_round", "lying_cylinder", "cylinder", "prism"):
        made["cut"] = cut(draw, loaves=cavity["shape"] in BLOCKS)
    if draw.chance(0.2):
        made["resolved"] = True
    if draw.chance(0.1):
        made["batch_number"] = f"B-{draw.randint(1, 99)}"
    return made
