"""Labels over the wire: which bar lists what, in which words, and the errors of a wrong request."""

from __future__ import annotations

from typing import Any

import pytest
from api.bodies import BATCH, BOX, BY_SHARE, changed
from flask.testing import FlaskClient

SCENT = {"name": "lavender mix", "kind": "fragrance", "dose": 3, "basis": "pct_of_fats",
         "allergens": [{"cas": "78-70-6", "pct": 30}, {"name": "Linalyl Acetate", "pct": 20}]}
RED = {"name": "red iron oxide", "kind": "colourant", "dose": 6, "basis": "g_per_kg_batter", "inci": "CI 77491"}
OAT = {"name": "oat", "kind": "botanical", "dose": 2, "basis": "pct_of_fats", "inci": "Avena Sativa Kernel Meal"}
CUT = {"loaf": {"width": 85}, "bar": {"thickness": 25}, "kerf": 1, "trim": {"start": 4, "end": 4}}
TWO = [{"name": "red", "share_pct": 40, "additions": [RED, SCENT]},
       {"name": "oats", "share_pct": 60, "additions": [OAT]}]
BODY: dict[str, Any] = {**BATCH, "expected_loss_pct": 11, "portions": TWO, "cut": CUT, "label": {"market": "EU"}}
TUBE = {"shape": "cylinder", "diameter": 74, "depth": 240, "headspace": 10}


def sent(client: FlaskClient, body: dict[str, Any]) -> dict[str, Any]:
    reply = client.post("/v1/labels", json=body)
    assert reply.status_code == 200, reply.text
    assert reply.json is not None
    return dict(reply.json)


def labels(client: FlaskClient, body: dict[str, Any]) -> list[dict[str, Any]]:
    return list(sent(client, body)["label"]["labels"])


def names(bar: dict[str, Any]) -> list[str]:
    return [line["name"] for line in bar["ingredients"]]


def fault(client: FlaskClient, body: dict[str, Any]) -> dict[str, str]:
    reply = client.post("/v1/labels", json=body)
    assert reply.status_code == 422, reply.text
    assert reply.json is not None
    return {one["pointer"]: one["detail"] for one in reply.json["errors"]}


def with_label(**label: Any) -> dict[str, Any]:
    return {**BODY, "label": {"market": "EU", **label}}


def test_flat_layers_through_a_slab_put_everything_on_every_bar(client: FlaskClient) -> None:
    (bar,) = labels(client, BODY)
    assert bar["where"] == ["all bars"]
    assert bar["holds"] == ["red", "oats"]
    assert names(bar)[:4] == ["Olea Europaea Fruit Oil", "Cocos Nucifera Oil", "Aqua", "Sodium Hydroxide"]
    assert {"Parfum", "Linalool", "Linalyl Acetate", "Avena Sativa Kernel Meal"} < set(names(bar))
    assert names(bar)[-1] == "CI 77491"
    assert bar["text"] == f"Ingredients: {', '.join(names(bar))}."


def test_rounds_of_a_tube_list_what_their_own_layer_holds(client: FlaskClient) -> None:
    body = {**BODY, "mould": TUBE, "cut": {"bar": {"thickness": 25}}}
    found = labels(client, body)
    by_layers = {tuple(bar["holds"]): bar for bar in found}
    assert set(by_layers) == {("red",), ("red", "oats"), ("oats",)}
    assert sum(bar["count"] for bar in found) == client.post(
        "/v1/batches", json={key: value for key, value in body.items() if key != "label"}).json["cuts"]["bars"]["count"]
    red, oats = by_layers[("red",)], by_layers[("oats",)]
    assert "CI 77491" in names(red)
    assert "Parfum" in names(red)
    assert "Avena Sativa Kernel Meal" not in names(red)
    assert "CI 77491" not in names(oats)
    assert "Parfum" not in names(oats)
    assert oats["declared"] == []
    assert red["declared"] == ["Linalool", "Linalyl Acetate"]
    # only half of the scent's bars: the red bucket alone is more concentrated than red and oats together
    both = by_layers[("red", "oats")]
    assert red["allergens"][0]["concentration_pct"] > both["allergens"][0]["concentration_pct"]


