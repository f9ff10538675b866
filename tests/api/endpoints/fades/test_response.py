"""How a fade says what its swatches are worth: fit, bands, notes and cautions, in every face."""

from __future__ import annotations

import copy
import itertools
import math
import xml.etree.ElementTree as ElementTree
from typing import Any

import numpy as np
import pytest
from coloraide import Color
from flask.testing import FlaskClient

# a made dye: K/S grows with dose^0.65 from #f3ede0 to #7a4b2a at 12 g/kg (numpy, in linear light), to 8 bits
BENT = [{"dose": 0, "colour": "#f3ede0"}, {"dose": 1, "colour": "#b38658"}, {"dose": 3, "colour": "#9b6b41"},
        {"dose": 6, "colour": "#8b5a35"}, {"dose": 12, "colour": "#7a4b2a"}]
PORTIONS = [{"name": f"step {number}", "mass": 500} for number in range(1, 6)]
BLUE = [{"dose": 0, "colour": "#f3ede0"}, {"dose": 6, "colour": "#4a5a8c"}]
# of these the one of 3 g/kg is green: another colourant
MIXED_UP = [BENT[0], BENT[4], BENT[1], {"dose": 3, "colour": "#5f7f5a"}, BENT[3]]


def sent(client: FlaskClient, body: dict[str, Any], at: str = "/v1/fades") -> dict[str, Any]:
    reply = client.post(at, json=body)
    assert reply.status_code == 200, reply.text
    assert reply.json is not None
    return dict(reply.json)


def batch(**fade: Any) -> dict[str, Any]:
    return {"recipe": {"fats": [{"fat": "olive", "share_pct": 70}, {"fat": "coconut", "share_pct": 30}],
                       "superfat_pct": 5, "alkalis": [{"alkali": "NaOH"}], "water": {"water_to_alkali": 2}},
            "mould": {"shape": "box", "length": 250, "width": 80, "depth": 70},
            "portions": [{"name": name, "share_pct": 20} for name in ("night", "dusk", "evening", "haze", "plain")],
            "fade": {"colourant": {"name": "walnut husk", "inci": "CI 75500"}, "kind": "plant", "swatches": BENT,
                     **fade}}


def test_the_made_dye_is_one() -> None:
    def absorbs(coded: str) -> np.ndarray:
        values = np.array([int(coded[at:at + 2], 16) for at in (1, 3, 5)]) / 255
        linear = np.where(values <= 0.04045, values / 12.92, ((values + 0.055) / 1.055) ** 2.4)
        return (1 - linear) ** 2 / (2 * linear)

    plain = absorbs(str(BENT[0]["colour"]))
    for swatch in BENT[1:4]:
        part = (absorbs(str(swatch["colour"])) - plain) / (absorbs(str(BENT[4]["colour"])) - plain)
        assert part == pytest.approx([(float(str(swatch["dose"])) / 12) ** 0.65] * 3, rel=0.03)


def random_swatches(rng: np.random.Generator) -> list[dict[str, Any]]:
    """A dye of an exponent of its own in each channel, measured with scatter, out of order."""
    plain, darkest = np.array([0.01, 0.03, 0.08]), rng.uniform(0.3, 3, 3)
    exponents, doses = rng.uniform(0.5, 1, 3), np.sort(rng.choice(np.arange(1, 20), rng.integers(1, 8), replace=False))
    found = []
    for dose in [0, *(float(one) for one in doses)]:
        absorbed = plain + darkest * (dose / 20) ** exponents
        linear = (1 + absorbed - np.sqrt(absorbed * (absorbed + 2))) * (1 + rng.normal(0, 0.01, 3))
        coded = Color("srgb-linear", list(np.clip(linear, 0, 1))).convert("srgb").to_string(hex=True)
        found.append({"dose": dose, "colour": coded})
    return [found[index] for index in rng.permutation(len(found))]


