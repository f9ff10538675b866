"""A fade inside a batch, over the wire and on the sheet."""

from __future__ import annotations

import copy
import re
from typing import Any

import pytest
from flask.testing import FlaskClient

PLAIN, BROWN = {"dose": 0, "colour": "#f3ede0"}, {"dose": 12, "colour": "#7a4b2a"}
BATCH: dict[str, Any] = {
    "recipe": {"fats": [{"fat": "olive", "share_pct": 70}, {"fat": "coconut", "share_pct": 30}], "superfat_pct": 5,
               "alkalis": [{"alkali": "NaOH"}], "water": {"water_to_alkali": 2}},
    "mould": {"shape": "box", "length": 250, "width": 80, "depth": 70},
    "portions": [{"name": name, "share_pct": 25} for name in ("night", "dusk", "haze", "plain")],
    "fade": {"colourant": {"name": "walnut husk", "inci": "CI 75500"}, "kind": "plant", "swatches": [PLAIN, BROWN]}}


def changed(**fade: Any) -> dict[str, Any]:
    body = copy.deepcopy(BATCH)
    body["fade"].update(fade)
    return body


def sent(client: FlaskClient, body: dict[str, Any]) -> dict[str, Any]:
    reply = client.post("/v1/batches", json=body)
    assert reply.status_code == 200, reply.text
    assert reply.json is not None
    return dict(reply.json)


def test_the_portions_get_the_doses_of_the_fade(client: FlaskClient) -> None:
    found = sent(client, BATCH)
    alone = client.post("/v1/fades", json={"swatches": [PLAIN, BROWN], "portions": [
        {"name": portion["name"], "mass": portion["batter_mass"]} for portion in found["portions"]]}).json
    assert alone is not None
    assert [row["dose"] for row in found["fade"]["portions"]] == [row["dose"] for row in alone["portions"]]
    for portion, step in zip(found["portions"][:3], alone["portions"][:3], strict=True):
        assert portion["additions"][0]["mass"] == pytest.approx(step["colourant_mass"], rel=1e-6)
        assert portion["colour"] == step["colour"]
    assert found["portions"][3]["additions"] == []
    assert found["fade"]["colourant_mass"] == pytest.approx(alone["colourant_mass"], rel=1e-6)
    ladder = [[row["darker_by_mass"] for row in one["portions"]] for one in (found["fade"], alone)]
    assert ladder[0][0] is ladder[1][0] is None
    assert ladder[0][1:] == pytest.approx(ladder[1][1:], rel=1e-6)


def test_carried_over_only_the_first_bucket_gets_colourant_and_as_much_is_used(client: FlaskClient) -> None:
    dyed, carried = sent(client, BATCH), sent(client, changed(carry_over=True))
    assert [len(portion["additions"]) for portion in carried["portions"]] == [1, 0, 0, 0]
    assert [[one["key"] for one in portion["borrowed"]] for portion in carried["portions"]] == [
        [], ["night"], ["dusk"], []]
    # the batter poured is the same to the weight of the colourant, and so is the colourant
    assert carried["fade"]["colourant_mass"] == pytest.approx(dyed["fade"]["colourant_mass"], rel=2e-3)
    doses = [row["dose"] for row in carried["fade"]["portions"]]
    first = carried["portions"][0]
    assert first["additions"][0]["mass"] == pytest.approx(doses[0] * first["batter_mass"] / 1000)
    assert any('"plain" is plain: it gets plain batter' in note for note in carried["fade"]["notes"])


def test_a_fade_over_some_portions_leaves_the_others_alone(client: FlaskClient) -> None:
    found = sent(client, changed(portions=["haze", "night"], lightest_dose=2))
    assert [row["name"] for row in found["fade"]["portions"]] == ["haze", "night"]
    assert [bool(portion["additions"]) for portion in found["portions"]] == [True, False, True, False]
    assert found["portions"][2]["additions"][0]["mass"] > found["portions"][0]["additions"][0]["mass"]


def test_a_colour_of_your_own_stays(client: FlaskClient) -> None:
    body = copy.deepcopy(BATCH)
    body["portions"][0]["colour"] = "#112233"
    assert sent(client, body)["portions"][0]["colour"] == "#112233"


def test_a_fade_with_two_ends_takes_two_colourants(client: FlaskClient) -> None:
    body = changed(other={"colourant": {"name": "indigo"}, "swatches": [PLAIN, {"dose": 6, "colour": "#4a5a8c"}]})
    body["portions"] = [{"name": f"p{number}", "share_pct": 20} for number in range(5)]
    found = sent(client, body)
    names = [[one["name"] for one in portion["additions"]] for portion in found["portions"]]
    assert names[0] == ["walnut husk"]
    assert names[-1] == ["indigo"]
    assert found["portions"][-1]["additions"][0]["mass"] == pytest.approx(
        6 * found["portions"][-1]["batter_mass"] / 1000)


