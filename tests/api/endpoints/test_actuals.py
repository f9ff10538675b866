"""/v1/batches/actuals over the wire: whose plan it is, units, pointers, the safe answer."""

from __future__ import annotations

from typing import Any

import pytest
from api.bodies import BATCH, BOX, changed
from flask.testing import FlaskClient
from kettlewright.api.endpoints.batches import NO_FIGURE_DEPENDS_ON
from kettlewright.identity import identity_of
from kettlewright.reference import DATA_VERSION


def planned(client: FlaskClient, body: dict[str, Any]) -> dict[str, Any]:
    reply = client.post("/v1/batches", json=body)
    assert reply.status_code == 200, reply.text
    found: dict[str, Any] = reply.json
    return found


def actuals(client: FlaskClient, body: dict[str, Any], **more: Any) -> dict[str, Any]:
    report = {"plan": body, "identity": planned(client, body)["identity"], **more}
    reply = client.post("/v1/batches/actuals", json=report)
    found: dict[str, Any] = reply.json
    return {**found, "status_code": reply.status_code}


def weigh(plan: dict[str, Any], key: str) -> float:
    return next(float(row["weigh"]) for row in plan["weigh_list"] if row["key"] == key)


def test_what_was_weighed_is_reported_beside_the_plan(client: FlaskClient) -> None:
    plan = planned(client, BATCH)
    found = actuals(client, BATCH, stage="lye_made", weighed=[
        {"where": "jug", "key": "NaOH", "mass": weigh(plan, "NaOH") + 30, "lot": "N-27"}])
    assert found["next_action"]["what"] == "use_part_of_lye"
    assert found["after"]["superfat"]["achieved_pct"] >= 5
    row = next(row for row in found["difference"] if row["key"] == "NaOH")
    assert (row["state"], row["off"], row["lot"], row["unit"]) == ("off", pytest.approx(30), "N-27", "g")
    assert [row["state"] for row in found["difference"] if row["key"] != "NaOH"] == ["not_told"] * 3
    assert found["identity"] == plan["identity"]
    assert found["as_weighed"]["solution"]["concentration_pct"] > plan["lye"]["solution"]["concentration_pct"]
    assert "alkali-corrosive" in found["standing_cautions"]


def test_a_lye_heavy_batch_is_a_danger_and_never_poured(client: FlaskClient) -> None:
    plan = planned(client, BATCH)
    for stage, what in (("lye_made", "use_part_of_lye"), ("in_pot", "do_not_pour"), ("poured", "rebatch_or_discard")):
        found = actuals(client, BATCH, stage=stage, weighed=[
            {"where": "jug", "key": "NaOH", "mass": weigh(plan, "NaOH") * 1.2}])
        assert (found["worst_severity"], found["next_action"]["what"]) == ("danger", what)
        assert found["as_weighed"]["superfat"]["achieved_pct"] < 0
    assert {"superfat-negative", "rebatch-or-discard"} <= {caution["key"] for caution in found["cautions"]}


def test_the_same_body_gives_the_same_bytes(client: FlaskClient) -> None:
    body = {"plan": BATCH, "identity": planned(client, BATCH)["identity"], "stage": "fats"}
    one, other = (client.post("/v1/batches/actuals", json=body) for _ in range(2))
    assert one.status_code == 200
    assert one.data == other.data
    assert one.headers["Cache-Control"] == "no-store"


def test_actuals_of_another_plan_are_refused(client: FlaskClient) -> None:
    identity = planned(client, BATCH)["identity"]
    other = changed(BATCH, "/recipe/superfat_pct", 6)
    reply = client.post("/v1/batches/actuals", json={"plan": other, "identity": identity, "stage": "fats"})
    assert reply.status_code == 422
    error, = reply.json["errors"]
    assert error["pointer"] == "/identity"
    assert error["detail"].startswith("The identity does not match the plan")
    assert "this body is not the one" in error["detail"]
    assert error["allowed"] == planned(client, other)["identity"]


@pytest.mark.parametrize(("then", "more"), [("2026.1", {}), ("2025.7", {"data_version": "2025.7"})])
def test_where_only_the_data_is_other_it_says_so(client: FlaskClient, then: str, more: dict[str, str]) -> None:
    identity = identity_of(BATCH, then, leave_out=NO_FIGURE_DEPENDS_ON)
    reply = client.post("/v1/batches/actuals", json={"plan": BATCH, "identity": identity, "stage": "fats", **more})
    assert reply.status_code == 422
    assert f"planned with data {then} and this service has {DATA_VERSION}" in reply.json["errors"][0]["detail"]


def test_what_changes_no_figure_may_change(client: FlaskClient) -> None:
    identity = planned(client, BATCH)["identity"]
    reply = client.post("/v1/batches/actuals", json={"plan": {**BATCH, "workings": True}, "identity": identity,
                                                     "stage": "fats"})
    assert reply.status_code == 200


