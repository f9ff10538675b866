"""Logs as they are found: broken, compressed, cut, mixed, of several instances, wrapped by container engines."""

from __future__ import annotations

import gzip
import io
import json
import sys
from pathlib import Path

import pytest
from kettlewright.report import LoggedRequest, Tally, entries
from report.log_lines import line, line_of_the_service


def read(*names: str | Path) -> tuple[list[LoggedRequest], Tally]:
    tally = Tally()
    return list(entries([str(name) for name in names], tally), ), tally


def test_a_line_that_the_service_writes_is_read_in_full(tmp_path: Path) -> None:
    log = tmp_path / "log"
    log.write_bytes(line_of_the_service("batches", "mill-lane", 12.5, 0.0075))
    (found,), tally = read(log)
    assert (found.operation, found.member, found.status) == ("batches", "mill-lane", 200)
    assert (found.milliseconds, found.cpu_milliseconds) == (12.5, 7.5)
    assert (found.request_bytes, found.reply_bytes) == (321, 4321)
    assert (tally.requests, tally.lines) == (1, 1)


OTHER = {
    "plain text": b"Nov 29 10:00:00 host something happened\n",
    "json of the proxy": b'{"time":"2026-11-29T10:00:00+00:00","logger":"proxy","status":429}\n',
    "json without a logger": b'{"status": 200}\n',
    "json that is no object": b'[1, 2, {"status": 200}]\n',
    "a logger that is no text": b'{"logger": 3}\n',
    "a setting in braces": b"server { listen 8080; }\n",
    "a long line": b"{" + b"x" * 200_000 + b"\n",
    "a tree": b'{"a":' * 9_000 + b"1" + b"}" * 9_000 + b"\n",
}
BROKEN = {
    "cut in the middle": line()[:90] + b"\n",
    "not UTF-8": line(key_name="caf\u00e9").replace(b"\\u00e9", b"\xff\xfe"),
    "too deep": b'{"logger": "gunicorn.access", "a":' + b'{"a":' * 9_000 + b"1" + b"}" * 9_001 + b"\n",
    "too long": b'{"logger": "gunicorn.access", "x": "' + b"x" * 200_000 + b'"}\n',
    "status is text": line(status="200"), "status is true": line(status=True), "status 99": line(status=99),
    "no status": line(status=None), "no time": line(time=None), "time is a number": line(time=1_700_000_000),
    "30 February": line(time="2026-02-30T10:00:00+00:00"), "time in words": line(time="yesterday"),
    "negative time": line(milliseconds=-1), "no number": line(cpu_milliseconds="3"),
    "not finite": line().replace(b"2.5", b"NaN"), "infinite": line().replace(b"2.5", b"1e999"),
    "negative size": line(reply_bytes=-3),
}
GOOD = {
    "as it is": line(),
    "compose puts a name before it": b"kettlewright-service-1  | " + line(),
    "a container runtime puts a time before it": b"2026-11-29T10:00:00.1Z stdout F " + line(),
    "a container engine wraps it": json.dumps({"log": line().decode(), "stream": "stdout"}).encode() + b"\n",
    "with carriage return": line().replace(b"\n", b"\r\n"),
    "older, without the newer fields": line(cpu_milliseconds=None, request_bytes=None, reply_bytes=None),
}


@pytest.mark.parametrize("name", OTHER)
def test_a_line_of_another_program_is_counted_as_such(name: str, tmp_path: Path) -> None:
    (tmp_path / "log").write_bytes(line() + OTHER[name] + line())
    found, tally = read(tmp_path / "log")
    assert (len(found), tally.others, tally.broken, tally.messages) == (2, 1, 0, 0)


@pytest.mark.parametrize("name", BROKEN)
def test_a_broken_line_is_counted_and_the_others_are_read(name: str, tmp_path: Path) -> None:
    (tmp_path / "log").write_bytes(line() + BROKEN[name] + line())
    found, tally = read(tmp_path / "log")
    assert (len(found), tally.requests, tally.others, tally.broken) == (2, 2, 0, 1)


@pytest.mark.parametrize("name", GOOD)
def test_a_request_is_read_whatever_goes_before_it(name: str, tmp_path: Path) -> None:
    (tmp_path / "log").write_bytes(GOOD[name])
    (found,), tally = read(tmp_path / "log")
    assert (found.day, found.operation, found.member) == ("2026-11-05", "lye", "mill-lane")
    assert (tally.requests, tally.lines) == (1, 1)


def test_other_messages_of_the_service_and_its_errors_are_counted(tmp_path: Path) -> None:
    (tmp_path / "log").write_bytes(
        b'{"level": "INFO", "logger": "gunicorn.error", "message": "Booting worker"}\n'
        b'{"level": "ERROR", "logger": "kettlewright", "message": "unexpected"}\n'
        b'{"level": "WARNING", "logger": "kettlewright.keys", "message": "x"}\n\n')
    found, tally = read(tmp_path / "log")
    assert (found, tally.messages, tally.errors, tally.others) == ([], 3, 1, 0)


def test_rotated_compressed_and_several_logs_are_read_together(tmp_path: Path) -> None:
    (tmp_path / "access.log").write_bytes(line())
    (tmp_path / "access.log.1").write_bytes(line(time="2026-10-01T00:00:00+00:00"))
    (tmp_path / "access.log.2.gz").write_bytes(gzip.compress(line() * 3))
    (tmp_path / "without-ending").write_bytes(gzip.compress(line()))
    found, tally = read(*sorted(tmp_path.iterdir()))
    assert (len(found), tally.files, tally.unreadable) == (6, 4, [])


def test_a_compressed_log_that_is_cut_is_read_as_far_as_it_goes_and_named(tmp_path: Path) -> None:
    packed = gzip.compress(b"".join(line(request_id=str(number)) for number in range(3_000)))
    (tmp_path / "cut.gz").write_bytes(packed[:len(packed) // 2])
    (tmp_path / "whole").write_bytes(line())
    found, tally = read(tmp_path / "cut.gz", tmp_path / "whole")
    assert 100 < len(found) < 3_000
    assert len(tally.unreadable) == 1
    assert "cut.gz" in tally.unreadable[0]


def test_a_file_that_is_named_twice_is_read_once(tmp_path: Path) -> None:
    (tmp_path / "log").write_bytes(line())
    found, tally = read(tmp_path / "log", tmp_path / "." / "log")
    assert (len(found), tally.files) == (1, 1)


def test_what_cannot_be_opened_is_named_and_the_rest_is_read(tmp_path: Path) -> None:
    (tmp_path / "log").write_bytes(line())
    found, tally = read(tmp_path / "absent", tmp_path, tmp_path / "log")
    assert len(found) == 1
    assert [one.startswith(str(tmp_path)) for one in tally.unreadable] == [True, True]


def test_standard_input_is_read(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(line() * 2 + line()[:-1])))
    found, tally = read("-")
    assert (len(found), tally.files) == (3, 1)


def test_an_operation_that_is_no_name_and_no_key_are_listed_as_such(tmp_path: Path) -> None:
    (tmp_path / "log").write_bytes(line(operation="olive:700, coconut", key_name=None) + line(operation=None))
    found, _ = read(tmp_path / "log")
    assert [(one.operation, one.member) for one in found] == [("(no operation)", "(no key)"),
                                                              ("(no operation)", "mill-lane")]
