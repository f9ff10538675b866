"""Large bodies of recipes and whole batches, from settings of knobs."""

from __future__ import annotations

import random
from typing import Any

from kettlewright.pour import SHAPES
from kettlewright.reference.allergen_lists import allergens
from kettlewright.reference.fats import fats

from siege.knobs import Body, Knob, Settings, choice, real, whole

__all__ = ["BATCH_KNOBS", "RECIPE_KNOBS", "batch_of", "mould_of", "portions_of", "recipe_of"]

FATS = sorted(fats())
ALLERGENS = sorted({entry.label_name for entry in allergens().values()})
KINDS = ("other", "clay", "fragrance", "colourant", "exfoliant")
FATTY = ("C8:0", "C10:0", "C12:0", "C14:0", "C16:0", "C18:0", "C18:1", "C18:2")

RECIPE_KNOBS: dict[str, Knob] = {
    "fats": whole(1, 60), "own": choice("table", "range", "profile"), "alkalis": whole(1, 2),
    "liquids": whole(0, 20), "acids": whole(0, 4), "floor": choice(False, True), "workings": choice(False, True),
    "own_fats": choice(0, 20, 200), "step": choice(1.0, 0.001, 1e-9), "water": real(1.0, 4.0)}


def _fat(i: int, s: Settings, by: dict[str, float]) -> Body:
    if s["own"] == "table" and i < len(FATS):
        return {"fat": FATS[i], **by}
    if s["own"] == "profile":
        acids = [{"fatty_acid": acid, "share_pct": 100 / len(FATTY)} for acid in FATTY]
        return {"name": f"fat {i}", "profile": {"fatty_acids": acids}, **by}
    return {"name": f"fat {i}", "saponification_value": {"min": 185, "max": 192 + i % 7}, **by}


def recipe_of(s: Settings, *, by_share: bool = True) -> Body:
    """A recipe (`s`: settings; `by_share`: else by mass)."""
    count = s["fats"]
    shares = [float(f"{100 / count:.9g}")] * count
    shares[-1] += 100 - sum(shares)
    alkalis: list[Body] = [{"alkali": "NaOH", "purity_pct": 98}]
    if s["alkalis"] == 2:
        alkalis = [{"alkali": "NaOH", "purity_pct": 98, "share_pct": 60},
                   {"alkali": "KOH", "purity_pct": 90, "share_pct": 40}]
    found: Body = {
        "fats": [_fat(i, s, {"share_pct": shares[i]} if by_share else {"mass": 1000 / count}) for i in range(count)],
        "superfat_at_least_pct" if s["floor"] else "superfat_pct": 3, "alkalis": alkalis,
        "water": {"water_to_alkali": s["water"]}, "temperatures": {"water": 20, "fats": 38}}
    if s["liquids"]:
        found["liquids"] = [{"name": f"tea {i}", "pct_of_fats": 0.5, "water_pct": 90, "fat_pct": 4, "fat": "butterfat"}
                            if i % 2 else {"name": f"tea {i}", "pct_of_fats": 0.4, "water_pct": 95}
                            for i in range(s["liquids"])]
    if s["acids"]:
        names = ("citric_anhydrous", "citric_monohydrate", "lactic", "acetic")
        found["acids"] = [{"acid": name, "pct_of_fats": 0.3} for name in names[:s["acids"]]]
    return found


def _around(s: Settings) -> Body:
    more: Body = {"scale": {"readability": s["step"], "alkali_readability": min(s["step"], 0.1),
                            "dose_readability": min(s["step"], 0.1)}}
    if s["workings"]:
        more["workings"] = True
    if s["own_fats"]:
        more["own_fats"] = [{"key": f"mine_{i}", "name": f"own fat {i}", "saponification_value": {"min": 185,
                                                                                                  "max": 192}}
                            for i in range(s["own_fats"])]
    return more


def lye_of(s: Settings) -> Body:
    """A body of /v1/lye (`s`)."""
    return {**recipe_of(s, by_share=False), **_around(s)}


MOULD_KNOBS: dict[str, Knob] = {
    "shape": choice("box", "box", "trough", *SHAPES), "size": real(0.2, 2.5), "count": choice(1, 1, 6, 100)}


def mould_of(s: Settings) -> Body:
    """A mould (`s`)."""
    shape = SHAPES[s["shape"]]
    size: Body = {}
    for one in shape.dimensions:
        if one.required or one.name == "side_mm":
            plain = one.measure == "sides"
            size[one.name.removesuffix("_mm").removesuffix("_ml")] = one.example if plain else float(
                f"{one.example * s['size']:.4g}")
    return {"shape": s["shape"], **size, "count": s["count"]}