def test_columns_are_listed_by_the_loaves_that_hold_them(client: FlaskClient) -> None:
    found = labels(client, {**BODY, "arrangement": "columns"})
    # 260 mm wide, red to about 105 mm: the loaves lie from 4 to 89 and from 90 to 175 mm
    assert [(bar["count"], bar["holds"]) for bar in found] == [(14, ["red"]), (14, ["red", "oats"])]
    assert "Avena Sativa Kernel Meal" not in names(found[0])
    whole = labels(client, {**BODY, "arrangement": "columns", "cut": {"bar": {"thickness": 25}}})
    assert [bar["holds"] for bar in whole] == [["red", "oats"]]


def share(bar: dict[str, Any], name: str) -> float:
    return float(next(line["share_pct"] for line in bar["ingredients"] if line["name"] == name))


def test_a_bar_holds_its_columns_by_their_width_and_its_layers_by_their_volume(client: FlaskClient) -> None:
    first, second = labels(client, {**BODY, "arrangement": "columns"})
    # red ends at 104.794 mm: of the loaf from 90 to 175 mm it takes 14.794 of 85 mm; buckets differ by their additions
    assert share(second, "CI 77491") / share(first, "CI 77491") == pytest.approx(14.794 / 85, rel=0.02)
    tube = {**BODY, "mould": TUBE, "cut": {"bar": {"thickness": 25}}}
    plan = client.post("/v1/batches", json={key: value for key, value in tube.items() if key != "label"}).json
    assert plan is not None
    (of_red,) = [layer["share_pct"] for kind in plan["cuts"]["kinds"] for layer in kind["layers"]
                 if len(kind["layers"]) == 2 and layer["key"] == "red"]
    found = {tuple(bar["holds"]): bar for bar in labels(client, tube)}
    red, both = found["red",], found["red", "oats"]
    assert share(both, "CI 77491") / share(red, "CI 77491") == pytest.approx(of_red / 100, rel=0.02)


def test_bars_of_one_list_are_chosen_by_the_one_that_holds_most_of_an_allergen(client: FlaskClient) -> None:
    weak, strong = ({**SCENT, "dose": dose} for dose in (2, 3))
    portions = [{"name": "weak", "share_pct": 50, "additions": [weak]},
                {"name": "strong", "share_pct": 50, "additions": [strong]}]
    (bar,) = labels(client, {**BODY, "portions": portions, "arrangement": "columns"})
    assert bar["where"] == ["the 14 bars of loaf 1", "the 14 bars of loaf 2"]
    pure = {}
    for name, scent in (("weak", weak), ("strong", strong)):
        (alone,) = labels(client, {**BODY, "portions": [{"name": name, "share_pct": 100, "additions": [scent]}]})
        pure[name] = alone["allergens"][0]["concentration_pct"]
    # weak takes 130 of 260 mm: the second loaf, from 90 to 175 mm, is of both; the first of weak alone
    assert pure["weak"] * 1.1 < bar["allergens"][0]["concentration_pct"] < pure["strong"] * 0.95


def test_an_allergen_that_is_an_ingredient_as_well_is_one_line(client: FlaskClient) -> None:
    body = changed(BODY, "/portions/0/additions/-", {"name": "preserver", "kind": "other", "dose": 0.5,
                                                     "basis": "pct_of_fats", "inci": "Benzyl alcohol"})
    body = changed(body, "/portions/0/additions/1/allergens", [{"name": "Benzyl Alcohol", "pct": 10}])
    (bar,) = labels(client, body)
    assert [name.casefold() for name in names(bar)].count("benzyl alcohol") == 1
    assert bar["declared"] == ["Benzyl Alcohol"]


