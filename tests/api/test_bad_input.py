"""What a person gets on a mistake: the words, the location, all errors at once."""

from __future__ import annotations

from typing import Any

import pytest
from flask.testing import FlaskClient
from kettlewright.app import create_app
from werkzeug.test import TestResponse

from api.bodies import BATCH, BOX, BY_SHARE, CUTS, LYE, PORTIONS, changed


def problem(reply: TestResponse, status: int = 422) -> dict[str, Any]:
    """The problem of a reply, its form checked."""
    assert reply.status_code == status, reply.text
    assert reply.content_type == "application/problem+json"
    found = reply.json
    assert found is not None
    assert list(found) == ["type", "title", "status", "detail", "instance", "errors",
                           *(["request_id"] if status == 500 else [])]
    assert found["status"] == status
    assert found["type"].startswith("/problems/")
    for inside in ("Traceback", "marshmallow", "werkzeug", "flask", ".py"):
        assert inside not in reply.text
    return found


def faults(reply: TestResponse) -> dict[str, str]:
    return {fault["pointer"]: fault["detail"] for fault in problem(reply)["errors"]}


ADDITION = {"name": "red iron oxide", "kind": "colourant", "dose": 6, "basis": "g_per_kg_batter"}
OWN = {"name": "shea, lot 7", "saponification_value": {"min": 178, "max": 182}, "mass": 200}
STOCK_40 = [{"alkali": "NaOH", "stock": {"concentration_pct": 40}}]
TOO_MUCH = [{"fat": "olive", "mass": 9000}]

