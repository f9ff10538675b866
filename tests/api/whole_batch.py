"""A batch from the recipe to its sale, and its reply."""

from __future__ import annotations

from typing import Any

from flask.testing import FlaskClient

BATCH: dict[str, Any] = {
    "recipe": {"fats": [{"fat": "olive", "share_pct": 70}, {"fat": "coconut", "share_pct": 30}], "superfat_pct": 5,
               "alkalis": [{"alkali": "NaOH"}], "water": {"water_to_alkali": 2}},
    "mould": {"shape": "box", "length": 250, "width": 80, "depth": 70},
    "cut": {"bar": {"thickness": 25}, "kerf": 1, "trim": {"start": 4, "end": 4}}, "expected_loss_pct": 11,
    "additions": [{"name": "cedar", "kind": "fragrance", "dose": 2, "basis": "pct_of_fats", "limit_pct": 2.4}]}
SALE: dict[str, Any] = {
    "batch_number": "N-7", "dates": {"release": "2027-03-20", "unmould_days": 1, "cure_days": 42, "packing_days": 3},
    "label": {"market": "EU"},
    "prices": {"ingredients": [
        {"key": key, "price": {"amount": amount, "currency": "EUR", "per_mass": 1000}}
        for key, amount in (("olive", "6.40"), ("coconut", "4.90"), ("NaOH", "3.20"), ("water", "0"),
                            ("cedar", "42.00"))]}}


def sent(client: FlaskClient, body: dict[str, Any]) -> dict[str, Any]:
    reply = client.post("/v1/batches", json=body)
    assert reply.status_code == 200, reply.text
    assert reply.json is not None
    return dict(reply.json)
