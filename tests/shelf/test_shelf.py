"""The shelf over the real service: plans, weighings, lots, recalls; crashes, two writers, a full disk. All invented."""

from __future__ import annotations

import copy
import json
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from client.in_process import in_process, over
from kettlewright.app import create_app
from kettlewright_client import Client, InvalidInput
from kettlewright_shelf import Locked, Shelf, ShelfError
from kettlewright_shelf.exchange import export_csv, export_json, import_json
from kettlewright_shelf.schema import STEPS, VERSION
from kettlewright_shelf.shelf import grams

BODY: dict[str, Any] = json.loads((Path(__file__).parents[2] / "client/examples/kiln_dusk.json").read_text())
DAY = "2027-02-01"


@pytest.fixture(scope="module")
def client() -> Client:
    return over(in_process(create_app().test_client()))[0]


@pytest.fixture
def shelf(tmp_path: Path) -> Iterator[Shelf]:
    with Shelf(tmp_path / "shelf.db", today=DAY) as made:
        yield made


def test_a_plan_is_kept_with_its_number(shelf: Shelf, client: Client) -> None:
    assert shelf.add_plan(BODY, client, number="27-014") == "27-014"
    first, second = shelf.add_plan(BODY, client), shelf.add_plan(BODY, client)
    assert first != second
    body, reply = shelf.plan_of("27-014")
    assert body == BODY
    assert reply["resolved"]["identity"] == reply["identity"]
    with pytest.raises(ShelfError, match='There is a batch "27-014"'):
        shelf.add_plan(BODY, client, number="27-014")


def test_a_body_that_the_service_refuses_is_not_kept(shelf: Shelf, client: Client) -> None:
    with pytest.raises(InvalidInput):
        shelf.add_plan({**BODY, "recipe": {**BODY["recipe"], "superfat_pct": 300}}, client)
    assert shelf.uses() == []


def test_what_was_weighed_comes_out_of_its_lot(shelf: Shelf, client: Client) -> None:
    shelf.add_lot("olive", "O-7", 5, "kg", best_before="2028-06-30")
    number = shelf.add_plan(BODY, client)
    planned = next(row["weigh"] for row in shelf.plan_of(number)[1]["weigh_list"] if row["key"] == "olive")
    [left] = shelf.stock("olive")
    assert (left.lot, left.received_g) == ("O-7", 5000)
    assert left.left_g == pytest.approx(5000 - planned)
    shelf.weigh(number, "olive", 2141, lot="O-7", by="Ada")
    assert shelf.stock("olive")[0].left_g == pytest.approx(5000 - 2141)
    shelf.weigh(number, "olive", 2145.5, lot="O-7")  # written again: it replaces the first
    assert shelf.stock("olive")[0].left_g == pytest.approx(5000 - 2145.5)
    assert {use.basis for use in shelf.uses() if use.lot == "O-7"} == {"weighed"}


def test_a_lot_gives_no_more_than_it_has_unless_you_say_so(shelf: Shelf, client: Client) -> None:
    shelf.add_lot("olive", "O-7", 2000)
    number = shelf.add_plan(BODY, client)
    with pytest.raises(ShelfError, match="100 g are missing"):
        shelf.weigh(number, "olive", 2100, lot="O-7")
    assert not [use for use in shelf.uses() if use.basis == "weighed"]
    shelf.weigh(number, "olive", 2100, lot="O-7", anyway=True)
    assert shelf.stock("olive")[0].left_g == pytest.approx(-100)


def test_a_lot_is_used_up_once(shelf: Shelf) -> None:
    shelf.add_lot("olive", "O-7", 2000)
    shelf.use_up("olive", "O-7")
    assert shelf.stock("olive")[0].left_g == 0
    with pytest.raises(ShelfError, match=f"used up on {DAY} already"):
        shelf.use_up("olive", "O-7")
    with pytest.raises(ShelfError, match="No lot"):
        shelf.use_up("olive", "O-8")
    with pytest.raises(ShelfError, match="on the shelf already"):
        shelf.add_lot("olive", "O-7", 100)


