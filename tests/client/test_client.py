"""The client against the real app in process, and against a service that misbehaves."""

from __future__ import annotations

import copy
import importlib
import inspect
import json
import pkgutil
import re
from collections.abc import Mapping
from decimal import Decimal
from pathlib import Path
from typing import Any

import kettlewright_client
import pytest
import requests
from api.bodies import BATCH, BOX, BY_SHARE, CUTS, LYE, PORTIONS
from api.contract import committed, parameters_of
from client.in_process import in_process, made, over
from kettlewright.app import create_app
from kettlewright_client import (
    Busy,
    Client,
    InvalidInput,
    NotFound,
    Refused,
    ServerFault,
    TimedOut,
    TooLarge,
    Unreachable,
)
from kettlewright_client import wire as wire_module
from kettlewright_client.operations import MEDIA_TYPES, OPERATIONS
from kettlewright_client.reading import read
from kettlewright_client.testing import recorded

ROOT = Path(__file__).parents[2]
DOCUMENT = committed()


@pytest.fixture
def client() -> Client:
    return over(in_process(create_app().test_client()))[0]


@pytest.fixture(autouse=True)
def no_waiting(monkeypatch: pytest.MonkeyPatch) -> list[float]:
    pauses: list[float] = []
    monkeypatch.setattr(wire_module.time, "sleep", pauses.append)
    return pauses


def test_a_recipe_comes_back_typed(client: Client) -> None:
    found = client.lye(**LYE)
    assert found.alkalis[0].weigh < found.alkalis[0].mass
    assert found.superfat.achieved_pct >= 5
    assert found.raw["superfat"]["achieved_pct"] == found.superfat.achieved_pct
    assert found.units.mass == "g"
    with pytest.raises(AttributeError):
        found.water = None  # frozen: that is what is tested


def test_each_step_of_a_batch_has_a_method(client: Client) -> None:
    scaled = client.scaling(recipe=BY_SHARE, target={"fats_mass": 1000})
    assert scaled.factor is None
    assert client.lye(**scaled.recipe).alkalis[0].mass == scaled.lye.alkalis[0].mass
    assert client.moulds(mould=BOX, fill={"depth": 10}).fill is not None
    portions = client.portions(**PORTIONS)
    assert [portion.weigh for portion in portions.portions] == [2000, 3000]
    assert client.cuts(**CUTS).bars.count == 60
    price = {"amount": "6.40", "currency": "EUR", "per_mass": 1000}
    cost = client.costs(rows=[{"name": "oil", "mass": 500}], prices={
        "ingredients": [{"key": "oil", "price": price}], "bars_count": 4, "selling": {"margin_pct": 50}}).cost
    assert str(cost.bar.total) == "0.8000 EUR"
    assert cost.selling[0].tag.decimal == Decimal("1.60")
    bought = client.purchases(needs=[{"name": "oil", "mass": 1500}], packs=[{"key": "oil", "price": price}])
    assert bought.ingredients[0].packs[0].count == 2
    assert bought.cost is not None
    assert bought.cost.decimal == Decimal("12.80")
    plan = client.batches(**BATCH)
    assert plan.cuts is None
    assert plan.mould.fill is not None
    assert plan.weigh_list[0].name == "water"
    label = client.labels(**BATCH, label={"market": "EU"}).label
    assert label.labels[0].ingredients[0].name == "Olea Europaea Fruit Oil"
    assert label.labels[0].net_quantity is not None


def test_the_sheet_and_the_picture_come_as_text(client: Client) -> None:
    assert client.batch_sheet(**BATCH).startswith("<!doctype html>")
    assert client.cut_face(**BATCH).startswith("<svg")


def test_cure_and_calendar_come_back_typed(client: Client) -> None:
    weighings = [{"day": day, "mass": mass} for day, mass in ((0, 140), (14, 130), (28, 125))]
    found = client.cure(dates={"release": "2027-03-20", "packing_days": 3}, weighings=weighings, on=[{"day": 42}])
    assert found.dates is not None
    assert (found.dates.pour, found.dates.in_mould_days) == ("2027-02-02", 1)
    assert found.curve is not None
    assert found.curve.equilibrium_mass == pytest.approx(120)
    assert found.curve.errors is None
    assert (found.on[0].mass, found.on[0].band) == (pytest.approx(122.5), None)
    assert found.until is found.promise is None
    assert client.picture("cure", weighings=weighings).startswith("<svg")
    file = client.calendar("cure", dates={"release": "2027-03-20"})
    assert file.startswith("BEGIN:VCALENDAR\r\n")


def test_schedules_come_back_typed_and_say_what_is_missing(client: Client) -> None:
    body: dict[str, Any] = {"batches": [{"name": "red", "count": 2, "mould": "slab", "release": "2027-03-20"}],
                            "moulds": [{"name": "slab"}]}
    found = client.schedules(earliest="2027-01-04", **body)
    assert [batch.dates.pour for batch in found.batches] == ["2027-02-04", "2027-02-05"]
    assert found.proven_optimal
    assert found.fullest[0].most_count == 1
    assert "Release of red" in client.calendar("schedules", earliest="2027-01-04", **body)
    with pytest.raises(InvalidInput) as caught:
        client.schedules(earliest="2027-02-05", **body)
    assert ("/earliest", "2027-02-04 or earlier") in [(fault.pointer, fault.allowed) for fault in caught.value.errors]