WRONG: list[tuple[str, str, dict[str, Any], str, Any, str, str]] = [
    # what, path, right body, pointer spoiled, value, pointer of the error, words
    ("an unknown fat", "/v1/lye", LYE, "/fats/0/fat", "olive pomice", "/fats/0/fat",
     'or olive-pomace oil ("olive_pomace"'),
    ("a fat nobody knows", "/v1/lye", LYE, "/fats/0/fat", "zzzz", "/fats/0/fat", "The list is at /v1/fats."),
    ("shares that miss 100", "/v1/batches", BATCH, "/recipe/fats/0/share_pct", 85, "/recipe/fats",
     "The shares of the fats add up to 115; they must add up to 100: lower one by 15."),
    ("shares that fall short", "/v1/batches", BATCH, "/recipe/fats/0/share_pct", 69.9, "/recipe/fats",
     "raise one by 0.1"),
    ("portions that miss 100", "/v1/portions", PORTIONS, "/portions/0/share_pct", 45, "/portions",
     "The shares of the portions add up to 105"),
    ("mass beside share", "/v1/lye", LYE, "/fats/0/share_pct", 50, "/fats/0/mass", "both were given"),
    ("neither mass nor share", "/v1/lye", LYE, "/fats/0/mass", ..., "/fats/0/mass", "neither was given"),
    ("some by mass, some by share", "/v1/lye", LYE, "/fats/0", {"fat": "olive", "share_pct": 70}, "/fats",
     'Some fats have "mass" and some "share_pct"'),
    ("shares where a mass is needed", "/v1/lye", LYE, "/fats", BY_SHARE["fats"], "/fats/0/share_pct",
     "request a size at /v1/scaling"),
    ("an own fat with a table key", "/v1/lye", LYE, "/fats/0/name", "mine", "/fats/0/fat", "both were given"),
    ("a table fat with a value of its own", "/v1/lye", LYE, "/fats/0/saponification_value", {"min": 180, "max": 190},
     "/fats/0/saponification_value", 'give the fat a "name" instead of "fat"'),
    ("an own fat without its value", "/v1/lye", LYE, "/fats/0", {"name": "mine", "mass": 5},
     "/fats/0/saponification_value", "The certificate of the lot states it"),
    ("min above max", "/v1/lye", LYE, "/fats/0", {**OWN, "saponification_value": {"min": 190, "max": 180}},
     "/fats/0/saponification_value/min", "The minimum (190) is greater than the maximum (180)"),
    ("a value of another alkali's scale", "/v1/lye", LYE, "/fats/0",
     {**OWN, "saponification_value": {"min": 0.128, "max": 0.135}}, "/fats/0/saponification_value/min",
     "looks like grams of alkali per gram of fat"),
    ("a value no fat has", "/v1/lye", LYE, "/fats/0",
     {**OWN, "saponification_value": {"min": 40, "max": 135}}, "/fats/0/saponification_value/min",
     "from 60 to 400 mg KOH per g"),
    ("no fats", "/v1/lye", LYE, "/fats", [], "/fats", "needs at least 1 item"),
    ("fats left out", "/v1/lye", LYE, "/fats", ..., "/fats", "fats is required"),
    ("a doubled fat", "/v1/lye", LYE, "/fats/1/fat", "olive", "/fats/1", '"olive" appears twice'),
    ("a negative mass", "/v1/lye", LYE, "/fats/0/mass", -3, "/fats/0/mass",
     "A mass of -3 g is not possible here; it must be above 0 (from 0.000001 g) and at most 1,000 kg."),
    ("a mass of zero", "/v1/lye", LYE, "/fats/0/mass", 0, "/fats/0/mass", "A mass of 0 g"),
    ("ten tonnes", "/v1/lye", LYE, "/fats/0/mass", 1e7, "/fats/0/mass", "at most 1,000 kg"),
    ("an absurd mass", "/v1/lye", LYE, "/fats/0/mass", 1e308, "/fats/0/mass", "at most 1,000 kg"),
    ("a number as text", "/v1/lye", LYE, "/fats/0/mass", "700", "/fats/0/mass", "write it without quotes"),
    ("a comma for a point", "/v1/lye", LYE, "/fats/0/mass", "1,5", "/fats/0/mass", "a point for decimals: 1.5"),
    ("true as a number", "/v1/lye", LYE, "/superfat_pct", True, "/superfat_pct", "true is not a number"),
    ("null as a number", "/v1/lye", LYE, "/superfat_pct", None, "/superfat_pct", "leave the field out"),
    ("an unknown field", "/v1/lye", LYE, "/superfatt_pct", 5, "/superfatt_pct", 'Did you mean "superfat_pct"?'),
    ("an unknown field deep inside", "/v1/lye", LYE, "/alkalis/0/purty_pct", 5, "/alkalis/0/purty_pct",
     'Did you mean "purity_pct"?'),
    ("a field that is still to come", "/v1/lye", LYE, "/dates", {}, "/dates", 'Unknown field "dates"'),
    ("a superfat below 0", "/v1/lye", LYE, "/superfat_pct", -0.1, "/superfat_pct", "from 0 to 50"),
    ("a superfat above 50", "/v1/lye", LYE, "/superfat_pct", 50.1, "/superfat_pct", "from 0 to 50"),
    ("a purity below 50", "/v1/lye", LYE, "/alkalis/0/purity_pct", 49, "/alkalis/0/purity_pct", "from 50 to 100"),
    ("a purity above 100", "/v1/lye", LYE, "/alkalis/0/purity_pct", 101, "/alkalis/0/purity_pct", "from 50 to 100"),
    ("potassium hydroxide without a purity", "/v1/lye", LYE, "/alkalis/0", {"alkali": "KOH"},
     "/alkalis/0/purity_pct", "Potassium hydroxide is never sold pure"),
    ("two statements of purity", "/v1/lye", LYE, "/alkalis/0/purity_at_least_pct", 97, "/alkalis/0/purity_at_least_pct",
     "not both"),
    ("a purity beside a stock", "/v1/lye", LYE, "/alkalis/0/stock", {"concentration_pct": 50}, "/alkalis/0/purity_pct",
     "would count twice"),
    ("the same alkali twice", "/v1/lye", LYE, "/alkalis/-", {"alkali": "NaOH"}, "/alkalis", '"NaOH" appears twice'),
    ("two alkalis without shares", "/v1/lye", LYE, "/alkalis/-", {"alkali": "KOH", "purity_pct": 90},
     "/alkalis/0/share_pct", "by equivalents of fat"),
    ("two ways to say water", "/v1/lye", LYE, "/water/lye_concentration_pct", 33, "/water",
     "lye_concentration_pct and water_to_alkali were given"),
    ("no way to say water", "/v1/lye", LYE, "/water", {}, "/water", "none was given"),
    ("water left out", "/v1/lye", LYE, "/water", ..., "/water", "water is required"),
    ("an unknown acid", "/v1/lye", LYE, "/acids", [{"acid": "citric", "mass": 5}], "/acids/0/acid",
     "citric_anhydrous"),
    ("an acid by mass beside shares", "/v1/batches", BATCH, "/recipe/acids", [{"acid": "lactic", "mass": 5}],
     "/recipe/acids/0/mass", 'give the acids as "pct_of_fats"'),
    ("lye beyond what dissolves", "/v1/lye", LYE, "/water", {"water_to_alkali": 0.9}, "/water",
     "above 50 % it does not stay dissolved"),
    ("a stock weaker than the lye", "/v1/lye", changed(LYE, "/alkalis", STOCK_40), "/water/water_to_alkali", 1.2,
     "/water", "the stock is weaker than the target"),
    ("a fat that is nothing on this scale", "/v1/lye", LYE, "/fats/0/mass", 0.3, "/fats/0",
     "rounds to zero on a scale that reads in 1 g steps"),
    ("an unknown unit", "/v1/lye", LYE, "/units", {"mass": "stone"}, "/units/mass", "it is one of g, kg, oz, lb"),
    ("an acid among the additions", "/v1/portions", PORTIONS, "/additions",
     [{**ADDITION, "name": "citric acid", "kind": "other"}], "/additions/0/name", 'put it into "acids"'),
    ("milk among the additions", "/v1/portions", PORTIONS, "/portions/0/additions",
     [{**ADDITION, "name": "goat's milk", "kind": "other"}], "/portions/0/additions/0/name",
     "replaces water of the lye"),
    ("additions heavier than their portion", "/v1/portions", PORTIONS, "/portions/0/additions",
     [{**ADDITION, "dose": 2500, "basis": "mass"}], "/portions/0/additions", "more than its plain batter (2000 g)"),
    ("a dose on fats nobody weighed", "/v1/portions", changed(PORTIONS, "/batter/fats_mass", ...),
     "/portions/0/additions", [{**ADDITION, "basis": "pct_of_fats"}], "/portions/0/additions/0/basis",
     'give "fats_mass" of the batter'),
    ("a limit without a loss in cure", "/v1/portions", PORTIONS, "/portions/0/additions",
     [{**ADDITION, "limit_pct": 2}], "/expected_loss_pct", "applies to the cured bar"),
    ("two portions of one name", "/v1/portions", PORTIONS, "/portions/1/name", "Red!", "/portions/1/name",
     'There are two of "red"'),
    ("a powder without a mould", "/v1/portions", PORTIONS, "/portions/0/dusting", {"name": "kaolin", "coverage": 60},
     "/portions/0/dusting", "give the mould"),
    ("portions by mass that leave batter over", "/v1/portions", PORTIONS, "/portions",
     [{"name": "a", "mass": 1000}, {"name": "b", "mass": 2000}], "/portions",
     "2000 g less plain batter than the 5000 g"),
    ("a colour that is none", "/v1/portions", PORTIONS, "/portions/0/colour", "red1", "/portions/0/colour",
     'a colour such as "#7d2f22"'),
    ("an overfilled mould", "/v1/batches", BATCH, "/recipe", {**LYE, "fats": TOO_MUCH}, "/mould",
     "The batch overfills the mould by"),
    ("an overfilled mould at the portions", "/v1/portions", PORTIONS, "/mould", {**BOX, "depth": 30}, "/mould",
     "overfills the mould by 2628.8 g"),
    ("a shape nobody knows", "/v1/moulds", {"mould": BOX}, "/mould/shape", "heart", "/mould/shape",
     "It is one of box, tapered_box"),
    ("a dimension of another shape", "/v1/moulds", {"mould": BOX}, "/mould/diameter", 5, "/mould/diameter",
     'Unknown field "diameter"'),
    ("a dimension left out", "/v1/moulds", {"mould": BOX}, "/mould/depth", ..., "/mould/depth", "is required"),
    ("a headspace deeper than the mould", "/v1/moulds", {"mould": BOX}, "/mould/headspace", 60, "/mould/headspace",
     "leaves no space in a mould 60 mm deep"),
    ("a liner thicker than half the width", "/v1/moulds", {"mould": BOX}, "/mould/liner", 130, "/mould/liner",
     "leaves no space in a width of 260 mm"),
    ("no moulds", "/v1/moulds", {"mould": BOX}, "/mould/count", 0, "/mould/count", "from 1 to 500"),
    ("half a mould", "/v1/moulds", {"mould": BOX}, "/mould/count", 1.5, "/mould/count", "not a whole number"),
    ("more than the mould takes", "/v1/moulds", {"mould": BOX}, "/fill", {"volume": 6000}, "/fill/volume",
     "664.8 mL more than the mould holds"),
    ("a fill by mass without density", "/v1/moulds", {"mould": BOX}, "/fill", {"mass": 10}, "/fill/density",
     'needs the "density"'),
    ("bars larger than the block", "/v1/cuts", CUTS, "/bar/thickness", 500, "/bar/thickness",
     "A bar of 500 mm does not fit into the remaining 392 mm"),
    ("loaves larger than the block", "/v1/cuts", CUTS, "/loaf/width", 321, "/loaf/width",
     "A loaf of 321 mm does not fit into"),
    ("kerf that eats the loaf", "/v1/cuts", changed(CUTS, "/kerf", 50), "/bar", {"count": 20}, "/bar/count",
     "the cuts use up the whole loaf"),
    ("trims that leave nothing", "/v1/cuts", CUTS, "/trim", {"start": 200, "end": 200}, "/trim", "use up a width"),
    ("a bar by mass without density", "/v1/cuts", CUTS, "/bar", {"mass": 100}, "/density", "needs the"),
    ("two ways to say a bar", "/v1/cuts", CUTS, "/bar/count", 3, "/bar", "exactly one of"),
    ("more bars than a workshop cuts", "/v1/cuts", changed(CUTS, "/kerf", 0), "/bar/thickness", 0.1, "/bar/thickness",
     "Check the unit."),
    ("a cut of a bowl", "/v1/batches", changed(BATCH, "/mould", {"shape": "bowl", "diameter": 75, "depth": 30,
                                                                    "count": 6}),
     "/cut", {"bar": {"thickness": 25}}, "/cut", "each cavity is a bar. Leave out the cut"),
    ("rounds in loaves", "/v1/batches", changed(BATCH, "/mould", {"shape": "cylinder", "diameter": 75, "depth": 200}),
     "/cut", {"bar": {"thickness": 25}, "loaf": {"width": 30}}, "/cut/loaf", "cut along its length only"),
    ("a dimension missing", "/v1/moulds",
     {"mould": {"shape": "trough", "length": 250, "width": 90, "depth": 80}}, "/mould/headspace", 0,
     "/mould/base_width", "is required"),
    ("a dimension too many", "/v1/moulds", {"mould": BOX}, "/mould/diameter", 75, "/mould/diameter",
     'Unknown field "diameter"'),
    ("a rim and a base mixed up", "/v1/moulds", {"mould": {
        "shape": "cone_frustum", "diameter": 60, "base_diameter": 60, "depth": 50}}, "/mould/base_diameter", 80,
     "/mould/base_diameter", "the two are swapped"),
    ("a polygon of two sides", "/v1/moulds", {"mould": {"shape": "prism", "sides": 6, "side": 30, "depth": 50}},
     "/mould/sides", 2, "/mould/sides", "from 3 to 100"),
    ("layers deeper than the mould", "/v1/batches", BATCH, "/portions", [{"name": "a", "layer_depth": 300}],
     "/portions/0/layer_depth", "below its headspace the mould is only"),
    ("a bevel that meets itself", "/v1/cuts", CUTS, "/bevel", 12.5, "/bevel", "overlap on a bar 25 mm thick"),
    ("planing it all away", "/v1/cuts", CUTS, "/planing", 60, "/planing", "uses up a block 60 mm high"),
    ("a factor on shares", "/v1/scaling", {"recipe": BY_SHARE, "target": {}}, "/target", {"factor": 2},
     "/target/factor", "no size to multiply"),
    ("two targets", "/v1/scaling", {"recipe": LYE, "target": {"factor": 2}}, "/target/fats_mass", 5, "/target",
     "exactly one of"),
    ("a limiting fat the recipe has not", "/v1/scaling", {"recipe": LYE, "target": {}}, "/target",
     {"limiting": {"kind": "fat", "key": "shea", "mass": 5}}, "/target/limiting/key", "It has olive, coconut"),
    ("a name of nothing", "/v1/portions", PORTIONS, "/portions/0/name", "  ", "/portions/0/name",
     "at least one letter or digit"),
    ("a name without end", "/v1/portions", PORTIONS, "/portions/0/name", "x" * 201, "/portions/0/name",
     "at most 200 are allowed"),
    ("a name with a line break", "/v1/portions", PORTIONS, "/portions/0/name", "a\nb", "/portions/0/name",
     "cannot be printed"),
    ("a list for an object", "/v1/lye", LYE, "/water", [], "/water", "must be an object"),
    ("an object for a list", "/v1/lye", LYE, "/fats", {}, "/fats", "must be a list"),
    ("too many fats", "/v1/lye", LYE, "/fats", [OWN] * 61, "/fats", "has 61 items; at most 60 are allowed"),
]