def test_a_weighing_of_what_is_not_there_says_what_is(shelf: Shelf, client: Client) -> None:
    with pytest.raises(ShelfError, match="The shelf is empty"):
        shelf.weigh("27-001", "olive", 1)
    number = shelf.add_plan(BODY, client)
    with pytest.raises(ShelfError, match=number):
        shelf.weigh("27-001", "olive", 1)
    with pytest.raises(ShelfError, match=r"It weighs .*NaOH, olive"):
        shelf.weigh(number, "rapeseed", 1)
    with pytest.raises(ShelfError, match="where bucket, portion ember"):
        shelf.weigh(number, "red_iron_oxide", 9.9)
    shelf.weigh(number, "red_iron_oxide", 9.8, portion="ember", lot="R-1")
    assert [(use.lot, use.mass_g) for use in shelf.recall("R-1")] == [("R-1", 9.8)]


@pytest.mark.parametrize(("mass", "unit", "expected"), [(1, "oz", 28.349523125), (1, "lb", 453.59237), (2, "kg", 2000)])
def test_units_are_exact(mass: float, unit: str, expected: float) -> None:
    """International avoirdupois pound of 1959: 0.45359237 kg; an ounce is a sixteenth."""
    assert grams(mass, unit) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize(("mass", "unit"), [(1, "stone"), (-1, "g"), (float("nan"), "g"), (float("inf"), "g")])
def test_what_is_no_mass_is_refused(mass: float, unit: str) -> None:
    with pytest.raises(ShelfError):
        grams(mass, unit)


def test_the_record_says_what_the_service_says_of_the_weighings(shelf: Shelf, client: Client) -> None:
    number = shelf.add_plan(BODY, client)
    shelf.weigh(number, "olive", 2338)  # 200 g more than planned, and no lye yet
    answer = shelf.record(number, "fats", client)
    olive = next(row for row in answer["difference"] if row["key"] == "olive")
    assert (olive["weighed"], olive["off"]) == (2338, pytest.approx(200, abs=1))
    kept = json.loads(shelf.file.rows("SELECT reply FROM records")[0]["reply"])
    assert kept == answer


@pytest.mark.parametrize("foreign", [{"plan": BODY}, {"identity": "AAAAA-AAAAA"}, {"weighed": []},
                                     {"plan": BODY, "identity": "AAAAA-AAAAA", "data_version": "2026.5"}])
def test_a_record_of_another_plan_is_refused(shelf: Shelf, client: Client, foreign: dict[str, Any]) -> None:
    number = shelf.add_plan({**BODY, "expected_loss_pct": 10}, client)
    with pytest.raises(ShelfError, match=f"leave out {', '.join(foreign)}"):
        shelf.record(number, "fats", client, **foreign)
    assert shelf.file.rows("SELECT * FROM records") == []
    with pytest.raises(ShelfError, match='No batch "27-099"'):
        shelf.record("27-099", "fats", client)


def test_an_import_takes_no_record_of_another_plan(shelf: Shelf, client: Client, tmp_path: Path) -> None:
    first, second = shelf.add_plan(BODY, client), shelf.add_plan({**BODY, "expected_loss_pct": 10}, client)
    shelf.record(first, "fats", client)
    export_json(shelf, tmp_path / "all.json")
    found = json.loads((tmp_path / "all.json").read_text())
    for number, words in ((second, "but the batch is of plan"), ("27-099", "no such batch")):
        found["tables"]["records"][0]["number"] = number
        (tmp_path / "mixed.json").write_text(json.dumps(found))
        with Shelf(tmp_path / "other.db", today=DAY) as other:
            with pytest.raises(ShelfError, match=words):
                import_json(other, tmp_path / "mixed.json")
            assert other.file.rows("SELECT * FROM plans") == []


