"""Fades over the wire: laws, what contradicts itself, and the strip."""

from __future__ import annotations

import xml.etree.ElementTree as ElementTree
from typing import Any

import pytest
from flask.testing import FlaskClient

PLAIN, BROWN = {"dose": 0, "colour": "#f3ede0"}, {"dose": 12, "colour": "#7a4b2a"}
PORTIONS = [{"name": f"step {number}", "mass": 500} for number in range(1, 6)]
FADE: dict[str, Any] = {"swatches": [PLAIN, BROWN], "portions": PORTIONS}
BLUE = {"swatches": [{"dose": 0, "colour": "#f3ede0"}, {"dose": 6, "colour": "#4a5a8c"}]}


def sent(client: FlaskClient, body: dict[str, Any]) -> dict[str, Any]:
    reply = client.post("/v1/fades", json=body)
    assert reply.status_code == 200, reply.text
    assert reply.json is not None
    return dict(reply.json)


def test_doses_fall_in_even_steps_and_colourant_is_all_accounted_for(client: FlaskClient) -> None:
    found = sent(client, {**FADE, "carry_over": True, "dispersion_pct": 10})
    doses = [portion["dose"] for portion in found["portions"]]
    assert doses == sorted(doses, reverse=True)
    steps = [portion["to_next"] for portion in found["portions"][:-1]]
    assert max(steps) - min(steps) < 1e-3
    assert found["colourant_mass"] == pytest.approx(sum(doses) * 0.5)
    assert found["equal_doses_mass"] == pytest.approx((12 + 9 + 6 + 3) * 0.5)
    carried = found["carry_over"]
    assert [row["key"] for row in carried] == ["step_1", "step_2", "step_3", "step_4"]  # the plain one by itself
    assert sum(row["plain_mass"] for row in carried) == pytest.approx(2000)
    assert sum(row["colourant_mass"] for row in carried) == pytest.approx(found["colourant_mass"])
    assert found["portions"][0]["dispersion_mass"] == pytest.approx(60)
    ladder = [portion["darker_by_mass"] for portion in found["portions"]]
    assert ladder[0] is None
    assert ladder[1] == pytest.approx((12 - doses[1]) * 0.5 * 10)


def test_masses_scale_and_doses_do_not(client: FlaskClient) -> None:
    once = sent(client, FADE)
    twice = sent(client, {**FADE, "portions": [{**portion, "mass": 1000} for portion in PORTIONS]})
    assert [row["dose"] for row in twice["portions"]] == [row["dose"] for row in once["portions"]]
    assert twice["colourant_mass"] == pytest.approx(2 * once["colourant_mass"])


def test_a_curve_has_the_lightness_that_was_requested(client: FlaskClient) -> None:
    found = sent(client, {**FADE, "curve": [0, 0.1, 0.3, 0.6, 1]})
    light = [portion["lab"]["lightness"] for portion in found["portions"]]
    parts = [(one - light[0]) / (light[-1] - light[0]) for one in light]
    assert parts == pytest.approx([0, 0.1, 0.3, 0.6, 1], abs=1e-6)


def test_doses_too_close_are_reported(client: FlaskClient) -> None:
    found = sent(client, {**FADE, "doses": [12, 11.9, 6, 3, 0]})
    assert any("Portions 1 and 2 will look almost alike" in note for note in found["notes"])


def test_neighbours_a_hair_the_wrong_way_round_are_scatter(client: FlaskClient) -> None:
    # L* 37.0 at 11 g/kg and 36.6 at 12 are in order; 36.3 at 11 is scatter, beside three others
    found = sent(client, {**FADE, "swatches": [PLAIN, {"dose": 5, "colour": "#99683f"},
                                               {"dose": 11, "colour": "#794a29"}, BROWN]})
    assert [swatch["dose"] for swatch in found["fit"]["swatches"]] == [0, 5, 11, 12]
    assert all(portion["band"]["lightness_min"] < portion["lab"]["lightness"] < portion["band"]["lightness_max"]
               for portion in found["portions"])
    assert any("so few swatches" in note for note in found["notes"])


