"""Offcuts melted down: nothing is lost, the mixture is the sum of its batches, and lye-heavy soap never looks safe."""

from __future__ import annotations

import csv
import io
import re
from typing import Any

import pytest
from digest.draw import Draw
from digest.sales import rebatches_request
from kettlewright.api.document.openapi import examples_of
from kettlewright.app import create_app

CLIENT = create_app().test_client()
BLOCK = {"shape": "box", "length": 250, "width": 80, "depth": 75}
OLIVE: dict[str, Any] = {
    "recipe": {"fats": [{"fat": "olive", "mass": 700}, {"fat": "coconut", "mass": 300}], "superfat_pct": 5,
               "alkalis": [{"alkali": "NaOH"}], "water": {"water_to_alkali": 2}}, "mould": BLOCK}
SHEA: dict[str, Any] = {
    "recipe": {"fats": [{"fat": "olive", "mass": 400}, {"fat": "shea", "mass": 500}], "superfat_pct": 9,
               "alkalis": [{"alkali": "NaOH", "purity_pct": 98}], "water": {"water_to_alkali": 1.8}}, "mould": BLOCK}
HEAVY = [{"where": "jug", "key": "NaOH", "mass": 160}]  # 13 g more than OLIVE takes
NOTHING_LEAVES = {"liquid": {"mass": 0}, "melting_loss_pct": 0}
EXAMPLES = [example["body"] for example in examples_of("rebatches")]
M_NAOH, MG_KOH_PER_MOL = 39.9971, 56105.6  # IUPAC atomic weights


def reply_to(path: str, body: dict[str, Any]) -> dict[str, Any]:
    found = CLIENT.post(path, json=body)
    assert found.status_code == 200, found.json
    made: dict[str, Any] = found.json
    return made


def rebatch(*offcuts: dict[str, Any], **more: Any) -> dict[str, Any]:
    return reply_to("/v1/rebatches", body_of(*offcuts, **more))


def body_of(*offcuts: dict[str, Any], **more: Any) -> dict[str, Any]:
    return {"offcuts": list(offcuts), "mould": {"shape": "measured", "volume": 9_000}, "label": {"market": "EU"},
            **more}


def fresh(plan: dict[str, Any], mass: float = 400, **more: Any) -> dict[str, Any]:
    return {"plan": plan, "mass": mass, "lost_pct": 0, **more}


def problem(body: dict[str, Any]) -> list[tuple[str, str]]:
    found = CLIENT.post("/v1/rebatches", json=body)
    assert found.status_code == 422, found.json
    assert found.json is not None
    return [(one["pointer"], one["detail"]) for one in found.json["errors"]]


def shares(label: dict[str, Any]) -> dict[str, float]:
    return {line["name"]: line["share_pct"] for line in label["labels"][0]["ingredients"]}


def cautions(reply: dict[str, Any]) -> dict[str, dict[str, Any]]:
    return {one["key"]: one for one in reply["cautions"]}


def ends_of(superfat: dict[str, Any]) -> list[float]:
    return [superfat["achieved_pct"], *superfat["likely_pct"].values(), *superfat["worst_case_pct"].values()]


def drawn() -> list[dict[str, Any]]:
    return [rebatches_request(Draw(f"rebatch {number}")) for number in range(8)]


@pytest.mark.parametrize("body", [*EXAMPLES, *drawn()])
def test_mass_in_is_mass_out_and_every_mean_lies_between(body: dict[str, Any]) -> None:
    reply = reply_to("/v1/rebatches", body)
    soaps = reply["offcuts"]
    assert reply["pot_mass"] == pytest.approx(sum(one["mass"] for one in body["offcuts"]) + reply["liquid"]["weigh"])
    stirred = sum(one["mass"] for one in reply["additions"])
    out = reply["mould"]["fill"]["mass"] + body.get("residue", 0) + reply["too_much_mass"]
    assert reply["pot_mass"] - reply["melting_loss"]["mid"] + stirred == pytest.approx(out, rel=1e-8)
    poured = reply["mould"]["fill"]["mass"]
    for cured, loss in (("min", "max"), ("mid", "mid"), ("max", "min")):
        assert reply["cured_mass"][cured] + reply["cure_loss"][loss] == pytest.approx(poured, rel=1e-8)
    for ranged in (reply["melting_loss"], reply["cure_loss"], reply["cured_mass"], reply["liquid"]["usual"],
                   *(one["water"] for one in soaps)):
        assert 0 <= ranged["min"] <= ranged["mid"] <= ranged["max"]
    mean = reply["superfat"]
    if not any("contains" in one for one in body.get("additions", ())):
        for found, *all_of_them in zip(ends_of(mean), *(ends_of(one["superfat"]) for one in soaps), strict=True):
            assert min(all_of_them) - 1e-6 <= found <= max(all_of_them) + 1e-6
    assert mean["worst_case_pct"]["min"] <= mean["likely_pct"]["min"] <= mean["achieved_pct"]
    assert mean["achieved_pct"] <= mean["likely_pct"]["max"] <= mean["worst_case_pct"]["max"]


