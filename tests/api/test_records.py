"""The record of a batch as it was made: what is in it, whose it is, and that it is computed from what was weighed."""

from __future__ import annotations

import csv
import io
import re
from decimal import Decimal
from typing import Any

import pytest
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


def test_a_batch_made_as_planned_has_the_label_and_the_cost_of_the_plan() -> None:
    plan, record = planned(PLAN), reply(body_of())["record"]
    assert record["complete"]
    soap = [one.pop("soap_part_pct") for one in (record["label"], plan["label"])]
    assert soap[0] == pytest.approx(soap[1], abs=0.01)  # the bucket is weighed in whole grams
    assert record["label"] == plan["label"]
    for part in ("currency", "ingredients", "batch", "bar", "bars", "missing"):
        assert record["cost"][part] == plan["cost"][part], part
    assert record["notes"] == []
    assert set(plan["meta"]["sources"]) == set(reply(body_of())["meta"]["sources"])


def test_the_cost_is_that_of_what_was_weighed() -> None:
    body = body_of(factors={"olive": 1.1, "coconut": 0.9})
    total = sum(Decimal(str(row["mass"])) for row in body["weighed"] if row["where"] in ("jug", "pot"))
    cost = reply(body)["record"]["cost"]["batch"]["ingredients"]["amount"]
    assert Decimal(cost) == pytest.approx(total * Decimal("0.0064"), abs=Decimal("0.0001"))  # one price for all


def test_the_allergen_is_that_of_the_scent_that_was_weighed() -> None:
    def linalool(factor: float) -> dict[str, Any]:
        found = reply(body_of(factors={"lavender": factor}))["record"]["label"]["labels"][0]["allergens"]
        return next(one for one in found if one["name"] == "Linalool")

    once, twice = linalool(1.0), linalool(2.0)
    # shares of a bar that loses 11 %: scent times 1 % of it, of all that is weighed
    weighed = body_of(factors={"lavender": 2.0})["weighed"]
    total = sum(row["mass"] for row in weighed if row["where"] in ("jug", "pot"))
    scent = next(row["mass"] for row in weighed if row["key"] == "lavender")
    assert twice["concentration_pct"] == pytest.approx(scent / total / 0.89, rel=0.01)
    assert once["concentration_pct"] < twice["concentration_pct"]


def test_order_on_the_label_is_that_of_what_was_weighed() -> None:
    swapped = {"olive": 0.5, "coconut": 2.17}  # as much fat in all
    text = reply(body_of(factors=swapped))["record"]["label"]["labels"][0]["text"]
    assert text.index("Cocos Nucifera") < text.index("Olea Europaea")


def test_the_net_quantity_is_held_by_the_lightest_bar_that_was_weighed() -> None:
    record = reply(body_of(bars={"count": 9, "masses": [120.0, 124.0]}))["record"]
    assert record["label"]["labels"][0]["net_quantity"]["every_bar"] == 106  # 120 g less 11 %, rounded down
    assert record["cost"]["bars"]["made"] == 9


def test_the_days_follow_from_the_day_it_was_poured() -> None:
    dates = reply(body_of())["record"]["dates"]
    assert (dates["pour"], dates["unmould"], dates["cure_until"]) == ("2027-02-02", "2027-02-03", "2027-03-17")
    without = reply(body_of({key: value for key, value in PLAN.items() if key != "dates"}))["record"]["dates"]
    assert without["cure_until"] == "2027-03-17"  # 42 days, the default
    as_planned = body_of() | {"record": {}}
    assert reply(as_planned)["record"]["dates"]["pour"] == "2027-02-01"


def test_a_batch_poured_on_a_closed_day_was_poured_all_the_same() -> None:
    closed = PLAN | {"dates": {"pour": "2027-02-01", "closed": {"weekdays": ["tuesday"]}}}
    assert reply(body_of(closed))["record"]["dates"]["pour"] == "2027-02-02"  # a Tuesday


@pytest.mark.parametrize(("factor", "what"), [(1.2, "rebatch_or_discard"), (1.045, "hold_back")])
def test_what_must_not_be_sold_has_no_label(factor: float, what: str) -> None:
    body = body_of(factors={"NaOH": factor})
    found = reply(body)
    assert found["next_action"]["what"] == what
    assert "label" not in found["record"]
    assert found["record"]["notes"] == ["No label: the batch must not be sold as it is."]
    assert found["next_action"]["message"].split(":")[0] in page(body)


def test_before_the_pour_there_is_no_label_and_no_cost() -> None:
    record = reply(body_of(stage="in_pot"))["record"]
    assert not record["complete"]
    assert "label" not in record
    assert "cost" not in record
    assert len(record["notes"]) == 2


def test_a_row_without_a_weighing_leaves_it_incomplete_and_says_so() -> None:
    body = body_of(leave_out="coconut")
    assert not reply(body)["record"]["complete"]
    assert "not reported" in page(body)
    assert "Not complete" in page(body)
    assert "Not complete" not in page(body_of())


def test_a_label_that_the_bars_cannot_keep_is_a_note_and_no_error() -> None:
    plan = PLAN | {"label": {"market": "EU", "sold_on": "2027-03-20", "net_quantity": 130}}
    record = reply(body_of(plan, bars={"count": 9, "masses": [60.0, 61.0]}))["record"]
    assert "label" not in record
    assert record["notes"][0].startswith("No label: ")
    assert reply(body_of(plan, bars={"count": 0}))["record"]["notes"][-1].startswith("No cost for each bar")


