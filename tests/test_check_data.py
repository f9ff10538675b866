"""The command that checks a data folder before the service reads it."""

from __future__ import annotations

from pathlib import Path

import pytest
from api.coop.folders import EXAMPLE, write_folder
from kettlewright.check_data import main


def test_a_good_folder_is_counted(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([str(EXAMPLE)]) == 0
    said = capsys.readouterr().out
    for path in EXAMPLE.glob("*.csv"):
        rows = len(path.read_text(encoding="utf-8").splitlines()) - 1
        count = {"fats": f"fats: {rows}", "certificates": f"certificates: {rows}", "names": f"label names: {rows}"}
        assert count.get(path.stem, "") in said
    assert "Date 2026-11-28" in said


def test_all_errors_of_a_bad_one_are_printed(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = write_folder(tmp_path / "data", version="date\ntoday\n", names="key,inci\nkaolin,\n")
    assert main([str(folder)]) == 1
    first, *errors = capsys.readouterr().err.splitlines()
    assert first == f"The data folder {folder} has 2 errors:"
    assert [error.partition(": ")[0].strip() for error in errors] == ["version.csv, line 2", "names.csv, line 2"]