@pytest.mark.parametrize("plan", [OLIVE, SHEA, {**OLIVE, "additions": [
    {"name": "lavender", "kind": "fragrance", "dose": 2, "basis": "pct_of_fats",
     "allergens": [{"name": "Linalool", "pct": 30}]}], "portions": [
    {"name": "slate", "share_pct": 60, "additions": [
        {"name": "grey clay", "kind": "clay", "dose": 20, "basis": "g_per_kg_batter", "inci": "Kaolin"}]},
    {"name": "chalk", "share_pct": 40}], "arrangement": "mingled"}])
@pytest.mark.parametrize("naming", ["as_added", "as_reacted"])
def test_a_batch_with_itself_keeps_its_list_its_allergens_and_its_superfat(plan: dict[str, Any], naming: str) -> None:
    alone = reply_to("/v1/labels", {**plan, "label": {"market": "EU", "naming": naming}})["label"]
    reply = rebatch(fresh(plan, 300), fresh(plan, 500), **NOTHING_LEAVES, label={"market": "EU", "naming": naming})
    (mixed, other) = reply["labels"]
    assert (mixed["naming"], other["naming"]) == (naming, "as_reacted" if naming == "as_added" else "as_added")
    assert mixed["labels"][0]["text"] == alone["labels"][0]["text"]
    assert shares(mixed) == pytest.approx(shares(alone), rel=1e-6)
    assert mixed["soap_part_pct"] == pytest.approx(alone["soap_part_pct"], rel=2e-4)  # doses exact there, weighed here
    for one, before in zip(mixed["labels"][0]["allergens"], alone["labels"][0]["allergens"], strict=True):
        assert one["concentration_pct"] == pytest.approx(before["concentration_pct"], rel=1e-6)
    superfat = reply_to("/v1/batches", plan)["lye"]["superfat"]
    for end in ("achieved_pct", "likely_pct", "worst_case_pct"):
        assert reply["superfat"][end] == pytest.approx(superfat[end], rel=1e-7), end


def test_two_whole_batches_are_the_batch_of_all_that_was_weighed() -> None:
    """By hand from both weigh lists: superfat = 1 - sum(A p / M) / sum(m SV / 56105.6), list by mass as added."""
    plans = [(plan, reply_to("/v1/batches", plan)) for plan in (OLIVE, SHEA)]
    reply = rebatch(*(fresh(plan, made["mould"]["fill"]["mass"]) for plan, made in plans), **NOTHING_LEAVES)
    weighed: dict[str, float] = {}
    alkali = demand = 0.0
    for plan, made in plans:
        for row in made["weigh_list"]:
            if row["where"] in ("jug", "pot"):
                weighed[row["key"]] = weighed.get(row["key"], 0.0) + row["weigh"]
            if row["kind"] == "alkali":
                alkali += row["weigh"] * plan["recipe"]["alkalis"][0].get("purity_pct", 100) / 100 / M_NAOH
            if row["kind"] == "fat":
                value = CLIENT.get(f"/v1/fats/{row['key']}").json["saponification_value"]
                demand += row["weigh"] * (value["min"] + value["max"]) / 2 / MG_KOH_PER_MOL
    assert reply["superfat"]["achieved_pct"] == pytest.approx(100 * (1 - alkali / demand), abs=2e-3)
    assert 5.0 < reply["superfat"]["achieved_pct"] < 9.1
    names = {"Olea Europaea Fruit Oil": "olive", "Cocos Nucifera Oil": "coconut", "Butyrospermum Parkii Butter": "shea",
             "Sodium Hydroxide": "NaOH", "Aqua": "water"}
    total = sum(weighed.values())
    found = shares(reply["labels"][0])
    assert found == pytest.approx({name: 100 * weighed[key] / total for name, key in names.items()}, rel=1e-3)
    assert list(found.values()) == sorted(found.values(), reverse=True)