def test_the_units_of_the_plan_govern_rows_texts_and_reply(client: FlaskClient) -> None:
    oil = {"name": "cedar", "kind": "fragrance", "dose": 2, "basis": "pct_of_fats"}
    body = {**BATCH, "units": {"mass": "oz", "dose": "g"}, "additions": [oil]}
    plan = planned(client, body)
    found = actuals(client, body, stage="in_pot", weighed=[
        {"where": "jug", "key": "NaOH", "mass": weigh(plan, "NaOH") + 3},
        {"where": "pot", "key": "cedar", "mass": weigh(plan, "cedar") + 4}])
    off = {row["key"]: (row["off"], row["unit"]) for row in found["difference"] if row["state"] == "off"}
    assert off == {"NaOH": (pytest.approx(3), "oz"), "cedar": (pytest.approx(4), "g")}
    action = found["next_action"]
    assert (action["what"], action["unit"], found["units"]["mass"]) == ("do_not_pour", "oz", "oz")
    assert f"Stir in {action['weigh']:.6g} oz" in action["message"]
    grams = actuals(client, {**BATCH, "additions": [oil]}, stage="in_pot")
    assert found["as_weighed"]["batter"]["mass"] * 28.349523125 == pytest.approx(
        grams["as_weighed"]["batter"]["mass"] + 3 * 28.349523125, rel=2e-3)


@pytest.mark.parametrize(("stage", "rows", "said"), [
    ("fats", {}, "Die Lauge wie geplant ansetzen: Die Fette sind wie geplant. Die Überfettung beträgt"),
    ("fats", {"coconut": 30}, "Nicht die geplante Alkalimenge abwiegen (Kokosöl: 30 g zu viel)"),
    ("lye_made", {"NaOH": 30.5}, "Nicht die ganze Lauge in die Fette gießen: Der Ansatz hätte dann "
     "überschüssiges Alkali."),
    ("lye_made", {"water": -200, "NaOH": 30.5}, "(Wasser: 200 g zu wenig; Natriumhydroxid: 30,5 g zu viel)"),
    ("in_pot", {}, "Jetzt gießen. Die Überfettung beträgt"),
    ("in_pot", {"NaOH": 30.5}, "Nicht gießen: Der Ansatz enthält überschüssiges Alkali."),
    ("in_pot", {"NaOH": 30.5}, "Schutzbrille und Schutzhandschuhe anbehalten"),
    ("poured", {"NaOH": 30.5}, "Nicht für die Haut und nicht für den Verkauf"),
    ("poured", {"NaOH": 24}, "pH-Papier beweist nichts")])
def test_the_next_action_is_said_in_the_language_of_the_request(client: FlaskClient, stage: str,
                                                                rows: dict[str, float], said: str) -> None:
    plan = planned(client, BATCH)
    where = {row["key"]: row["where"] for row in plan["weigh_list"]}
    more: dict[str, Any] = {"stage": stage, "weighed": [
        {"where": where[key], "key": key, "mass": weigh(plan, key) + off} for key, off in rows.items()]}
    english, german = (actuals(client, BATCH, **more, locale=locale) for locale in ("en", "de"))
    assert said in german["next_action"]["message"]
    assert german["locale"] == "de"
    assert {**german["next_action"], "message": ""} == {**english["next_action"], "message": ""}
    names = {row["key"]: row["name"] for row in german["difference"] + german["still_to_weigh"]}
    assert names.get("water", "Wasser") == "Wasser"
    assert "where" not in {key for one, other in zip(english["difference"], german["difference"], strict=True)
                           for key in one if one[key] != other[key]}


def test_names_of_rows_are_said_in_the_language_of_the_request(client: FlaskClient) -> None:
    body = {**BATCH, "residue": {"pot": 10, "kept_back": 100}, "portions": [{"name": "only", "share_pct": 100}]}
    found = actuals(client, body, stage="poured", locale="de")
    names = {(row["where"], row["key"]): row["name"] for row in found["difference"]}
    assert names["jug", "NaOH"] == "Natriumhydroxid"
    assert names["bucket", "only"] == "Seifenleim für only"
    assert "Seifenleim" in names["aside", "kept_back"]
    assert names["pot", "coconut"] == "Kokosöl"  # a name of the tables


def test_why_the_batter_cannot_be_shared_out_is_said_in_german_and_refused_in_english(client: FlaskClient) -> None:
    parts = [{"name": "a", "share_pct": 60}, {"name": "b", "share_pct": 40}]
    body = {**BATCH, "portions": parts}
    found = actuals(client, body, stage="poured", locale="de",
                    weighed=[{"where": "bucket", "portion": "a", "key": "a", "mass": 9000.5}])
    assert found["next_action"]["message"].startswith("Die gewogenen Becher enthalten 9000,5 g")
    clay = {"name": "white clay", "kind": "clay", "dose": 5000, "basis": "mass"}
    heavy = {**body, "portions": [{**parts[0], "additions": [clay]}, parts[1]]}
    refused = client.post("/v1/batches", json={**heavy, "locale": "de"})
    assert refused.status_code == 422
    assert "more than its plain batter" in refused.json["errors"][0]["detail"]
    over = actuals(client, {**heavy, "portions": [{**parts[0], "additions": [{**clay, "dose": 50}]}, parts[1]]},
                   stage="poured", locale="de",
                   weighed=[{"where": "bucket", "portion": "a", "key": "white_clay", "mass": 5000}])
    assert over["next_action"]["message"].startswith("Die Zusätze von „a“ wiegen 5000 g, mehr als der Seifenleim dafür")


