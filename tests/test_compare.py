"""What moved between two versions: two services on the loopback, one of them with another figure in its table."""

from __future__ import annotations

import json
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from flask import Response
from kettlewright.api.document.openapi import examples_of
from kettlewright.app import create_app
from kettlewright.compare import main, moves
from kettlewright.keys import new_key, write_key_file
from kettlewright.settings import Settings
from werkzeug.serving import make_server


@contextmanager
def service(factor: float = 1.0, key_file: str | None = None) -> Iterator[str]:
    """One whose masses of alkali are multiplied, as those of other data would be."""
    app = create_app(Settings(key_file=key_file) if key_file else Settings())

    @app.after_request
    def other_figures(reply: Response) -> Response:
        if factor != 1.0 and reply.is_json and "lye" in (found := reply.get_json()):
            found["lye"]["alkalis"][0]["mass"] *= factor
            found["meta"]["data_version"] = "other"
            reply.set_data(json.dumps(found))
        return reply

    server = make_server("127.0.0.1", 0, app, threaded=True)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_port}"
    finally:
        server.shutdown()
        thread.join()
        server.server_close()


@pytest.fixture
def plans(tmp_path: Path) -> Path:
    (tmp_path / "a.json").write_text(json.dumps(examples_of("batches")[0]["body"]), encoding="utf-8")
    (tmp_path / "b.json").write_text('{"recipe": 1}', encoding="utf-8")
    return tmp_path


def test_two_services_alike_differ_in_nothing(plans: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with service() as one:
        assert main([one, one, str(plans)]) == 0
    said = capsys.readouterr().out
    assert "a.json: the same\n" in said
    assert "b.json: the same (both refuse it: 422)" in said
    assert said.endswith("0 of 2 plans differ.\n")


def test_the_figure_that_moved_is_named_with_both_values_and_nothing_else(
        plans: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with service() as old, service(1.25) as new:
        assert main([old, new, str(plans)]) == 1
    lines = capsys.readouterr().out.splitlines()
    assert "a.json: 1 differ" in lines
    moved = [line for line in lines if line.startswith("  ")]
    assert len(moved) == 1
    assert moved[0].startswith("  /lye/alkalis/0/mass: ")
    assert moved[0].endswith("(+25.00 %)")
    assert lines[-1] == "1 of 2 plans differ."


def test_services_with_keys_are_compared_with_a_key_and_not_without(
        plans: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    text, key = new_key("one", "member", made=date(2026, 1, 1))
    write_key_file(tmp_path / "keys.csv", [key])
    with service(key_file=str(tmp_path / "keys.csv")) as one:
        assert main([one, one, str(plans)]) == 2  # a refusal by both is no proof that nothing moved
        assert "answers a plan with 401" in capsys.readouterr().err
        monkeypatch.setenv("KETTLEWRIGHT_KEY", text)
        assert main([one, one, str(plans)]) == 0
    assert "a.json: the same\n" in capsys.readouterr().out


@pytest.mark.parametrize(("old", "new", "pointers"), [
    ({"a": 1}, {"a": 1.0}, []), ({"a": True}, {"a": 1}, ["/a"]), ({"a": [1, 2]}, {"a": [1]}, ["/a/1"]),
    ({"a": {"b/c": 1}}, {"a": {"b/c": 2, "~": 3}}, ["/a/b~1c", "/a/~0"]), ({"meta": 1, "a": {"meta": 1}},
                                                                          {"meta": 2, "a": {"meta": 2}}, ["/a/meta"]),
    ({"a": "x"}, {}, ["/a"]), ([], [{"a": 1}], ["/0"])])
def test_where_two_replies_differ(old: Any, new: Any, pointers: list[str]) -> None:
    assert [one.pointer for one in moves(old, new)] == pointers  # pointers of RFC 6901


def test_a_service_that_cannot_be_reached_and_an_empty_folder_end_with_2(tmp_path: Path) -> None:
    assert main(["http://127.0.0.1:9", "http://127.0.0.1:9", str(tmp_path)]) == 2
    (tmp_path / "a.json").write_text("{}", encoding="utf-8")
    assert main(["http://127.0.0.1:9", "http://127.0.0.1:9", str(tmp_path)]) == 2