def test_batches_of_one_plan_keep_their_own_words(shelf: Shelf, client: Client, tmp_path: Path) -> None:
    """No figure depends on title, maker and notes, so neither does the identity."""
    words = [{}, {"title": "<b>Dusk</b> & =1+1", "maker": "Ada"}, {"title": "Dawn", "notes": ["Line the mould."]}]
    numbers = [shelf.add_plan({**BODY, **own}, client) for own in words]
    assert len(shelf.file.rows("SELECT * FROM plans")) == 1
    export_json(shelf, tmp_path / "all.json")
    with Shelf(tmp_path / "other.db", today=DAY) as other:
        import_json(other, tmp_path / "all.json")
        for found in (shelf, other):
            for number, own in zip(numbers, words, strict=True):
                for one in (*found.plan_of(number), found.remake_body(number)):
                    assert {name: one[name] for name in ("title", "maker", "notes") if name in one} == own
    page = client.form("batches", "html", json.dumps(shelf.plan_of(numbers[1])[0]).encode())
    assert "&lt;b&gt;Dusk&lt;/b&gt;" in page
    assert "<b>Dusk" not in page


@pytest.mark.parametrize(("field", "text"), [("title", "Dusk\nDawn"), ("maker", "A\tB"), ("batch_number", "27\n1")])
def test_words_of_several_lines_are_refused_and_nothing_is_kept(shelf: Shelf, client: Client, field: str,
                                                               text: str) -> None:
    with pytest.raises(InvalidInput, match=field):
        shelf.add_plan({**BODY, field: text}, client)
    with pytest.raises(ShelfError, match="one line"):
        shelf.add_plan(BODY, client, number="27\n1")
    assert shelf.file.rows("SELECT * FROM batches") == []
    number = shelf.add_plan(BODY, client)
    with pytest.raises(ShelfError, match="Who weighed must be one line"):
        shelf.weigh(number, "olive", 2138, by="Ada\nEve")
    assert shelf.file.rows("SELECT * FROM weighings") == []


def test_an_export_of_an_older_version_is_taken(shelf: Shelf, client: Client, tmp_path: Path) -> None:
    shelf.add_plan({**BODY, "title": "Dusk"}, client, number="27-014")
    export_json(shelf, tmp_path / "all.json")
    found = json.loads((tmp_path / "all.json").read_text())
    found["version"] = 2
    del found["tables"]["batches"][0]["words"]
    (tmp_path / "old.json").write_text(json.dumps(found))
    with Shelf(tmp_path / "other.db", today=DAY) as other:
        assert import_json(other, tmp_path / "old.json")["batches"] == 1
        assert other.plan_of("27-014")[0]["title"] == "Dusk"  # as then: of the plan


def test_a_recall_names_every_batch_and_all_its_bars(shelf: Shelf, client: Client) -> None:
    shelf.add_lot("shea", "S-12", 10_000)
    numbers = [shelf.add_plan(BODY, client, made_on=f"2027-02-0{day}") for day in (1, 2, 3)]
    shelf.weigh(numbers[1], "shea", 668, lot="S-13")  # the second batch had another lot
    found = shelf.recall("S-12")
    assert [use.number for use in found] == [numbers[0], numbers[2]]
    assert {use.bars_count for use in found} == {42}  # as in the plan
    assert [use.number for use in shelf.recall("S-13")] == [numbers[1]]
    with pytest.raises(ShelfError, match="No lot"):
        shelf.recall("S-99")


def test_purchases_are_fed_with_what_is_left_and_good(shelf: Shelf, client: Client) -> None:
    shelf.add_lot("olive", "O-6", 900, best_before="2027-01-31")  # past its day
    shelf.add_lot("olive", "O-7", 5000, best_before="2028-06-30")
    shelf.add_lot("coconut", "C-1", 700)
    shelf.use_up("coconut", "C-1")
    assert shelf.at_hand() == [{"key": "olive", "mass": 5000}]
    needs = [{"key": "olive", "name": "olive oil", "mass": 7000}]
    packs = [{"key": "olive", "price": {"amount": "9.00", "currency": "EUR", "per_mass": 1000}}]
    [olive] = client.purchases(needs=needs, at_hand=shelf.at_hand(), packs=packs).ingredients
    assert (olive.short_mass, sum(pack.count for pack in olive.packs)) == (2000, 2)