@pytest.mark.parametrize(("path", "right", "spoiled", "value", "pointer", "words"), [row[1:] for row in WRONG],
                         ids=[row[0] for row in WRONG])
def test_the_answer_says_where_and_what(client: FlaskClient, path: str, right: dict[str, Any], spoiled: str,
                                        value: Any, pointer: str, words: str) -> None:
    errors = faults(client.post(path, json=changed(right, spoiled, value)))
    assert pointer in errors, errors
    assert words in errors[pointer]


@pytest.mark.parametrize(("path", "body"), [
    ("/v1/lye", LYE), ("/v1/batches", BATCH), ("/v1/portions", PORTIONS), ("/v1/cuts", CUTS),
    ("/v1/moulds", {"mould": BOX}), ("/v1/scaling", {"recipe": BY_SHARE, "target": {"fats_mass": 1000}})])
def test_the_bodies_that_are_spoiled_are_right(client: FlaskClient, path: str, body: dict[str, Any]) -> None:
    assert client.post(path, json=body).status_code == 200


def test_all_errors_are_reported_at_once(client: FlaskClient) -> None:
    errors = faults(client.post("/v1/lye", json={
        "fats": [{"fat": "olive pomice", "mass": "1,5"}, {"fat": "coconut", "mas": 300}, {**OWN, "mass": -1}],
        "superfat_pct": -1, "alkalis": [{"alkali": "KOH"}], "water": {}, "units": {"length": "ell"}, "colour": "red"}))
    assert set(errors) == {"/fats/0/fat", "/fats/0/mass", "/fats/1/mas", "/fats/2/mass", "/superfat_pct",
                           "/alkalis/0/purity_pct", "/water", "/units/length", "/colour"}