def test_its_identity_changes_with_all_that_is_in_it_and_not_with_the_language() -> None:
    base = body_of()
    others = [base | {"locale": "de"}, body_of(factors={"olive": 1.01}), base | {"record": WHO | {"made_by": "C."}},
              base | {"record": WHO | {"made_on": "2027-02-03"}}, base | {"stage": "poured"},
              body_of(PLAN | {"batch_number": "KD-27-04"})]
    first, german, *rest = [reply(one)["record"]["identity"] for one in [base, *others]]
    assert first == german
    assert len({first, *rest}) == 1 + len(rest)
    assert re.fullmatch(r"[0-9A-HJKMNP-TV-Z]{5}-[0-9A-HJKMNP-TV-Z]{5}", first)


def test_the_page_shows_each_weighing_with_its_lot_and_a_place_to_sign() -> None:
    body = body_of(factors={"olive": 1.1})
    found, text = reply(body), page(body)
    for row in found["difference"]:
        assert row["name"] in text
        assert f"{row['planned']:.{1 if row['step'] < 1 else 0}f}" in text
    for words in ("O-3", "A. Example", "B. Example", "9 g of NaOH too much.", "KD-27-03", found["record"]["identity"],
                  found["identity"], "Name and signature", "Released for sale, or rejected", "ISO 22716",
                  "Its text was not at hand", "Linalool"):
        assert words in text, words
    assert text.count("Difference") == 1


def test_title_and_maker_of_the_plan_are_on_it_and_markup_in_them_is_text() -> None:
    plan = PLAN | {"title": "Kiln <b>Dusk</b>", "maker": "C. Example"}
    body = body_of(plan) | {"record": {}}
    got = CLIENT.post("/v1/batches/actuals?format=html", json=body)
    assert "Kiln &lt;b&gt;Dusk&lt;/b&gt;" in got.text
    assert "C. Example" in got.text
    identity = reply(body)["record"]["identity"]
    assert identity in got.headers.get("Content-Disposition", identity)
    assert identity == reply(body_of() | {"record": {}})["record"]["identity"]  # no figure depends on a title


@pytest.mark.parametrize("name", ["made_by", "checked_by"])
def test_markup_in_a_name_is_text(name: str) -> None:
    text = page(body_of() | {"record": WHO | {name: "<script>alert(1)</script> & co"}})
    assert "<script" not in text
    assert "&lt;script&gt;alert(1)&lt;/script&gt; &amp; co" in text


@pytest.mark.parametrize(("more", "pointer"), [
    ({"record": {"made_by": "two\nlines"}}, "/record/made_by"), ({"record": {"made_on": "2027-02-30"}},
                                                                 "/record/made_on"),
    ({"record": {"corrections": [{"what": "Stirred."}]}}, "/record/corrections/0/reason"),
    ({"record": {"corrections": [{"what": "a", "reason": "b\r\nc"}]}}, "/record/corrections/0/reason"),
    ({"record": {"made": "x"}}, "/record/made"), ({"identity": "00000-00000"}, "/identity"),
    ({"weighed": [{"where": "pot", "key": "shea", "mass": 5}]}, "/weighed/0/key")])
def test_a_wrong_record_is_rejected_at_its_place(more: dict[str, Any], pointer: str) -> None:
    got = CLIENT.post("/v1/batches/actuals?format=html", json=body_of() | more)
    assert got.status_code == 422
    assert [one["pointer"] for one in got.json["errors"]] == [pointer]


def test_the_same_record_is_the_same_page() -> None:
    assert page(body_of()) == page(body_of())
    assert page(body_of()).startswith("<!doctype html>")
    assert "<script" not in page(body_of())


def test_as_csv_it_is_planned_and_weighed_row_by_row() -> None:
    body = body_of(factors={"olive": 1.1})
    got = CLIENT.post("/v1/batches/actuals?format=csv", json=body)
    rows = list(csv.DictReader(io.StringIO(got.text)))
    found = reply(body)["difference"]
    assert [row["key"] for row in rows] == [row["key"] for row in found]
    olive = next(row for row in rows if row["key"] == "olive")
    assert olive["lot"] == "O-3"
    columns = {name.split(" ")[0]: value for name, value in olive.items()}
    assert float(columns["weighed"]) - float(columns["planned"]) == pytest.approx(float(columns["off"]))


def test_in_ounces_the_page_has_ounces() -> None:
    ounces = PLAN | {"units": {"mass": "oz", "dose": "oz", "length": "in"},
                     "mould": {"shape": "box", "length": 10, "width": 3, "depth": 3, "headspace": 0.2},
                     "cut": {"bar": {"thickness": 1}, "kerf": 0.04}}
    text = page(body_of(ounces))
    assert "<td>oz</td>" in text
    assert "<td>g</td>" not in text


def test_in_german_nothing_stays_english() -> None:
    text = page(body_of() | {"locale": "de"})
    assert '<html lang="de">' in text
    for words in ("Herstellprotokoll", "Chargennummer", "Name und Unterschrift", "Abweichung", "ISO 22716"):
        assert words in text, words
    for words in ("Planned", "Weighed", "Superfat", "signature", "Record of"):
        assert words not in text, words