def test_a_remake_takes_todays_lots_and_compares(shelf: Shelf, client: Client) -> None:
    shelf.add_lot("shea", "S-12", 700)
    shelf.add_lot("shea", "S-20", 5000, certificate={"saponification_value": {"min": 180, "max": 184}})
    number = shelf.add_plan(BODY, client)
    shelf.weigh(number, "shea", 668, lot="S-12")
    shelf.use_up("shea", "S-12")
    identity = shelf.plan_of(number)[1]["identity"]
    body = shelf.remake_body(identity)
    shea = next(fat for fat in body["recipe"]["fats"] if fat.get("name") == "shea")
    assert (shea["lot"], shea["saponification_value"]) == ("S-20", {"min": 180, "max": 184})
    reply = json.loads(client.form("batches", "json", json.dumps(body).encode()))
    assert reply["identity"] != identity
    assert "saponification_value" in json.dumps(reply["comparison"])
    with pytest.raises(ShelfError, match='No batch "AAAAA-AAAAA"'):
        shelf.remake_body("AAAAA-AAAAA")
    assert BODY["recipe"]["fats"][2]["lot"] == "S-12"


def test_an_export_makes_an_equal_shelf_and_a_conflict_adds_nothing(shelf: Shelf, client: Client,
                                                                    tmp_path: Path) -> None:
    shelf.add_lot("olive", "O-7", 5000)
    number = shelf.add_plan(BODY, client)
    shelf.weigh(number, "olive", 2138, lot="O-7")
    export_json(shelf, tmp_path / "all.json")
    with Shelf(tmp_path / "other.db", today=DAY) as other:
        assert import_json(other, tmp_path / "all.json") == {
            "plans": 1, "batches": 1, "lots": 1, "weighings": 1, "records": 0}
        assert set(import_json(other, tmp_path / "all.json").values()) == {0}
        assert (other.uses(), other.stock()) == (shelf.uses(), shelf.stock())
    with Shelf(tmp_path / "third.db", today=DAY) as third:
        third.add_lot("olive", "O-7", 4000)
        with pytest.raises(ShelfError, match="says something else"):
            import_json(third, tmp_path / "all.json")
        assert third.file.rows("SELECT * FROM plans") == []
    (tmp_path / "no.json").write_text("[]")
    with pytest.raises(ShelfError, match="not an export"):
        import_json(shelf, tmp_path / "no.json")


def test_a_table_for_a_spreadsheet_holds_no_formula(shelf: Shelf, tmp_path: Path) -> None:
    shelf.add_lot("=HYPERLINK(1)", "O,7", 5000)
    [lots] = [path for path in export_csv(shelf, tmp_path / "csv") if path.name == "lots.csv"]
    assert lots.read_text().splitlines()[1].startswith("'=HYPERLINK(1),\"O,7\",5000")


def test_an_older_shelf_is_brought_up_to_date_with_all_it_holds(tmp_path: Path, client: Client) -> None:
    path = tmp_path / "old.db"
    old = sqlite3.connect(path)
    old.executescript(STEPS[0])
    old.execute("INSERT INTO lots VALUES ('olive', 'O-1', 100, '2026-01-01', NULL, NULL, NULL, NULL)")
    old.execute("PRAGMA user_version = 1")
    old.commit()
    old.close()
    with Shelf(path, today=DAY) as shelf:
        assert shelf.file.rows("PRAGMA user_version")[0][0] == VERSION
        assert [lot.lot for lot in shelf.lots()] == ["O-1"]
        shelf.record(shelf.add_plan(BODY, client), "fats", client)


def test_a_newer_shelf_and_another_file_are_left_alone(tmp_path: Path) -> None:
    newer = sqlite3.connect(tmp_path / "new.db")
    newer.execute("PRAGMA user_version = 99")
    newer.close()
    with pytest.raises(ShelfError, match="newer kettlewright-shelf"):
        Shelf(tmp_path / "new.db")
    (tmp_path / "letter.txt").write_text("Dear maker, " * 100)
    with pytest.raises(ShelfError, match="is not a shelf"):
        Shelf(tmp_path / "letter.txt")
    with pytest.raises(ShelfError, match="does its folder exist"):
        Shelf(tmp_path / "nowhere" / "shelf.db")