def test_one_portion_to_a_cavity_has_a_label_each_and_alike_ones_share_theirs(client: FlaskClient) -> None:
    body = changed({**BODY, "arrangement": "separate", "mould": {"shape": "box", "length": 80, "width": 60, "depth": 30,
                                                                "count": 3}}, "/cut", ...)
    body["portions"] = [{"name": "red", "share_pct": 34, "additions": [RED]}, {"name": "plain", "share_pct": 33},
                        {"name": "white", "share_pct": 33}]
    found = labels(client, body)
    assert [(bar["count"], bar["holds"]) for bar in found] == [(1, ["red"]), (2, ["plain", "white"])]
    assert "CI 77491" not in names(found[1])


def test_a_swirl_has_everything_in_every_piece(client: FlaskClient) -> None:
    (bar,) = labels(client, {**BODY, "arrangement": "mingled"})
    assert {"CI 77491", "Avena Sativa Kernel Meal"} < set(names(bar))


def test_what_went_into_the_overflow_mould_has_a_label_of_its_own(client: FlaskClient) -> None:
    by_mass = {**BY_SHARE, "fats": [{"fat": "olive", "mass": 700}, {"fat": "coconut", "mass": 300}]}
    body = changed({**BODY, "recipe": by_mass, "mould": {"shape": "box", "length": 200, "width": 100, "depth": 50},
                    "overflow_mould": {"shape": "box", "length": 100, "width": 100, "depth": 60}}, "/cut", ...)
    main, over = labels(client, body)
    assert main["holds"] == ["red", "oats"]
    assert over["holds"] == ["oats"]
    assert "CI 77491" not in names(over)
    assert over["count"] is None
    assert over["net_quantity"] is None
    assert "overflow" in " ".join(row["message"] for row in sent(client, body)["label"]["missing"])


def test_a_swirl_overflows_with_everything_in_it_and_keeps_two_labels(client: FlaskClient) -> None:
    by_mass = {**BY_SHARE, "fats": [{"fat": "olive", "mass": 700}, {"fat": "coconut", "mass": 300}]}
    body = changed({**BODY, "recipe": by_mass, "mould": {"shape": "box", "length": 200, "width": 100, "depth": 50},
                    "overflow_mould": {"shape": "box", "length": 100, "width": 100, "depth": 60},
                    "arrangement": "mingled"}, "/cut", ...)
    main, over = labels(client, body)
    assert main["holds"] == over["holds"] == ["red", "oats"]
    assert main["text"] == over["text"]
    assert (main["count"], over["count"]) == (1, None)


def test_each_market_has_its_own_words_and_units(client: FlaskClient) -> None:
    eu, gb, us = (sent(client, {**BODY, "label": {"market": market}})["label"] for market in ("EU", "GB", "US"))
    assert {"Aqua", "Parfum", "CI 77491"} < set(names(eu["labels"][0])) == set(names(gb["labels"][0]))
    assert {"Water", "Fragrance", "Iron Oxides"} < set(names(us["labels"][0]))
    assert "Linalool" not in names(us["labels"][0])
    assert eu["labels"][0]["net_quantity"]["text"].endswith(" g")
    assert us["labels"][0]["net_quantity"]["text"].startswith("Net Wt ")
    assert "oz (" in us["labels"][0]["net_quantity"]["text"]
    assert gb["allergen_list"]["key"] == "long"
    assert "not known here" in gb["allergen_list"]["message"]
    assert [row["names"] for row in gb["labels"][0]["by_list"]] == [["Linalool", "Linalyl Acetate"], ["Linalool"]]
    for found in (eu, gb, us):
        assert "local law" in found["notes"][0]
        assert any("from memory" in note for note in found["notes"])
        assert found["steps_outside"]
    assert sent(client, BODY)["standing_cautions"] == ["local-law"]