def test_batches_of_one_superfat_react_to_what_one_batch_of_all_their_fats_is() -> None:
    fats = [{"fat": "coconut", "mass": 900}, {"fat": "olive", "mass": 1100}]
    coconut, olive, both = ({**OLIVE, "recipe": {**OLIVE["recipe"], "fats": some}, "mould": {**BLOCK, "length": 500}}
                            for some in (fats[:1], fats[1:], fats))
    masses = [reply_to("/v1/batches", plan)["mould"]["fill"]["mass"] for plan in (coconut, olive)]
    label = {"market": "EU", "naming": "as_reacted"}
    mixed = rebatch(fresh(coconut, masses[0]), fresh(olive, masses[1]), **NOTHING_LEAVES, label=label)["labels"][0]
    one = reply_to("/v1/labels", {**both, "label": label})["label"]
    assert shares(mixed) == pytest.approx(shares(one), abs=0.04)  # alkali and water are rounded
    assert list(shares(mixed)) == list(shares(one))


def test_allergens_are_diluted_with_the_scent_and_named_only_above_the_limit() -> None:
    """Handbook H-3: 30 g of a scent with 0.45 % of limonene in 1426 g, 11 % loss: 0.010637 % of the cured bar."""
    fat = {"name": "my fat", "saponification_value": {"min": 194.95, "max": 194.95}, "mass": 1000}
    plan = {**OLIVE, "recipe": {**OLIVE["recipe"], "fats": [fat]}}
    scented = {**plan, "additions": [{"name": "orange", "kind": "fragrance", "dose": 30, "basis": "mass",
                                      "allergens": [{"name": "Limonene", "pct": 0.45}]}]}
    alone = rebatch(fresh(scented), **NOTHING_LEAVES, expected_loss_pct=11)["labels"][0]["labels"][0]
    assert alone["allergens"][0]["concentration_pct"] == pytest.approx(0.010637, abs=1e-6)
    assert alone["declared"] == ["Limonene"]
    half = rebatch(fresh(scented), fresh(plan), **NOTHING_LEAVES, expected_loss_pct=11)["labels"][0]["labels"][0]
    assert half["allergens"][0]["concentration_pct"] == pytest.approx(0.010637 / 2, abs=1e-6)
    assert half["declared"] == []
    # a new dose of the same scent joins what is left of the old one
    again = [{"name": "orange", "kind": "fragrance", "dose": 20, "basis": "mass",
              "allergens": [{"name": "Limonene", "pct": 0.45}]}]
    more = rebatch(fresh(scented), fresh(plan), **NOTHING_LEAVES, additions=again, expected_loss_pct=11)["labels"][0]
    by_hand = 0.0045 * (30 * 400 / 1426 + 20) / (820 * 0.89)
    assert more["labels"][0]["allergens"][0]["concentration_pct"] == pytest.approx(100 * by_hand, rel=1e-4)
    assert more["labels"][0]["declared"] == ["Limonene"]


def test_water_that_has_left_or_is_added_changes_no_share_of_allergens_once_all_of_it_has_gone() -> None:
    scented = {**OLIVE, "additions": [{"name": "orange", "kind": "fragrance", "dose": 3, "basis": "pct_of_fats",
                                       "allergens": [{"name": "Limonene", "pct": 0.5}]}]}
    found = [rebatch({"plan": scented, "mass": 400, **dry}, **more)["labels"][0]["labels"][0]["allergens"][0]
             for dry, more in (({"lost_pct": 0}, NOTHING_LEAVES), ({"lost_pct": 9}, {}), ({"days": 30}, {}),
                               ({"lost_pct": 4}, {"liquid": {"mass": 150}, "melting_loss_pct": 5}))]
    assert [one["concentration_pct"] for one in found] == pytest.approx([found[0]["concentration_pct"]] * 4, rel=1e-6)