def test_a_full_disk_changes_nothing(shelf: Shelf, client: Client) -> None:
    number = shelf.add_plan(BODY, client)
    pages = shelf.file.rows("PRAGMA page_count")[0][0]
    shelf.file.rows(f"PRAGMA max_page_count = {pages}")  # SQLite then answers as on a full disk
    with pytest.raises(ShelfError, match="is full"):
        shelf.add_plan({**copy.deepcopy(BODY), "expected_loss_pct": 10}, client)
    shelf.file.rows("PRAGMA max_page_count = 1000000")
    assert [row["number"] for row in shelf.file.rows("SELECT number FROM batches")] == [number]
    assert shelf.file.rows("PRAGMA integrity_check")[0][0] == "ok"


WRITER = """
import sys, time
from kettlewright_shelf import Shelf
shelf = Shelf(sys.argv[1])
for index in range(100_000):
    with shelf.file.writing() as db:
        for part in ("a", "b"):
            db.execute("INSERT INTO lots VALUES (?, ?, 1, '2027-01-01', NULL, NULL, NULL, NULL)", (part, f"L{index}"))
            time.sleep(0.001)
    print(index, flush=True)
"""


def test_a_writer_that_is_killed_leaves_whole_transactions(tmp_path: Path) -> None:
    path = tmp_path / "shelf.db"
    for _ in range(3):
        path.unlink(missing_ok=True)
        writer = subprocess.Popen([sys.executable, "-c", WRITER, str(path)], stdout=subprocess.PIPE, text=True)
        assert writer.stdout is not None
        for _ in range(5):
            last = int(writer.stdout.readline())
        writer.send_signal(signal.SIGKILL)
        said = [int(line) for line in writer.stdout.read().split()]
        writer.wait()
        with Shelf(path) as shelf:
            lots = shelf.lots()
            first, second = ({lot.lot for lot in lots if lot.key == key} for key in ("a", "b"))
            assert first == second
            assert {f"L{index}" for index in range(max([last, *said]) + 1)} <= first  # what was said is there
            assert shelf.file.rows("PRAGMA integrity_check")[0][0] == "ok"


def test_two_processes_at_once_lose_nothing(tmp_path: Path) -> None:
    path = tmp_path / "shelf.db"
    many = ("import sys\nfrom kettlewright_shelf import Shelf\nwith Shelf(sys.argv[1]) as shelf:\n"
            "    for index in range(25):\n        shelf.add_lot(sys.argv[2], f'L{index}', 1)\n")
    both = [subprocess.Popen([sys.executable, "-c", many, str(path), key]) for key in ("olive", "coconut")]
    assert [one.wait(60) for one in both] == [0, 0]
    with Shelf(path) as shelf:
        assert len(shelf.lots()) == 50


def test_who_waits_in_vain_is_reported_who_writes(tmp_path: Path) -> None:
    path = tmp_path / "shelf.db"
    with Shelf(path) as first, Shelf(path, wait=0.3) as second:
        with first.file.writing(), pytest.raises(Locked, match=r"process \d+ on .* since 20"):
            started = time.monotonic()
            second.add_lot("olive", "O-7", 1)
        assert time.monotonic() - started >= 0.3
        assert second.lots() == []  # reading never waits
        second.add_lot("olive", "O-7", 1)


def test_a_recall_over_200_batches_is_quick(shelf: Shelf, client: Client) -> None:
    shelf.add_lot("olive", "O-7", 9_000_000)
    first = shelf.add_plan(BODY, client, number="0")
    identity = shelf.plan_of(first)[1]["identity"]
    with shelf.file.writing() as db:
        db.executemany("INSERT INTO batches (number, identity, made_on, bars_count) VALUES (?, ?, ?, 42)",
                       [(str(n), identity, DAY) for n in range(1, 200)])
    found = shelf.recall("O-7")
    assert (len(found), sum(use.bars_count or 0 for use in found)) == (200, 200 * 42)
