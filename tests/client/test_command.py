"""The command: what it writes, what it says, how it ends."""

from __future__ import annotations

import io
import json
import os
import subprocess
import sys
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest
from api.bodies import BATCH, LYE
from client.misbehaving import reply, says, server, stalls
from kettlewright.app import create_app
from kettlewright_client import command
from kettlewright_client.operations import OPERATIONS
from kettlewright_client.testing import recorded
from werkzeug.serving import make_server

ROOT = Path(__file__).parents[2]
# water of 60 degC and a lye of 49 %: about to boil
HOT = {**LYE, "water": {"lye_concentration_pct": 49}, "temperatures": {"water": 60}}
Captured = pytest.CaptureFixture[str]


@pytest.fixture(scope="module")
def address() -> Iterator[str]:
    served = make_server("127.0.0.1", 0, create_app(), threaded=True)
    thread = threading.Thread(target=served.serve_forever)
    thread.start()
    yield f"http://127.0.0.1:{served.server_port}"
    served.shutdown()
    thread.join()


@pytest.fixture(autouse=True)
def surroundings(monkeypatch: pytest.MonkeyPatch, tmp_path: Path, address: str) -> None:
    monkeypatch.setenv("NO_PROXY", "*")
    monkeypatch.setenv("KETTLEWRIGHT_URL", address)
    monkeypatch.chdir(tmp_path)
    Path("batch.json").write_text(json.dumps(BATCH), encoding="utf-8")
    Path("recipe.json").write_text(json.dumps(LYE), encoding="utf-8")
    Path("hot.json").write_text(json.dumps(HOT), encoding="utf-8")


def test_a_plan_is_written_in_all_its_forms(capsys: Captured) -> None:
    assert command.main(["plan", "batch.json", "--html", "sheet.html", "--svg", "face.svg", "--json", "out.json"]) == 0
    assert Path("sheet.html").read_text(encoding="utf-8").startswith("<!doctype html>")
    assert Path("face.svg").read_text(encoding="utf-8").startswith("<svg")
    expected = create_app().test_client().post("/v1/batches", json=BATCH).json
    assert json.loads(Path("out.json").read_text(encoding="utf-8")) == expected
    output = capsys.readouterr()
    assert output.out == ""
    assert "always: alkali-corrosive" in output.err


@pytest.mark.parametrize("name", ["plan", *OPERATIONS])
def test_every_operation_has_a_command(name: str, capsys: Captured) -> None:
    operation = OPERATIONS["batches" if name == "plan" else name]
    example = recorded()["batches" if name == "plan" else name]
    Path("body.json").write_text(json.dumps(example.body), encoding="utf-8")
    words = [name, *(["body.json"] if operation.method == "POST" else ["olive"] if name == "fat" else []),
             *(["--search", "olive"] if name == "fats" else [])]
    files = [word for form in operation.forms for word in (f"--{form}", f"out.{form}")]
    assert command.main([*words, *files, "--json", "-"]) == 0
    assert json.loads(capsys.readouterr().out) == example.replies["json"]
    for form in operation.forms:
        assert Path(f"out.{form}").read_bytes() == example.replies[form].encode()  # line ends and all


def test_json_goes_to_stdout_by_default(capsys: Captured) -> None:
    assert command.main(["fats", "--search", "oliv"]) == 0
    assert [fat["key"] for fat in json.loads(capsys.readouterr().out)["fats"]] == ["olive", "olive_pomace"]


def test_another_form_can_be_requested_by_its_name(capsys: Captured) -> None:
    assert command.main(["batches", "batch.json", "--form", "svg", "-"]) == 0
    assert capsys.readouterr().out.startswith("<svg")
    assert command.main(["batches", "batch.json", "--form", "tarot", "-"]) == 1
    output = capsys.readouterr()
    assert (output.out, "tarot" in output.err) == ("", True)


def test_what_a_form_needs_goes_into_the_address(capsys: Captured) -> None:
    json_first = says(reply(json.dumps(recorded()["lye"].replies["json"]).encode()))
    with server(json_first, says(reply(b"113.4", kind="text/plain"))) as other:
        assert command.main(["lye", "recipe.json", "--form", "text", "-", "--query", "field=alkalis.NaOH.weigh",
                             "--url", other.url]) == 0
    assert capsys.readouterr().out == "113.4"
    assert [request.split()[1] for request in other.requests] == [
        b"/v1/lye", b"/v1/lye?field=alkalis.NaOH.weigh&format=text"]
    assert other.requests[0].endswith(json.dumps(LYE).encode())


def test_the_card_of_a_batch_is_written_to_its_own_file() -> None:
    assert command.main(["plan", "batch.json", "--html", "card.html", "--query", "form=card"]) == 0
    assert "size: 105mm 148mm" in Path("card.html").read_text(encoding="utf-8")


def test_stdin_is_read_and_sent_as_it_is(monkeypatch: pytest.MonkeyPatch, capsys: Captured) -> None:
    doubled = b'{"fats": [{"fat": "olive", "mass": 700, "mass": 7}]}'  # json.loads would take the last and say nothing
    for text, code, said in ((json.dumps(LYE).encode(), 0, "always:"), (doubled, 1, 'The key "mass" appears twice'),
                             (b"\xff\xfe{", 1, "400"), (b"", 1, "400"), (b"fats: olive", 1, "400")):
        monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(text)))
        assert command.main(["lye", "-"]) == code
        assert said in capsys.readouterr().err