@pytest.mark.parametrize("seed", range(25))
def test_a_fade_hits_its_swatches_within_the_error_it_gives(client: FlaskClient, seed: int) -> None:
    swatches = random_swatches(np.random.default_rng(seed))
    doses = sorted((swatch["dose"] for swatch in swatches), reverse=True)
    body = {"swatches": swatches, "portions": [{"name": f"p{dose:g}"} for dose in doses], "doses": doses}
    found = sent(client, body)
    fit, given = found["fit"], {swatch["dose"]: swatch["colour"] for swatch in swatches}
    assert [swatch["dose"] for swatch in fit["swatches"]] == sorted(given)
    for portion in found["portions"]:
        swatch, = (one for one in fit["swatches"] if one["dose"] == portion["dose"])
        assert swatch["colour"] == given[portion["dose"]]
        assert swatch["predicted"] == portion["colour"]
        predicted = Color("lab-d65", [portion["lab"][axis] for axis in ("lightness", "a", "b")])
        assert swatch["off"] == pytest.approx(predicted.delta_e(Color(swatch["colour"]), method="2000"), abs=0.02)
        assert swatch["off"] <= 3
    squares = [swatch["off"] ** 2 for swatch in fit["swatches"]]
    if len(doses) == 2:
        assert (fit["model"], fit["error"], fit["left_out_error"]) == ("straight", None, None)
        assert max(squares) < 1e-12
    else:
        assert fit["error"] == pytest.approx(math.sqrt(sum(squares) / len(squares)), abs=1e-6)
    assert (fit["left_out_error"] is None) == (len(doses) < 4)
    assert [portion["band"] is None for portion in found["portions"]] == [len(doses) < 4] * len(doses)
    if len(doses) == 3:
        assert (fit["model"], fit["error"]) == ("interpolated", pytest.approx(0, abs=1e-6))


def test_a_swatch_that_is_missed_is_a_caution_at_its_place(client: FlaskClient) -> None:
    found = sent(client, {"swatches": MIXED_UP, "portions": PORTIONS})
    missed = {swatch["dose"] for swatch in found["fit"]["swatches"] if swatch["off"] > 3}
    assert missed
    cautions = [one for one in found["cautions"] if one["key"] == "swatch-missed"]
    assert {MIXED_UP[int(one["pointer"].rsplit("/", 1)[1])]["dose"] for one in cautions} == missed
    assert all(one["pointer"].startswith("/swatches/") for one in cautions)
    assert found["worst_severity"] == "warning"
    assert sent(client, {"swatches": BENT, "portions": PORTIONS})["cautions"] == []


def test_it_is_a_caution_of_a_batch_and_on_its_sheet(client: FlaskClient) -> None:
    body = batch(swatches=MIXED_UP)
    found = sent(client, body, "/v1/batches")
    cautions = [one for one in found["cautions"] if one["key"] == "swatch-missed"]
    assert cautions
    assert all(one["pointer"].startswith("/fade/swatches/") for one in cautions)
    page = client.post("/v1/batches?format=html", json=body).text
    assert "Check the dose of the swatch with" in page
    german = client.post("/v1/batches?format=html", json={**body, "locale": "de"}).text
    assert "Die Dosis des Farbmusters mit" in german


def test_so_it_is_at_the_other_end(client: FlaskClient) -> None:
    found = sent(client, {"swatches": BLUE, "portions": PORTIONS, "other": {"swatches": MIXED_UP}})
    assert {one["pointer"].rsplit("/", 1)[0] for one in found["cautions"]} == {"/other/swatches"}


@pytest.mark.parametrize(("swatches", "words"), [
    ([BENT[0], BENT[4]], "the curve is assumed straight"),
    ([BENT[0], BENT[2], BENT[4]], "Three swatches fully determine the curve"),
    (BENT, "at a swatch left out of the fit")])
def test_a_note_says_what_the_swatches_are_worth(client: FlaskClient, swatches: list[dict[str, Any]],
                                                 words: str) -> None:
    found = sent(client, {"swatches": swatches, "portions": PORTIONS})
    assert any(words in note for note in found["notes"])
    assert not any("exact" in note for note in found["notes"])
    other = sent(client, {"swatches": BENT, "portions": PORTIONS, "other": {"swatches": swatches}})
    assert any(note.startswith("The other end:") and words in note for note in other["notes"])


def test_a_gap_with_most_of_the_change_is_named(client: FlaskClient) -> None:
    found = sent(client, {"swatches": [BENT[0], {"dose": 0.05, "colour": "#e2d1b9"}, BENT[3], BENT[4]],
                          "portions": PORTIONS})
    assert any("Add a swatch between those of 0.05 and 6 g/kg" in note for note in found["notes"])


