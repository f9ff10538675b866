"""The key file: read as strictly as a request, every error with its line and without a word of the file."""

from __future__ import annotations

import os
import stat
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from kettlewright.keys import ROLES, BadKeyFile, Key, new_key, read_key_file, write_key_file
from kettlewright.keys.key_file import COLUMNS

HEADER = ",".join(COLUMNS)
RIGHT = {"name": "anna", "role": "member", "id": "0123abcd", "sha256": "ab" * 32, "made": "2027-01-01", "expires": "",
         "requests_per_month": "1000", "cpu_seconds_per_month": ""}


def row(**changed: str) -> str:
    return ",".join({**RIGHT, **changed}.values())


def written(folder: Path, *lines: str) -> Path:
    path = folder / "keys.csv"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def errors_of(path: Path) -> str:
    with pytest.raises(BadKeyFile) as caught:
        read_key_file(path)
    return str(caught.value)


def test_a_file_gives_its_keys(tmp_path: Path) -> None:
    path = written(tmp_path, HEADER, row(), "", row(name="ben", id="00000000", role="operator", expires="2027-12-31",
                                                    requests_per_month="", cpu_seconds_per_month="3600"))
    assert read_key_file(path) == (
        Key("anna", "0123abcd", "member", "ab" * 32, date(2027, 1, 1), None, 1000, None),
        Key("ben", "00000000", "operator", "ab" * 32, date(2027, 1, 1), date(2027, 12, 31), None, 3600))


@pytest.mark.parametrize(("column", "values"), [
    ("name", ["", "Anna", "a b", "-anna", "a" * 41, "änna", "anna\t", "=1"]), ("role", ["", "admin", "Member"]),
    ("id", ["", "0123abc", "0123abcde", "0123ABCD", "0123abcg"]), ("sha256", ["", "ab" * 31, "AB" * 32, "zz" * 32]),
    ("made", ["", "today", "2027-02-30", "20270101", "2027-1-1"]), ("expires", ["never", "2027-13-01", "2027-W01-1"]),
    ("requests_per_month", ["0", "-1", "1.5", "1e3", "1000000001", "01", "１"]),
    ("cpu_seconds_per_month", ["0", "-1", "1.5", "1000000001", "no"])])
def test_a_wrong_cell_is_named_with_its_line_and_without_its_text(tmp_path: Path, column: str,
                                                                  values: list[str]) -> None:
    for value in values:
        path = written(tmp_path, HEADER, row(id="00000000"), row(**{column: value}))
        said = errors_of(path)
        assert said.startswith(f"{path}:3: {column}: must "), value
        assert len(said.splitlines()) == 1
        # somebody may have put a key into the wrong column
        assert len(value) < 5 or value not in said.removeprefix(str(path))


@pytest.mark.parametrize(("column", "values"), [
    ("name", ["a", "7", "a" * 40, "a.b-c_d"]), ("role", list(ROLES)), ("expires", ["", "2024-02-29", "9999-12-31"]),
    ("requests_per_month", ["", "1", "1000000000"]), ("cpu_seconds_per_month", ["", "1", "1000000000"])])
def test_both_ends_of_what_is_allowed_are_taken(tmp_path: Path, column: str, values: list[str]) -> None:
    for value in values:
        assert len(read_key_file(written(tmp_path, HEADER, row(**{column: value})))) == 1


def test_all_errors_are_reported_at_once(tmp_path: Path) -> None:
    path = written(tmp_path, HEADER, row(role="x", made="y"), row(), row(), "a,b")
    assert errors_of(path).splitlines() == [
        f"{path}:2: role: must be one of member, read-only, operator",
        f"{path}:2: made: must be a day such as 2027-01-31",
        f"{path}:4: id: another key has this id", f"{path}:5: has 2 cells; it must have 8"]
    many = errors_of(written(tmp_path, HEADER, *["x"] * 30)).splitlines()
    assert (len(many), many[-1]) == (21, "and 10 more")


@pytest.mark.parametrize("content", [b"", b"\n", b"name,role\n", HEADER.upper().encode(), b"\xff\xfe", b"a" * 2_000_001,
                                     (HEADER + '\n"').encode(), HEADER.encode() + b"\n\0"])
def test_an_empty_or_broken_file_is_refused(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "keys.csv"
    path.write_bytes(content)
    assert errors_of(path).startswith(str(path))


def test_a_file_that_is_not_there_or_a_folder_is_refused(tmp_path: Path) -> None:
    assert errors_of(tmp_path / "none.csv") == f"{tmp_path / 'none.csv'}: No such file or directory"
    assert errors_of(tmp_path).endswith("Is a directory")


def test_a_header_without_keys_is_a_file_without_keys(tmp_path: Path) -> None:
    assert read_key_file(written(tmp_path, HEADER)) == ()
    # the byte order mark that spreadsheets write
    (tmp_path / "keys.csv").write_bytes(b"\xef\xbb\xbf" + HEADER.encode() + b"\r\n" + row().encode() + b"\r\n")
    assert len(read_key_file(tmp_path / "keys.csv")) == 1


KEYS = st.builds(lambda name, role, expires, requests, seconds: new_key(
    name, role, made=date(2027, 1, 1), expires=expires, requests_per_month=requests, cpu_seconds_per_month=seconds)[1],
    st.from_regex(r"[a-z0-9][a-z0-9._-]{0,39}", fullmatch=True), st.sampled_from(ROLES), st.none() | st.dates(),
    st.none() | st.integers(1, 1_000_000_000), st.none() | st.integers(1, 1_000_000_000))


@given(st.lists(KEYS, max_size=5, unique_by=lambda key: key.key_id))
def test_what_is_written_is_read_again(tmp_path_factory: pytest.TempPathFactory, keys: list[Key]) -> None:
    path = tmp_path_factory.mktemp("keys") / "keys.csv"
    write_key_file(path, keys)
    assert read_key_file(path) == tuple(keys)


def test_a_file_is_replaced_whole_and_keeps_its_mode(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "keys.csv"
    _, key = new_key("anna", made=date(2027, 1, 1))
    write_key_file(path, [key])
    assert stat.S_IMODE(path.stat().st_mode) == 0o644
    path.chmod(0o600)
    write_key_file(path, [key])
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    before = path.read_bytes()

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError, match="No space"):
        write_key_file(path, [])
    assert path.read_bytes() == before
    assert os.listdir(tmp_path) == ["keys.csv"]
