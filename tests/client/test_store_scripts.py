"""The scripts for a shop, run on the invented shop beside them: what they write, what they tell, how they end."""

from __future__ import annotations

import csv
import datetime
import importlib
import json
import os
import shutil
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from client.in_process import in_process, over
from kettlewright.app import create_app
from kettlewright_client import Client, Unreachable
from kettlewright_client.testing import StubClient
from werkzeug.serving import make_server

EXAMPLES = Path(__file__).parents[2] / "client" / "examples"
Captured = pytest.CaptureFixture[str]
Main = Callable[..., int]
SUNDAY = 6


@pytest.fixture
def client() -> Client:
    return over(in_process(create_app().test_client()))[0]


@pytest.fixture(autouse=True)
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A copy of the shop, to be changed; the tests run in it."""
    copy = tmp_path / "examples"
    shutil.copytree(EXAMPLES, copy, ignore=shutil.ignore_patterns("__pycache__"))
    monkeypatch.syspath_prepend(str(EXAMPLES))
    monkeypatch.chdir(copy)
    return copy


@pytest.fixture
def nightly() -> Main:
    main: Main = importlib.import_module("nightly").main
    return main


@pytest.fixture
def orders() -> Main:
    main: Main = importlib.import_module("orders").main
    return main


LISTS = ["--fats", "shop/fats.csv", "--names", "shop/names.csv", "--allergens", "shop/fragrances.csv"]
NIGHTLY = ["shop/products.csv", "figures.csv", "--prices", "invented_prices.csv", *LISTS]
ORDERS = ["shop/products.csv", "shop/orders.csv", "shop/workshop.json", "invented_prices.csv", "--fats",
          "shop/fats.csv", "--out", "out", "--earliest"]


def table(name: str) -> list[dict[str, str]]:
    with Path(name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def change(name: str, old: str, new: str) -> None:
    text = Path(name).read_text(encoding="utf-8")
    assert old in text
    Path(name).write_text(text.replace(old, new), encoding="utf-8")


def planned(client: Client, sku: str) -> dict[str, float]:
    """What one batch takes, by key, requested from the service without the scripts."""
    file = {"KD-100": "kiln_dusk.json", "HB-090": "shop/plans/hearth_bar.json"}[sku]
    own = [{"key": "own_shea", "saponification_value": {"min": 178, "max": 182}, "density": 0.9}]
    plan = client.batches(**json.loads(Path(file).read_text(encoding="utf-8")), own_fats=own)
    return {row.buy: sum(one.weigh for one in plan.weigh_list if one.buy == row.buy) for row in plan.weigh_list
            if row.buy is not None}


def test_the_first_night_everything_is_new_and_the_second_nothing_moved(
        nightly: Main, client: Client, capsys: Captured) -> None:
    assert nightly(NIGHTLY, client=client) == 1
    assert capsys.readouterr().out == "KD-100 (all bars): new\nHB-090 (all bars): new\n"
    first = Path("figures.csv").read_bytes()
    assert nightly(NIGHTLY, client=client) == 0
    assert capsys.readouterr().out == "Nothing has changed.\n"
    assert Path("figures.csv").read_bytes() == first
    assert not Path("figures.csv.new").exists()


def test_figures_are_those_of_the_plan_with_the_lists_in_it(nightly: Main, client: Client) -> None:
    nightly(NIGHTLY, client=client)
    kiln, hearth = table("figures.csv")
    assert [kiln["sku"], kiln["name"], kiln["bars"], kiln["currency"]] == ["KD-100", "Kiln Dusk", "all bars", "EUR"]
    for name in ("Butyrospermum Parkii Butter", "Kaolin", "Linalool", "Limonene"):
        assert name in hearth["label"]
    assert kiln["net_quantity"].endswith(" g")
    for row in (kiln, hearth):
        # 40 % margin: the cost is 60 % of the price, which goes up to the cent
        assert 0 <= float(row["tag"]) - float(row["cost"]) / 0.6 < 0.01
        assert row["missing"] == row["trouble"] == ""
        assert len(row["identity"]) == len("PTD1M-H2GQX")


def test_a_price_moves_the_products_it_is_in_and_no_other(nightly: Main, client: Client, capsys: Captured) -> None:
    nightly(NIGHTLY, client=client)
    before = table("figures.csv")
    capsys.readouterr()
    change("invented_prices.csv", "castor oil,1000,9.20", "castor oil,1000,19.20")
    assert nightly(NIGHTLY, client=client) == 1
    now, printed = table("figures.csv"), capsys.readouterr().out.splitlines()
    assert now[1] == before[1]
    assert float(now[0]["cost"]) > float(before[0]["cost"])
    assert f"KD-100 (all bars): cost: {before[0]['cost']} -> {now[0]['cost']}" in printed
    assert f"KD-100 (all bars): identity: {before[0]['identity']} -> {now[0]['identity']}" in printed
    assert not any("label" in line or "HB-090" in line for line in printed)


def test_a_product_that_fails_keeps_its_figures_and_says_why(nightly: Main, client: Client, capsys: Captured) -> None:
    nightly(NIGHTLY, client=client)
    before = table("figures.csv")
    capsys.readouterr()
    change("shop/plans/hearth_bar.json", '"superfat_pct": 6', '"superfat_pct": 60')
    assert nightly(NIGHTLY, client=client) == 2
    kiln, hearth = table("figures.csv")
    printed = capsys.readouterr()
    assert kiln == before[0]
    assert "superfat" in hearth["trouble"]
    assert {**hearth, "trouble": ""} == before[1]
    assert printed.err == f"HB-090: {hearth['trouble']}\n"
    assert printed.out == "Nothing has changed among the planned products.\n"
    again = nightly(NIGHTLY, client=client)
    assert (again, table("figures.csv")) == (2, [kiln, hearth])  # no id of a request in it: the same each night
    change("shop/plans/hearth_bar.json", '"superfat_pct": 60', '"superfat_pct": 6')
    assert nightly(NIGHTLY, client=client) == 0
    assert table("figures.csv") == before


@pytest.mark.parametrize(("text", "words"), [("{", "hearth_bar.json: Expecting"), ("[]", "not a JSON object"),
                                             (None, "No such file")])
def test_a_plan_that_cannot_be_read_spoils_no_other(nightly: Main, client: Client, text: str | None,
                                                    words: str) -> None:
    plan = Path("shop/plans/hearth_bar.json")
    plan.unlink() if text is None else plan.write_text(text, encoding="utf-8")
    assert nightly(NIGHTLY, client=client) == 2
    kiln, hearth = table("figures.csv")
    assert kiln["identity"]
    assert words in hearth["trouble"]
    assert hearth["identity"] == hearth["cost"] == hearth["label"] == ""


def test_where_the_service_is_away_the_figures_stay(nightly: Main, client: Client) -> None:
    nightly(NIGHTLY, client=client)
    before = table("figures.csv")
    assert nightly(NIGHTLY, client=StubClient({"batches": Unreachable("nobody there")})) == 2
    assert table("figures.csv") == [{**row, "trouble": "nobody there"} for row in before]


def test_new_and_missing_products_are_reported(nightly: Main, client: Client, capsys: Captured) -> None:
    nightly(NIGHTLY, client=client)
    capsys.readouterr()
    change("shop/products.csv", "HB-090,", "HB-091,")
    assert nightly(NIGHTLY, client=client) == 1
    assert capsys.readouterr().out == "HB-091 (all bars): new\nHB-090 (all bars): gone\n"


def test_what_is_missing_for_a_label_or_a_cost_is_named(nightly: Main, client: Client) -> None:
    change("shop/plans/hearth_bar_sale.json", '"durability": "2029-03",', "")
    change("invented_prices.csv", "kaolin,kaolin,", "clay,clay,")
    assert nightly([word for word in NIGHTLY if word not in ("--allergens", "shop/fragrances.csv")],
                   client=client) == 1
    rows = table("figures.csv")
    assert [(row["cost"], row["tag"]) for row in rows] == [("", "")] * 2  # no sum of half the prices
    missing = [row["missing"].split("; ") for row in rows]
    assert missing[0] == ["substances of cedar and lavender", "price of kaolin"]
    assert missing[1][:2] == missing[0]
    assert len(missing[1]) == 3
    assert missing[1][2].startswith("label: ")


def test_a_stock_finds_its_price_though_the_plan_does_not_speak_its_key(nightly: Main, client: Client) -> None:
    change("shop/plans/hearth_bar.json", '"purity_at_least_pct": 98', '"stock": {"concentration_pct": 50}')
    change("shop/plans/hearth_bar.json", '"water_to_alkali": 2.1', '"lye_concentration_pct": 32')
    change("invented_prices.csv", "\nwater,", "\nNaOH_stock,stock made last week,1000,3.10,EUR,\nwater,")
    nightly(NIGHTLY, client=client)
    assert [row["missing"] for row in table("figures.csv")] == ["", ""]


def test_bars_whose_labels_differ_have_a_row_each(nightly: Main, client: Client, capsys: Captured) -> None:
    body = json.loads(Path("shop/plans/hearth_bar.json").read_text(encoding="utf-8"))
    colour = {"name": "ultramarine", "kind": "colourant", "dose": 5, "basis": "g_per_kg_batter", "inci": "CI 77007"}
    halves = [{"name": "plain", "share_pct": 50}, {"name": "blue", "share_pct": 50, "additions": [colour]}]
    Path("shop/plans/hearth_bar.json").write_text(json.dumps({
        **body, "portions": halves, "arrangement": "columns", "cut": {**body["cut"], "loaf": {"width": 20}}}),
        encoding="utf-8")
    nightly(NIGHTLY, client=client)
    rows = [row for row in table("figures.csv") if row["sku"] == "HB-090"]
    assert len(rows) == len({row["bars"] for row in rows}) == len({row["label"] for row in rows}) > 1
    assert {"CI 77007" in row["label"] for row in rows} == {True, False}
    capsys.readouterr()
    change("shop/names.csv", "kaolin,Kaolin", "kaolin,Illite")
    assert nightly(NIGHTLY, client=client) == 1
    printed = capsys.readouterr().out.splitlines()
    assert sum(": label: " in line for line in printed if line.startswith("HB-090 (")) == len(rows)


@pytest.mark.parametrize(("file", "old", "new", "words"), [
    ("shop/fats.csv", "own_tallow", "own_shea", 'shop/fats.csv: line 3: key "own_shea" is already on line 2'),
    ("shop/fragrances.csv", ",0.6", ",<0.6", "shop/fragrances.csv: line 3: pct"),
    ("invented_prices.csv", ",34.50,", ",much,", "invented_prices.csv: line 2: price"),
    ("shop/products.csv", "HB-090", "KD-100", 'shop/products.csv: line 3: sku "KD-100" is already on line 2'),
    ("shop/products.csv", "slab,1", "slab,0", 'moulds_count "0" is not a whole number above 0'),
    ("shop/plans/hearth_bar.json", "{", '{"units": {"mass": "oz"},', "Plans with prices use g and oz")])
def test_a_list_that_is_wrong_stops_the_night_before_anything_is_written(
        nightly: Main, client: Client, capsys: Captured, file: str, old: str, new: str, words: str) -> None:
    text = Path(file).read_text(encoding="utf-8")
    assert old in text
    Path(file).write_text(text.replace(old, new, 1), encoding="utf-8")
    assert nightly(NIGHTLY, client=client) == 2
    printed = capsys.readouterr().err
    assert printed.startswith("Nothing was written: ")
    assert words in printed
    assert not Path("figures.csv").exists()


def test_both_scripts_report_warnings(nightly: Main, orders: Main, client: Client, capsys: Captured) -> None:
    nightly(NIGHTLY, client=client)
    before = [row["cautions"].split("; ") for row in table("figures.csv")]
    assert before[1] == ["fragrance-flammable"]  # and not "dust", which is no more than information
    capsys.readouterr()
    change("shop/plans/hearth_bar.json", '"limit_pct": 2.8', '"limit_pct": 0.8')  # 2.5 % of the fats are more
    assert nightly(NIGHTLY, client=client) == 1
    assert [row["cautions"].split("; ") for row in table("figures.csv")] == [
        before[0], ["fragrance-flammable", "fragrance-limit-exceeded"]]
    line = "HB-090 (all bars): cautions: fragrance-flammable -> fragrance-flammable; fragrance-limit-exceeded"
    assert line in capsys.readouterr().out.splitlines()
    assert orders([*ORDERS, "2027-01-04"], client=client) == 0
    assert "HB-090: warning: cedar and lavender: the bar contains " in capsys.readouterr().err


def test_no_cell_is_a_formula_and_that_does_not_count_as_moved(nightly: Main, client: Client) -> None:
    change("shop/products.csv", "Hearth Bar", "=1+1")
    nightly(NIGHTLY, client=client)
    assert table("figures.csv")[1]["name"] == "'=1+1"
    assert nightly(NIGHTLY, client=client) == 0


def test_orders_become_batches_and_what_is_left_of_one_goes_to_the_next(orders: Main, client: Client) -> None:
    assert orders([*ORDERS, "2027-01-04"], client=client) == 0
    # Hearth Bar: 18 x 25 mm and 17 cuts of 1 mm are 467 of 492 mm, one is kept back, 2 % break: 17 x 0.98 = 16.66 good.
    # 30 + 6 bars take 2.2 batches, 20 more make 3.4. Kiln Dusk: 3 loaves of 14, less one, are 40.18 good: 90 bars take
    # 2.2 batches and 110 take 2.7, so the three of March do for April.
    assert [(row["date"], row["sku"], row["bars_ordered"], row["batches"], row["bars_of_a_batch"])
            for row in table("out/batches.csv")] == [
        ("2027-03-20", "HB-090", "36", "3", "17"), ("2027-03-20", "KD-100", "90", "3", "41"),
        ("2027-04-10", "HB-090", "20", "1", "17"), ("2027-04-10", "KD-100", "20", "0", "41")]


def test_packs_are_bought_for_all_batches_less_what_is_at_hand(orders: Main, client: Client) -> None:
    assert orders([*ORDERS, "2027-01-04", "--at-hand", "shop/at_hand.csv"], client=client) == 0
    kiln, hearth = planned(client, "KD-100"), planned(client, "HB-090")
    rows = {row["key"]: row for row in table("out/purchases.csv")}
    for key in ("olive", "coconut", "kaolin", "cedar_and_lavender"):
        assert float(rows[key]["needed"]) == pytest.approx(3 * kiln[key] + 4 * hearth[key], rel=1e-6), key
    assert float(rows["own_shea"]["needed"]) == pytest.approx(4 * hearth["own_shea"])
    assert float(rows["olive"]["needed"]) - float(rows["olive"]["short"]) == pytest.approx(1500)
    for key, row in rows.items():
        packs = [one for one in table("out/purchases.csv") if one["key"] == key]
        assert sum(int(one["count"]) * float(one["pack_mass"]) for one in packs) >= float(row["short"]), key


def test_every_batch_is_in_the_calendar_on_open_days_before_its_release(orders: Main, client: Client) -> None:
    assert orders([*ORDERS, "2027-01-04"], client=client) == 0
    rows = table("out/calendar.csv")
    assert sorted((row["release"], row["name"]) for row in rows) == [
        *[("2027-03-20", "Hearth Bar (HB-090)")] * 3, *[("2027-03-20", "Kiln Dusk (KD-100)")] * 3,
        ("2027-04-10", "Hearth Bar (HB-090)")]
    days = {name: [datetime.date.fromisoformat(row[name]) for row in rows] for name in ("pour", "cut", "pack_from")}
    assert len(set(days["pour"])) == 7  # one pour a day
    assert all(day.weekday() != SUNDAY for several in days.values() for day in several)
    for row, cut, pack in zip(rows, days["cut"], days["pack_from"], strict=True):
        assert (pack - cut).days >= (42 if row["name"].startswith("Kiln") else 35)
    text = Path("out/calendar.ics").read_bytes()
    assert text.startswith(b"BEGIN:VCALENDAR\r\n")
    assert text.count(b"SUMMARY:Pour ") == 7
    assert b"\r\r\n" not in text


def test_without_a_calendar_batches_and_packs_are_still_written(
        orders: Main, client: Client, capsys: Captured) -> None:
    assert orders([*ORDERS, "2027-01-04"], client=client) == 0
    assert orders([*ORDERS, "2027-02-20"], client=client) == 2
    assert sorted(file.name for file in Path("out").iterdir()) == ["batches.csv", "purchases.csv"]
    assert "No calendar is possible:\n  For a release on 2027-03-20" in capsys.readouterr().err


def test_what_has_no_pack_is_named(orders: Main, client: Client, capsys: Captured) -> None:
    change("invented_prices.csv", "castor,", "ricinus,")
    assert orders([*ORDERS, "2027-01-04"], client=client) == 1
    needed = 3 * planned(client, "KD-100")["castor"]
    assert f"No pack is listed for castor oil; you are {needed:g} g short." in capsys.readouterr().err
    row = next(row for row in table("out/purchases.csv") if row["key"] == "castor")
    assert (row["count"], row["pack"], float(row["short"])) == ("0", "", needed)


@pytest.mark.parametrize(("file", "old", "new", "words"), [
    ("shop/orders.csv", "2027-03-20,KD-100,90", "20.3.2027,KD-1,0",
     'line 2: sku "KD-1" is not in the table of products; line 2: date "20.3.2027" is not a date such as 2027-03-20; '
     'line 2: bars "0" is not a whole number above 0'),
    ("shop/orders.csv", "2027-03-20,KD-100,90", "20270320,KD-100,90", 'date "20270320"'),
    ("shop/products.csv", ",slab,", ",,", "KD-100: the table of products has no mould"),
    ("shop/margin.json", '"kept_back_count": 1', '"kept_back_count": 18', "HB-090: a batch makes 18 bars and keeps"),
    ("shop/margin.json", '"broken_pct": 2', '"broken_pct": 200', "broken"),
    ("shop/workshop.json", '"moulds"', '"forms"', 'not a JSON object with "moulds"'),
    ("shop/workshop.json", "{", "", "shop/workshop.json: "),
    ("shop/at_hand.csv", "1500", "1,5", "3 cells for 2 columns; commas separate the columns here"),
    ("kiln_dusk.json", '"purity_at_least_pct": 98', '"purity_at_least_pct": 9', "KD-100: /recipe/alkalis/0")])
def test_orders_that_cannot_be_planned_are_reported(orders: Main, client: Client, capsys: Captured, file: str, old: str,
                                                new: str, words: str) -> None:
    text = Path(file).read_text(encoding="utf-8")
    assert old in text
    Path(file).write_text(text.replace(old, new, 1), encoding="utf-8")
    assert orders([*ORDERS, "2027-01-04", "--at-hand", "shop/at_hand.csv"], client=client) == 2
    assert words in capsys.readouterr().err
    assert not Path("out/calendar.ics").exists()


def test_a_file_without_orders_is_reported(orders: Main, client: Client, capsys: Captured) -> None:
    Path("shop/orders.csv").write_text("date,sku,bars\n", encoding="utf-8")
    assert orders([*ORDERS, "2027-01-04"], client=client) == 2
    assert "no order" in capsys.readouterr().err


def test_more_orders_than_one_request_takes_are_counted_in_several(orders: Main, client: Client) -> None:
    first = datetime.date(2027, 3, 1)
    days = [first + datetime.timedelta(days=number) for number in range(45)]
    Path("shop/orders.csv").write_text("date,sku,bars\n" + "".join(f"{day},HB-090,1\n" for day in days),
                                       encoding="utf-8")
    change("shop/workshop.json", '"closed": {"weekdays": ["sunday"]}', '"closed": {}')
    assert orders([*ORDERS, "2026-11-01"], client=client) == 0
    # 45 bars of 16.66 good ones a batch: one more batch with the 1st, the 17th and the 34th bar
    assert [row["date"] for row in table("out/batches.csv") if row["batches"] == "1"] == [
        str(days[number]) for number in (0, 16, 33)]
    assert {row["batches"] for row in table("out/batches.csv")} == {"0", "1"}


@pytest.fixture
def address() -> Iterator[str]:
    served = make_server("127.0.0.1", 0, create_app(), threaded=True)
    thread = threading.Thread(target=served.serve_forever)
    thread.start()
    yield f"http://127.0.0.1:{served.server_port}"
    served.shutdown()
    thread.join()


def test_the_lines_of_the_examples_run(address: str) -> None:
    papers = (EXAMPLES / "README.md").read_text(encoding="utf-8")
    lines = papers.split("```sh\ncd client/examples\n")[1].split("```")[0]
    here: dict[str, Any] = {"capture_output": True, "text": True, "timeout": 120, "check": False, "env": {
        **os.environ, "NO_PROXY": "*", "KETTLEWRIGHT_URL": address,
        "PATH": f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}"}}
    assert lines.count("../../.venv/bin/python ") == 2
    lines = lines.replace("../../.venv/bin/python ", "python ")  # the environment of these tests
    script = lines.replace("\npython orders.py", '\necho "ended with $?"\npython orders.py')
    found = [subprocess.run(["sh", "-uc", script], **here) for _ in range(2)]
    assert [each.returncode for each in found] == [0, 0]
    assert all(line.startswith(("KD-100: warning: ", "HB-090: warning: ")) for line in found[0].stderr.splitlines())
    assert "ended with 1\n7 batches to pour.\n" in found[0].stdout
    assert "Nothing has changed.\nended with 0\n7 batches to pour.\n" in found[1].stdout
    assert Path("orders/calendar.ics").exists()
