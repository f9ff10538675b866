"""Every next action with a figure, followed to the letter and reported, leads to what it promised.

The figures are read from the sentence a person reads, in the units and the language of the request, and put on the
scale; `KETTLEWRIGHT_ADVICE_CASES` sets how many batches are tried.
"""

from __future__ import annotations

import os
import re
from typing import Any

import pytest
from flask.testing import FlaskClient
from hypothesis import given, settings
from hypothesis import strategies as st
from kettlewright.app import create_app

CASES = int(os.environ.get("KETTLEWRIGHT_ADVICE_CASES", "150"))
CLIENT: FlaskClient = create_app().test_client()
OUNCE = 28.349523125
MASS = r"(\d+(?:[.,]\d+)?) (?:g|oz)"
SAYS = {
    "en": {"part": rf"Use {MASS} of the", "stir_in": rf"stir in {MASS} of", "weigh": r"the pot weigh (.+?); alkali",
           "anew": r"what lies in the pot: (.+?)\. Goggles", "water": rf"in {MASS} of cold water",
           "missing": r"the missing (.+?)(?:, cold,)? in(?:to)?\b"},
    "de": {"part": rf"nur {MASS} und", "stir_in": rf"flüssig ist, {MASS} ",
           "weigh": r"wiegen Sie ab: (.+?)\. Das Alkali",
           "anew": r"neue Lauge an: (.+?)\. Schutz", "water": rf"in {MASS} kaltem Wasser",
           "missing": r"das Fehlende \((.+?)\) (?:in|nach|kalt|langsam)\b"}}
FATS = {"olive": "olive oil (virgin, refined)", "coconut": "coconut oil", "shea": "shea butter, unrefined"}


@st.composite
def batches(draw: st.DrawFn) -> dict[str, Any]:
    ounces = draw(st.booleans())
    grams = st.integers(50, 900).map(float)
    fats = [{"fat": fat, "mass": round(draw(grams) / (OUNCE if ounces else 1), 2)} for fat in FATS]
    alkali = draw(st.sampled_from([{"alkali": "NaOH", "purity_pct": 98}, {"alkali": "KOH", "purity_pct": 90},
                                   {"alkali": "NaOH", "purity_at_least_pct": 97},
                                   {"alkali": "NaOH", "stock": {"concentration_pct": 50}}]))
    recipe = {"fats": fats, "alkalis": [alkali], "water": {"water_to_alkali": draw(st.sampled_from([1.4, 2, 2.5]))},
              **draw(st.sampled_from([{"superfat_pct": 3}, {"superfat_pct": 6}, {"superfat_at_least_pct": 1}]))}
    if draw(st.booleans()):
        recipe["acids"] = [{"acid": "citric_anhydrous", "pct_of_fats": 1}]
    return {"recipe": recipe, "mould": {"shape": "box", "length": 40, "width": 30, "depth": 10},
            "units": {"mass": "oz" if ounces else "g", "dose": draw(st.sampled_from(["g", "oz"])), "length": "cm"},
            **({"additions": [{"name": "warm oil", "kind": "other", "dose": 3, "basis": "pct_of_fats",
                               "contains": {"fat_pct": 100, "fat": "olive"}}]} if draw(st.booleans()) else {})}


class Bench:
    """A batch, and what was weighed of it so far."""

    def __init__(self, plan: dict[str, Any], locale: str) -> None:
        self.plan, self.locale = plan, locale
        reply = CLIENT.post("/v1/batches", json=plan).json
        self.identity = reply["identity"]
        self.rows = {(row["where"], row["kind"], row["key"]): row for row in reply["weigh_list"]
                     if row["where"] in ("jug", "pot")}
        self.weighed: dict[tuple[str, str, str], float] = {}
        self.lye: float | None = None

    def actuals(self, stage: str) -> dict[str, Any]:
        sent = [{"where": where, "kind": kind, "key": key, "mass": mass}
                for (where, kind, key), mass in self.weighed.items() if stage in self.stages_of(where, kind)]
        if stage == "in_pot" and self.lye is not None:
            sent.append({"where": "pot", "key": "lye", "mass": self.lye})
        found = CLIENT.post("/v1/batches/actuals", json={
            "plan": self.plan, "identity": self.identity, "stage": stage, "weighed": sent, "locale": self.locale})
        assert found.status_code == 200, found.json
        return found.json

    @staticmethod
    def stages_of(where: str, kind: str) -> tuple[str, ...]:
        if where == "jug":
            return ("lye_made", "in_pot")
        return ("in_pot",) if kind in ("addition", "dispersion") else ("fats", "lye_made", "in_pot")

    def add(self, row: tuple[str, str, str], mass: float) -> None:
        self.weighed[row] = round(self.weighed.get(row, self.rows[row]["weigh"]) + mass, 9)


