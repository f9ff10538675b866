"""Batches whose weigh lists have every kind of row, and batches drawn at random."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as some
from kettlewright.api.document import openapi

BOX: dict[str, Any] = {"shape": "box", "length": 250, "width": 80, "depth": 70}
CARRIERS: list[dict[str, Any]] = [
    {"carrier": "oil", "fat": "olive"}, {"carrier": "oil", "fat": "own_press"}, {"carrier": "water"},
    {"carrier": "glycerol"}, {"carrier": "oil", "saponification_value": {"min": 185, "max": 190}}]
OWN = [{"key": "own_press", "name": "sunflower, own press", "saponification_value": {"min": 188, "max": 194}}]


def addition(name: str, kind: str = "colourant", dose: float = 2.0, **more: Any) -> dict[str, Any]:
    return {"name": name, "kind": kind, "dose": dose, "basis": "g_per_kg_batter", **more}


EVERYTHING: dict[str, Any] = {
    "recipe": {
        "fats": [{"fat": "olive", "share_pct": 40, "lot": "A"}, {"fat": "olive", "share_pct": 30, "lot": "B"},
                 {"fat": "own_press", "share_pct": 30}],
        "superfat_pct": 6, "water": {"water_to_alkali": 3, "ice_pct": 40},
        "alkalis": [{"alkali": "NaOH", "share_pct": 80, "stock": {"concentration_pct": 50}, "lot": "N-1"},
                    {"alkali": "KOH", "share_pct": 20, "purity_at_least_pct": 85}],
        "acids": [{"acid": "acetic", "pct_of_fats": 2, "strength_pct": 5},
                  {"acid": "lactic", "pct_of_fats": 1, "strength_pct": 80},
                  {"acid": "stearic", "pct_of_fats": 2, "strength_pct": 95},
                  {"acid": "citric_anhydrous", "pct_of_fats": 0.5}],
        "liquids": [{"name": "goat milk", "pct_of_fats": 5, "water_pct": 87, "fat_pct": 4, "fat": "olive",
                     "frozen": True}, {"name": "oat water", "pct_of_fats": 4, "water_pct": 98}]},
    "own_fats": OWN, "mould": BOX, "residue": {"pot": 5, "portion": 2, "kept_back": 40}, "expected_loss_pct": 8,
    "additions": [addition("red", dispersion={"strength_pct": 20, **CARRIERS[0]}, lot="R-1"),
                  addition("mist", "spray"), addition("sea salt", "salt", 5, lot="S-1"),
                  addition("dye in water", contains={"water_pct": 60, "fat_pct": 12.5, "fat": "own_press"})],
    "portions": [
        {"name": "red", "share_pct": 50, "dusting": {"name": "red", "coverage": 30},
         "additions": [addition("red", dispersion={"strength_pct": 20, **CARRIERS[0]}, lot="R-1"),
                       addition("blue", dispersion={"strength_pct": 12.5, **CARRIERS[1]})]},
        {"name": "blue", "share_pct": 30, "borrows": [{"from": "red", "share_pct": 10}],
         "additions": [addition("mist", "spray"), addition("gloss", dispersion={"strength_pct": 10, **CARRIERS[3]})]},
        {"name": "jug", "share_pct": 20,
         "additions": [addition("fog", "spray", dispersion={"strength_pct": 5, **CARRIERS[2]}),
                       addition("plum", dispersion={"strength_pct": 30, **CARRIERS[4]})]}]}

EXAMPLES: dict[str, dict[str, Any]] = {example["title"]: example["body"] for example in openapi.examples_of("batches")}
IN_THREE_MIXES = {**EVERYTHING, "pot_volume": 800}
WHOLE: dict[str, dict[str, Any]] = {"every kind of row": EVERYTHING, "in three mixes": IN_THREE_MIXES, **EXAMPLES}

def in_ounces(body: dict[str, Any]) -> dict[str, Any]:
    """About the same batch in ounces; its label, which promises grams, stays out."""
    left = {name: value for name, value in body.items() if name != "label"}
    return {**left, "units": {"mass": "oz", "dose": "oz"},
            "residue": {name: mass / 28 for name, mass in body.get("residue", {}).items()}}


_PARTS = some.sampled_from([5.0, 12.5, 20.0, 33.0, 50.0])


@some.composite
def _additions(draw: some.DrawFn, names: tuple[str, ...]) -> list[dict[str, Any]]:
    found = []
    for name in names:
        if not draw(some.booleans()):
            continue
        how = draw(some.sampled_from(["plain", "spray", "dispersed", "water", "oil"]))
        more: dict[str, Any] = {"lot": f"L-{name}"} if draw(some.booleans()) else {}
        if how == "dispersed":
            # one jar a name: the same dispersion wherever the name is used
            more["dispersion"] = {"strength_pct": 25, **CARRIERS[len(name) % len(CARRIERS)]}
            more.pop("lot", None)
        elif how == "water":
            more["contains"] = {"water_pct": draw(_PARTS)}
        elif how == "oil":
            more["contains"] = {"fat_pct": draw(_PARTS), "fat": draw(some.sampled_from(["olive", "own_press"]))}
        found.append(addition(f"{name} {how}", "spray" if how == "spray" else "colourant",
                              draw(some.sampled_from([0.02, 0.7, 4.0])), **more))
    return found


@some.composite
def _alkalis(draw: some.DrawFn) -> list[dict[str, Any]]:
    strengths: list[dict[str, Any]] = [{"purity_pct": 98.5}, {"purity_at_least_pct": 90},
                                       {"stock": {"concentration_pct": 45.5}}, {}]
    keys = draw(some.sampled_from([("NaOH",), ("KOH",), ("NaOH", "KOH")]))
    return [{"alkali": key, "share_pct": 100 / len(keys),
             **draw(some.sampled_from(strengths[:3] if key == "KOH" else strengths))} for key in keys]


@some.composite
def batches(draw: some.DrawFn) -> dict[str, Any]:
    """A batch sized to its mould: stocks, acids, ice, liquids, jars, sprays, powder, what is kept back and lent."""
    names = draw(some.lists(some.sampled_from(["a", "bb", "ccc", "water", "olive"]), min_size=1, max_size=3,
                            unique=True))
    portions: list[dict[str, Any]] = []
    for place, name in enumerate(names):
        part: dict[str, Any] = {"name": name, "share_pct": 100 / len(names),
                                "additions": draw(_additions(("a", "bb", "water")))}
        if draw(some.booleans()):
            part["dusting"] = {"name": draw(some.sampled_from(["a", "mica"])), "coverage": draw(_PARTS)}
        if place and draw(some.booleans()):
            part["borrows"] = [{"from": names[place - 1], "share_pct": 20}]
        portions.append(part)
    acids = [{"acid": key, "pct_of_fats": 1, "strength_pct": draw(some.sampled_from([5, 15, 15.5, 80, 90, 99, 100]))}
             for key in ("acetic", "lactic", "stearic") if draw(some.booleans())]
    liquids = [{"name": name, "pct_of_fats": 3, "water_pct": 90, "frozen": draw(some.booleans())}
               for name in ("goat milk", "water") if draw(some.booleans())]
    return {
        "recipe": {"fats": [{"fat": "olive", "share_pct": 60}, {"fat": "own_press", "share_pct": 40}],
                   "superfat_pct": 6, "alkalis": draw(_alkalis()), "acids": acids, "liquids": liquids,
                   "water": {"water_to_alkali": 3, "ice_pct": draw(some.sampled_from([0, 30, 100]))}},
        "own_fats": OWN, "mould": BOX, "portions": portions, "additions": draw(_additions(("a", "bb", "sky"))),
        "residue": {"kept_back": draw(some.sampled_from([0, 25.0]))}}
