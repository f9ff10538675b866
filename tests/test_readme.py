"""What the README shows is what happens."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
import threading
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

import pytest
import requests
from kettlewright.app import create_app
from werkzeug.serving import make_server

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")


@pytest.fixture
def address() -> Iterator[str]:
    server = make_server("127.0.0.1", 0, create_app(), threaded=True)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    yield f"http://127.0.0.1:{server.server_port}"
    server.shutdown()
    thread.join()


def block(language: str, number: int = 0) -> str:
    return re.findall(rf"^```{language}\n(.*?)^```", README, re.DOTALL | re.MULTILINE)[number]


def shown(example: object, reply: object, place: str = "") -> None:
    """Every value of the example is in the reply: numbers to the digits shown, texts up to "..."."""
    if isinstance(example, dict):
        assert isinstance(reply, dict), place
        for key, value in example.items():
            shown(value, reply[key], f"{place}/{key}")
    elif isinstance(example, list):
        assert isinstance(reply, list), place
        for index, value in enumerate(example):
            shown(value, reply[index], f"{place}/{index}")
    elif isinstance(example, Decimal):
        assert isinstance(reply, int | float), place
        assert round(Decimal(str(reply)), -int(example.as_tuple().exponent)) == example, place
    else:
        assert str(reply).startswith(str(example).removesuffix("...")), place


def test_the_first_call_gets_the_reply_below_it(address: str) -> None:
    body = json.loads(block("sh").split("-d '")[1].rstrip().removesuffix("'"))
    reply = requests.post(f"{address}/v1/lye", json=body, timeout=10).json()
    example = json.loads(block("json"), parse_float=Decimal, parse_int=Decimal)
    assert example.keys() == {"alkalis", "water", "superfat", "cautions"}
    shown(example, reply)


def run_snippet(number: int, address: str) -> dict[str, object]:
    names: dict[str, object] = {}
    exec(compile(block("python", number).replace("http://127.0.0.1:8000", address), "README.md", "exec"), names)
    return names


def test_the_batch_snippet_runs(address: str, capsys: pytest.CaptureFixture[str]) -> None:
    run_snippet(0, address)
    printed = capsys.readouterr().out
    assert "jug sodium hydroxide" in printed
    # 250 mm less 8 mm of trim, pieces of 25 mm with cuts of 1 mm between them: 9 x 25 + 8 = 233, a tenth needs 259
    assert printed.rstrip().endswith("9 bars")


def test_the_workings_snippet_prints_what_it_shows(address: str, capsys: pytest.CaptureFixture[str]) -> None:
    run_snippet(1, address)
    assert "pure NaOH\n    share * needed * M\n    1 * 3.21233246 * 39.9971 = 128.484 g\n" in capsys.readouterr().out


def test_the_snippet_of_many_plans_prints_a_pot_for_each_example(
        address: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    run_snippet(2, address)
    pots = [float(line) for line in capsys.readouterr().out.split()]
    assert len(pots) == len(list((ROOT / "client" / "examples").glob("*.json")))
    assert min(pots) > 0


def test_the_snippet_of_the_stub_passes_its_own_tests() -> None:
    tests = [thing for name, thing in run_snippet(3, "http://127.0.0.1:9").items() if name.startswith("test_")]
    assert len(tests) == 2
    for each in tests:
        assert callable(each)
        each()


def test_the_snippet_of_the_sweep_prints_a_row_for_each_value(
        address: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    run_snippet(4, address)
    rows = [line.split(",") for line in capsys.readouterr().out.splitlines() if line]
    assert rows[0] == ["recipe.superfat_pct", "cuts.bars.count", "lye.superfat.likely_pct.min", "problem"]
    assert [row[0] for row in rows[1:]] == ["3", "4", "5"]
    assert all(float(row[2]) < float(row[0]) for row in rows[1:])


def test_all_python_snippets_pass_mypy_strict(tmp_path: Path) -> None:
    snippets = re.findall(r"^```python\n(.*?)^```", README, re.DOTALL | re.MULTILINE)
    assert len(snippets) == 5
    cache = ROOT / ".mypy_cache" / "scripts"  # also for the scripts of the client's tests
    for number, snippet in enumerate(snippets):
        (tmp_path / f"snippet_{number}.py").write_text(snippet, encoding="utf-8")
    found = subprocess.run([sys.executable, "-m", "mypy", "--strict", "--config-file=", f"--cache-dir={cache}",
                            *sorted(tmp_path.glob("*.py"))], cwd=tmp_path, capture_output=True, text=True, timeout=300,
                           check=False)
    assert found.returncode == 0, found.stdout + found.stderr


def test_the_lines_of_the_command_run_in_a_fresh_clone(address: str, tmp_path: Path) -> None:
    (tmp_path / "client").symlink_to(ROOT / "client")
    (tmp_path / ".venv" / "bin").mkdir(parents=True)  # of the clone: the environment that runs these tests
    python = tmp_path / ".venv" / "bin" / "python"
    python.write_text(f'#!/bin/sh\nexec "{sys.executable}" "$@"\n', encoding="utf-8")
    python.chmod(0o755)
    lines = next(one for one in re.findall(r"^```sh\n(.*?)^```", README, re.DOTALL | re.MULTILINE) if "alias" in one)
    here = {**os.environ, "KETTLEWRIGHT_URL": address, "NO_PROXY": "*"}
    found = subprocess.run(["sh", "-eu", "-c", lines], cwd=tmp_path, env=here, capture_output=True, text=True,
                           timeout=120, check=False)
    assert found.returncode == 0, found.stderr
    found_fats = json.loads(found.stdout[found.stdout.rindex('{\n  "fats"'):])["fats"]
    assert [fat["key"] for fat in found_fats] == ["olive", "olive_pomace"]
    assert (tmp_path / "build/sheet.html").read_text(encoding="utf-8").startswith("<!doctype html>")
    for picture in ("face.svg", "cuts.svg"):
        assert (tmp_path / "build" / picture).read_text(encoding="utf-8").startswith("<svg")
    assert json.loads((tmp_path / "build/plan.json").read_text(encoding="utf-8"))["portions"]


def test_the_link_gets_the_value_below_it_and_the_cell_has_the_same_link(address: str) -> None:
    link = block("text").strip()
    reply = requests.get(link.replace("http://127.0.0.1:8000", address), timeout=10)
    assert f"The reply is `{reply.text}` and nothing else" in README
    assert block("text", 1).strip() == f'=NUMBERVALUE(WEBSERVICE("{link}"); "."; ",")'


def test_the_container_lines_name_files_that_exist() -> None:
    lines = " ".join(re.findall(r"docker (?:build|compose) -f (\S+)", README))
    assert lines.split() == ["docker/Dockerfile", "docker/compose.yaml"]
    for name in lines.split():
        assert (ROOT / name).is_file()


def test_every_path_of_the_contract_is_in_the_table() -> None:
    contract = (ROOT / "openapi.yaml").read_text(encoding="utf-8")
    paths = re.findall(r"^  (/[^:]*):$", contract, re.MULTILINE)
    assert len(paths) > 10
    for path in paths:
        assert path == "/" or f"{path}`" in README, path


def test_every_target_it_names_is_in_the_makefile() -> None:
    makefile = (ROOT / "Makefile").read_text(encoding="utf-8")
    papers = README + (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    targets = set(re.findall(r"(?:`|^ {4})make\s+([a-z]+)\b", papers, re.MULTILINE))
    assert {"demo", "test"} < targets
    for target in targets:
        assert re.search(rf"^{target}:", makefile, re.MULTILINE), target