def test_the_list_of_26_names_less_and_is_refused_where_the_longer_one_binds(client: FlaskClient) -> None:
    assert labels(client, with_label(sold_on="2026-07-30"))[0]["declared"] == ["Linalool"]
    assert labels(client, with_label(sold_on="2026-07-30", allergen_list="long"))[0]["declared"] == [
        "Linalool", "Linalyl Acetate"]
    british = {**BODY, "label": {"market": "GB", "allergen_list": "first_26"}}
    assert labels(client, british)[0]["declared"] == ["Linalool"]
    for spoiled in (with_label(allergen_list="first_26"), with_label(allergen_list="first_26", sold_on="2026-07-31")):
        assert "the longer list is mandatory" in fault(client, spoiled)["/label/allergen_list"]


def test_as_reacted_names_soaps_and_says_where_it_cannot(client: FlaskClient) -> None:
    (bar,) = labels(client, with_label(naming="as_reacted"))
    assert names(bar)[0] == "Sodium Olivate"
    assert {"Sodium Cocoate", "Glycerin", "Aqua", "Olea Europaea Fruit Oil"} < set(names(bar))
    assert "Sodium Hydroxide" not in names(bar)
    body = changed(with_label(naming="as_reacted"), "/recipe/fats/1/fat", "walnut")
    reply = sent(client, body)
    lines = {line["name"]: line for line in reply["label"]["labels"][0]["ingredients"]}
    assert "The name of the soap of walnut oil is not known reliably" in lines["Juglans Regia Seed Oil"]["doubts"][0]
    assert "Sodium Hydroxide" in lines  # the alkali of a fat that is listed as added is listed as added as well
    assert [one["pointer"] for one in reply["cautions"] if one["key"] == "label-name-uncertain"] == ["/recipe/fats/1"]


def test_a_low_confidence_salt_is_not_printed_and_the_makers_own_name_is(client: FlaskClient) -> None:
    body = changed(with_label(naming="as_reacted"), "/recipe/fats/1/fat", "almond_sweet")
    assert "Sodium Sweetalmondate" not in names(labels(client, body)[0])
    named = changed(body, "/label/names", [{"key": "almond_sweet", "inci_as_reacted": "Sodium Sweet Almondate"}])
    assert "Sodium Sweet Almondate" in names(labels(client, named)[0])
    in_recipe = changed(body, "/recipe/fats/1/inci_as_reacted", "Sodium Almondate")
    assert "Sodium Almondate" in names(labels(client, in_recipe)[0])
    potash = changed(in_recipe, "/recipe/alkalis", [{"alkali": "KOH", "purity_pct": 90}])
    assert "Potassium Almondate" in names(labels(client, potash)[0])


def test_own_fats_bring_their_label_names(client: FlaskClient) -> None:
    own = {"key": "own_shea", "saponification_value": {"min": 178, "max": 182}}
    body = changed({**BODY, "own_fats": [own]}, "/recipe/fats/1/fat", "own_shea")
    reply = sent(client, body)
    assert "own_shea" in names(reply["label"]["labels"][0])
    assert "label-name-unknown" in [one["key"] for one in reply["cautions"]]
    assert {"key": "inci", "message": 'The label name of "own_shea": give its "inci", or a line in "names".'} in \
        reply["label"]["missing"]
    named = {**own, "inci": "Butyrospermum Parkii Butter", "inci_as_reacted": "Sodium Shea Butterate"}
    assert "Butyrospermum Parkii Butter" in names(labels(client, {**body, "own_fats": [named]})[0])
    reacted = {**body, "own_fats": [named], "label": {"market": "EU", "naming": "as_reacted"}}
    assert "Sodium Shea Butterate" in names(labels(client, reacted)[0])


def test_fats_of_one_label_name_are_one_line(client: FlaskClient) -> None:
    body = changed(BODY, "/recipe/fats", [{"fat": "olive", "share_pct": 34}, {"fat": "sunflower", "share_pct": 33},
                                          {"fat": "sunflower_high_oleic", "share_pct": 33}])
    (bar,) = labels(client, body)
    assert names(bar)[0] == "Helianthus Annuus Seed Oil"  # 66 % together, before 34 % of olive oil
    assert len(set(names(bar))) == len(names(bar))
    assert len(bar["ingredients"][0]["made_of"]) == 2