def test_a_limit_counts_what_the_offcuts_bring() -> None:
    def scent(dose: float) -> dict[str, Any]:
        return {"name": "lavender", "kind": "fragrance", "dose": dose, "basis": "g_per_kg_batter", "limit_pct": 3.0}
    scented = {**OLIVE, "additions": [scent(20)]}
    alone = rebatch(fresh(scented), additions=[{**scent(20), "name": "other"}])
    assert "fragrance-limit-exceeded" not in cautions(alone)
    found = cautions(rebatch(fresh(scented), additions=[scent(20)]))["fragrance-limit-exceeded"]
    assert found["pointer"] == "/offcuts/0/plan/additions/0"
    said = float(re.findall(r"contain ([\d.]+) %", found["message"])[0])
    assert said > 3.0
    own = cautions(rebatch(fresh(OLIVE), additions=[scent(40)]))["fragrance-limit-exceeded"]
    assert own["pointer"] == "/additions/0"


@pytest.mark.parametrize("others", [0, 1, 5])
def test_lye_heavy_offcuts_never_look_safe_however_much_good_soap_is_with_them(others: int) -> None:
    rich = {**OLIVE, "recipe": {**OLIVE["recipe"], "superfat_pct": 15}}
    reply = rebatch(fresh(OLIVE, 100, weighed=HEAVY), *[fresh(rich, 900)] * others)
    assert (reply["superfat"]["achieved_pct"] > 5) == bool(others)
    assert [one["superfat"]["lye_heavy"] for one in reply["offcuts"]] == ["yes", *["not_expected"] * others]
    assert reply["superfat"]["lye_heavy"] == "yes"
    assert reply["worst_severity"] == "danger"
    assert {"superfat-negative", "rebatch-or-discard"} <= cautions(reply).keys()
    assert "labels" not in reply
    assert any("must not be sold" in note for note in reply["notes"])


def test_the_fat_that_lye_heavy_offcuts_take_brings_them_to_the_superfat_of_their_recipe() -> None:
    """Handbook B, rescue: x = (alkali / (1 - s) - demand) 56105.6 / SV; the offcuts stay marked all the same."""
    offcuts = fresh(OLIVE, 400, weighed=HEAVY)
    said = re.search(r"need (\d+) g of olive", cautions(rebatch(offcuts))["superfat-negative"]["message"])
    assert said is not None
    oil = {"name": "olive oil", "kind": "other", "dose": float(said[1]), "basis": "mass",
           "contains": {"fat_pct": 100, "fat": "olive"}}
    reply = rebatch(offcuts, additions=[oil])
    assert reply["superfat"]["achieved_pct"] == pytest.approx(5, abs=0.2)
    assert (reply["superfat"]["lye_heavy"], reply["worst_severity"]) == ("yes", "danger")


def test_offcuts_that_may_be_lye_heavy_are_named() -> None:
    tight = {**OLIVE, "recipe": {**OLIVE["recipe"], "superfat_pct": 1}}
    reply = rebatch(fresh(SHEA, 900), fresh(tight, 100))
    assert [one["superfat"]["lye_heavy"] for one in reply["offcuts"]] == ["not_expected", "possible"]
    assert reply["superfat"]["lye_heavy"] == "possible"
    assert cautions(reply)["superfat-may-be-negative"]["pointer"] == "/offcuts/1"


def test_oil_that_is_stirred_in_stays_free() -> None:
    oil = {"name": "olive oil", "kind": "other", "dose": 20, "basis": "mass",
           "contains": {"fat_pct": 100, "fat": "olive"}}
    before, after = rebatch(fresh(OLIVE), **NOTHING_LEAVES), rebatch(fresh(OLIVE), **NOTHING_LEAVES, additions=[oil])
    fats = 1000 * 400 / reply_to("/v1/batches", OLIVE)["mould"]["fill"]["mass"]
    # 20 g beside the fats of 400 g of soap, both near 200 mg KOH/g: about 6 points more
    assert after["superfat"]["achieved_pct"] - before["superfat"]["achieved_pct"] == pytest.approx(
        95 * 20 / (fats + 20), rel=0.1)
    free = [shares(one["labels"][1])["Olea Europaea Fruit Oil"] for one in (before, after)]
    assert free[1] - free[0] == pytest.approx(100 * 20 / 420, rel=0.06)


