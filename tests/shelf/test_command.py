"""The commands of the shelf's page, one after the other, over a service on loopback; and what a mistake gets."""

from __future__ import annotations

import json
import re
import shlex
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest
from kettlewright.app import create_app
from kettlewright_shelf.command import main
from werkzeug.serving import make_server

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "client" / "shelf" / "README.md").read_text(encoding="utf-8")
COMMANDS = [shlex.split(line) for line in re.findall(r"^    python -m kettlewright_shelf (.*)$", PAGE, re.MULTILINE)]
Captured = pytest.CaptureFixture[str]


@pytest.fixture(scope="module")
def address() -> Iterator[str]:
    served = make_server("127.0.0.1", 0, create_app(), threaded=True)
    thread = threading.Thread(target=served.serve_forever)
    thread.start()
    yield f"http://127.0.0.1:{served.server_port}"
    served.shutdown()
    thread.join()


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch, tmp_path: Path, address: str) -> list[str]:
    monkeypatch.setenv("KETTLEWRIGHT_URL", address)
    monkeypatch.chdir(ROOT)
    return ["--shelf", str(tmp_path / "shelf.db"), "--today", "2027-02-01"]


def test_the_commands_of_the_page_run_unchanged(run: list[str], capsys: Captured) -> None:
    assert len(COMMANDS) == 6
    said = []
    for command in COMMANDS:
        assert main([*run, *command]) == 0, command
        said.append(capsys.readouterr().out)
    assert said[1] == "27-014\n"
    assert re.search(r"^olive  O-7  2860 g left of 5000 g  best before 2028-06-30$", said[4], re.MULTILINE)
    assert said[5].endswith("1 batch, 42 bars\n")


def test_what_is_left_feeds_purchases(run: list[str], capsys: Captured, tmp_path: Path) -> None:
    body = {"needs": [{"key": "olive", "name": "olive oil", "mass": 7000}],
            "packs": [{"key": "olive", "price": {"amount": "9.00", "currency": "EUR", "per_mass": 1000}}]}
    (tmp_path / "needs.json").write_text(json.dumps(body))
    assert main([*run, "lots", "olive", "O-7", "5", "kg"]) == 0
    assert main([*run, "feed", "purchases", str(tmp_path / "needs.json"), "--send"]) == 0
    assert json.loads(capsys.readouterr().out)["ingredients"][0]["short_mass"] == 2000


def test_an_old_plan_is_remade_and_exported(run: list[str], capsys: Captured, tmp_path: Path) -> None:
    assert main([*run, "add", "client/examples/kiln_dusk.json"]) == 0
    number = capsys.readouterr().out.strip()
    identity = number.rpartition("-")[0]
    assert main([*run, "remake", identity, "--number", "again"]) == 0
    out = capsys.readouterr().out
    assert out.startswith(f"{identity} then, {identity} today")
    assert out.endswith("again\n")
    assert main([*run, "remake", "again"]) == 0  # as every other command, by the batch's number
    assert capsys.readouterr().out == out.replace(f"{identity} then", "again then").removesuffix("again\n")
    assert main([*run, "export", str(tmp_path / "all.json")]) == 0
    assert main(["--shelf", str(tmp_path / "two.db"), "import", str(tmp_path / "all.json")]) == 0
    assert "batches: 2 added" in capsys.readouterr().out


@pytest.mark.parametrize(("command", "code", "says"), [
    (["record", "27-001", "fats"], 1, "The shelf is empty"),
    (["recall", "O-99"], 1, 'No lot "O-99" is on the shelf'),
    (["weigh", "27-001", "olive", "1"], 1, "The shelf is empty"),
    (["remake", "27-001"], 1, 'No batch "27-001" is on the shelf'),
    (["lots", "olive"], 1, "lots KEY LOT MASS"),
    (["lots", "olive", "O-7", "5", "stone"], 1, "use g, kg, oz, lb"),
    (["lots", "olive", "O-7", "5", "--best-before", "soon"], 1, "a day such as 2027-01-04"),
    (["add", "nowhere.json"], 1, "nowhere.json cannot be read"),
    (["--today", "tomorrow", "stock"], 1, "a day such as")])
def test_a_mistake_is_reported_in_one_line_on_stderr(run: list[str], capsys: Captured, command: list[str], code: int,
                                                 says: str) -> None:
    assert main([*run, *command]) == code
    captured = capsys.readouterr()
    assert says in captured.err
    assert captured.out == ""


def test_no_service_is_another_code_and_changes_nothing(run: list[str], capsys: Captured) -> None:
    assert main([*run, "--url", "http://127.0.0.1:9", "add", "client/examples/kiln_dusk.json"]) == 3
    assert main([*run, "stock"]) == 0
    assert capsys.readouterr().out == ""
