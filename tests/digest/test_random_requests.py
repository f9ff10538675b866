"""Random requests over all operations, forms and units: nearly all are answered, and every form says the same."""

from __future__ import annotations

import csv
import io
import json
import math
from collections import Counter
from collections.abc import Iterator
from functools import cache
from typing import Any
from urllib.parse import parse_qs, urlsplit

import pytest
from api.converting import TO_BASE
from kettlewright.api.door.operations import OPERATIONS

from digest.compare import Comparison, Renamed, compare
from digest.random_requests import random_requests
from digest.replay import replies

COUNT, SEED = 150, 7


@cache
def requests() -> list[dict[str, Any]]:
    return list(random_requests(COUNT, SEED))


@cache
def answers() -> list[dict[str, Any]]:
    return list(replies(requests()))


@cache
def in_json() -> list[tuple[dict[str, Any], dict[str, Any]]]:
    """Requests of whatever form, answered as JSON; those that are not refused."""
    found = []
    for one, reply in zip(requests(), answers(), strict=True):
        if reply["status"] != 200:
            continue
        if not reply["type"].endswith("json"):
            reply = next(replies([_in(one, "json")]))
        found.append((one, json.loads(reply["text"])))
    return found


def _in(one: dict[str, Any], form: str, **more: str) -> dict[str, Any]:
    """The same request in another form."""
    path, _, query = one["path"].partition("?")
    kept = [part for part in query.split("&") if part.partition("=")[0] not in ("format", "field", "table", "")]
    kept += [f"format={form}", *(f"{key}={value}" for key, value in more.items())]
    return {key: value for key, value in one.items() if key != "accept"} | {"path": f"{path}?{'&'.join(kept)}"}


def _leaves(value: Any, path: str = "") -> Iterator[tuple[str, Any]]:
    if isinstance(value, (dict, list)):
        for key, inner in value.items() if isinstance(value, dict) else enumerate(value):
            yield from _leaves(inner, f"{path}.{key}" if path else str(key))
    else:
        yield path, value


def test_nine_in_ten_are_answered_and_none_fails() -> None:
    statuses = Counter(one["status"] for one in answers())
    assert set(statuses) <= {200, 422}
    assert statuses[200] >= 0.9 * COUNT, statuses
    operations = Counter(one["operation"] for one in answers())
    answered = Counter(one["operation"] for one in answers() if one["status"] == 200)
    assert all(answered[name] >= count / 2 for name, count in operations.items()), (operations, answered)


def test_many_spoilt_requests_are_refused_and_none_fails() -> None:
    found = Counter(one["status"] for one in replies(random_requests(40, SEED, spoilt=0.8)))
    assert set(found) <= {200, 400, 404, 422}, found
    assert 10 <= found.total() - found[200] <= 36, found


def test_every_operation_form_and_unit_is_among_them() -> None:
    many = list(random_requests(450, 5))
    assert {one["operation"] for one in many} == set(OPERATIONS)
    forms = {(one["operation"].removesuffix("_by_link"), form) for one in many
             for form in parse_qs(urlsplit(one["path"]).query).get("format", [])}
    assert {form for _, form in forms} == {"json", "csv", "html", "svg", "ics"}
    queries = [parse_qs(urlsplit(one["path"]).query) for one in many]
    assert {word for query in queries for word in query} >= {"field", "table", "format"}
    assert any(one.get("accept") for one in many)
    assert {one["body"].get("locale") for one in many if "body" in one} == {None, "de", "en"}
    units = {unit for one in many for part in (one.get("body", {}), one.get("body", {}).get("plan", {}))
             for unit in part.get("units", {}).values()}
    assert units == {"g", "kg", "oz", "lb", "mm", "cm", "in", "mL", "L", "us_fl_oz", "degC", "degF"}


def test_a_seed_makes_the_same_requests_and_they_have_the_same_replies() -> None:
    assert list(random_requests(20, SEED)) == requests()[:20]
    assert list(replies(requests()[:40])) == answers()[:40]
    assert requests()[:5] != list(random_requests(5, SEED + 1))


def test_the_table_of_figures_says_what_the_json_says() -> None:
    compared = 0
    for one, reply in in_json():
        if OPERATIONS[one["operation"]].group == "service":
            continue
        table = next(replies([_in(one, "csv", table="figures")]))["text"]
        leaves = dict(_leaves(reply))
        for row in csv.DictReader(io.StringIO(table)):
            value = leaves[row["field"]]
            if isinstance(value, (int, float)) and not isinstance(value, bool):
                assert float(row["value"]) == value, (one["number"], row)
                compared += 1
    assert compared > 10 * COUNT


def test_one_field_as_text_is_that_field_of_the_json() -> None:
    found = {one["number"]: reply for one, reply in in_json()}
    compared = 0
    for one, answer in zip(requests(), answers(), strict=True):
        if answer["type"] != "text/plain":
            continue
        path = parse_qs(urlsplit(one["path"]).query)["field"][0]
        if path == "problem":
            assert answer["text"] == "none"
            continue
        value = dict(_leaves(found[one["number"]]))[path]
        shown = {True: "true", False: "false"}.get(value, value) if isinstance(value, bool) else value
        assert answer["text"] == shown if isinstance(shown, str) else float(answer["text"]) == shown
        compared += 1
    assert compared >= 5