def test_the_offcuts_of_a_portion_hold_what_that_portion_holds() -> None:
    oily = {"name": "madder", "kind": "colourant", "dose": 10, "basis": "g_per_kg_batter", "inci": "CI 75330",
            "dispersion": {"carrier": "oil", "strength_pct": 20, "fat": "sunflower"}}
    plan = {**OLIVE, "portions": [{"name": "rose", "share_pct": 50, "additions": [oily]},
                                  {"name": "chalk", "share_pct": 50}]}
    made = {one["key"]: one for one in reply_to("/v1/batches", plan)["portions"]}
    rose, chalk, whole = (rebatch(fresh(plan, **part), **NOTHING_LEAVES) for part in (
        {"portion": "rose"}, {"portion": "chalk"}, {}))
    assert rose["superfat"]["achieved_pct"] == pytest.approx(made["rose"]["superfat_pct"], rel=1e-4)
    assert "CI 75330" in shares(rose["labels"][0])
    assert "CI 75330" not in shares(chalk["labels"][0])
    assert chalk["superfat"]["achieved_pct"] < whole["superfat"]["achieved_pct"] < rose["superfat"]["achieved_pct"]


@pytest.mark.parametrize("dry", [{"lost_pct": 0}, {"lost_pct": 8}, {"days": 1}, {"days": 20}, {"days": 400}])
def test_the_usual_liquid_takes_the_pot_to_the_usual_share_of_water(dry: dict[str, float]) -> None:
    reply = rebatch({"plan": OLIVE, "mass": 5000, **dry})
    (soap,), liquid = reply["offcuts"], reply["liquid"]
    for share, end, held in ((20, "min", "max"), (25, "mid", "mid"), (30, "max", "min")):
        added = liquid["usual"][end]
        if added:
            assert 100 * (soap["water"][held] + added) / (5000 + added) == pytest.approx(share)
    assert liquid["assumed"]
    assert liquid["weigh"] == pytest.approx(liquid["usual"]["mid"], abs=0.5)


def test_older_and_drier_offcuts_need_more_liquid() -> None:
    days = [rebatch({"plan": OLIVE, "mass": 400, "days": day})["liquid"]["usual"]["mid"] for day in (0, 3, 10, 30, 90)]
    lost = [rebatch({"plan": OLIVE, "mass": 400, "lost_pct": one})["liquid"]["usual"]["mid"] for one in (0, 3, 8, 15)]
    assert days == sorted(set(days))
    assert lost == sorted(set(lost))
    assert days[0] == pytest.approx(lost[0])


def test_a_mould_that_is_too_small_is_filled_and_the_rest_reported() -> None:
    small = rebatch(fresh(OLIVE, 800), mould={"shape": "box", "length": 80, "width": 80, "depth": 60, "headspace": 10})
    assert small["mould"]["fill"]["volume"] == pytest.approx(80 * 80 * 50 / 1000, rel=1e-6)
    assert small["too_much_mass"] > 400
    assert small["room_mass"] == 0
    assert any("will not fit" in note for note in small["notes"])
    large = rebatch(fresh(OLIVE, 800))
    assert large["too_much_mass"] == 0
    more = large["mould"]["fill"]["mass"] + large["room_mass"]
    assert more / large["mould"]["fill"]["mass"] == pytest.approx(9000 / large["mould"]["fill"]["volume"])


