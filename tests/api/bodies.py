"""Right bodies that a test spoils in one place."""

from __future__ import annotations

import copy
from typing import Any

LYE: dict[str, Any] = {
    "fats": [{"fat": "olive", "mass": 700}, {"fat": "coconut", "mass": 300}], "superfat_pct": 5,
    "alkalis": [{"alkali": "NaOH", "purity_pct": 98}], "water": {"water_to_alkali": 2}}
BY_SHARE: dict[str, Any] = {**LYE, "fats": [{"fat": "olive", "share_pct": 70}, {"fat": "coconut", "share_pct": 30}]}
BOX: dict[str, Any] = {"shape": "box", "length": 380, "width": 260, "depth": 60, "headspace": 6}
PORTIONS: dict[str, Any] = {
    "batter": {"mass": 5000, "density": 1.0, "fats_mass": 3500},
    "portions": [{"name": "red", "share_pct": 40}, {"name": "plain", "share_pct": 60}]}
CUTS: dict[str, Any] = {"block": {"length": 400, "width": 320, "height": 60}, "loaf": {"width": 75},
                        "bar": {"thickness": 25}, "kerf": 1, "trim": {"start": 4, "end": 4}}
BATCH: dict[str, Any] = {"recipe": BY_SHARE, "mould": BOX}
OWN = [{"key": "own_shea", "name": "shea, village press", "certificate": {"value": 181, "date": "2026-09-30"},
        "density": 0.9, "price": {"amount": "11.50", "currency": "EUR", "per_mass": 1000}},
       {"key": "own_olive", "profile": {"fatty_acids": [{"fatty_acid": "C18:1", "share_pct": 75},
                                                        {"fatty_acid": "C16:0", "share_pct": 15},
                                                        {"fatty_acid": "C18:2", "share_pct": 10}]}}]
REPLACED: dict[str, Any] = {
    "recipe": {**LYE, "fats": [{"fat": "olive", "mass": 500}, {"fat": "coconut", "mass": 300},
                               {"fat": "palm", "mass": 200}]},
    "objective": {"kind": "replace", "fat": "palm"}}



def changed(body: dict[str, Any], pointer: str, value: Any) -> dict[str, Any]:
    """The body with one value set (or, given `...`, left out) at a JSON Pointer."""
    made = copy.deepcopy(body)
    *way, last = pointer.strip("/").split("/")
    node: Any = made
    for part in way:
        node = node[int(part) if isinstance(node, list) else part]
    if value is ...:
        del node[last]
    elif isinstance(node, list) and last == "-":
        node.append(value)
    else:
        node[int(last) if isinstance(node, list) else last] = value
    return made