def number(text: str) -> float:
    return float(text.replace(",", "."))


def said(bench: Bench, what: str, text: str) -> list[float]:
    """The masses of a sentence of the next action."""
    found = re.search(SAYS[bench.locale][what], text)
    assert found, (what, text)
    if what in ("part", "stir_in", "water"):
        return [number(found[1])]
    # of "147.2 g of sodium hydroxide (planned 158.1 g)" the first
    return [number(one) for one in re.findall(MASS, re.sub(r"\((?:planned|geplant)[^)]*\)", "", found[1]))]


def obey(bench: Bench, stage: str, reply: dict[str, Any]) -> tuple[str, set[str]] | None:
    """Do what the next action says; then the stage, and what may come next."""
    action = reply["next_action"]
    first = action["text"].split("If you cannot")[0].split("Wenn Sie das nicht")[0]
    if action.get("missing"):
        masses = [one for found in re.findall(SAYS[bench.locale]["missing"], first)
                  for one in re.findall(MASS, found)]
        assert sorted(map(number, masses)) == pytest.approx(
            sorted(one["put_in"] for one in action["missing"]), rel=1e-6), first
        for one in action["missing"]:
            bench.add((one["where"], one["kind"], one["key"]), one["put_in"])
        if stage == "in_pot" and any(one["kind"] == "alkali" for one in action["missing"]):
            bench.add(("jug", "water", "water"), *said(bench, "water", first))
        return stage, {"pour"} if stage == "in_pot" else {"go_on"}
    if action["what"] in ("add_fat", "do_not_pour") and action["key"]:
        bench.add(("pot", "fat", action["key"]), *said(bench, "stir_in", first))
        return stage, {"pour"}
    if action["what"] == "use_part_of_lye":
        bench.lye = said(bench, "part", first)[0]
        # a superfat asked that is thin may still want fat in the pot
        return "in_pot", {"pour", "add_fat"}
    if action["what"] in ("weigh", "make_lye_anew"):
        jug = [row for row in reply["still_to_weigh"] if row["where"] == "jug"]
        told = said(bench, "weigh" if action["what"] == "weigh" else "anew", first)
        named = [row["weigh"] for row in jug if row["kind"] in ("alkali", "stock", "water")]
        assert sorted(told) == pytest.approx(sorted(named), rel=1e-6)
        for row in jug:
            bench.weighed[row["where"], row["kind"], row["key"]] = row["weigh"]
        return "lye_made", {"go_on"}
    return None


@settings(max_examples=CASES)
@given(batches(), st.sampled_from(["en", "de"]), st.sampled_from(["fats", "lye_made", "in_pot"]), st.data())
def test_advice_that_is_followed_keeps_its_promise(plan: dict[str, Any], locale: str, stage: str,
                                                   data: st.DataObject) -> None:
    bench = Bench(plan, locale)
    for row, planned in bench.rows.items():
        if stage in bench.stages_of(row[0], row[1]) and data.draw(st.booleans(), label=f"{row} reported"):
            part = data.draw(st.sampled_from([0.0, 0.0, 0.5, 0.9, 0.98, 1.0, 1.0, 1.0, 1.02, 1.1]))
            step = planned["step"]
            bench.weighed[row] = round(round(planned["weigh"] * part / step) * step, 9)
    fats = [row for row in bench.rows if row[1] == "fat"]
    if all(bench.weighed.get(row) == 0 for row in fats):
        bench.weighed.pop(fats[0])
    jug = [row for row in bench.rows if row[0] == "jug" and row[1] != "acid"]
    if all(bench.weighed.get(row) == 0 for row in jug):
        bench.weighed.pop(jug[0])
    reply = bench.actuals(stage)
    promised = obey(bench, stage, reply)
    if promised is None:
        return
    then, allowed = promised
    now = bench.actuals(then)
    # what was forgotten besides may still be put in, but need not be
    whats = {now["next_action"]["what"], now["next_action"].get("otherwise", {}).get("what")}
    assert whats & allowed, (reply["next_action"], now["next_action"])
    after = reply["after"]["superfat"] if "after" in reply else reply["as_weighed"]["superfat"]
    for kind in ("likely_pct", "worst_case_pct"):
        assert now["as_weighed"]["superfat"][kind] == pytest.approx(after[kind], abs=1e-4)
    assert now["as_weighed"]["superfat"]["achieved_pct"] == pytest.approx(after["achieved_pct"], abs=1e-4)
