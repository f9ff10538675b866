"""Invented batches whose paper is printed and looked at: one for each kind of work at the bench."""

from __future__ import annotations

from typing import Any

__all__ = ["SHOWN"]

_SCENT = {"name": "fig and cedar", "kind": "fragrance", "dose": 2.4, "basis": "pct_of_fats", "limit_pct": 3.0,
          "density": 0.94, "lot": "FC-2"}
_NAOH = [{"alkali": "NaOH", "purity_at_least_pct": 98, "lot": "N-26"}]
_DAYS = {"unmould_days": 1, "cure_days": 42, "packing_days": 3}

_LOAF: dict[str, Any] = {
    "recipe": {"fats": [{"fat": "olive", "share_pct": 70}, {"fat": "coconut", "share_pct": 30}], "superfat_pct": 5,
               "alkalis": [{"alkali": "NaOH"}], "water": {"water_to_alkali": 2}},
    "mould": {"shape": "box", "length": 250, "width": 80, "depth": 80, "headspace": 5},
    "residue": {"pot": 10}, "expected_loss_pct": 11, "cut": {"bar": {"thickness": 25}, "kerf": 1},
    "additions": [{"name": "lavender", "kind": "fragrance", "dose": 2.5, "basis": "pct_of_fats", "limit_pct": 3.1}],
    "dates": {"pour": "2027-02-01", **_DAYS}}

_TINTS = {"t1 midnight": "#1d2440", "t2 harbour": "#2f4a6d", "t3 tide": "#4f7593", "t4 mist": "#8aa7b8",
          "t5 shell": "#c3cfd3", "t6 sand": "#e5dcc8"}
_POWDER = {"name": "charcoal powder", "coverage": 25, "colour": "#2b2b2b"}
_SLAB: dict[str, Any] = {
    "title": "Blue Hour", "maker": "A. Example", "batch_number": "BH-27-01",
    "notes": ["Line the slab mould first; the charcoal line goes on t3 only.", "Invented example."],
    "recipe": {"fats": [{"fat": "olive", "share_pct": 55, "lot": "OL-118"},
                        {"fat": "coconut", "share_pct": 25, "lot": "CO-07"},
                        {"fat": "shea", "share_pct": 15, "lot": "S-12"}, {"fat": "castor", "share_pct": 5}],
               "superfat_pct": 6, "alkalis": _NAOH, "water": {"water_to_alkali": 2.1},
               "temperatures": {"water": 8, "fats": 36, "pour": 37}},
    "mould": {"shape": "box", "length": 400, "width": 300, "depth": 70, "liner": 1, "headspace": 5},
    "residue": {"pot": 15, "portion": 4}, "expected_loss_pct": 11,
    "portions": [*({"name": name, "share_pct": 14, "colour": colour, "additions": [_SCENT],
                    **({"dusting": _POWDER} if name == "t3 tide" else {})} for name, colour in _TINTS.items()),
                 {"name": "cover", "share_pct": 16, "colour": "#f4efe4", "additions": [
                     {"name": "kaolin clay", "kind": "clay", "dose": 8, "basis": "g_per_kg_batter", "lot": "K-1",
                      "dispersion": {"carrier": "water", "strength_pct": 30}}]}],
    "fade": {"colourant": {"name": "indigo", "inci": "CI 73000",
                           "dispersion": {"carrier": "oil", "strength_pct": 20, "fat": "sunflower"}},
             "kind": "plant", "lightest_dose": 0.6, "portions": list(_TINTS),
             "swatches": [{"dose": 0, "colour": "#efe6d6"}, {"dose": 2, "colour": "#a9b7bd"},
                          {"dose": 5, "colour": "#6f8ba0"}, {"dose": 12, "colour": "#3a5573"},
                          {"dose": 20, "colour": "#22324f"}]},
    "cut": {"loaf": {"width": 92}, "bar": {"thickness": 26}, "kerf": 1, "trim": {"start": 4, "end": 4}},
    "dates": {"release": "2027-03-20", **_DAYS}}

_TUBES: dict[str, Any] = {
    "title": "Ember Rounds", "batch_number": "ER-27-02",
    "recipe": {"fats": [{"fat": "olive", "share_pct": 70}, {"fat": "coconut", "share_pct": 22},
                        {"fat": "cocoa_butter", "share_pct": 8}], "superfat_pct": 7,
               "alkalis": [{"alkali": "NaOH", "share_pct": 90, "purity_pct": 99},
                           {"alkali": "KOH", "share_pct": 10, "purity_at_least_pct": 85}],
               "water": {"lye_concentration_pct": 32}},
    "mould": {"shape": "cylinder", "diameter": 74, "depth": 240, "headspace": 10, "liner": 0.5, "count": 3},
    "residue": {"pot": 10}, "expected_loss_pct": 11,
    "portions": [{"name": "oat", "share_pct": 60, "colour": "#d8c39c"},
                 {"name": "charred oat", "share_pct": 40, "colour": "#54483d", "additions": [
                     {"name": "black iron oxide", "kind": "colourant", "dose": 4, "basis": "g_per_kg_batter",
                      "inci": "CI 77499"}]}],
    "cut": {"bar": {"thickness": 25}, "kerf": 1}, "dates": {"pour": "2027-02-08", **_DAYS}}

_MILK: dict[str, Any] = {
    "title": "Dawn Milk", "maker": "A. Example", "batch_number": "DM-27-03",
    "notes": ["Weigh the milk, freeze it in small cubes, then add the alkali over half an hour."],
    "units": {"mass": "oz", "dose": "oz", "length": "in", "temperature": "degF", "volume": "us_fl_oz"},
    "recipe": {"fats": [{"fat": "olive", "share_pct": 60}, {"fat": "coconut", "share_pct": 25},
                        {"fat": "shea", "share_pct": 15}], "superfat_pct": 5, "alkalis": _NAOH,
               "water": {"water_pct_of_fats": 33},
               "liquids": [{"name": "goat milk", "rest_of_water": True, "water_pct": 87, "fat_pct": 4,
                            "fat": "butterfat", "frozen": True, "lot": "GM-5"}],
               "temperatures": {"fats": 90}},
    "mould": {"shape": "box", "length": 3, "width": 2, "depth": 1.5, "headspace": 0.1, "count": 12},
    "residue": {"pot": 0.4}, "expected_loss_pct": 12,
    "additions": [{"name": "honey", "kind": "sugar", "dose": 2, "basis": "pct_of_fats", "lot": "H-9"},
                  {"name": "oat flour", "kind": "exfoliant", "dose": 1.5, "basis": "pct_of_fats"}],
    "dates": {"pour": "2027-02-15", **_DAYS}}

SHOWN: dict[str, dict[str, Any]] = {
    "a plain loaf": _LOAF, "a slab of seven buckets with fade, powder and cover": _SLAB, "three tubes": _TUBES,
    "frozen milk in cavities, in ounces": _MILK}
"""Bodies of /v1/batches, by title. [requests]"""