def colour(client: FlaskClient, market: str, inci: str | None, **label: Any) -> tuple[dict[str, Any], list[str]]:
    red = {key: value for key, value in {**RED, "inci": inci}.items() if value is not None}
    reply = sent(client, {**BODY, "portions": [{"name": "all", "share_pct": 100, "additions": [red]}],
                          "label": {"market": market, **label}})
    lines = [line for line in reply["label"]["labels"][0]["ingredients"] if line["role"] == "colourant"]
    return lines[0], [one["key"] for one in reply["cautions"]]


def test_a_colourant_of_unknown_legal_status_is_marked_and_never_passed_over(client: FlaskClient) -> None:
    for market, given, status in (
            ("EU", "CI 77491", "listed"), ("EU", None, "not_shown"),
            ("EU", "CI 11110", "not_shown"), ("EU", "Spirulina Platensis Powder", "not_shown"),
            ("US", "CI 77491", "listed"), ("US", "CI 77268:1", "not_listed"),
            ("GB", "CI 77268:1", "listed"), ("EU", "Mica", "listed")):
        line, cautions = colour(client, market, given)
        assert line["colour_status"] == status, given
        assert ("colourant-status-unknown" in cautions) is (status in ("not_shown", "not_listed"))
    stated, cautions = colour(client, "EU", "CI 11110", names=[{"key": "red iron oxide",
                                                                          "permitted_in": ["EU"]}])
    assert stated["colour_status"] == "stated"
    assert "colourant-status-unknown" not in cautions
    elsewhere, cautions = colour(client, "US", "CI 11110", names=[{"key": "red iron oxide",
                                                                             "permitted_in": ["EU"]}])
    assert elsewhere["colour_status"] == "not_shown"
    assert "colourant-status-unknown" in cautions


def test_a_pearl_of_several_colourants_lists_each(client: FlaskClient) -> None:
    body = changed(BODY, "/portions/0/additions/0/inci", "CI 77019, CI 77891, CI 77491")
    (bar,) = labels(client, body)
    assert set(names(bar)[-3:]) == {"CI 77019", "CI 77891", "CI 77491"}
    assert "are not known; equal parts are assumed" in bar["ingredients"][-1]["notes"][-1]


def test_the_oil_a_pigment_is_dispersed_in_is_an_ingredient(client: FlaskClient) -> None:
    wet = {**RED, "dose": 20, "contains": {"fat_pct": 60, "water_pct": 10, "fat": "sunflower"}}
    for portions in ([{"name": "all", "share_pct": 100, "additions": [wet]}], [{"name": "all", "share_pct": 100}]):
        batch = [wet] if "additions" not in portions[0] else []
        (bar,) = labels(client, {**BODY, "portions": portions, "additions": batch})
        assert "Helianthus Annuus Seed Oil" in names(bar)
        assert names(bar)[-1] == "CI 77491"


def test_a_spray_is_reported_as_left_out(client: FlaskClient) -> None:
    spray = {"name": "isopropanol", "kind": "spray", "dose": 5, "basis": "mass"}
    found = sent(client, {**BODY, "additions": [spray]})["label"]
    assert "isopropanol" not in str(found["labels"])
    assert found["left_out"][0]["name"] == "isopropanol"


def test_a_prohibited_substance_stops_the_sale_where_it_is_prohibited(client: FlaskClient) -> None:
    body = changed(BODY, "/portions/0/additions/1/allergens", [{"name": "Butylphenyl Methylpropional", "pct": 0.001}])
    for market, stops in (("EU", True), ("GB", True), ("US", False)):
        reply = sent(client, {**body, "label": {"market": market}})
        assert (reply["worst_severity"] == "danger") is stops
    assert "Butylphenyl Methylpropional" not in names(labels(client, body)[0])