def test_what_was_weighed_comes_back_typed(client: Client) -> None:
    plan = client.batches(**BATCH)
    naoh = next(row for row in plan.weigh_list if row.key == "NaOH")
    found = client.actuals(plan=BATCH, identity=plan.identity, stage="lye_made",
                           weighed=[{"where": "jug", "key": "NaOH", "mass": naoh.weigh + 40}])
    assert (found.next_action.what, found.next_action.key) == ("use_part_of_lye", "lye")
    assert found.after is not None
    assert found.after.superfat.achieved_pct >= 5 > found.as_weighed.superfat.achieved_pct
    off = next(row for row in found.difference if row.state == "off")
    assert (off.key, off.weighed) == ("NaOH", pytest.approx(naoh.weigh + 40))
    assert found.pour.portions[0].weigh > 0
    assert found.bars is found.drying is None


def test_the_tables_can_be_read(client: Client) -> None:
    assert [fat.key for fat in client.fats(search="olive").fats] == ["olive", "olive_pomace"]
    assert len(client.fats(kind="wax_ester").fats) == 3
    olive = client.fat("olive")
    assert (olive.saponification_value.min, olive.saponification_value.max) == (184, 196)
    assert olive.raw["fatty_acids"]
    assert any(caution.key == "lye-hot" for caution in client.cautions().cautions)
    assert client.healthz().status == client.readyz().status == "ok"
    assert client.version().data_version


def operations_of_contract() -> dict[str, tuple[str, str, dict[str, Any]]]:
    """Method, path and operation of the document, by name; a GET of what is posted to is a twin and left out."""
    return {operation["operationId"]: (method.upper(), path, operation) for path, item in DOCUMENT["paths"].items()
            for method, operation in item.items() if method == "post" or "post" not in item}


def words_of(operation: Mapping[str, Any]) -> list[str]:
    words: list[str] = next(part for part in parameters_of(DOCUMENT, operation)
                            if part["name"] == "format")["schema"]["enum"]
    return words


def test_every_operation_has_a_method_and_every_method_an_operation() -> None:
    methods = {name for name, _ in inspect.getmembers(Client, inspect.isfunction) if not name.startswith("_")}
    assert methods == operations_of_contract().keys() | {"batch_sheet", "calendar", "cut_face", "picture", "form",
                                            "plan_many", "stream_batches", "sweep", "close"}


def test_the_table_of_operations_is_that_of_the_contract() -> None:
    assert {name: (operation.method, operation.path) for name, operation in OPERATIONS.items()} == \
        {name: (method, path) for name, (method, path, _) in operations_of_contract().items()}
    for name, (_, _, described) in operations_of_contract().items():
        words = words_of(described)
        many = {"application/x-ndjson"} if name == "batches" else set()  # what `stream_batches` reads
        assert {MEDIA_TYPES[word] for word in words} == set(described["responses"]["200"]["content"]) - many, name
        assert set(OPERATIONS[name].forms) == set(words) - {"json", "csv", "text"}, name
        own = {part["name"] for part in parameters_of(DOCUMENT, described)} - {"format", "form", "table", "field"}
        assert set(OPERATIONS[name].address) == own, name


@pytest.mark.parametrize("name", OPERATIONS)
def test_every_form_of_a_reply_can_be_requested(name: str) -> None:
    client, _ = over(in_process(create_app().test_client()))
    body = recorded()[name].body
    for word in set(words_of(operations_of_contract()[name][2])) - {"text"}:  # a text is of a field
        found = client.form(name, word, body, **({"key": "olive"} if name == "fat" else {}))
        assert found
        assert (word == "json") == found.startswith("{")
    assert client.form(name, "json", json.dumps(recorded()[name].body).encode(),
                       **({"key": "olive"} if name == "fat" else {})).startswith("{")


def test_a_card_is_a_page_requested_by_its_form(client: Client) -> None:
    body = recorded()["batches"].body
    sheet, card = client.form("batches", "html", body), client.form("batches", "html", body, form="card")
    assert card.form == "html"
    assert card.rstrip().endswith("</html>")
    assert "size: 105mm 148mm" in card
    assert "size: 105mm 148mm" not in sheet


def test_an_invalid_request_raises_the_messages_of_the_service(client: Client) -> None:
    with pytest.raises(InvalidInput) as caught:
        client.lye(**{**LYE, "superfat_pct": 60, "water": {}})
    error = caught.value
    assert error.status == 422
    assert [fault.pointer for fault in error.errors] == ["/superfat_pct", "/water"]
    assert error.request_id
    assert "from 0 to 50" in str(error)
    assert error.request_id in str(error)