PORTION_KNOBS: dict[str, Knob] = {
    "portions": whole(1, 60), "additions": whole(0, 40), "pot_additions": whole(0, 40), "borrows": whole(0, 10),
    "dusting": choice(False, True), "limit": choice(0, 2.5, 0.5, 0.01), "kind": choice(*KINDS), "dose": real(1e-5, 1),
    "allergens": choice(0, 5, 80), "dispersion": choice(False, True), "distinct": choice(False, True),
    "arrangement": choice("layers", "columns", "mingled", "separate"), "loss": choice(None, 5, 11),
    "residue": choice(0, 2), "basis": choice("pct_of_fats", "g_per_kg_batter", "mass")}


def _addition(name: str, s: Settings) -> Body:
    found: Body = {"name": name, "kind": s["kind"], "dose": s["dose"], "basis": s["basis"]}
    if s["limit"]:
        found["limit_pct"] = s["limit"]
    if s["kind"] == "fragrance" and s["allergens"]:
        each = min(1.0, 90 / s["allergens"])
        found["allergens"] = [{"name": one, "pct": each} for one in ALLERGENS[:s["allergens"]]]
    elif s["dispersion"]:
        found["dispersion"] = {"carrier": "oil", "strength_pct": 25, "fat": "sunflower"}
    return found


def portions_of(s: Settings) -> Body:
    """Portions and what goes into them (`s`)."""
    count = s["portions"]
    shares = [float(f"{100 / count:.9g}")] * count
    shares[-1] += 100 - sum(shares)
    portions: list[Body] = []
    for i in range(count):
        one: Body = {"name": f"p{i}", "share_pct": shares[i], "colour": f"#{100 + i:02x}8060"}
        if s["additions"]:
            one["additions"] = [_addition(f"x{j}" + (f" {i}" if s["distinct"] else ""), s)
                                for j in range(s["additions"])]
        if s["borrows"] and i:
            lenders = range(max(i - s["borrows"], 0), i)
            one["borrows"] = [{"from": f"p{j}", "share_pct": 30 / len(lenders)} for j in lenders]
        if s["dusting"]:
            one["dusting"] = {"name": f"powder {i}" if s["distinct"] else "powder", "coverage": 1}
        portions.append(one)
    found: Body = {"portions": portions, "arrangement": s["arrangement"], "residue": {"pot": s["residue"],
                                                                                      "portion": s["residue"] / 10}}
    if s["pot_additions"]:
        found["additions"] = [_addition(f"pot {j}", s) for j in range(s["pot_additions"])]
    if s["loss"] is not None:
        found["expected_loss_pct"] = s["loss"]
    return found


CUT_KNOBS: dict[str, Knob] = {
    "cut": choice(False, True, True), "loaf": real(1, 150), "bar": real(1, 100), "kerf": choice(0, 1),
    "finish": choice(0, 0.1), "trim": choice(0, 0.5)}


def cut_of(s: Settings) -> Body:
    """A cut (`s`)."""
    found: Body = {"loaf": {"width": s["loaf"]}, "bar": {"thickness": s["bar"]}, "kerf": s["kerf"] * s["bar"] / 50,
                   "trim": {"start": s["trim"], "end": s["trim"]}}
    if s["finish"]:
        found |= {"planing": s["finish"], "bevel": s["finish"]}
    return found


BATCH_KNOBS: dict[str, Knob] = {**RECIPE_KNOBS, **MOULD_KNOBS, **PORTION_KNOBS, **CUT_KNOBS,
                                "pot": choice(None, 500, 20_000), "fade": choice(False, False, True)}


def batch_of(s: Settings) -> Body | None:
    """A whole batch (`s`)."""
    found = {"recipe": recipe_of(s), "mould": mould_of(s), **portions_of(s), **_around(s)}
    if s["cut"]:
        found["cut"] = cut_of(s)
        if found["mould"]["shape"] not in ("box", "trough", "tapered_box"):
            del found["cut"]["loaf"]
    if s["pot"]:
        found["pot_volume"] = s["pot"]
    if s["fade"] and not s["borrows"] and 2 <= s["portions"] <= 40:
        found["fade"] = fade_of(40)
    return found


def fade_of(swatches: int) -> Body:
    """A fade of a batch (`swatches`: how many)."""
    rng = random.Random(1)
    made: list[dict[str, Any]] = [{"dose": i, "lab": {"lightness": 90 - 1.5 * i + rng.uniform(-0.4, 0.4),
                                                      "a": 2 + 0.4 * i, "b": 10 + 0.3 * i}} for i in range(swatches)]
    return {"colourant": {"name": "madder"}, "kind": "plant", "swatches": made}