def test_the_net_quantity_is_what_every_bar_holds_or_what_was_requested(client: FlaskClient) -> None:
    quantity = labels(client, BODY)[0]["net_quantity"]
    assert quantity["promise"] == quantity["every_bar"] == int(quantity["mass"]["min"])
    assert quantity["short_count"] == 0
    more = quantity["every_bar"] + 3
    net = labels(client, with_label(net_quantity=more))[0]["net_quantity"]
    assert net["text"] == f"{more:g} g"
    assert net["short_share_pct"] > 0
    assert net["short_count"] >= 1
    reply = sent(client, with_label(net_quantity=more))
    assert "net-quantity-short" in [one["key"] for one in reply["cautions"]]
    assert "net-quantity-short" not in [one["key"] for one in sent(client, BODY)["cautions"]]
    most = labels(client, with_label(net_quantity=quantity["largest"]))[0]["net_quantity"]
    assert most["text"] == quantity["largest_text"]
    detail = fault(client, with_label(net_quantity=quantity["largest"] + 1))["/label/net_quantity"]
    assert f"State at most {quantity['largest']:g} g" in detail
    heavy = fault(client, with_label(net_quantity=500))["/label/net_quantity"]
    assert "on average they weigh" in heavy


def test_a_net_quantity_may_be_requested_in_ounces(client: FlaskClient) -> None:
    body = {**BODY, "units": {"mass": "oz"}, "label": {"market": "US", "net_quantity": 3.0}}
    quantity = labels(client, body)[0]["net_quantity"]
    assert quantity["text"] == "Net Wt 3.00 oz (85 g)"
    assert quantity["promise"] == pytest.approx(3.0)


def test_without_a_loss_all_water_counts_as_gone_and_it_is_said(client: FlaskClient) -> None:
    with_loss = sent(client, BODY)["label"]
    without_loss = sent(client, changed(BODY, "/expected_loss_pct", ...))["label"]
    assert (with_loss["loss_pct"], with_loss["loss_assumed"]) == (11, False)
    assert without_loss["loss_assumed"] is True
    # of the whole bar, its dry additions included: less than the fifth that the water is of the batter
    assert 19.5 < without_loss["loss_pct"] < 20
    assert any("all water is assumed to evaporate" in note for note in without_loss["notes"])
    dry, cured = without_loss["labels"][0], with_loss["labels"][0]
    assert dry["allergens"][0]["concentration_pct"] > cured["allergens"][0]["concentration_pct"]
    assert dry["net_quantity"]["promise"] < cured["net_quantity"]["promise"]


def test_what_is_given_is_filled_in_and_what_is_not_is_named(client: FlaskClient) -> None:
    bare = sent(client, BODY)["label"]
    assert [row["key"] for row in bare["missing"]] == ["responsible_person", "lasts", "precautions", "batch_number",
                                                       "function"]
    full = sent(client, with_label(responsible_person="Invented Soapworks", batch_number="K-1", durability="2029-03",
                                   precautions=["Keep out of eyes."], function="Soap"))["label"]
    assert full["missing"] == []
    assert {row["key"]: row["text"] for row in full["elements"]}["lasts"] == "best used before the end of 2029-03"
    long = sent(client, with_label(period_after_opening_months=12))["label"]
    assert {row["key"]: row["text"] for row in long["elements"]}["lasts"].startswith("12 M")


def test_soap_or_cosmetic_is_a_question_that_the_maker_answers(client: FlaskClient) -> None:
    open_question = sent(client, {**BODY, "label": {"market": "US"}})["label"]
    assert "sold_as" in [row["key"] for row in open_question["missing"]]
    assert "701.20" in open_question["message"]
    soap = sent(client, {**BODY, "label": {"market": "US", "sold_as": "soap"}})["label"]
    assert "no ingredient list is required" in soap["message"]
    assert 70 < soap["soap_part_pct"] < 100
    cosmetic = sent(client, {**BODY, "label": {"market": "US", "sold_as": "cosmetic"}})["label"]
    assert cosmetic["message"].startswith("A cosmetic")
    assert "message" not in sent(client, BODY)["label"]