def test_the_ladder_counts_the_dispersion(client: FlaskClient) -> None:
    body = changed(colourant={"name": "walnut husk", "dispersion": {"carrier": "glycerol", "strength_pct": 20}})
    found = sent(client, body)
    step = found["fade"]["portions"][1]
    assert step["dispersion_mass"] == pytest.approx(5 * step["colourant_mass"])
    assert step["darker_by_mass"] == pytest.approx(
        5 * (12 - step["dose"]) * found["portions"][1]["batter_mass"] / 1000)
    jar, = found["dispersions"]
    assert jar["used_mass"] == pytest.approx(sum(portion["additions"][0]["weigh"] for portion in found["portions"][:3]))
    rows = [row for row in found["weigh_list"] if (row["where"], row["key"]) == ("jar", "walnut_husk")]
    assert [row["weigh"] for row in rows] == [jar["weigh"], jar["carrier_weigh"]]
    assert jar["weigh"] / (jar["weigh"] + jar["carrier_weigh"]) == pytest.approx(0.2, abs=2e-3)


def test_the_sheet_shows_the_strip_the_ladder_and_the_jar(client: FlaskClient) -> None:
    body = changed(colourant={"name": "walnut <husk>", "dispersion": {"carrier": "oil", "strength_pct": 20,
                                                                      "fat": "sunflower"}}, carry_over=True)
    body["residue"] = {"kept_back": 60}
    page = client.post("/v1/batches?format=html", json=body).text
    assert 'class="patch"' in page
    assert re.search(r"Too light\? Add [\d.]+ g of walnut &lt;husk&gt; dispersion, 20 %", page)
    assert page.index("walnut &lt;husk&gt;</b><span class=\"form\">, 20 % in sunflower") < page.index(
        "First weigh into a jar") < page.index("Then weigh from the jar:")
    assert "batter from night" in page
    assert "Set aside first" in page
    buckets = re.findall(r"<h3>(\d\. \w+)</h3>", page)
    assert buckets == ["1. night", "4. plain", "2. dusk", "3. haze"]  # who lends is mixed before who borrows
    assert page.index("Buckets, in the order you mix them") < page.index(buckets[-1]) < page.index("Then pour")
    assert "Colours on a screen differ" in page
    without = {key: value for key, value in body.items() if key != "fade"}
    assert 'class="patch"' not in client.post("/v1/batches?format=html", json=without).text


def test_scaling_the_mould_scales_the_colourant_and_not_the_doses(client: FlaskClient) -> None:
    body = copy.deepcopy(BATCH)
    body["mould"]["count"] = 2
    once, twice = sent(client, BATCH), sent(client, body)
    assert [row["dose"] for row in twice["fade"]["portions"]] == [row["dose"] for row in once["fade"]["portions"]]
    assert twice["fade"]["colourant_mass"] == pytest.approx(2 * once["fade"]["colourant_mass"], rel=2e-3)


@pytest.mark.parametrize(("fade", "pointer", "words"), [
    ({"portions": ["night", "noon"]}, "/fade/portions/1", 'no portion "noon"'),
    ({"portions": ["night", "Night"]}, "/fade/portions/1", 'two of "night"'),
    ({"portions": ["night"]}, "/fade/portions", "2 to 40 portions, not 1"),
    ({"swatches": [BROWN]}, "/fade/swatches", "not enough for a fade"),
    ({"darkest_dose": 20}, "/fade/darkest_dose", "outside the swatches, from 0 to 12 g/kg"),
    ({"colourant": {"name": "x", "dispersion": {"carrier": "oil", "strength_pct": 20}}},
     "/fade/colourant/dispersion/fat", "Give the oil"),
    ({"carry_over": True, "doses": [3, 6, 12, 0]}, "/fade/doses/1", "must decrease"),
    ({"carry_over": True, "doses": [3, 0, 0, 0]}, "/fade/carry_over", "nothing to carry over"),
    ({"colourant": {"inci": "CI 75500"}}, "/fade/colourant/name", "is required")])
def test_a_fade_that_cannot_be_is_reported_at_its_place(client: FlaskClient, fade: dict[str, Any], pointer: str,
                                                   words: str) -> None:
    reply = client.post("/v1/batches", json=changed(**fade))
    assert reply.status_code == 422, reply.text
    assert reply.json is not None
    errors = {fault["pointer"]: fault["detail"] for fault in reply.json["errors"]}
    assert words in errors.get(pointer, ""), errors


@pytest.mark.parametrize("named", [{}, {"portions": ["dusk", "night"]}, {"portions": ["night", "haze", "dusk"]}])
@pytest.mark.parametrize(("given", "words"), [
    ({"additions": [{"name": "walnut husk", "kind": "colourant", "dose": 3, "basis": "g_per_kg_batter"}]},
     "Leave it out there"),
    ({"borrows": [{"from": "night", "share_pct": 20}]}, "already borrows")])
def test_what_a_fade_gives_is_refused_at_the_portion_that_has_it(
        client: FlaskClient, named: dict[str, Any], given: dict[str, Any], words: str) -> None:
    body = changed(carry_over=True, **named)
    body["portions"][1].update(given)
    reply = client.post("/v1/batches", json=body)
    assert reply.json is not None
    errors = {fault["pointer"]: fault["detail"] for fault in reply.json["errors"]}
    assert words in errors.get("/portions/1", ""), errors
