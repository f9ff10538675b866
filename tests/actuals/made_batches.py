"""A batch as it was made: its plan, its weighings, its record as a reply and as a page."""

from __future__ import annotations

from typing import Any

from kettlewright.app import create_app

CLIENT = create_app().test_client()
PRICE = {"amount": "6.40", "currency": "EUR", "per_mass": 1000}
PLAN: dict[str, Any] = {
    "recipe": {"fats": [{"fat": "olive", "share_pct": 70, "lot": "O-3"}, {"fat": "coconut", "share_pct": 30}],
               "superfat_pct": 5, "alkalis": [{"alkali": "NaOH", "purity_pct": 98}], "water": {"water_to_alkali": 2}},
    "mould": {"shape": "box", "length": 250, "width": 80, "depth": 80, "headspace": 5}, "expected_loss_pct": 11,
    "additions": [{"name": "lavender", "kind": "fragrance", "dose": 2, "basis": "pct_of_fats",
                   "allergens": [{"name": "Linalool", "pct": 1.0}]}],
    "cut": {"bar": {"thickness": 25}, "kerf": 1}, "batch_number": "KD-27-03", "dates": {"pour": "2027-02-01"},
    "label": {"market": "EU", "sold_on": "2027-03-20"},
    "prices": {"ingredients": [{"key": key, "price": PRICE} for key in ("olive", "coconut", "NaOH", "water",
                                                                        "lavender")]}}
WHO = {"made_on": "2027-02-02", "made_by": "A. Example", "checked_by": "B. Example",
       "corrections": [{"what": "Stirred in 22 g of coconut oil.", "reason": "9 g of NaOH too much."}]}


def planned(plan: dict[str, Any]) -> dict[str, Any]:
    found: dict[str, Any] = CLIENT.post("/v1/batches", json=plan).json
    return found


def body_of(plan: dict[str, Any] = PLAN, *, factors: dict[str, float] | None = None, stage: str = "cut",
            leave_out: str = "", **more: Any) -> dict[str, Any]:
    made = planned(plan)
    rows = [{name: row[name] for name in ("where", "portion", "kind", "key", "lot") if name in row}
            | {"mass": row["weigh"] * (factors or {}).get(row["key"], 1.0)}
            for row in made["weigh_list"] if row["key"] != leave_out and not (
                stage == "in_pot" and row["where"] not in ("jug", "pot"))]
    return {"plan": plan, "identity": made["identity"], "stage": stage, "weighed": rows, "record": WHO, **more}


def reply(body: dict[str, Any]) -> dict[str, Any]:
    got = CLIENT.post("/v1/batches/actuals", json=body)
    assert got.status_code == 200, got.text
    found: dict[str, Any] = got.json
    return found


def page(body: dict[str, Any]) -> str:
    got = CLIENT.post("/v1/batches/actuals?format=html", json=body)
    assert got.status_code == 200, got.text
    return got.text