def test_what_is_mostly_no_soap_is_not_sold_as_soap(client: FlaskClient) -> None:
    salt = {"name": "sea salt", "kind": "salt", "dose": 90, "basis": "pct_of_batter", "inci": "Sodium Chloride"}
    body = {**BODY, "portions": [{"name": "all", "share_pct": 100, "additions": [salt]}]}
    # the bar is half salt, so that little more than a tenth of it is water
    reply = sent(client, {**body, "expected_loss_pct": 9, "label": {"market": "US", "sold_as": "soap"}})
    assert "no-soap-by-rule" in [one["key"] for one in reply["cautions"]]
    assert reply["label"]["soap_part_pct"] < 50


def test_a_lye_heavy_bar_is_reported_at_its_label_too(client: FlaskClient) -> None:
    body = changed(BODY, "/recipe/superfat_pct", 0.5)
    assert "superfat-may-be-negative" in [one["key"] for one in sent(client, body)["cautions"]]


@pytest.mark.parametrize(("pointer", "value", "location", "words"), [
    ("/label/market", "XX", "/label/market", "it is one of EU, GB, US"),
    ("/label", ..., "/label", "is required"),
    ("/label/sold_on", "2027-02-30", "/label/sold_on", "not a day of the calendar"),
    ("/label/sold_on", "30.02.2027", "/label/sold_on", "2026-11-25"),
    ("/label/durability", "2029-13", "/label/durability", "2029-03"),
    ("/label/durability", "2029-02-30", "/label/durability", "not a day of the calendar"),
    ("/label/period_after_opening_months", 0, "/label/period_after_opening_months", "from 1 to 120 months"),
    ("/label/names", [{"key": "x"}], "/label/names/0/inci", "is empty"),
    ("/label/names", [{"key": "a b", "inci": "A"}, {"key": "A-B", "inci": "B"}], "/label/names/1/key", "two lines"),
    ("/label/naming", "reacted", "/label/naming", "as_added, as_reacted"),
    ("/portions/0/additions/1/allergens/0/cas", "78-70-5", "/portions/0/additions/1/allergens/0/cas",
     "its check digit does not fit"),
    ("/portions/0/additions/1/allergens/0/pct", 90, "/portions/0/additions/1/allergens",
     "adds up to 110 %; it cannot be more than 100"),
    ("/portions/0/additions/1/allergens/1/name", "Linalil Acetate", "/portions/0/additions/1/allergens/1/name",
     'Did you mean "Linalyl Acetate"'),
    ("/portions/0/additions/1/allergens/0/name", "Linalool", "/portions/0/additions/1/allergens/0/cas", "both were"),
    ("/portions/0/additions/1/allergens/0", {"pct": 3}, "/portions/0/additions/1/allergens/0/cas", "neither was"),
    ("/portions/0/additions/1/allergens/1", {"cas": "78-70-6", "pct": 1}, "/portions/0/additions/1/allergens/1",
     "appears twice"),
    ("/label/net_quantity", 5000, "/label/net_quantity", "more than these bars can hold"),
])
def test_a_wrong_label_says_where_and_what_to_do(client: FlaskClient, pointer: str, value: Any, location: str,
                                                    words: str) -> None:
    assert words in fault(client, changed(BODY, pointer, value))[location]


def test_durability_and_a_period_after_opening_are_not_both_given(client: FlaskClient) -> None:
    spoiled = with_label(durability="2029-03", period_after_opening_months=12)
    assert "not both" in fault(client, spoiled)["/label/period_after_opening_months"]