def test_a_plan_keeps_its_own_units_and_fats_whatever_those_of_the_request() -> None:
    lot = {"key": "lot_7", "name": "shea, lot 7", "saponification_value": {"min": 178, "max": 182}}
    fats = [{"fat": "olive", "mass": 400}, {"fat": "lot_7", "mass": 500}]
    own = {**SHEA, "own_fats": [lot], "recipe": {**SHEA["recipe"], "fats": fats}}
    ounce = 28.349523125
    steps = {"readability": 1 / ounce, "alkali_readability": 0.1 / ounce, "dose_readability": 0.1 / ounce}
    in_oz = {**own, "units": {"mass": "oz", "length": "in"}, "scale": steps,
             "recipe": {**own["recipe"], "fats": [{**fat, "mass": fat["mass"] / ounce} for fat in fats]},
             "mould": {"shape": "box", "length": 250 / 25.4, "width": 80 / 25.4, "depth": 75 / 25.4}}
    first = rebatch(fresh(OLIVE, 400), fresh(own, 300), mould=BLOCK)
    second = rebatch(fresh(OLIVE, 400), fresh(in_oz, 300), mould=BLOCK)
    assert second["superfat"]["achieved_pct"] == pytest.approx(first["superfat"]["achieved_pct"], rel=1e-6)
    assert shares(second["labels"][0]) == pytest.approx(shares(first["labels"][0]), rel=1e-6)
    imperial = rebatch(fresh(OLIVE, 400 / ounce), fresh(in_oz, 300 / ounce), units={"mass": "oz", "length": "in"},
                       mould=in_oz["mould"], scale=in_oz["scale"])
    assert imperial["liquid"]["weigh"] * ounce == pytest.approx(first["liquid"]["weigh"], abs=1e-3)
    assert imperial["cured_mass"]["mid"] * ounce == pytest.approx(first["cured_mass"]["mid"], rel=1e-5)
    in_ounces = {"units": {"mass": "oz"}}
    slips = [rebatch(fresh(plan, mass, weighed=[{"where": "jug", "key": "NaOH", "mass": alkali}]), **units)
             for plan, mass, alkali, units in ((own, 300, 125, {}), (in_oz, 300, 125 / ounce, {}),
                                               (own, 300 / ounce, 125, in_ounces))]
    lye_heavy = [one["superfat"]["achieved_pct"] for one in slips]
    assert lye_heavy == pytest.approx([lye_heavy[0]] * 3, rel=1e-6)
    assert first["offcuts"][1]["identity"] == reply_to("/v1/batches", own)["identity"]


@pytest.mark.parametrize(("body", "pointer", "words"), [
    (body_of({"plan": OLIVE, "mass": 400}), "/offcuts/0/days", "exactly one of"),
    (body_of({"plan": OLIVE, "mass": 400, "days": 3, "lost_pct": 1}), "/offcuts/0/days", "exactly one of"),
    (body_of(fresh(OLIVE, lost_pct=30)), "/offcuts/0/lost_pct", "more than all the water"),
    (body_of(fresh(OLIVE, portion="rose")), "/offcuts/0/portion", 'no portion "rose"'),
    (body_of(fresh(OLIVE), liquid={"name": "milk"}), "/liquid/water_pct", 'Give the water in "milk"'),
    (body_of(fresh(OLIVE), liquid={"mass": 1, "pct_of_offcuts": 1}), "/liquid/mass", "not both"),
    (body_of(*[fresh(OLIVE)] * 7), "/offcuts", "at most 6"),
    (body_of(), "/offcuts", "at least 1"),
    (body_of(*[fresh({**OLIVE, "portions": [{"name": f"p{i}", "share_pct": 100 / 31} for i in range(31)]})] * 2),
     "/offcuts", "62 portions in all"),
    (body_of(fresh(OLIVE), fresh({**OLIVE, "mould": {**BLOCK, "depth": 5}})), "/offcuts/1/plan/mould", "overfills"),
    (body_of(fresh({**OLIVE, "recipe": {**OLIVE["recipe"], "superfat_pct": 70}})),
     "/offcuts/0/plan/recipe/superfat_pct", "50"),
    (body_of(fresh(OLIVE, weighed=[{"where": "pot", "key": "butter", "mass": 3}])), "/offcuts/0/weighed/0",
     "butter"),
    (body_of(fresh(OLIVE), mould={"shape": "bowl", "diameter": 200, "depth": 60}, cut={"bar": {"count": 3}}), "/cut",
     "not cut"),
    (body_of(fresh(OLIVE), expected_loss_pct=59), "/expected_loss_pct", "more than all the water"),
    (body_of(fresh(OLIVE), label={"market": "EU", "net_quantity": 90_000}), "/label/net_quantity", ""),
])
def test_what_cannot_be_is_refused_at_its_place(body: dict[str, Any], pointer: str, words: str) -> None:
    found = problem(body)
    assert [one for one in found if one[0].startswith(pointer) and words in one[1]], found


def test_as_a_table_and_as_a_page_in_german() -> None:
    lines = list(csv.reader(io.StringIO(CLIENT.post("/v1/rebatches?format=csv", json=EXAMPLES[1]).text)))
    assert lines[0][:3] == ["identity", "mass [g]", "fresh_mass [g]"]
    assert len(lines) == 3
    page = CLIENT.post("/v1/rebatches?format=html", json={**EXAMPLES[2], "locale": "de"}).text
    assert "Niemals Seife einschmelzen" in page
    assert "Diese Abschnitte nicht auf der Haut verwenden" in page