def test_the_detail_has_the_first_error_and_the_number_of_the_others(client: FlaskClient) -> None:
    body = changed(changed(LYE, "/superfat_pct", 60), "/water", {})
    assert problem(client.post("/v1/lye", json=body))["detail"].endswith("(1 more below)")


def test_values_are_reported_in_the_unit_they_were_given_in(client: FlaskClient) -> None:
    body = {**changed(LYE, "/fats/0/mass", 2000), "units": {"mass": "kg"}}
    assert "A mass of 2000 kg is not possible" in faults(client.post("/v1/lye", json=body))["/fats/0/mass"]


def test_an_acid_or_milk_in_the_name_of_a_scent_is_a_scent(client: FlaskClient) -> None:
    scent = {"name": "milk and honey", "kind": "fragrance", "dose": 3, "basis": "pct_of_fats"}
    powder = {"name": "oat milk powder", "kind": "other", "dose": 3, "basis": "pct_of_fats"}
    assert client.post("/v1/portions", json={**PORTIONS, "additions": [scent, powder]}).status_code == 200


def test_nothing_at_an_address_says_so(client: FlaskClient) -> None:
    for path in ("/v1/lyes", "/v1//lye", "/v1/lye/"):
        assert "The operations are listed at /docs" in problem(client.post(path, json=LYE), 404)["detail"]