def test_a_bent_dye_fades_evenly_in_a_batch_too(client: FlaskClient) -> None:
    alone = sent(client, {"swatches": BENT, "portions": PORTIONS})
    for carry_over in (False, True):
        found = sent(client, batch(carry_over=carry_over), "/v1/batches")
        doses = [row["dose"] for row in found["fade"]["portions"]]
        assert doses == [row["dose"] for row in alone["portions"]]
        # true steps of the made dye, by coloraide
        linear = {at: np.array(Color(str(BENT[at]["colour"])).convert("srgb-linear").coords()) for at in (0, 4)}
        absorbed = {at: (1 - one) ** 2 / (2 * one) for at, one in linear.items()}
        true = []
        for dose in doses:
            x = absorbed[0] + (absorbed[4] - absorbed[0]) * (dose / 12) ** 0.65
            true.append(Color("srgb-linear", list(1 + x - np.sqrt(x * (x + 2)))))
        steps = [one.delta_e(two, method="2000") for one, two in itertools.pairwise(true)]
        assert max(steps) < 1.04 * min(steps)
    # batter borrowed, without its colourant, is in the ratio of the doses to all batter in the bucket
    for before, dose, portion in zip(doses, doses[1:4], found["portions"][1:4], strict=False):
        borrowed = portion["borrowed"][0]["mass"] / (1 + before / 1000)
        assert borrowed / (borrowed + portion["batter_mass"]) == pytest.approx(dose / before, rel=1e-6)


def test_two_ends_of_one_colour_are_answered(client: FlaskClient) -> None:
    found = sent(client, {"swatches": BENT, "portions": [{"name": f"p{number}"} for number in range(9)],
                          "other": {"swatches": BENT}})
    assert [row["end"] for row in found["portions"]] == [0] * 5 + [1] * 4
    doses = [row["dose"] for row in found["portions"]]
    assert doses == pytest.approx(doses[::-1], abs=1e-6)


def test_what_the_sheet_shows_is_the_same_in_ounces(client: FlaskClient) -> None:
    ounces = copy.deepcopy(batch())
    ounces["units"] = {"mass": "oz", "dose": "oz", "length": "in"}
    ounces["mould"].update({key: ounces["mould"][key] / 25.4 for key in ("length", "width", "depth")})
    grams, found = (sent(client, body, "/v1/batches") for body in (batch(), ounces))
    for one, other in zip(found["fade"]["portions"], grams["fade"]["portions"], strict=True):
        assert (one["dose"], one["colour"], one["band"]) == (other["dose"], other["colour"], other["band"])
        # ounces are 28.349523125 g; both batches are rounded to their own scales
        assert one["colourant_mass"] * 28.349523125 == pytest.approx(other["colourant_mass"], rel=5e-3, abs=0.01)


def test_doses_far_below_the_lightest_dyed_swatch_are_named(client: FlaskClient) -> None:
    many = [{"name": f"p{number}"} for number in range(12)]
    found = sent(client, {"swatches": [BENT[0], *BENT[2:]], "portions": many})
    lowest = min(row["dose"] for row in found["portions"] if row["dose"] > 0)
    assert lowest < 0.3  # the lightest dyed swatch is 3 g/kg
    assert any(f"doses down to {lowest:.3g} g/kg are far below the lightest dyed swatch (3 g/kg)" in note
               for note in found["notes"])
    assert not any("more than half" in note for note in found["notes"])
    assert not any("far below" in note for note in sent(client, {
        "swatches": BENT, "portions": PORTIONS, "lightest_dose": 0.25})["notes"])


def test_the_strip_shows_every_swatch_inside_its_frame(client: FlaskClient) -> None:
    doses = np.linspace(0, 12, 40)
    many = [{"dose": float(dose), "lab": {"lightness": 90 - 4 * float(dose), "a": 5, "b": 10}} for dose in doses]
    body = {"swatches": many, "portions": PORTIONS, "other": {"swatches": many}}
    svg = ElementTree.fromstring(client.post("/v1/fades?format=svg", json=body).text)
    drawn = [rect for rect in svg.iter("{http://www.w3.org/2000/svg}rect") if rect.get("class") == "swatch"]
    assert len(drawn) == 80
    assert max(float(rect.attrib["x"]) + float(rect.attrib["width"]) for rect in drawn) <= 600
    assert all(float(one.attrib["x"]) + float(one.attrib["width"]) < float(two.attrib["x"])
               for one, two in itertools.pairwise(drawn))


def test_steps_that_cannot_be_equal_are_not_claimed_to_be(client: FlaskClient) -> None:
    # one swatch is green between yellow and red: the predicted colour turns back on its way
    astray = [{"dose": 0, "colour": "#ffff80"}, {"dose": 3, "colour": "#a5ff80"}, {"dose": 10, "colour": "#e1c880"},
              {"dose": 20, "colour": "#c30080"}]
    for swatches in (astray, BENT):
        found = sent(client, {"swatches": swatches, "portions": PORTIONS})
        steps = [row["to_next"] for row in found["portions"][:-1]]
        assert any("could not be made equal" in note for note in found["notes"]) == (max(steps) > 1.02 * min(steps))
        assert (max(steps) > 1.02 * min(steps)) == (swatches is astray)