def test_a_plain_stripe_in_the_middle_is_reported(client: FlaskClient) -> None:
    found = sent(client, {**FADE, "doses": [12, 6, 0, 3, 1]})
    assert any('"step 3" has no colourant' in note for note in found["notes"])


def test_a_plain_last_portion_gets_batter_of_its_own(client: FlaskClient) -> None:
    found = sent(client, {**FADE, "carry_over": True})
    assert any('"step 5" is plain: it gets plain batter of its own' in note for note in found["notes"])


def test_what_the_colourant_costs_beside_equal_doses(client: FlaskClient) -> None:
    found = sent(client, {**FADE, "price": {"amount": "90.00", "currency": "EUR", "per_mass": 1000}})
    # by hand: (12 + 9 + 6 + 3) g/kg * 0.5 kg * 0.09 EUR/g
    assert found["cost"]["equal_doses_amount"] == "1.35"
    assert found["cost"]["amount"] == f"{round(found['colourant_mass'] * 0.09, 2):.2f}"
    assert "cost" not in sent(client, FADE)


def test_steps_finer_than_the_fit_are_reported(client: FlaskClient) -> None:
    rough = [PLAIN, {"dose": 4, "colour": "#8d6c5a"}, {"dose": 8, "colour": "#8a5a2a"}, BROWN]
    crowd = [{"name": f"p{number}"} for number in range(40)]
    found = sent(client, {"swatches": rough, "portions": crowd})
    assert any("more than the smallest step" in note for note in found["notes"])


def test_a_fade_with_two_ends_steps_evenly_through_plain(client: FlaskClient) -> None:
    found = sent(client, {**FADE, "other": BLUE})
    assert [portion["end"] for portion in found["portions"]][::4] == [0, 1]
    steps = [portion["to_next"] for portion in found["portions"][:-1]]
    assert max(steps) - min(steps) < 1e-2
    assert found["portions"][-1]["dose"] == pytest.approx(6)


def test_wet_swatches_predict_wet_batter_only(client: FlaskClient) -> None:
    found = sent(client, {**FADE, "swatches": [{**PLAIN, "state": "wet"}, {**BROWN, "state": "wet"}]})
    assert found["state"] == "wet"
    assert any("the cured colour is not known" in note for note in found["notes"])


def test_more_swatches_give_an_error(client: FlaskClient) -> None:
    found = sent(client, {**FADE, "swatches": [PLAIN, {"dose": 3, "colour": "#ac7d51"}, BROWN]})
    assert found["fit"]["error"] < 0.5
    assert sent(client, FADE)["fit"]["error"] is None


