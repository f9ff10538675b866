"""The record of a batch as it was made: what is in it, whose it is, and that it is computed from what was weighed."""

from __future__ import annotations

import csv
import io
import re
from decimal import Decimal
from typing import Any

import pytest
from actuals.made_batches import CLIENT, PLAN, WHO, body_of, page, planned, reply


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
