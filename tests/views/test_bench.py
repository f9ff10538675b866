"""What the hands need in time: the order of stirring, grams that say of what, one way to weigh a dose."""

from __future__ import annotations

import html
import json
import re
from pathlib import Path
from typing import Any

import kettlewright
import pytest
from kettlewright.app import create_app

CLIENT = create_app().test_client()
EXAMPLES = json.loads((Path(kettlewright.__file__).parent / "api/endpoints/examples/batches.json").read_text())
FADE = next(one["body"] for one in EXAMPLES if "fade" in one["body"])


def both(body: dict[str, Any]) -> tuple[dict[str, Any], str]:
    reply = CLIENT.post("/v1/batches", json=body)
    assert reply.status_code == 200, reply.text
    page = CLIENT.post("/v1/batches?format=html", json=body).text
    return reply.get_json(), html.unescape(re.sub(r"\s+", " ", re.sub(r"<[^>]+>", "", page.split("</style>")[1])))


def batch(*additions: dict[str, Any]) -> dict[str, Any]:
    return {"recipe": {"fats": [{"fat": "olive", "share_pct": 70}, {"fat": "coconut", "share_pct": 30}],
                       "superfat_pct": 5, "alkalis": [{"alkali": "NaOH"}], "water": {"water_to_alkali": 2}},
            "mould": {"shape": "box", "length": 250, "width": 80, "depth": 70}, "expected_loss_pct": 11,
            "portions": [{"name": "dark", "share_pct": 50, "additions": list(additions)},
                         {"name": "light", "share_pct": 50, "borrows": [{"from": "dark", "share_pct": 30}]}]}


def test_the_order_of_stirring_comes_before_the_pour() -> None:
    reply, page = both(batch({"name": "clove", "kind": "fragrance", "dose": 1, "basis": "pct_of_fats",
                              "thickens_fast": True}))
    assert len(reply["mixing_order"]) == 2
    assert reply["bucket_order"] == ["dark", "light"]
    cups, buckets = page.index("Set out before you make the lye"), page.index("Buckets, in the order you mix")
    assert cups < buckets < page.index("right before")


@pytest.mark.parametrize("carry_over", [False, True])
@pytest.mark.parametrize("strength", [None, 20])
def test_the_ladder_says_what_its_grams_are_of(carry_over: bool, strength: float | None) -> None:
    colourant = {name: value for name, value in FADE["fade"]["colourant"].items() if name != "dispersion"}
    if strength is not None:
        colourant["dispersion"] = {"carrier": "water", "strength_pct": strength}
    reply, page = both({**FADE, "fade": {**FADE["fade"], "colourant": colourant, "carry_over": carry_over}})
    ladder = [one for one in reply["fade"]["portions"] if one["darker_by_mass"]]
    assert ladder
    of = f"dry {colourant['name']}" if strength is None else f"{colourant['name']} dispersion, 20 %"
    for number, one in enumerate(ladder):
        assert one["darker_by_of"] == of
        darker = reply["fade"]["portions"][reply["fade"]["portions"].index(one) - 1]
        # by hand: the batter the bucket makes times the step in dose, over the strength
        made = one["colourant_mass"] / one["dose"] * 1000 if one["dose"] else None
        if made is not None:
            assert one["darker_by_mass"] == pytest.approx(
                made * (darker["dose"] - one["dose"]) / 1000 / ((strength or 100) / 100), rel=1e-6), number
    assert f"g of {of}" in page
    assert page.count("g of colourant") == page.count("g of dispersion") == 0


def test_a_step_without_any_colourant_counts_dispersion_too() -> None:
    """A plain bucket holds no dispersion, and what makes it darker is one all the same."""
    reply, _ = both(FADE)
    assert len({one["darker_by_of"] for one in reply["fade"]["portions"] if one["darker_by_mass"]}) == 1


def test_a_dose_too_small_for_the_scale_has_one_instruction() -> None:
    violet = {"name": "violet", "kind": "colourant", "dose": 0.06, "basis": "mass", "inci": "CI 77007"}
    reply, page = both(batch(violet))
    row = next(row for row in reply["weigh_list"] if row["key"] == "violet")
    assert row["form"] == "too little for this scale: dilute it"
    message, = [one["message"] for one in reply["cautions"] if one["key"] == "dose-too-fine"]
    assert "weigh from that: 1 g for" in message
    assert "violet, 0.1 g, too little for this scale: dilute it" in page
    assert "1.0 g, diluted" in page  # what the caution says to weigh
    assert page.count(message) == 1
