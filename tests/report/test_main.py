"""The command: what it prints, writes and ends with; its memory does not grow with the log."""

from __future__ import annotations

import tracemalloc
from pathlib import Path

import pytest
from kettlewright.report.__main__ import main
from report.log_lines import line


def test_text_is_printed_and_a_page_is_written(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "log").write_bytes(line() * 3)
    assert main([str(tmp_path / "log")]) == 0
    assert capsys.readouterr().out.startswith("All members: use of the service\n====")
    page = tmp_path / "page.html"
    assert main([str(tmp_path / "log"), "--member", "mill-lane", "--month", "2026-11", "--html", str(page)]) == 0
    assert capsys.readouterr().out == ""
    assert "<h1>mill-lane: November 2026</h1>" in page.read_text(encoding="utf-8")


def test_a_file_that_cannot_be_read_is_named_in_the_report_and_in_the_exit_status(
        tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "log").write_bytes(line())
    assert main([str(tmp_path / "log"), str(tmp_path / "absent")]) == 1
    seen = capsys.readouterr()
    assert "NOT COMPLETE" in seen.out
    assert "absent: No such file or directory" in seen.err


@pytest.mark.parametrize("month", ["2026-13", "2026-1", "11/2026", "2026-00", ""])
def test_a_month_that_is_none_is_refused(month: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as caught:
        main(["log", "--month", month])
    assert caught.value.code == 2
    assert "write it as 2026-11" in capsys.readouterr().err


def test_memory_does_not_grow_with_the_log(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    peaks = []
    for count in (300, 2_400):
        (tmp_path / "log").write_bytes(b"".join(
            line(request_id=f"r{number}", milliseconds=1 + number % 700) for number in range(count)))
        tracemalloc.start()
        main([str(tmp_path / "log")])
        peaks.append(tracemalloc.get_traced_memory()[1])
        tracemalloc.stop()
    capsys.readouterr()
    assert peaks[1] < peaks[0] * 1.2 + 50_000
