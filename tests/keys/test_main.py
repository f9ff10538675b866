"""python -m kettlewright.keys: make a key and print it once, list, revoke."""

from __future__ import annotations

import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest
from kettlewright.keys import KeyRing, read_key_file
from kettlewright.keys.__main__ import main

Printed = pytest.CaptureFixture[str]


def made(path: Path, printed: Printed, *arguments: str) -> str:
    assert main(["--file", str(path), "new", *arguments]) == 0
    out, said = printed.readouterr()
    assert "not stored and cannot be shown again" in said
    assert "SIGHUP" in said
    assert out.strip() not in said
    return out.strip()


def test_new_prints_a_key_that_the_file_knows_only_by_its_hash(tmp_path: Path, capsys: Printed) -> None:
    path = tmp_path / "keys.csv"
    first = made(path, capsys, "anna")
    second = made(path, capsys, "anna", "--role", "read-only", "--requests", "100", "--cpu-seconds", "60", "--expires",
                  "9999-12-31")
    ring = KeyRing(read_key_file(path))
    [one, two] = read_key_file(path)
    assert (ring.find(first), ring.find(second)) == (one, two)
    assert (one.name, one.role, one.expires, one.requests_per_month, one.cpu_seconds_per_month) == (
        "anna", "member", None, None, None)
    assert (two.role, two.expires, two.requests_per_month, two.cpu_seconds_per_month) == (
        "read-only", date(9999, 12, 31), 100, 60)
    text = path.read_text(encoding="utf-8")
    for key in (first, second):
        assert key not in text
        assert key.split("_", 2)[2] not in text


def test_list_shows_every_key_and_no_hash(tmp_path: Path, capsys: Printed) -> None:
    path = tmp_path / "keys.csv"
    made(path, capsys, "anna", "--requests", "100")
    made(path, capsys, "ben", "--role", "operator", "--expires", "9999-12-31")
    assert main(["--file", str(path), "list"]) == 0
    rows = [line.split() for line in capsys.readouterr().out.splitlines()]
    keys = read_key_file(path)
    assert rows[1:] == [["anna", keys[0].key_id, "member", str(keys[0].made), "-", "100", "-"],
                        ["ben", keys[1].key_id, "operator", str(keys[1].made), "9999-12-31", "-", "-"]]
    assert len(rows[0]) == 8  # "cpu seconds" has two words


def test_revoke_takes_all_keys_of_a_name_or_the_one_of_an_id(tmp_path: Path, capsys: Printed) -> None:
    path = tmp_path / "keys.csv"
    for name in ("anna", "anna", "ben", "ben"):
        made(path, capsys, name)
    assert main(["--file", str(path), "revoke", "anna"]) == 0
    assert "Revoked: 2." in capsys.readouterr().err
    assert [key.name for key in read_key_file(path)] == ["ben", "ben"]
    first, second = read_key_file(path)
    assert main(["--file", str(path), "revoke", first.key_id]) == 0
    assert read_key_file(path) == (second,)
    before = path.read_bytes()
    assert main(["--file", str(path), "revoke", "nobody"]) == 1
    assert "nobody" in capsys.readouterr().err
    assert path.read_bytes() == before
    assert main(["--file", str(path), "revoke", "ben"]) == 0
    assert read_key_file(path) == ()  # the header stays: no key works, and the service stays closed


@pytest.mark.parametrize("arguments", [["new", "Anna"], ["new", "a b"], ["new", "anna", "--role", "admin"],
                                       ["new", "anna", "--requests", "0"], ["new", "anna", "--cpu-seconds", "1.5"],
                                       ["new", "anna", "--expires", "tomorrow"], ["new"], []])
def test_a_wrong_argument_makes_no_key(tmp_path: Path, capsys: Printed, arguments: list[str]) -> None:
    path = tmp_path / "keys.csv"
    with pytest.raises(SystemExit) as ended:
        main(["--file", str(path), *arguments])
    assert ended.value.code == 2
    assert not path.exists()


def test_a_day_that_has_passed_makes_no_key(tmp_path: Path, capsys: Printed) -> None:
    assert main(["--file", str(tmp_path / "keys.csv"), "new", "anna", "--expires", "2020-01-01"]) == 1
    assert capsys.readouterr().err == "--expires 2020-01-01 has passed; give today or a later day.\n"
    assert not list(tmp_path.iterdir())


def test_a_broken_file_is_left_as_it_is(tmp_path: Path, capsys: Printed) -> None:
    path = tmp_path / "keys.csv"
    for content in ("", "what is this\n"):
        path.write_text(content, encoding="utf-8")
        for arguments in (["new", "anna"], ["list"], ["revoke", "anna"]):
            assert main(["--file", str(path), *arguments]) == 1
            out, said = capsys.readouterr()
            assert out == ""
            assert "must be name,role" in said
        assert path.read_text(encoding="utf-8") == content
    assert main(["--file", str(tmp_path / "none" / "keys.csv"), "new", "anna"]) == 1
    assert "No such file" in capsys.readouterr().err


def test_the_file_may_come_from_the_setting(tmp_path: Path) -> None:
    path = tmp_path / "keys.csv"
    command = [sys.executable, "-m", "kettlewright.keys", "new", "anna"]
    done = subprocess.run(command, env={"KETTLEWRIGHT_KEY_FILE": str(path)}, capture_output=True, text=True, timeout=60)
    assert (done.returncode, len(read_key_file(path))) == (0, 1)
    assert KeyRing(read_key_file(path)).find(done.stdout.strip()) is not None


def test_without_a_file_it_says_how_to_name_one(capsys: Printed, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("KETTLEWRIGHT_KEY_FILE", raising=False)
    assert main(["list"]) == 1
    assert "KETTLEWRIGHT_KEY_FILE" in capsys.readouterr().err