def test_an_unknown_fat_is_not_found(client: Client) -> None:
    with pytest.raises(NotFound, match="olive_pomace"):
        client.fat("olive pomice")


@pytest.mark.parametrize(("status", "kind"), [
    (400, InvalidInput), (401, Refused), (403, Refused), (404, NotFound), (413, TooLarge), (414, TooLarge),
    (421, Refused), (429, Busy), (503, Busy), (500, ServerFault), (502, ServerFault)])
def test_a_page_of_a_proxy_is_reported_by_its_status(status: int, kind: type[Exception]) -> None:
    client, _ = over(lambda request: made(request, status, b"<html>Bad</html>", {}))
    with pytest.raises(kind):
        client.healthz()


def test_busy_and_broken_are_tried_again_and_retry_after_is_honoured(no_waiting: list[float]) -> None:
    answers = iter([("busy", 429, {"Retry-After": "3"}), ("broken", 0, {}), ("fine", 200, {})])

    def answer(request: requests.PreparedRequest) -> requests.Response:
        what, status, headers = next(answers)
        if what == "broken":
            raise requests.ConnectionError("broken")
        return made(request, status, b'{"status": "ok"}', headers)

    client, wire = over(answer)
    assert client.healthz().status == "ok"
    assert len(wire.sent) == 3
    assert no_waiting[0] == 3
    assert 0 < no_waiting[1] <= 0.5


def test_it_gives_up_after_its_retries(no_waiting: list[float]) -> None:
    def broken(request: requests.PreparedRequest) -> requests.Response:
        raise requests.ConnectionError("no route")

    client, wire = over(broken, retries=2)
    with pytest.raises(Unreachable, match="no route"):
        client.lye(**LYE)
    assert len(wire.sent) == 3
    client, wire = over(lambda request: made(request, 503, b"", {"Retry-After": "900"}), retries=1)
    with pytest.raises(Busy):
        client.healthz()
    assert max(no_waiting) <= 8  # a ceiling, whatever is requested


def test_a_truncated_reply_raises() -> None:
    def cut_off(request: requests.PreparedRequest) -> requests.Response:
        raise requests.exceptions.ChunkedEncodingError("cut off")

    with pytest.raises(Unreachable):
        over(cut_off, retries=0)[0].healthz()


def test_there_is_always_a_timeout() -> None:
    def late(request: requests.PreparedRequest) -> requests.Response:
        raise requests.ReadTimeout("late")

    client, wire = over(late)
    with pytest.raises(TimedOut, match="in time"):
        client.healthz()
    assert wire.timeouts == [(3.05, 10.0)]


@pytest.mark.parametrize("body", [b"<html>", b"[]", b"{}", b'{"fats": 3}'])
def test_a_reply_that_is_not_as_agreed_is_never_taken_for_an_answer(body: bytes) -> None:
    with pytest.raises(ServerFault):
        over(lambda request: made(request, 200, body, {}))[0].lye(**LYE)


def test_what_a_newer_service_says_is_kept_and_ignored(client: Client) -> None:
    raw = {**client.lye(**LYE).raw, "something_new": 1}
    assert read(kettlewright_client.Lye, raw).raw["something_new"] == 1


EXAMPLES = sorted((ROOT / "service" / "kettlewright" / "api" / "endpoints" / "examples").glob("*.json"))


@pytest.mark.parametrize("file", EXAMPLES, ids=[file.stem for file in EXAMPLES])
def test_every_example_of_the_contract_comes_back_typed(client: Client, file: Path) -> None:
    for example in json.loads(file.read_text(encoding="utf-8")):
        found = getattr(client, file.stem)(**example["body"])
        assert isinstance(found, OPERATIONS[file.stem].result)
        assert found.to_dict() == found.raw  # no field is lost, and none has another value
        assert found.request_id
        assert hash(found) == hash(copy.copy(found))


def test_the_demo_batches_are_bodies_of_the_contract(client: Client) -> None:
    for name in ("kiln_dusk", "ember_round"):
        body = json.loads((ROOT / "client" / "examples" / f"{name}.json").read_text(encoding="utf-8"))
        assert client.batches(**body).portions


def test_what_is_public_is_said() -> None:
    for name in kettlewright_client.__all__:
        assert getattr(kettlewright_client, name).__doc__
    for found in pkgutil.walk_packages(kettlewright_client.__path__, "kettlewright_client."):
        if found.name == "kettlewright_client.__main__":
            continue
        module = importlib.import_module(found.name)
        assert module.__doc__
        assert sorted(set(module.__all__)) == sorted(module.__all__), found.name
        for name in module.__all__:
            thing = getattr(module, name)
            assert (not inspect.isroutine(thing) and not inspect.isclass(thing)) or inspect.getdoc(thing), name
            if inspect.isfunction(thing):
                text = inspect.getdoc(thing) or ""
                for argument in inspect.signature(thing).parameters:
                    assert re.search(rf"\b{argument}\b", text), f"{found.name}.{name} does not tell {argument}"