@pytest.mark.parametrize(("change", "pointer", "words"), [
    ({"swatches": [PLAIN, {"dose": 12, "colour": "#ffffff"}]}, "/swatches", "lighter than"),
    ({"swatches": [PLAIN, {**PLAIN, "dose": 5}]}, "/swatches", "the same as"),
    ({"swatches": [PLAIN, {"dose": 6, "colour": "#7a4b2a"}, {"dose": 9, "colour": "#7c4d2c"},
                   {"dose": 12, "colour": "#8c5c3a"}]}, "/swatches", "of 12 g/kg is lighter than the one of 9"),
    ({"swatches": [PLAIN, {"dose": 6, "colour": "#7a4b2a"}, BROWN]}, "/swatches", "the same as"),
    ({"swatches": [BROWN]}, "/swatches", "not enough for a fade"),
    ({"other": {"swatches": [{"dose": 1, "colour": "#dddddd"}, {"dose": 6, "colour": "#4a5a8c"}]}}, "/other/swatches",
     "needs a swatch of the plain batter"),
    ({"other": {"swatches": [{"dose": 0, "colour": "#ffffff"}, {"dose": 6, "colour": "#4a5a8c"}]}}, "/other/swatches",
     "from the same batter"),
    ({"other": BLUE, "lightest_dose": 1}, "/lightest_dose", "goes through plain"),
    ({"other": BLUE, "doses": [12, 6, 0, 3, 6]}, "/doses", "for one colourant only"),
    ({"other": BLUE, "price": {"amount": "90", "currency": "EUR", "per_mass": 1000}}, "/price", "two colourants"),
    ({"swatches": [PLAIN, {**BROWN, "state": "wet"}]}, "/swatches", "all wet or all cured"),
    ({"swatches": [{**PLAIN, "gelled": "no"}, {**BROWN, "gelled": "yes"}]}, "/swatches", "all gelled or all not"),
    ({"swatches": [PLAIN, {"dose": 5, "lab": {"lightness": 50, "a": 150, "b": 0}}]}, "/swatches/1/lab", "No screen"),
    ({"swatches": [PLAIN, {"dose": 5}]}, "/swatches/1/colour", "needs its"),
    ({"swatches": [PLAIN, {"dose": 5, "colour": "brown"}]}, "/swatches/1/colour", "#7a4b2a"),
    ({"darkest_dose": 13}, "/darkest_dose", "outside the swatches, from 0 to 12 g/kg"),
    ({"lightest_dose": 12}, "/lightest_dose", "not below the darkest"),
    ({"portions": []}, "/portions", "2 to 40 portions, not 0"),
    ({"portions": [{"name": f"p{number}"} for number in range(60)]}, "/portions", "2 to 40 portions, not 60"),
    ({"portions": [{"name": "a"}, {"name": "a"}]}, "/portions/1/name", "two of"),
    ({"portions": [{"name": "a"}, {"name": "b"}], "carry_over": True}, "/carry_over", "mass of every portion"),
    ({"doses": [12, 3, 6, 1, 0], "carry_over": True}, "/doses/2", "must decrease"),
    ({"doses": [12, 6]}, "/doses", "5 portions and 2 doses"),
    ({"curve": [0, 0.5, 0.4, 0.9, 1]}, "/curve", "rising from 0"),
    ({"other": BLUE, "steps": "lightness"}, "/steps", "ciede2000"),
    ({"other": BLUE, "carry_over": True}, "/carry_over", "each half over separately"),
    ({"more": {"mass": 500, "now": {"dose": 3}, "wanted": {"dose": 0}}}, "/more/wanted", "cannot be removed"),
    ({"more": {"mass": 500, "now": {"dose": 3}, "wanted": {"colour": "#101010"}}}, "/more/wanted",
     "outside the swatches"),
    ({"more": {"mass": 500, "now": {}, "wanted": {"dose": 3}}}, "/more/now/dose", "exactly one of")])
def test_contradictions_are_reported(client: FlaskClient, change: dict[str, Any], pointer: str, words: str) -> None:
    reply = client.post("/v1/fades", json={**FADE, **change})
    assert reply.status_code == 422, reply.text
    assert reply.json is not None
    errors = {fault["pointer"]: fault["detail"] for fault in reply.json["errors"]}
    assert words in errors.get(pointer, ""), errors


def test_the_strip_shows_the_colours_predicted(client: FlaskClient) -> None:
    found = sent(client, FADE)
    svg = ElementTree.fromstring(client.post("/v1/fades?format=svg", json=FADE).text)
    space = "{http://www.w3.org/2000/svg}"
    patches = [rect.attrib["fill"] for rect in svg.iter(f"{space}rect") if rect.get("class") == "patch"]
    assert patches == [portion["colour"] for portion in found["portions"]]
    hostile = [{**portion, "name": f"<script>{index}</script>"} for index, portion in enumerate(PORTIONS)]
    text = client.post("/v1/fades?format=svg", json={**FADE, "portions": hostile}).text
    assert "<script" not in text