def test_every_error_is_on_stderr_with_its_location(capsys: Captured) -> None:
    Path("recipe.json").write_text(json.dumps({**LYE, "superfat_pct": 60, "water": {}}), encoding="utf-8")
    assert command.main(["lye", "recipe.json", "--json", "out.json"]) == 1
    output = capsys.readouterr()
    assert output.out == ""
    assert "  /superfat_pct: " in output.err
    assert "  /water: " in output.err
    assert not Path("out.json").exists()
    assert command.main(["fat", "olive pomice"]) == 1
    assert "olive_pomace" in capsys.readouterr().err
    assert command.main(["fat", "../cautions"]) == 1
    Path("recipe.json").write_bytes(b"[" + b" " * 300_000)
    assert command.main(["lye", "recipe.json"]) == 1  # 413


@pytest.mark.parametrize("words", [
    [], ["soap"], ["lye"], ["lye", "missing.json"], ["lye", "."], ["fats", "--colour", "red"], ["fat"],
    ["lye", "recipe.json", "--svg", "x.svg"], ["lye", "recipe.json", "--json", "no/such/folder.json"],
    ["plan", "batch.json", "--html", "same", "--svg", "same"], ["plan", "batch.json", "--html", "-", "--json", "-"],
    ["lye", "recipe.json", "--query", "field"], ["version", "--url", "127.0.0.1:8000"], ["version", "--timeout", "0"],
    ["version", "--timeout", "long"], ["version", "--retries", "99"], ["version", "--patience", "-1"]])
def test_a_wrong_command_ends_with_2(words: list[str], capsys: Captured) -> None:
    try:
        code: object = command.main(words)
    except SystemExit as end:
        code = end.code
    assert code == 2
    output = capsys.readouterr()
    assert output.out == ""
    assert output.err
    assert "Traceback" not in output.err


def test_no_reply_exits_with_3(capsys: Captured) -> None:
    page = b"<html>Bad</html>"
    for doing, said in ((says(b""), "No complete reply"), (stalls(), "in time"),
                        (says(reply(page, status="502 Bad Gateway", kind="text/html")), "502 Bad Gateway"),
                        (says(reply(page, status="503 Service Unavailable")), "503 Service Unavailable"),
                        (says(reply(b"", status="302 Found", headers="Location: /x\r\n")), "does not follow redirects"),
                        (says(reply(page, kind="text/html")), "is a proxy answering")):
        with server(doing) as bad:
            assert command.main(["--url", bad.url, "lye", "recipe.json", "--timeout", "0.2", "--retries", "0"]) == 3
        output = capsys.readouterr()
        assert output.out == ""
        assert said in output.err
        assert "Traceback" not in output.err


def test_options_work_before_and_after_the_command() -> None:
    fine = says(reply(b'{"status": "ok"}'))
    with server(fine) as other:
        assert command.main(["--url", other.url, "healthz"]) == 0
        assert command.main(["healthz", "--url", other.url]) == 0
    assert len(other.requests) == 2


def test_a_danger_exits_with_4_and_is_printed_for_every_form(capsys: Captured) -> None:
    assert command.main(["lye", "hot.json", "--json", "out.json"]) == 4
    assert "danger: The lye may reach" in capsys.readouterr().err
    assert json.loads(Path("out.json").read_text(encoding="utf-8"))["worst_severity"] == "danger"


def test_a_warning_does_not(capsys: Captured) -> None:
    Path("warm.json").write_text(json.dumps({**LYE, "temperatures": {"water": 20}}), encoding="utf-8")
    assert command.main(["lye", "warm.json"]) == 0
    output = capsys.readouterr()
    assert json.loads(output.out)["worst_severity"] == "warning"
    assert "warning: " in output.err


def test_nothing_is_written_where_one_of_the_forms_fails() -> None:
    good = json.dumps(recorded()["batches"].replies["json"]).encode()
    with server(says(reply(good)), says(reply(b"<html>", kind="text/html"))) as bad:
        assert command.main(["plan", "batch.json", "--json", "out.json", "--html", "sheet.html", "--url", bad.url,
                             "--retries", "0"]) == 3
    assert not Path("out.json").exists()
    assert not Path("sheet.html").exists()


def test_it_runs_as_a_module_and_minds_a_reader_who_has_seen_enough(address: str) -> None:
    words = [sys.executable, "-m", "kettlewright_client", "lye", "hot.json"]
    environment = {**os.environ, "KETTLEWRIGHT_URL": address}
    whole = subprocess.run(words, env=environment, capture_output=True, timeout=60, check=False)
    assert (whole.returncode, json.loads(whole.stdout)["worst_severity"]) == (4, "danger")
    reader, writer = os.pipe()
    os.close(reader)
    left = subprocess.run(words, env=environment, stdout=writer, stderr=subprocess.PIPE, timeout=60, check=False)
    os.close(writer)
    assert left.returncode == 4
    assert b"Traceback" not in left.stderr
    assert b"BrokenPipe" not in left.stderr


def test_the_help_explains_the_exit_codes(capsys: Captured) -> None:
    for words in (["--help"], ["plan", "--help"]):
        with pytest.raises(SystemExit) as end:
            command.main(words)
        assert end.value.code == 0
        output = capsys.readouterr().out
        assert all(f"  {code}  " in output for code in range(5))