def test_masses_balance_in_every_recipe_and_batch() -> None:
    """What is weighed is the batter; it goes into the buckets or stays behind; a bucket is what went into it."""
    pots = batches = 0
    for one, reply in in_json():
        lye = reply if one["operation"].startswith("lye") else reply.get("lye")
        if not lye or "batter" not in lye:
            continue
        pots += 1
        mass, dose = (TO_BASE[reply["units"][kind]][0] for kind in ("mass", "dose"))
        weighed = [mass * row["weigh"] for name in ("fats", "liquids", "alkalis") for row in lye[name]]
        weighed += [mass * lye["water"]["weigh"], *(dose * row["weigh"] for row in lye["acids"])]
        assert math.fsum(weighed) == pytest.approx(mass * lye["batter"]["mass"], rel=1e-7), one["number"]
        if one["operation"] not in ("batches", "batches_by_link", "labels"):
            continue
        if not reply.get("portions") or "pot_volume" in one.get("body", {}):
            continue
        batches += 1
        into_pot = math.fsum(dose * each["mass"] for each in reply.get("additions", ()) if each["name"] != "mist")
        out_of_pot = mass * (math.fsum(one["weigh"] for one in reply["portions"]) + reply["residue_mass"])
        assert out_of_pot == pytest.approx(mass * lye["batter"]["mass"] + into_pot, rel=1e-6), one["number"]
        for bucket in reply["portions"]:
            put_in = math.fsum(dose * each["mass"] for each in bucket["additions"] if each["name"] != "mist")
            borrowed = math.fsum(mass * each["mass"] for each in bucket["borrowed"])
            assert mass * bucket["mass"] == pytest.approx(mass * bucket["batter_mass"] + put_in + borrowed, rel=1e-7)
    assert pots >= 20
    assert batches >= 10


def _reply(text: Any, number: int = 0, status: int = 200, kind: str = "application/json") -> dict[str, Any]:
    return {"number": number, "operation": "lye", "path": "/v1/lye", "status": status, "type": kind,
            "text": text if isinstance(text, str) else json.dumps(text)}


@pytest.mark.parametrize(("old", "new", "renamed", "kinds"), [
    ({"a": 1.5}, {"a": 1.5}, "", []),
    ({"a": 1.5}, {"a": 1.6}, "", ["lye.a"]),
    ({"lye": {"mass": 3}}, {"solution": {"mass": 3}}, "lye.lye -> solution", []),
    ({"lye": {"mass": 3}}, {"solution": {"mass": 4}}, "lye.lye -> solution", ["lye.lye.mass"]),
    ({"lye": {"mass": 3}}, {"solution": {"mass": 3}}, "", ["lye.lye", "lye.solution"]),
    ({"rows": [1, 2]}, {"rows": [2, 1]}, "", ["lye.rows.#"]),
    ({"rows": [1, 2]}, {"rows": [1]}, "", ["lye.rows"]),
    ({"text": "Add 5 g of it"}, {"text": "Please add 5 g"}, "", []),
    ({"text": "Add 5 g of it"}, {"text": "Please add 6 g"}, "", ["lye.text"]),
    ({"kind": "dry"}, {"kind": "wet"}, "", ["lye.kind"]),
    ({"kind": "dry"}, {"kind": "wet"}, "= dry -> wet", []),
    ({"a": 1, "b": True}, {"a": 1, "b": False}, "- lye.b", []),
    ({"a": 1, "b": True}, {"a": 1, "b": False}, "", ["lye.b"]),
    ({"a": None}, {"a": 0}, "", ["lye.a"]),
])
def test_a_comparison_finds_what_moved_and_nothing_else(old: Any, new: Any, renamed: str, kinds: list[str]) -> None:
    found = compare([_reply(old)], [_reply(new)], Renamed.read(renamed))
    assert sorted(found.counts) == kinds


def test_without_a_list_of_names_every_byte_counts_except_the_mask_of_the_qr_code() -> None:
    def page(code: str, mass: str) -> dict[str, Any]:
        return _reply(f'<p>{mass} g</p><svg class="qr"><path d="{code}"/></svg>', kind="text/html")

    def kinds(old: dict[str, Any], new: dict[str, Any]) -> Comparison:
        return compare([old], [new])

    assert not kinds(page("M0", "5"), page("M1", "5")).counts
    assert kinds(page("M0", "5"), page("M0", "6")).counts
    assert kinds(_reply({"text": "Add 5 g"}), _reply({"text": "Do add 5 g"})).counts
    assert kinds(_reply({"a": 1}), _reply({"a": 1}, status=422)).counts
    named = [_reply({"a": 1}) | {"headers": {"Vary": value}} for value in ("Accept", "Origin")]
    assert not kinds(named[0], named[0]).counts
    assert kinds(*named).counts
    assert not kinds(named[0], _reply({"a": 1})).counts  # a file from before headers were kept