def test_the_same_body_gives_the_same_bytes(client: FlaskClient) -> None:
    assert client.post("/v1/labels", json=BODY).data == client.post("/v1/labels", json=BODY).data


def test_pieces_are_reported_with_the_tolerance_they_are_taken_with(client: FlaskClient) -> None:
    pieces = changed({**BODY, "mould": {**BOX, "length": 80, "width": 60, "depth": 30, "headspace": 0, "count": 4}},
                     "/cut", ...)
    (bar,) = labels(client, pieces)
    assert bar["count"] == 4
    mass = bar["net_quantity"]["mass"]
    assert mass["max"] / mass["mid"] == pytest.approx(1.03)
    (sure,) = labels(client, {**pieces, "label": {"market": "EU", "piece_tolerance_pct": 0}})
    assert sure["net_quantity"]["mass"]["min"] == sure["net_quantity"]["mass"]["max"]


def test_a_cas_number_that_is_not_listed_is_named(client: FlaskClient) -> None:
    # 111-01-3 is squalane and 56-81-5 glycerol (check digits right): neither is on the list of 2023/1545
    scent = {**SCENT, "allergens": [*SCENT["allergens"], {"cas": "111-01-3", "pct": 5}]}
    both = [{**TWO[0], "additions": [RED, scent]},
            {**TWO[1], "additions": [{**scent, "allergens": [{"cas": "56-81-5", "pct": 1}]}]}]
    found = sent(client, {**BODY, "portions": both})["label"]["left_out"]
    assert [one["name"] for one in found] == ["111-01-3 in lavender mix", "56-81-5 in lavender mix"]
    assert all("not on the list of fragrance allergens" in one["message"] for one in found)
    assert sent(client, BODY)["label"]["left_out"] == []


def test_a_number_that_two_oils_are_sold_under_is_questioned(client: FlaskClient) -> None:
    scent = {**SCENT, "allergens": [{"cas": "8028-48-6", "pct": 5}]}
    found = sent(client, {**BODY, "portions": [{**TWO[0], "additions": [scent]}, TWO[1]]})["label"]
    assert [one for one in found["notes"] if one.startswith("8028-48-6 in lavender mix counts as Citrus Aurantium")]
    assert not [one for one in sent(client, BODY)["label"]["notes"] if "8028-48-6" in one]


@pytest.mark.parametrize(("fat", "eu", "us"), [
    ("lard", "Adeps Suillus", "Lard"), ("tallow_beef", "Adeps Bovis", "Tallow"), ("beeswax", "Cera Alba", "Beeswax"),
    ("butterfat", "Butyris Lac", "Butter")])
def test_fats_of_animals_have_other_names_in_the_united_states(client: FlaskClient, fat: str, eu: str,
                                                               us: str) -> None:
    # names in the EU's glossary and on US labels, from memory
    for market, name, other in (("EU", eu, us), ("GB", eu, us), ("US", us, eu)):
        body = changed(changed(BODY, "/recipe/fats/1/fat", fat), "/label", {"market": market})
        listed = names(labels(client, body)[0])
        assert name in listed
        assert other not in listed


@pytest.mark.parametrize("locale", ["en", "de"])
def test_the_draft_on_the_sheet_shows_everything_that_was_given_for_the_label(client: FlaskClient, locale: str) -> None:
    given = {"market": "EU", "responsible_person": "Invented Soapworks, 1 Example Lane", "batch_number": "K-26-11",
             "durability": "2029-03", "function": "soap", "precautions": ["Keep out of eyes."]}
    reply = client.post("/v1/batches", json={**BODY, "label": given, "locale": locale}, headers={"Accept": "text/html"})
    assert reply.status_code == 200, reply.text
    drafts = [part.partition("</p>")[0] for part in reply.text.split('<p class="label">')[1:]]
    assert drafts
    for draft in drafts:
        for shown in ("Invented Soapworks, 1 Example Lane", "K-26-11", "2029-03", "soap", "Keep out of eyes."):
            assert shown in draft