def test_the_language_is_given_beside_the_plan_and_not_in_it(client: FlaskClient) -> None:
    german_plan = {**BATCH, "locale": "de"}
    found = actuals(client, german_plan, stage="in_pot")
    assert (found["locale"], found["next_action"]["message"][:12]) == ("en", "Did you weig")
    assert found["identity"] == planned(client, BATCH)["identity"]
    assert actuals(client, german_plan, stage="in_pot", locale="de")["next_action"]["message"].startswith("Haben Sie ")
    refused = actuals(client, BATCH, stage="in_pot", locale="fr")
    assert (refused["status_code"], refused["errors"][0]["pointer"]) == (422, "/locale")


def test_own_fats_of_the_plan_are_known(client: FlaskClient) -> None:
    body: dict[str, Any] = {
        **BATCH, "own_fats": [{"key": "press", "name": "own press", "saponification_value": {"min": 188, "max": 192}}],
        "recipe": {**BATCH["recipe"], "fats": [{"fat": "press", "share_pct": 70}, {"fat": "coconut", "share_pct": 30}]}}
    found = actuals(client, body, stage="fats", weighed=[{"where": "pot", "key": "press", "mass": 2000}])
    assert found["status_code"] == 200
    assert found["next_action"]["what"] == "weigh"


def test_errors_of_the_plan_point_into_the_plan_and_those_of_rows_at_the_rows(client: FlaskClient) -> None:
    too_strong = changed(BATCH, "/recipe/water", {"water_to_alkali": 0.7})
    identity = identity_of(too_strong, DATA_VERSION, leave_out=NO_FIGURE_DEPENDS_ON)
    reply = client.post("/v1/batches/actuals", json={"plan": too_strong, "identity": identity, "stage": "fats"})
    assert [error["pointer"] for error in reply.json["errors"]] == ["/plan/recipe/water"]
    found = actuals(client, BATCH, stage="fats", weighed=[{"where": "pot", "key": "olve", "mass": 3},
                                                          {"where": "pot", "key": "coconut", "mass": -1}])
    assert [error["pointer"] for error in found["errors"]] == ["/weighed/1/mass"]
    found = actuals(client, BATCH, stage="fats", rescue_with="tea",
                    weighed=[{"where": "pot", "key": "olve", "mass": 3}])
    assert [error["pointer"] for error in found["errors"]] == ["/weighed/0/key", "/rescue_with"]


@pytest.mark.parametrize(("more", "pointer"), [
    ({"units": {"mass": "g"}}, "/units"), ({"plan": 3}, "/plan"), ({"stage": "stirred"}, "/stage"),
    ({"weighed": [{"where": "pot", "key": "olive"}]}, "/weighed/0/mass"), ({"bars": {"count": 3}}, "/bars"),
    ({"weighings": [{"day": 0, "mass": 3}]}, "/weighings"), ({"identity": None}, "/identity")])
def test_what_is_wrong_is_reported_at_its_place(client: FlaskClient, more: dict[str, Any], pointer: str) -> None:
    body = {"plan": BATCH, "identity": planned(client, BATCH)["identity"], "stage": "fats", **more}
    reply = client.post("/v1/batches/actuals", json=body)
    assert reply.status_code == 422
    assert pointer in [error["pointer"] for error in reply.json["errors"]]


def test_weighings_that_no_curve_fits_are_refused_at_their_place(client: FlaskClient) -> None:
    body = {**BATCH, "cut": {"bar": {"thickness": 25}}}
    found = actuals(client, body, stage="cut", weighings=[{"day": 0, "mass": 140}, {"day": 7, "mass": 130}])
    assert found["status_code"] == 422
    assert found["errors"][0]["pointer"].startswith("/weighings")
    found = actuals(client, body, stage="cut", bars={"count": 3, "masses": [120]}, weighings=[
        {"day": day, "mass": mass} for day, mass in ((0, 140), (14, 130), (28, 125))])
    assert found["drying"]["curve"]["equilibrium_mass"] == pytest.approx(120)
    assert found["bars"]["mean_mass"] == 120


def test_a_plan_in_every_arrangement_is_poured_again_as_planned(client: FlaskClient) -> None:
    parts = [{"name": "a", "share_pct": 60}, {"name": "b", "share_pct": 40}]
    for arrangement, mould in (("layers", BOX), ("columns", BOX), ("mingled", BOX),
                               ("separate", {**BOX, "length": 100, "width": 100, "count": 2})):
        body = {**BATCH, "mould": mould, "portions": parts, "arrangement": arrangement}
        plan = planned(client, body)
        found = actuals(client, body, stage="poured")
        assert [one["weigh"] for one in found["pour"]["portions"]] == [one["weigh"] for one in plan["portions"]]
        assert [one["layer"] for one in found["pour"]["portions"]] == [one["layer"] for one in plan["portions"]]