def test_an_unknown_fat_at_its_own_address_names_the_nearest(client: FlaskClient) -> None:
    assert 'olive-pomace oil ("olive_pomace"' in problem(client.get("/v1/fats/olive_pomice"), 404)["detail"]


def test_a_wrong_method_names_the_right_one(client: FlaskClient) -> None:
    reply = client.get("/v1/labels")
    assert "it takes" in problem(reply, 405)["detail"]
    assert "POST" in reply.headers["Allow"]
    assert client.delete("/v1/fats").status_code == 405
    assert client.open("/v1/fats", method="TRACE").content_type == "application/problem+json"


def test_an_answer_in_a_form_that_is_not_offered(client: FlaskClient) -> None:
    refusal = problem(client.post("/v1/lye", json=LYE, headers={"Accept": "image/png"}), 406)
    assert refusal["detail"].startswith("This answer comes as application/json")
    assert "text/html, image/svg+xml" in problem(
        client.post("/v1/batches", json=BATCH, headers={"Accept": "application/pdf"}), 406)["detail"]
    assert '"pdf" is not one of json, html, svg' in faults(client.post("/v1/batches?format=pdf", json=BATCH))["/format"]


def test_the_query_is_as_strict_as_the_body(client: FlaskClient) -> None:
    assert "not known in this address" in faults(client.post("/v1/lye?superfat=5", json=LYE))["/superfat"]
    assert 'Unknown field "serch". Did you mean "search"?' in faults(client.get("/v1/fats?serch=olive"))["/serch"]
    assert "appears twice in the address" in faults(client.get("/v1/fats?kind=wax_ester&kind=fatty_acid"))["/kind"]
    assert "it is one of triglyceride" in faults(client.get("/v1/fats?kind=wax"))["/kind"]


def test_an_address_too_long(client: FlaskClient) -> None:
    refusal = problem(client.get("/v1/fats?search=" + "x" * 2100), 414)
    assert "at most 2,048 are taken" in refusal["detail"]
    assert client.get("/v1/fats?search=" + "x" * 190).status_code == 200


def test_what_fails_inside_is_reported_without_the_inside(monkeypatch: pytest.MonkeyPatch) -> None:
    from kettlewright.api.endpoints import lye as endpoint

    def broken(*_: Any, **__: Any) -> None:
        raise RuntimeError("secret of the house")

    monkeypatch.setattr(endpoint.plan, "plan_lye", broken)
    reply = create_app().test_client().post("/v1/lye", json=LYE)
    assert "secret" not in reply.text
    assert problem(reply, 500)["title"] == "The service failed"


@pytest.mark.parametrize("slug", ["wrong-input", "unreadable-body", "not-found", "address-too-long"])
def test_each_type_of_problem_has_a_page(client: FlaskClient, slug: str) -> None:
    reply = client.get(f"/problems/{slug}")
    assert (reply.status_code, reply.mimetype) == (200, "text/html")
